"""The record of a delivery, ``revision.json``: what it was made of, its revision, and a sum of each of its files."""

import hashlib
from collections.abc import Mapping
from pathlib import Path

import msgspec

from plategen.delivery.folder import damaged, is_file_name, read_state
from plategen.delivery.render import Source
from plategen.ground.refusal import Refusal
from plategen.ground.stamp import Stamp
from plategen.job import Job
from plategen.job.limits import refuse_beyond_limits
from plategen.job.revision import FiledNote
from plategen.rail.reading import refuse_no_trace
from plategen.rail.trace import Mark, Reading, Trace, UnreadBend

RECORD = "revision.json"
"""The record's name."""

MOST_LETTERS = 6
"""Letters of a revision: 64 million deliveries into one folder."""


class RecordedBend(msgspec.Struct, frozen=True, kw_only=True):
    """Where two straightedges meet; lengths in mm."""

    beside: tuple[tuple[float, float], tuple[float, float]]  # The points that they read beside it.
    radius_mm: float | None  # Its radius, where it was told.
    point: tuple[float, float] | None  # A point of it, where that was told.

    @classmethod
    def of(cls, bend: UnreadBend) -> "RecordedBend":
        """A bend to be recorded."""
        (a, b), point = bend.beside, bend.point
        return cls(
            beside=((a.real, a.imag), (b.real, b.imag)),
            radius_mm=bend.radius_mm,
            point=None if point is None else (point.real, point.imag),
        )

    @property
    def bend(self) -> UnreadBend:
        """The bend that was recorded."""
        a, b = self.beside
        point = None if self.point is None else complex(*self.point)
        return UnreadBend(beside=(complex(*a), complex(*b)), radius_mm=self.radius_mm, point=point)


class RecordedTrace(msgspec.Struct, frozen=True, kw_only=True):
    """A trace as it is recorded; lengths in mm."""

    file: str
    plane_mm: float  # The plane's place along the pin.
    round_corner: bool  # Whether it may turn back on itself in u.
    read_error_mm: float | None  # One standard deviation of a reading, where the user said it.
    readings: tuple[tuple[float, float, int, str], ...]  # Station, offset, line of the file, and note of each.
    noted: tuple[tuple[float, float], ...] = ()  # Station and offset of each point that fit notes found.
    marks: dict[int, Mark] = {}  # By the reading's index, where it has one.
    bend: RecordedBend | None = None

    @classmethod
    def of(cls, trace: Trace) -> "RecordedTrace":
        """A trace to be recorded."""
        return cls(
            file=trace.file,
            plane_mm=trace.plane_mm,
            round_corner=trace.round_corner,
            read_error_mm=trace.read_error_mm,
            readings=tuple((r.point.real, r.point.imag, r.line, r.note) for r in trace.readings),
            noted=tuple((p.real, p.imag) for p in trace.noted),
            marks={i: r.mark for i, r in enumerate(trace.readings) if r.mark},
            bend=RecordedBend.of(trace.bend) if trace.bend else None,
        )

    @property
    def trace(self) -> Trace:
        """The trace that was recorded."""
        return Trace(
            file=self.file,
            plane_mm=self.plane_mm,
            readings=tuple(
                Reading(complex(u, v), line, note, self.marks.get(i, ""))
                for i, (u, v, line, note) in enumerate(self.readings)
            ),
            round_corner=self.round_corner,
            read_error_mm=self.read_error_mm,
            noted=tuple(complex(u, v) for u, v in self.noted),
            bend=self.bend.bend if self.bend else None,
        )


class Inputs(msgspec.Struct, frozen=True):
    """What a delivery was made from, in the computed units (mm, MPa, rad): the job, and its traces."""

    job: Job
    traces: tuple[RecordedTrace, ...]


class Record(msgspec.Struct, frozen=True, kw_only=True):
    """What a folder says of the delivery that lies in it.

    Keys that this version does not know are passed over, so that a record of a later one still tells its letter.
    """

    format: int = 1  # Raised when a key changes its meaning.
    letter: str
    fingerprint: str  # SHA-256 over its inputs, in hex.
    files: dict[str, str]  # SHA-256 of each file, in hex, by name.
    inputs: msgspec.Raw  # Read when it is asked for: another version of the program has other keys.

    def __post_init__(self) -> None:
        Stamp(self.letter, self.fingerprint)  # refuses a letter that is none
        if len(self.letter) > MOST_LETTERS or not all(map(is_file_name, self.files)):
            raise ValueError("no record of a delivery")

    @property
    def stamp(self) -> Stamp:
        """Its letter and fingerprint."""
        return Stamp(self.letter, self.fingerprint)

    def job(self) -> tuple[Job, tuple[Trace, ...]]:
        """The job and the traces that the delivery was made from.

        Raises:
            Refusal: They come from another version of the program, or are none that it would have read.
        """
        try:
            inputs = msgspec.json.decode(self.inputs, type=Inputs)
            refuse_beyond_limits(inputs.job)
            traces = tuple(recorded.trace for recorded in inputs.traces)
            if bool(traces) != bool(inputs.job.rail.trace):  # fit notes may have made two of one
                raise ValueError("other traces than the job names")
            for trace in traces:
                refuse_no_trace(trace)
        except (msgspec.DecodeError, ValueError, RecursionError, Refusal) as error:
            raise Refusal("does not hold the inputs of a delivery; make the job anew") from error
        return inputs.job, traces


def read_record(folder: Path) -> Record | None:
    """The record of the delivery that lies in a folder; None if it holds none.

    Raises:
        Refusal: The record is damaged.
    """
    data = read_state(folder / RECORD)
    return None if data is None else record_of(data, folder / RECORD)


def record_of(data: bytes, path: Path) -> Record:
    """The record that a file holds.

    Raises:
        Refusal: The record is damaged.
    """
    try:
        return msgspec.json.decode(data, type=Record)
    except (msgspec.DecodeError, ValueError, RecursionError):
        raise damaged(path) from None


def _as_one_file(job: Job) -> Job:
    """The job with the fit notes of its file as its own: where they stood there is no input, and no key."""
    revision = job.revision
    if revision is None or not any(isinstance(note, FiledNote) for note in revision.fit_note):
        return job
    notes = tuple(note.unfiled if isinstance(note, FiledNote) else note for note in revision.fit_note)
    return job.replaced(revision=revision.replaced(fit_note=notes))


def record_bytes(source: Source) -> bytes:
    """The record of a delivery whose other files are all made."""
    work = source.work
    assert work.stamp is not None  # whoever delivers puts it there
    inputs = Inputs(_as_one_file(work.job), tuple(map(RecordedTrace.of, work.traces)))
    record = Record(
        letter=work.stamp.letter,
        fingerprint=work.stamp.fingerprint,
        files=sums(source.made),
        inputs=msgspec.Raw(msgspec.json.encode(inputs)),
    )
    return msgspec.json.format(msgspec.json.encode(record), indent=1) + b"\n"


def sums(files: Mapping[str, bytes]) -> dict[str, str]:
    """SHA-256 of each file, in hex, by name."""
    return {name: hashlib.sha256(data).hexdigest() for name, data in files.items()}
