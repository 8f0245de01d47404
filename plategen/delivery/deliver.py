"""Every file of a job: rendered whole, proved, stamped with its revision, and put in place in one go.

Nothing touches the disk until every file is there as bytes. The folder then keeps, beside the files, the inputs they
were made from and a sum of each (:mod:`plategen.delivery.record`): from it the next delivery knows its letter, says
what differs, and tells its own earlier files, which it puts aside, from other people's, which it leaves alone.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from msgspec import UNSET, UnsetType

from plategen.cause import Cause
from plategen.checks.caution import not_covered
from plategen.checks.headline import headline
from plategen.cut.table.cutting import cut_file_name
from plategen.delivery.folder import EARLIER, locked, put, refuse_unwritable
from plategen.delivery.manifest import Item, items, proved
from plategen.delivery.record import RECORD, Record, read_record, sums
from plategen.delivery.render import Source, dxf_unstamped
from plategen.delivery.solid_process import SolidProcess
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.stamp import LETTERS, Stamp, following
from plategen.ground.unit import Units
from plategen.job.inputs import fingerprint, input_changes
from plategen.paper.size import USUAL_PAPER
from plategen.solid.kernel import SolidUnavailable
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.job import RevisionReport
from plategen.work import Work


@dataclass(frozen=True, slots=True)
class Rendered:
    """The files of a job as bytes."""

    files: Mapping[str, bytes]  # Each by its name, in the order in which they are listed for people.
    missing: Mapping[str, str]  # Why a file could not be made and what would help, by its name.


@dataclass(frozen=True, slots=True)
class Delivered:
    """What a delivery did."""

    files: tuple[Path, ...]  # In the order in which they are listed for people.
    stamp: Stamp  # Letter and fingerprint on every file.
    missing: tuple[str, ...] = ()  # One line for each reason why a file could not be made, with what would help.
    changes: tuple[str, ...] = ()  # From the delivery before in that folder, a line each; empty for a first one.
    earlier: Path | None = None  # The folder that took what gave way, None if nothing did.
    causes: tuple[Cause, ...] = ()  # What the job's stops have in common, as its sheet tells.


def _unheard(_words: str) -> None:
    """Where progress goes when nobody waits for it."""


def deliver(
    work: Work,
    folder: Path,
    *,
    paper: str = USUAL_PAPER,
    solid: bool = True,
    step: Callable[[str], None] = _unheard,
    beside: SolidProcess | None = None,
) -> Delivered:
    """Write every file of a job into ``folder``.

    Killed at any moment it leaves each name with the old file or the new one, whole, and the next delivery finishes
    what was begun. Of two at once one waits. Files of the delivery before go to ``earlier/<its letter>``.

    The folder is made if it is not there. With ``solid`` go the files of solids, for which the solid kernel must load.
    ``step`` is told what is being made, file by file; ``beside`` is the kernel's own process, if it was begun.

    Raises:
        Refusal: A file cannot be rendered, fails its proof or cannot be written; nothing in the folder has changed
            (or, when the disk fails as the files are being put in place, the message says that the next run finishes).
    """
    refuse_unwritable(folder)
    while True:
        stamp = stamp_after(read_record(folder), work)
        source = Source(work.stamped(stamp), paper, solid=solid, beside=beside)
        if beside is not None:
            beside.begin(source.work)
        rendered = _rendered(source, step, _welded_drawings(work, folder))
        files = rendered.files
        step(f"putting {len(files)} files in place")
        with locked(folder):
            before = read_record(folder)
            if stamp_after(before, work) != stamp:
                beside = None  # it has the stamp of before
                continue  # another delivery came between: this one is the next revision after it
            gone = _gone(folder, before, files)
            changes = _changes(work, before, files)
            earlier = put(folder, files, gone, before.letter if before else "before")
        if earlier:
            changes = (*changes, f"what was there before is kept in {earlier.relative_to(folder)}")
        missing = tuple(dict.fromkeys(rendered.missing.values()))
        return Delivered(tuple(folder / name for name in files), stamp, missing, changes, earlier, source.causes)


def first_files(
    work: Work, *, paper: str = USUAL_PAPER, solid: bool = True, step: Callable[[str], None] = _unheard
) -> Rendered:
    """What :func:`deliver` writes into a new folder, as bytes, without touching the disk.

    Raises:
        Refusal: A file cannot be rendered or fails its proof.
    """
    return _rendered(Source(work.stamped(stamp_after(None, work)), paper, solid=solid), step, {})


def stamp_after(before: Record | None, work: Work) -> Stamp:
    """What a delivery has after the one before in its folder: its letter for the same inputs, else the one after."""
    inputs = fingerprint(work.job, work.traces)
    if before is None:
        return Stamp(LETTERS[0], inputs)
    return Stamp(before.letter if before.fingerprint == inputs else following(before.letter), inputs)


def _welded_drawings(work: Work, folder: Path) -> dict[str, bytes]:
    """The drawings of welded plates that lie there, when the job keeps its welds: one that stays keeps its letter."""
    if work.job.revision is None or work.job.revision.keep != "welds":
        return {}
    names = [cut_file_name(work.job, plate.name) for plate in work.standing_plates if plate.welded]
    return {name: (folder / name).read_bytes() for name in names if (folder / name).is_file()}


def _rendered(source: Source, step: Callable[[str], None], there: Mapping[str, bytes]) -> Rendered:
    """Every file, proved.

    A drawing of those ``there`` that shows the same, but for its stamp, is left as it is.
    """
    missing: dict[str, str] = {}
    wanted = items(source)
    for number, item in enumerate(sorted(wanted, key=_turn), 1):
        step(f"{number} of {len(wanted)}: {item.name}")
        try:
            data = proved(item.name, _bytes(item, source), source.work.stamp)
        except SolidUnavailable as unavailable:
            missing[item.name] = unavailable.what
            continue
        old = there.get(item.name)
        source.made[item.name] = old if old and dxf_unstamped(old) == dxf_unstamped(data) else data
    return Rendered({item.name: source.made[item.name] for item in wanted if item.name in source.made}, missing)


def _turn(item: Item) -> tuple[bool, int]:
    """Its turn: what waits for the solid kernel comes after what does not, the record of them all last."""
    return item.name == RECORD, ("unused", "measures", "makes").index(item.kind.kernel)


def _bytes(item: Item, source: Source) -> bytes:
    """A file's bytes, from the kernel's own process where that makes it and does not fail."""
    if source.beside is not None and item.kind.kernel == "makes":
        made: bytes | None = source.beside.answer(item.name)
        if made is not None:
            return made
    return item.make()


def _gone(folder: Path, before: Record | None, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """Files of the delivery before that have no successor: a plate that is no longer there must not be cut."""
    return tuple(
        name
        for name in (before.files if before else ())
        if name not in files and Path(name).name == name and (folder / name).is_file() and name != EARLIER
    )


def _changes(work: Work, before: Record | None, files: Mapping[str, bytes]) -> tuple[str, ...]:
    """What differs from the delivery before: inputs first, then files."""
    if before is None:
        return ()
    try:
        changed = input_changes(before.job(), (work.job, work.traces))
        inputs = tuple(map(Show(work.job.units).text, changed))
    except Refusal:
        inputs = ("the delivery before was made by another version of this program: its inputs cannot be compared",)
    return (*inputs, *_file_changes(before.files, sums({n: data for n, data in files.items() if n != RECORD})))


def _file_changes(before: Mapping[str, str], now: Mapping[str, str]) -> Iterator[str]:
    for words, names in (
        ("changed", [name for name in now if before.get(name, now[name]) != now[name]]),
        ("new", [name for name in now if name not in before]),
        ("no longer made", [name for name in before if name not in now]),
    ):
        if names:
            yield f"{words}: {', '.join(names)}"


class DeliveryReport(Level, frozen=True, kw_only=True):
    """What a delivery did, for other programs; the numbers of the job itself lie in its ``report.json``."""

    format: Annotated[Literal[1], about("Version of these keys.")]
    title: Annotated[str, about("Title of the job.")]
    units: Annotated[Units, about("Its units.")]
    folder: Annotated[str, about("Where the files lie.")]
    files: Annotated[tuple[str, ...], about("Names of the files.")]
    missing: Annotated[tuple[str, ...], about("What could not be made, and why.")]
    revision: Annotated[RevisionReport, about("The revision delivered.")]
    changes: Annotated[tuple[str, ...], about("What changed since the last one.")]
    earlier: Annotated[str | None, about("Where the last one was put away.")]
    stop: Annotated[bool, about("True when a finding that decides says stop.")]
    headline: Annotated[str, about("What all checks come to, in one line.")]
    not_covered: Annotated[tuple[str, ...], about("What they do not cover.")]
    findings: Annotated[tuple[FindingReport, ...], about("The findings that decide and do not simply hold.")]
    cautions: Annotated[tuple[str, ...], about("What to take care of.")]
    keep: Annotated[
        str | UnsetType, about("Which welded parts stay, and why; only for a job that keeps its welds.")
    ] = UNSET


def delivery_report(work: Work, folder: Path, delivered: Delivered, keep: str = "") -> DeliveryReport:
    """Files, revision, changes, and the findings that do not simply hold; ``keep`` says which welded parts stay."""
    show = Show(work.job.units)
    return mirrored(
        DeliveryReport,
        delivered,
        work.job,
        format=1,
        folder=str(folder),
        files=tuple(path.name for path in delivered.files),
        revision=mirrored(RevisionReport, delivered.stamp),
        earlier=str(delivered.earlier) if delivered.earlier else None,
        stop=work.stopped,
        headline=headline(work.findings),
        not_covered=not_covered(work.findings),
        findings=tuple(finding_report(f, show) for f in work.findings if f.verdict != "ok" and not f.opinion),
        cautions=tuple(map(show.text, work.cautions)),
        keep=keep or UNSET,
    )
