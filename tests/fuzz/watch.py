"""A watch over a run of any target: how long it takes, and that it writes to no file and starts no process."""

import contextlib
import signal
import sys
from collections.abc import Iterator
from types import FrameType
from typing import Any

SECONDS = 10.0
"""More processor time than this on one input is a hang; a wait of twelve times as long on the clock is one too."""


class Hang(BaseException):
    """The input took too long; no ordinary handler catches this."""


class Touched(BaseException):
    """The input made the program write to the disk, start a process or reach for the network."""


_watching = False
_FORBIDDEN = ("subprocess.", "os.system", "os.exec", "os.posix_spawn", "os.remove", "os.rename", "os.mkdir", "os.rmdir")
_FORBIDDEN += ("shutil.", "socket.", "os.truncate", "os.link", "os.symlink", "os.chmod")


def _heard(event: str, arguments: tuple[Any, ...]) -> None:
    if not _watching:
        return
    writes = event == "open" and isinstance(arguments[1], str) and set(arguments[1]) & set("wax+")
    if writes or event.startswith(_FORBIDDEN):
        raise Touched(f"{event} {arguments[:2]}")


def _rang(number: int, frame: FrameType | None) -> None:
    raise Hang(f"still at work after {SECONDS:g} s")


def begin() -> None:
    """Set the watch up, once a process: an audit hook cannot be taken away again."""
    sys.addaudithook(_heard)
    signal.signal(signal.SIGALRM, _rang)
    signal.signal(signal.SIGPROF, _rang)


@contextlib.contextmanager
def watched() -> Iterator[None]:
    """Watch one input."""
    global _watching
    signal.setitimer(signal.ITIMER_PROF, SECONDS)
    signal.setitimer(signal.ITIMER_REAL, 12 * SECONDS)
    _watching = True
    try:
        yield
    finally:
        _watching = False
        signal.setitimer(signal.ITIMER_PROF, 0.0)
        signal.setitimer(signal.ITIMER_REAL, 0.0)
