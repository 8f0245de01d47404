"""What goes to others with the files: the list of parts as a table, and the note to the shop that cuts."""

import csv
import io
from collections.abc import Iterator

from plategen.cut.table.notes import CutNotes
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.tell.picture.plate_features import tape
from plategen.tell.report.hardware import HardwareReport
from plategen.tell.report.job import JobReport
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cut_table import cut_words
from plategen.tell.sheet.tables import SLEEVE_STEEL
from plategen.work import Work

HEADS = (
    "stop", "item", "count", "what", "size", "material", "from", "mass each", "file", "mark",
    "job", "revision", "inputs",
)  # fmt: skip
"""Columns of the list of parts; the first is empty unless a check says no."""

STOPPED = "STOP: a check fails, do not cut or buy"
"""Stands first in every row of a job that must not be built, so that no row is sorted or copied away from it."""

ASK = (
    "Scale nothing: the files are full size, and width and height must read on the screen as they stand above.",
    "Cut the outline last, holes and slots first. Leave the notch as it comes off the table: it is fitted to a rail.",
    "Keep the scribed names and marks legible, or mark every plate by hand; two plates that look alike may not be.",
    "plates.dxf shows sheet beside sheet: a sheet holds plates of one thickness and one steel.",
)
"""What a cutting shop is asked (common practice, no source)."""


def parts_csv(work: Work, report: JobReport, notes: CutNotes) -> str:
    """Every plate, bolt set and pin, a row each, as comma-separated values (RFC 4180)."""
    show, out = Show(work.job.units), io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(HEADS)
    stamp = ("", "") if work.stamp is None else (work.stamp.letter, work.stamp.shown)
    for cells in _rows(report, notes, show):
        writer.writerow((STOPPED if work.stopped else "", *cells, work.job.title, *stamp))
    return out.getvalue()


def _rows(report: JobReport, notes: CutNotes, show: Show) -> Iterator[tuple[str, ...]]:
    for p in report.plates:
        rolled = f", rolled to {show.length(p.rolled_mm)} inside" if p.rolled_mm else ""
        rolled = f", bent {len(p.bends)} times" if p.bends else rolled
        size = f"{_over_all(p, show)} of {show.length(p.thickness_mm)}{rolled}"
        yield (
            in_words(p.name),
            str(p.count),
            "plate",
            size,
            p.steel,
            _from(p, notes),
            show.mass(p.mass_kg),
            p.file,
            p.shape,
        )
    yield from _bought(report.hardware, "", show)
    if report.rod_end:
        yield from _bought(report.rod_end.hardware, "rod end ", show)


def _bought(hardware: HardwareReport, end: str, show: Show) -> Iterator[tuple[str, ...]]:
    for b in hardware.bolts:
        size = f"{show.length(b.diameter_mm)} by {show.length(b.length_mm)}"
        yield f"bolts {in_words(b.holds)}", str(b.count), "bolt with nut", size, b.grade, "", "", "", ""
        yield (
            f"washers {in_words(b.holds)}",
            str(b.count * b.washers),
            "washer",
            show.length(b.diameter_mm),
            "",
            "",
            "",
            "",
            "",
        )
    if (tube := hardware.sleeves) is not None:
        across = f"{show.length(tube.outside_mm)} outside, {show.length(tube.bore_mm)} bore"
        size = f"{across}, {show.length(tube.length_mm)} long"
        yield "sleeves between the rail's walls", str(tube.count), "tube", size, SLEEVE_STEEL, "", "", "", ""
    if (pin := hardware.pin) is not None:
        length = "length by its maker" if pin.length_mm is None else show.length(pin.length_mm)
        yield f"{end}pin", "1", "pin", f"{show.length(pin.diameter_mm)} by {length}", pin.steel, "", "", "", ""
        if pin.split_pin_mm is not None:
            yield f"{end}split pin", "1", "split pin with washer", show.length(pin.split_pin_mm), "", "", "", "", ""


def _from(p: PlateReport, notes: CutNotes) -> str:
    """The piece of the shop's rack that a plate comes from, or that it is to be bought."""
    return ", ".join(notes.from_rack(p.name)) or ("to be bought" if notes.racked else "")


def _over_all(p: PlateReport, show: Show) -> str:
    return f"{tape(show, p.width_mm)} by {tape(show, p.height_mm)} {show.units}"


def cut_note(work: Work, report: JobReport, notes: CutNotes) -> str:
    """What the shop that cuts the plates must know, as plain text."""
    show = Show(work.job.units)
    lines = [f"Cut note: {work.job.title}", *([work.stamp.words] if work.stamp else ())]
    if work.stopped:
        lines += ["", "STOP: a check of this job fails. Do not cut from these files."]
    lines += ["", f"Process: {work.job.cutting.process}. Lengths in {_units(work)}.", ""]
    for p in report.plates:
        lines.append(
            f"{p.file}: cut {p.count}, {show.length(p.thickness_mm)} {p.steel}, {_over_all(p, show)} over all,"
        )
        lines.append(f"    mark {p.shape}, {show.mass(p.mass_kg)} each, {show.length(p.cut_length_mm)} of cut")
        if p.bends:
            lines.append("    is bent afterwards: scribe its lines on the face that is drawn, and nothing on the other")
    lines += ["", *(f"- {words}" for words in (*ASK, *cut_words(notes, show)))]
    return "\n".join(lines) + "\n"


def _units(work: Work) -> str:
    return "inches" if work.job.units == "in" else "millimetres"
