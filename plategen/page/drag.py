"""What is dragged in the drawing, as the numbers that a shop would write: on the rule's marks, in the job's units."""

import math
from collections.abc import Iterable

from plategen.bracket.model import Plate
from plategen.ground.refusal import Refusal
from plategen.ground.show import fraction
from plategen.ground.unit import INCH_MM, Units
from plategen.page.draft import Draft
from plategen.page.redraw import Drawn
from plategen.page.request import Drag, Edit, Set, SetReading
from plategen.page.trace_edit import read_table
from plategen.rail.corner import goes_round
from plategen.rail.trace_columns import units_in_file
from plategen.tell.picture.plate_features import corners
from plategen.work import Work

MARKS_PER_INCH = 32
STEP_MM = 0.5
"""What a drag comes to rest on: the finest mark of a rule in either unit."""


def dragged(drag: Drag, draft: Draft, drawn: Drawn) -> Iterable[Edit]:
    """The changes that a drag comes to.

    Args:
        drag: What is moved, and where to in the straightedge's frame.
        draft: The texts that are changed.
        drawn: What was drawn when it was taken hold of.

    Raises:
        Refusal: Nothing is drawn yet, or there is no such thing to move.
    """
    work = drawn.work
    if work is None:
        raise Refusal("nothing is drawn yet that could be dragged; fill in the numbers first", drag.what)
    units = work.job.units
    if drag.what == "pin":
        if work.job.mount.pin == "study":
            raise Refusal('the steering study places the pin; pin = "here" under [mount] lets it be dragged', drag.what)
        return (
            Set("mount.pin_station", on_mark(drag.u, units)),
            Set("mount.inline_offset", on_mark(-drag.v, units)),
        )
    if drag.what == "reading":
        _refuse_two_straightedges(drag, work)
        return (_reading(drag, draft, units),)
    index = int(drag.what[-1])
    ends = [end.real for end in feet(work)]
    if index >= len(ends):
        raise Refusal("this bracket's foot has no such end", drag.what)
    begin = _begin_under_rail(work)
    if begin is not None:
        # round the corner the foot has one station; how far up the side it goes is a rise, no station
        return (Set("mount.foot[0]", on_mark(drag.u, units)),) if index == begin else ()
    ends[index] = drag.u
    given = work.job.mount.foot_mm
    if given is not None:
        return (Set(f"mount.foot[{index}]", on_mark(drag.u, units)),) if index < len(given) else ()
    return tuple(Set(f"mount.foot[{i}]", on_mark(end, units)) for i, end in enumerate(ends))


def _refuse_two_straightedges(drag: Drag, work: Work) -> None:
    """Refuse to drag where a drawn point may have been read off another straightedge, in another file and frame."""
    for entry in work.job.rail.trace:
        if entry.second is not None and drag.file in (entry.file, entry.second.file):
            raise Refusal(
                "this trace was read off two straightedges, so a place in the drawing does not say what either read; "
                "type the reading in its table",
                f"{drag.file}: line {drag.line}",
            )


def feet(work: Work) -> tuple[complex, ...]:
    """The ends of the foot in the plate frame, as the first plate with a notch across the pin has them."""
    plate = _standing(work)
    ends = corners(plate) if plate is not None else None
    if plate is None or ends is None:
        return ()
    return tuple(complex(*plate.placement.point(end)[:2]) for end in ends)


def _standing(work: Work) -> Plate | None:
    """The first plate with a notch across the pin."""
    plates = (p for p in work.bracket.plates if p.notch is not None and abs(p.placement.normal[2]) > 0.5)
    return next(plates, None)


def _begin_under_rail(work: Work) -> int | None:
    """Which of the foot's ends its one station says, where it goes round the rail's corner; None where it does not."""
    plate = _standing(work)
    if plate is None or plate.notch is None or not goes_round(plate.notch):
        return None
    first, last = plate.notch.segments[0].start_tangent, plate.notch.segments[-1].end_tangent
    begin = plate.notch.start if abs(first.real) >= abs(last.real) else plate.notch.end
    ends = corners(plate)
    return ends.index(begin) if ends is not None else None


def on_mark(mm: float, units: str) -> str:
    """A length as it is typed, on the nearest mark: ``'6 17/32'`` or ``'165.5'``."""
    if units == "in":
        return fraction(mm / float(INCH_MM), MARKS_PER_INCH)
    return f"{round(mm / STEP_MM) * STEP_MM + 0.0:.1f}".removesuffix(".0")


def _reading(drag: Drag, draft: Draft, units: Units) -> Edit:
    text = draft.text_of(drag.file)
    table = read_table(text)
    row = next((row for row in table.rows if row.line == drag.line), None)
    if row is None or not math.isfinite(drag.v):
        raise Refusal("there is no such reading", f"{drag.file}: line {drag.line}")
    own = units_in_file(text, units)
    first = row.first if table.names[0] == "station" else on_mark(drag.u, own)
    return SetReading(drag.file, drag.line, (first, on_mark(drag.v, own), row.note))
