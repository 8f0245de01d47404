"""The job that a folder of outputs was made from, carried through again."""

from pathlib import Path
from typing import TYPE_CHECKING

from plategen.commands.one_line import in_units
from plategen.ground.refusal import Refusal

if TYPE_CHECKING:
    from plategen.ground.unit import Units
    from plategen.work import Work


def recorded_work(folder: Path, units: "Units | None" = None) -> "Work | None":
    """The job of a folder that ``make`` wrote, in its own units or in ``units``; None if it holds no delivery.

    Raises:
        Refusal: Its record is damaged, or of another version of the program.
    """
    from plategen.delivery.record import RECORD, read_record
    from plategen.make import carry_through

    record = read_record(folder)
    if record is None:
        return None
    file = str(folder / RECORD)
    try:
        job, traces = record.job()
    except Refusal as refusal:
        raise refusal.at(file) from None
    with in_units(job.units, file):
        return carry_through(job.written_in(units or job.units), traces, notes_in_traces=True)
