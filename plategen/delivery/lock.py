"""A folder to one process at a time."""

import contextlib
import os
import time
from collections.abc import Iterator
from pathlib import Path


@contextlib.contextmanager
def lock(folder: Path) -> Iterator[None]:
    """A folder to one process at a time; whoever else asks waits. A missing folder is made.

    The lock is on the folder itself where the system can, so that nothing is left lying in it.

    Raises:
        OSError: The folder cannot be made or opened.
    """
    try:
        import fcntl
    except ImportError:  # no such lock on this system: a folder is made by one only
        with _file_lock(folder / ".being-made"):
            yield
        return
    while True:
        folder.mkdir(parents=True, exist_ok=True)
        handle = os.open(folder, os.O_RDONLY)
        try:
            fcntl.flock(handle, fcntl.LOCK_EX)
            if _is_still(handle, folder):
                yield
                return
        finally:
            os.close(handle)


def _is_still(handle: int, folder: Path) -> bool:
    """True when the folder was not removed or replaced while we waited for its lock."""
    try:
        return os.path.samestat(os.fstat(handle), os.stat(folder))
    except FileNotFoundError:
        return False


@contextlib.contextmanager
def _file_lock(path: Path) -> Iterator[None]:
    """A lock by a file held open: such systems remove no file that another process holds."""
    while True:
        with contextlib.suppress(OSError):
            path.unlink()  # left by a killed run
        with contextlib.suppress(OSError):
            handle = os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR)
            break
        time.sleep(0.05)
    try:
        yield
    finally:
        os.close(handle)
        with contextlib.suppress(OSError):
            path.unlink()
