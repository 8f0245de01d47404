"""Every file of a job: rendered whole, proved, stamped with its revision, and put in place in one go.

Nothing touches the disk until every file is there as bytes. The folder then keeps, beside the files, the inputs they
were made from and a sum of each (``revision.json``): from it the next delivery knows its letter, says what differs,
and tells its own earlier files, which it puts aside, from other people's, which it leaves alone.
"""

import hashlib
import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from types import MappingProxyType
from typing import Any

from plategen.cut.table.cutting import cut_file_name
from plategen.delivery.folder import EARLIER, locked, put, refuse_unwritable
from plategen.delivery.inputs import as_json, from_json, read_json
from plategen.delivery.render import render
from plategen.delivery.stamp import LETTERS, Stamp, dxf_unstamped, following
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.input_changes import input_changes
from plategen.job.inputs import fingerprint
from plategen.solid.kernel import SolidUnavailable
from plategen.work import Work

__all__ = ["RECORD", "Delivered", "Record", "deliver", "first_files", "read_record", "refuse_unwritable", "stamp_for"]

RECORD = "revision.json"
"""The file that says what a delivery was made of."""

_NOTHING: Mapping[str, bytes] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Delivered:
    """What a delivery did.

    Args:
        files: The files of this delivery, in the order they are listed for people.
        missing: One line for each file that could not be made, with what would help.
        changes: What differs from the delivery before in that folder, a line each; empty for a first one.
        stamp: Letter and fingerprint on every file.
        earlier: The folder that took what gave way, None if nothing did.
    """

    files: tuple[Path, ...]
    missing: tuple[str, ...] = ()
    changes: tuple[str, ...] = ()
    stamp: Stamp | None = None
    earlier: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Record:
    """What a folder says of the delivery that lies in it.

    Args:
        stamp: Its letter and fingerprint.
        files: Name and SHA-256 of each file.
        inputs: What it was made from; see :func:`plategen.delivery.inputs.from_json`.
    """

    stamp: Stamp
    files: Mapping[str, str]
    inputs: Mapping[str, Any]


def _unheard(_words: str) -> None:
    """Where progress goes when nobody waits for it."""


def deliver(
    work: Work, folder: Path, *, paper: str = "letter", solid: bool = True, step: Callable[[str], None] = _unheard
) -> Delivered:
    """Write every file of a job into ``folder``.

    Killed at any moment it leaves each name with the old file or the new one, whole, and the next delivery finishes
    what was begun. Of two at once one waits. Files of the delivery before go to ``earlier/<its letter>``.

    Args:
        work: The finished job.
        folder: Where to; made if it is not there.
        paper: Paper of the template.
        solid: Write the STEP file, for which the solid kernel must load.
        step: Is told what is being made, file by file.

    Raises:
        Refusal: A file cannot be rendered, fails its proof or cannot be written; nothing in the folder has changed
            (or, when the disk fails as the files are being put in place, the message says that the next run finishes).
    """
    refuse_unwritable(folder)
    while True:
        before = read_record(folder)
        stamp = _stamp(work, before)
        files, missing = _rendered(replace(work, stamp=stamp), paper, solid, step, _welded_files(work, folder))
        step(f"putting {len(files)} files in place")
        with locked(folder):
            before = read_record(folder)
            if _stamp(work, before) != stamp:
                continue  # another delivery came between: this one is the next revision after it
            gone = _gone(folder, before, files)
            changes = _changes(work, before, files)
            kept = put(folder, files, gone, before.stamp.letter if before else "before")
        if kept:
            changes = (*changes, f"what was there before is kept in {kept.relative_to(folder)}")
        return Delivered(tuple(folder / name for name in files), missing, changes, stamp, kept)


def first_files(work: Work, *, paper: str = "letter", solid: bool = True) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """What :func:`deliver` writes into a new folder, as bytes by name, without touching the disk.

    Returns:
        The files, and a line for each that could not be made.

    Raises:
        Refusal: A file cannot be rendered or fails its proof.
    """
    return _rendered(replace(work, stamp=_stamp(work, None)), paper, solid, _unheard)


def read_record(folder: Path) -> Record | None:
    """What the folder says of the delivery that lies in it; None if it holds none.

    Raises:
        Refusal: The record is damaged.
    """
    try:
        text = (folder / RECORD).read_bytes()
    except (FileNotFoundError, NotADirectoryError):
        return None
    try:
        told = read_json(text)
        stamp = Stamp(told["letter"], told["fingerprint"])
        if not stamp.letter or set(stamp.letter) - set(LETTERS):
            raise Refusal("is damaged; move it away and make the job anew")
        return Record(stamp=stamp, files=dict(told["files"]), inputs=told["inputs"])
    except Refusal as refusal:
        raise refusal.at(str(folder / RECORD)) from None
    except (KeyError, TypeError, ValueError):
        raise Refusal("is damaged; move it away and make the job anew", str(folder / RECORD)) from None


def stamp_for(work: Work, folder: Path) -> Stamp:
    """The letter and fingerprint that a delivery of this job into a folder has or would have.

    Raises:
        Refusal: The folder's record is damaged.
    """
    return _stamp(work, read_record(folder))


def _stamp(work: Work, before: Record | None) -> Stamp:
    """The same letter for the same inputs, else the one after."""
    print_of = fingerprint(work.job, _traces(work))
    if before is None:
        return Stamp(LETTERS[0], print_of)
    same = before.stamp.fingerprint == print_of
    return Stamp(before.stamp.letter if same else following(before.stamp.letter), print_of)


def _traces(work: Work) -> tuple[Any, ...]:
    return tuple(fitted.trace for fitted in work.rail.traces)


def _welded_files(work: Work, folder: Path) -> dict[str, bytes]:
    """The drawings of welded plates that lie there, when the job keeps its welds: one that stays keeps its letter."""
    if work.job.revision is None or work.job.revision.keep != "welds":
        return {}
    names = [cut_file_name(work.job, plate.name) for plate in work.bracket.plates if plate.welded]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).is_file()}


def _rendered(
    work: Work, paper: str, solid: bool, step: Callable[[str], None], there: Mapping[str, bytes] = _NOTHING
) -> tuple[dict[str, bytes], tuple[str, ...]]:
    """Every file as proved bytes, the record last, and a line for each that could not be made.

    A file of those ``there`` that shows the same, but for its stamp, is left as it is.
    """
    files: dict[str, bytes] = {}
    missing: list[str] = []
    makers = tuple(render(work, paper, solid))
    for number, (name, make) in enumerate(makers, 1):
        step(f"{number} of {len(makers)}: {name}")
        try:
            files[name] = make()
            if name in there and dxf_unstamped(there[name]) == dxf_unstamped(files[name]):
                files[name] = there[name]
        except SolidUnavailable as unavailable:
            missing.append(unavailable.what)
    files[RECORD] = _record(work, files)
    return files, tuple(dict.fromkeys(missing))


def _record(work: Work, files: Mapping[str, bytes]) -> bytes:
    stamp = work.stamp
    assert stamp is not None  # put there by deliver
    told = {
        "format": 1,
        "letter": stamp.letter,
        "fingerprint": stamp.fingerprint,
        "files": {name: _sum(data) for name, data in files.items()},
        "inputs": as_json(work.job, _traces(work)),
    }
    return (json.dumps(told, indent=1, ensure_ascii=False) + "\n").encode()


def _sum(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()


def _gone(folder: Path, before: Record | None, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Files of the delivery before that have no successor: a plate that is no longer there must not be cut."""
    if before is None:
        return ()
    return tuple(
        name
        for name in before.files
        if name not in files and Path(name).name == name and (folder / name).is_file() and name != EARLIER
    )


def _changes(work: Work, before: Record | None, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """What differs from the delivery before: inputs first, then files."""
    if before is None:
        return ()
    try:
        changed = input_changes(from_json(before.inputs), (work.job, _traces(work)))
        inputs = tuple(map(Show(work.job.units).text, changed))
    except Refusal:
        inputs = ("the delivery before was made by another version of this program: its inputs cannot be compared",)
    return (*inputs, *_file_changes(before.files, files))


def _file_changes(before: Mapping[str, str], files: Mapping[str, bytes]) -> Iterator[str]:
    now = {name: _sum(data) for name, data in files.items() if name != RECORD}
    told: tuple[tuple[str, Callable[[str], bool]], ...] = (
        ("changed", lambda name: name in before and name in now and before[name] != now[name]),
        ("new", lambda name: name not in before),
        ("no longer made", lambda name: name not in now),
    )
    for words, is_so in told:
        names = [name for name in (*now, *(n for n in before if n not in now)) if is_so(name)]
        if names:
            yield f"{words}: {', '.join(names)}"
