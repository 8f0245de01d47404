"""Putting a set of files into a folder so that nobody ever sees half of one, and none is lost.

The new files are first written whole beside the old ones, in a hidden folder, and read back. Then a plan is written,
and from that moment the delivery will be completed: by this process, or, should it be killed, by the next that comes.
Every old file that gives way is first linked into the folder ``earlier``, then replaced in one step, so each name
shows either the old file or the new one at every moment. Clocks play no part. Makers of one folder wait for each
other at a lock that a killed process lets go of.

What lies in the folder may be damaged, or made to harm: a plan is read as a stranger's, it names files of this folder
alone, and no link is followed out of it.
"""

import contextlib
import os
import shutil
import stat
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path, PureWindowsPath

import msgspec

from plategen.delivery.lock import lock
from plategen.ground.refusal import Refusal

EARLIER = "earlier"
"""Where files that gave way are kept, a folder each delivery."""

_UNFINISHED = ".plategen-unfinished"
_PLAN = "plan.json"

MOST_STATE_BYTES = 60_000_000
"""More than the longest job's record; what is larger holds something else."""


class Plan(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """What is still to be done: the new files, the old ones that give way, and the folder that takes them.

    Raises:
        ValueError: A name leads out of the folder or to what the program itself keeps there.
    """

    new: list[str]
    old: list[str]
    kept: str

    def __post_init__(self) -> None:
        kept = [self.kept] if self.kept or self.old else []
        if not all(map(is_file_name, (*self.new, *self.old, *kept))):
            raise ValueError("names a file that is not in the folder")


def is_file_name(name: str) -> bool:
    """True for the bare name of a file of a delivery, on any system.

    >>> [is_file_name(name) for name in ("ear.dxf", "../rear.csv", "c:x", "earlier", "..", "")]
    [True, False, False, False, False, False]
    """
    bare = name.isprintable() and PureWindowsPath(name).name == name and len(name.encode()) <= 255
    return bare and name not in ("", "..", EARLIER, _UNFINISHED)


def read_state(path: Path) -> bytes | None:
    """What a file holds that the program keeps in a folder; None if it is not there.

    Raises:
        Refusal: It is a link, no plain file, or larger than any such file.
    """
    try:
        found = path.lstat()
        if stat.S_ISREG(found.st_mode) and found.st_size <= MOST_STATE_BYTES:
            return path.read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None
    raise damaged(path)


def damaged(path: Path) -> Refusal:
    """What is said of a file or folder of the program's own that does not hold what the program put there."""
    return Refusal("is damaged; move it away and make the job anew", place=str(path))


def _refuse_no_folder(path: Path) -> None:
    """Refuse one of the program's own folders that is a link, which might lead anywhere, or a file."""
    if path.is_symlink() or (os.path.lexists(path) and not path.is_dir()):
        raise Refusal("is a link or a file where a folder of the program's own belongs; move it away", place=str(path))


def refuse_unwritable(folder: Path) -> None:
    """Refuse an output folder that is a file or cannot be written, before any work is done."""
    nearest = folder
    while not nearest.exists() and nearest != nearest.parent:
        nearest = nearest.parent
    if not nearest.is_dir():
        raise Refusal("is a file, not a folder; give a folder to write into", place=str(nearest))
    if not os.access(nearest, os.W_OK | os.X_OK):
        raise Refusal("cannot be written; give a folder of your own", place=str(nearest))


def refuse_taken(folder: Path) -> None:
    """Refuse a new folder whose name is taken, or that cannot be written, before any work is done."""
    if os.path.lexists(folder):
        raise Refusal("is there already and stays as it is; a new folder is right", place=str(folder))
    refuse_unwritable(folder)


@contextlib.contextmanager
def locked(folder: Path) -> Iterator[None]:
    """The folder to ourselves; whoever else asks waits. What a killed run left unfinished is finished first.

    Raises:
        Refusal: The folder cannot be made or written.
    """
    made = _make(folder)
    try:
        with lock(folder):
            try:
                _finish(folder)
            except OSError as error:
                raise _refused(folder, error, planned=True) from error
            yield
    except BaseException:
        for empty in made:  # a refusal leaves no empty folders behind
            with contextlib.suppress(OSError):
                empty.rmdir()
        raise


def put(folder: Path, files: Mapping[str, bytes], gone: Iterable[str] = (), aside: str = "before") -> Path | None:
    """Put files into a folder that is :func:`locked`; the folder that took what gave way, None if nothing did.

    Those that are there already, byte for byte, are left alone; earlier files ``gone`` without a successor go aside as
    well, all into ``earlier/<aside>``, with a number if that is taken.

    Raises:
        Refusal: A file cannot be written. Before the plan stands, nothing in the folder has changed; after it, the
            message says that the next run will finish.
    """
    fresh = {name: data for name, data in files.items() if not _is_same(folder / name, data)}
    old = sorted(name for name in {*fresh, *gone} - (files.keys() - fresh.keys()) if os.path.lexists(folder / name))
    for name in old:
        if (folder / name).is_dir() and not (folder / name).is_symlink():
            raise Refusal(
                "is a folder, and a file of that name must be written; move it away", place=str(folder / name)
            )
    if not fresh and not old:
        return None
    _refuse_not_ours(folder, old)
    kept = _free(folder / EARLIER, aside) if old else None
    unfinished = folder / _UNFINISHED
    try:
        (unfinished / "new").mkdir(parents=True)
        for name, data in fresh.items():
            write_whole(unfinished / "new" / name, data)
        sync(unfinished / "new")
        plan = Plan(list(fresh), old, kept.name if kept else "")
        write_whole(unfinished / "plan.part", msgspec.json.encode(plan))
        os.replace(unfinished / "plan.part", unfinished / _PLAN)
        sync(unfinished)
    except OSError as error:
        shutil.rmtree(unfinished, ignore_errors=True)
        raise _refused(folder, error, planned=False) from error
    try:
        _finish(folder)
    except OSError as error:
        raise _refused(folder, error, planned=True) from error
    return kept


def put_new(folder: Path, files: Mapping[str, bytes]) -> None:
    """Make a folder that holds these files, by names with folders in them if need be; it appears whole, in one step.

    Raises:
        Refusal: Something of that name is there, or it cannot be written; nothing is changed then.
    """
    refuse_taken(folder)
    fresh = folder.with_name(f".{folder.name}.part")
    shutil.rmtree(fresh, ignore_errors=True)  # left by a killed run
    try:
        for name, data in files.items():
            (fresh / name).parent.mkdir(parents=True, exist_ok=True)
            write_whole(fresh / name, data)
        os.rename(fresh, folder)
    except OSError as error:
        shutil.rmtree(fresh, ignore_errors=True)
        raise _refused(folder, error, planned=False) from error
    sync(folder.parent)


def _finish(folder: Path) -> None:
    """Carry out the plan that stands in the folder, from wherever it stopped; without a plan, clear what was begun."""
    unfinished = folder / _UNFINISHED
    _refuse_no_folder(unfinished)
    if not unfinished.exists():
        return
    data = read_state(unfinished / _PLAN)
    if data is not None:
        plan = plan_of(data, unfinished / _PLAN)
        new, kept = unfinished / "new", folder / EARLIER / plan.kept
        _refuse_strange(folder, plan)
        for name in plan.old:
            if (new / name).exists() or name not in plan.new:
                _keep(folder / name, kept)
        for name in plan.new:
            if (new / name).exists():
                os.replace(new / name, folder / name)
        for name in plan.old:
            if name not in plan.new and _is_kept(folder / name, kept):
                (folder / name).unlink()
        sync(folder)
        (unfinished / _PLAN).unlink()
    shutil.rmtree(unfinished)


def _refuse_not_ours(folder: Path, old: Iterable[str]) -> None:
    """Refuse, before a plan stands, a folder in which the old files could not all give way."""
    earlier, here, user = folder / EARLIER, folder.stat(), getattr(os, "geteuid", int)()
    _refuse_no_folder(earlier)
    sticky = here.st_mode & stat.S_ISVTX and user not in (0, here.st_uid)
    held = [path for path in (folder / name for name in old) if sticky and path.lstat().st_uid != user]
    shut = [path for path in (folder, earlier) if path.exists() and not os.access(path, os.W_OK | os.X_OK)]
    unread = [path for path in (folder / name for name in old) if path.exists() and not os.access(path, os.R_OK)]
    for path in (*shut, *held, *unread):
        raise Refusal("belongs to another user and cannot be replaced; give a folder of your own", place=str(path))


def plan_of(data: bytes, path: Path) -> Plan:
    """The plan that a file holds.

    Raises:
        Refusal: The plan is damaged.
    """
    try:
        return msgspec.json.decode(data, type=Plan)
    except (msgspec.DecodeError, ValueError, RecursionError):
        raise damaged(path) from None


def _refuse_strange(folder: Path, plan: Plan) -> None:
    """Refuse, before anything is moved, a plan whose folders are links or whose files are none."""
    new = folder / _UNFINISHED / "new"
    for own in (new, folder / EARLIER, *([folder / EARLIER / plan.kept] if plan.kept else [])):
        _refuse_no_folder(own)
    for path in (*(new / name for name in plan.new), *(folder / name for name in (*plan.old, *plan.new))):
        if path.is_dir() and not path.is_symlink():
            raise Refusal("is a folder where a file belongs; move it away", place=str(path))
    for path in (new / name for name in plan.new):
        if path.is_symlink():
            raise damaged(path)


def _keep(old: Path, kept: Path) -> None:
    """Put ``old`` into ``kept`` as well, unless that was done before the run was killed."""
    if not os.path.lexists(old) or _is_kept(old, kept):
        return
    kept.mkdir(parents=True, exist_ok=True)
    place = _free(kept, old.name)
    try:
        os.link(old, place, follow_symlinks=False)
    except (OSError, NotImplementedError):  # a file system without links: copy, and let the copy appear in one step
        part = kept / f".{old.name}.part"
        shutil.copy2(old, part, follow_symlinks=False)
        os.replace(part, place)
    sync(kept)


def _is_kept(old: Path, kept: Path) -> bool:
    """True when ``kept`` holds what ``old`` holds now; a file that came since is another, and so is a link."""
    copy = kept / old.name
    try:
        if old.is_symlink() or copy.is_symlink():
            return os.readlink(old) == os.readlink(copy)
        return old.is_file() and _is_same(copy, old.read_bytes())
    except OSError:
        return False


def _free(parent: Path, name: str) -> Path:
    """``parent / name``, or with the first number that is free."""
    number, path = 2, parent / name
    while os.path.lexists(path):
        path, number = parent / f"{name}-{number}", number + 1
    return path


def _is_same(path: Path, data: bytes) -> bool:
    try:
        return path.is_file() and path.stat().st_size == len(data) and path.read_bytes() == data
    except OSError:
        return False


def write_whole(path: Path, data: bytes) -> None:
    """Write a new file whole, down to the disk, and read it back; OSError if it cannot be or is another."""
    with path.open("xb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())
    if path.read_bytes() != data:
        raise OSError(None, "what was written does not read back the same", str(path))


def _make(folder: Path) -> list[Path]:
    """Make the folder and those above it; the ones made, the deepest first."""
    refuse_unwritable(folder)
    made = [path for path in (folder, *folder.parents) if not path.exists()]
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise _refused(folder, error, planned=False) from error
    return made


def sync(folder: Path) -> None:
    """Have the folder's entries on the disk; systems that cannot open a folder keep them in order themselves."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _refused(folder: Path, error: OSError, *, planned: bool) -> Refusal:
    why = (error.strerror or str(error)).lower()
    if planned:
        return Refusal(
            f"{why} ({error.filename or 'the disk'}) while the files were put in place; close what holds them or make "
            "room, and run the command again: it will finish, nothing is lost",
            place=str(folder),
        )
    return Refusal(f"{why}; make room or give another folder; nothing in it was changed", place=str(folder))
