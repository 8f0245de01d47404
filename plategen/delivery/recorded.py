"""The job that a folder of files was made from, carried through once more; and the letters that lie in the folder."""

import contextlib
from dataclasses import dataclass
from pathlib import Path

from plategen.delivery.folder import EARLIER, MOST_STATE_BYTES
from plategen.delivery.record import RECORD, Record, read_record
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.load import read_text
from plategen.make import carry_through
from plategen.work import Work


def recorded_work(folder: Path, units: Units | None = None) -> Work | None:
    """The job of a folder that ``make`` wrote, in its own units or in ``units``; None if it holds no delivery.

    Raises:
        Refusal: Its record is damaged, or of another version of the program.
    """
    record = read_record(folder)
    return None if record is None else work_of(record, str(folder / RECORD), units)


def work_of(record: Record, file: str, units: Units | None = None) -> Work:
    """The job of a record, in its own units or in ``units``; ``file`` is the record's name, for messages.

    Raises:
        Refusal: It is of another version of the program.
    """
    try:
        job, traces = record.job()
    except Refusal as refusal:
        raise refusal.at(file) from None
    try:
        return carry_through(job.replaced(units=units or job.units), traces, notes_in_traces=True)
    except Refusal as refusal:
        raise refusal.at(file).in_units(job.units) from None


@dataclass(frozen=True, slots=True)
class Letter:
    """A delivery that lies in a folder of files or among its earlier ones."""

    letter: str
    folder: Path

    @property
    def file(self) -> str:
        """Its record."""
        return str(self.folder / RECORD)

    def record_text(self) -> str:
        """The text of its record.

        Raises:
            Refusal: It cannot be read any more.
        """
        return read_text(self.folder / RECORD, MOST_STATE_BYTES, self.file)


def letters_in(folder: Path) -> tuple[Letter, ...]:
    """The deliveries that lie in a folder that ``make`` wrote, and among its earlier ones; the latest first.

    Records that cannot be read are passed over: nothing can be compared with them.
    """
    places = [folder]
    with contextlib.suppress(OSError):
        places += sorted((folder / EARLIER).iterdir())
    found = []
    for place in places:
        with contextlib.suppress(Refusal, OSError):
            if not place.is_symlink() and (record := read_record(place)) is not None:
                found.append(Letter(record.letter, place))
    return tuple(sorted(found, key=lambda each: (len(each.letter), each.letter), reverse=True))
