"""A job folder, read from disk: the only place where a job's files are opened, and nothing outside its folder is."""

import cmath
import stat
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from types import MappingProxyType

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.job import Job
from plategen.job.parse import parse_job, parse_traced
from plategen.job.rail import TraceEntry
from plategen.rail.reading import read_trace, with_second_straightedge
from plategen.rail.trace import Trace
from plategen.rail.trace_columns import units_in_file
from plategen.rail.turned import turned

JOB_FILE = "job.toml"
MOST_JOB_BYTES = 1_000_000
MOST_TRACE_BYTES = 50_000_000
"""The job file's name, and sizes beyond which a file is no such file."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedJob:
    """A job with its traces read."""

    job: Job  # The job file.
    traces: tuple[Trace, ...]  # One for each ``[[rail.trace]]``, in its order.
    folder: Path  # The folder they lie in.
    name: str  # The folder's name, which names the outputs.
    file: str  # The job file's name.
    texts: Mapping[str, str]  # The texts of the job file and of every file that it names, by name.


def load_job(path: Path) -> LoadedJob:
    """Read a job and its traces.

    Args:
        path: The job's folder, or the job file in it.

    Raises:
        Refusal: A file is missing, unreadable, too large, outside the folder or wrong inside.
    """
    file, folder = _job_file(path)

    def text_of(name: str) -> str:
        return read_text(inside(folder, name, file.name), MOST_TRACE_BYTES, name)

    return job_of(read_text(file, MOST_JOB_BYTES, str(file)), text_of, file=file.name, folder=folder)


def job_of(text: str, text_of: Callable[[str], str], *, file: str = JOB_FILE, folder: Path = Path()) -> LoadedJob:
    """A job and its traces from their texts.

    Args:
        text: The job file's.
        text_of: Gives the text of a file that the job names; refuses a name that it has not.
        file: Name of the job file, for messages.
        folder: The folder they lie in; its name names the outputs.

    Raises:
        Refusal: A text cannot be had or is wrong inside.
    """
    texts = {file: text}

    def kept(name: str) -> str:
        texts[name] = text_of(name)
        return texts[name]

    job = parse_job(text, file)
    try:
        traces, job = read_traces(job, kept), with_notes(job, kept)
    except Refusal as refusal:
        raise refusal.in_units(job.units) from None
    name = folder.name or "job"
    return LoadedJob(job=job, traces=traces, folder=folder, name=name, file=file, texts=MappingProxyType(texts))


@dataclass(frozen=True, slots=True, kw_only=True)
class ToMeasure:
    """A job that is yet to be measured: its traces need not be there."""

    job: Job
    folder: Path  # The folder the job file lies in.
    stations_mm: Mapping[str, tuple[float, ...]]  # Where its traces were read before, by file; of those there are.


def job_to_measure(path: Path) -> ToMeasure:
    """A job whose traces may be missing, as when it is about to be measured, and the stations of those that are there.

    Raises:
        Refusal: The job file is missing, unreadable or wrong inside.
    """
    file, folder = _job_file(path)
    job = parse_job(read_text(file, MOST_JOB_BYTES, str(file)), file.name)
    found = {}
    for name in job.rail.trace_files:
        try:
            trace = read_trace(read_text(inside(folder, name, file.name), MOST_TRACE_BYTES, name), name, job.units)
        except Refusal:  # not there yet, or not read right: it is about to be read
            continue
        found[name] = () if trace.round_corner else tuple(reading.point.real for reading in trace.readings)
    return ToMeasure(job=job, folder=folder, stations_mm=MappingProxyType(found))


def job_text(path: Path) -> tuple[str, str]:
    """The text of a job file and its name, for those who read a part of it only.

    Raises:
        Refusal: The file is missing, unreadable or too large.
    """
    file, _ = _job_file(path)
    return read_text(file, MOST_JOB_BYTES, str(file)), file.name


def _job_file(path: Path) -> tuple[Path, Path]:
    """The job file that a folder or file stands for, and the folder it lies in."""
    try:
        file = path / JOB_FILE if path.is_dir() else path
        return file, file.parent.resolve()
    except (OSError, ValueError, RuntimeError):  # a name too long, a zero byte, links in a ring
        raise Refusal("cannot be read; a job's folder or its job.toml is right", place=str(path)[:200]) from None


def with_notes(job: Job, text_of: Callable[[str], str]) -> Job:
    """The job with the fit notes of its file beside those written into it; ``text_of`` as in :func:`read_traces`."""
    revision = job.revision
    if revision is None or revision.notes is None:
        return job
    from plategen.job.fit_notes import read_fit_notes

    notes = read_fit_notes(text_of(revision.notes), revision.notes, job.units)
    return job.replaced(revision=revision.replaced(notes=None, fit_note=(*revision.fit_note, *notes)))


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadedTrace:
    """One trace file read by itself."""

    trace: Trace  # Its readings.
    units: Units  # What its bare numbers mean, and how it is shown.
    job: str = ""  # Name of the job file beside it that said so, or "".
    inline_offset_mm: float | None = None  # From the straightedge to the cylinder's line, where that job says it.
    bend_unread: bool = False  # True where that job has a second straightedge and tells nothing of the bend between.


def load_trace(file: Path, units: Units | None = None, *, alone: bool = False) -> LoadedTrace:
    """One trace file read by itself, as the job file beside it says: its units, plane, reading error, in-line offset.

    Args:
        file: The trace file.
        units: What a bare number means, whatever the job says; the file's own line says it before both.
        alone: Read no job file; bare numbers are inches then and the plane is 0.

    Raises:
        Refusal: It is missing, unreadable, too large or wrong inside, or the job file beside it is.
    """
    text = read_text(file, MOST_TRACE_BYTES, str(file))
    beside = file.parent / JOB_FILE
    if alone or not beside.is_file():
        units = units or "in"
        return LoadedTrace(trace=read_trace(text, file.name, units), units=units_in_file(text, units))
    job = parse_traced(read_text(beside, MOST_JOB_BYTES, str(beside)))
    entries = job.rail.trace if job.rail is not None else ()
    entry = next((e for e in entries if file.name in e.files), None)
    units, mount = units or job.units, job.mount if entry is not None and entry.file == file.name else None
    at = mount.pin_station_mm if mount is not None else None
    plane, error = (entry.plane_mm, entry.read_error_mm) if entry is not None else (0.0, None)
    return LoadedTrace(
        trace=read_trace(text, file.name, units, plane, error, None if at is None else (at, at)),
        units=units_in_file(text, units),
        job=beside.name,
        inline_offset_mm=mount.inline_offset_mm if mount is not None else None,
        bend_unread=entry is not None and entry.second is not None and not entry.second.tells_bend,
    )


def read_traces(job: Job, text_of: Callable[[str], str]) -> tuple[Trace, ...]:
    """The traces that a job names, in its order; ``text_of`` gives the text of the file of a name.

    Raises:
        Refusal: A file cannot be had or is wrong inside.
    """
    stands = job.mount.foot_mm or (job.mount.pin_station_mm,)
    read = (_read_entry(entry, job.units, (stands[0], stands[-1]), text_of) for entry in job.rail.trace)
    return tuple(turned(trace, job.rail.tilt_rad, job.rail.turn_rad) for trace in read)


def _read_entry(entry: TraceEntry, units: Units, near_mm: tuple[float, float], text_of: Callable[[str], str]) -> Trace:
    def read(name: str, near_mm: tuple[float, float] | None = None) -> Trace:
        return read_trace(text_of(name), name, units, entry.plane_mm, entry.read_error_mm, near_mm)

    first = read(entry.file, near_mm)
    if entry.second is None:
        return first
    second = read(entry.second.file)
    for trace in (first, second):
        if trace.round_corner:
            raise Refusal(
                "one of the two straightedge files is not headed `station,offset`; write that", place=trace.file
            )
    at, along, point = complex(*entry.second.at_mm), cmath.rect(1, entry.second.angle_rad), entry.second.bend_point_mm
    return with_second_straightedge(
        first, second, at, along, entry.second.bend_radius_mm, complex(*point) if point is not None else None
    )


def inside(folder: Path, name: str, job_file: str) -> Path:
    """The file of that name in the folder; links are followed before the folder is compared."""
    outside = Refusal(f'"{name}" is outside the job\'s folder; a file beside the job file is right', place=job_file)
    try:
        file = (folder / name).resolve()
    except (OSError, ValueError, RuntimeError):
        raise outside from None
    if Path(name).is_absolute() or ".." in Path(name).parts or not file.is_relative_to(folder):
        raise outside
    return file


def read_text(file: Path, most_bytes: int, shown: str) -> str:
    """The text of a UTF-8 file of limited size, with or without a byte-order mark.

    Args:
        file: What to read.
        most_bytes: Larger is refused unread.
        shown: Its name, for messages.

    Raises:
        Refusal: It is missing, no plain file, unreadable, too large or not UTF-8.
    """
    try:
        if not stat.S_ISREG(file.stat().st_mode):  # a folder, or a pipe that would never end
            raise Refusal("is not a file; a text file is right", place=shown)
        with file.open("rb") as stream:
            data = stream.read(most_bytes + 1)
    except FileNotFoundError:
        raise Refusal("there is no such file; check the name and the folder", place=shown) from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or "not a name of a file"
        raise Refusal(f"cannot be read ({reason.lower()}); a readable text file is right", place=shown[:200]) from None
    if len(data) > most_bytes:
        raise Refusal(f"is larger than {most_bytes / 1e6:g} MB; a file of that size at most is right", place=shown)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        right = "plain text (UTF-8)" if shown.lower().endswith(".toml") else '"CSV UTF-8"'
        raise Refusal(f"was not saved as plain text; save it again as {right}", place=shown) from None
