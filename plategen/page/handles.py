"""What of the drawing can be taken hold of: where each is, what it says, and what is written when it is moved.

What is dragged becomes the numbers that a shop would write: on the rule's marks, in the job's units. The pin, the
foot's ends and readings are moved about; every other handle slides one way, and writes one key.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from plategen.bracket.model import Plate
from plategen.flat.clip import where_u
from plategen.ground.figures import MARKS_PER_INCH, fraction
from plategen.ground.in_words import in_words
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM, Units
from plategen.job.revision import FiledNote
from plategen.page.along_pin import Strip, strip_of
from plategen.page.draft import Draft, Drawn
from plategen.page.note_edit import notes_file, read_notes
from plategen.page.request import Drag, Edit, Set, SetReading
from plategen.page.trace_edit import read_table
from plategen.rail.corner import goes_round
from plategen.rail.trace_columns import units_in_file
from plategen.tell.picture.plate_features import corners
from plategen.work import Work

STEP_MM = 0.5
"""What a drag comes to rest on in millimetres: the finest mark of a rule, as in inches too."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handle:
    """What slides one way: ``at`` in the straightedge's frame, and the unit vector towards which its length grows."""

    what: str  # As a drag names it.
    name: str  # As people call it.
    at: complex
    way: complex
    key: str  # What it writes in the job file.
    value_mm: float
    least_mm: float = -math.inf  # It cannot be pulled below that.
    note: int | None = None  # Of a gap in the file of fit notes, which has no key: which note it is, from 0.

    def moved(self, to: complex) -> float:
        """Its length once it is at a place, mm."""
        return max(self.value_mm + ((to - self.at) * self.way.conjugate()).real, self.least_mm)


def handles(work: Work) -> Iterator[Handle]:
    """All that slides: in-line offset and plane, nose and toe, gaps of fit notes, what is on the rail."""
    shift, least, pin = shift_of(work), _mark_mm(work), pin_at(work)
    nose, toe, offset = work.design.nose.mm, work.design.toe.mm, work.rail.inline_offset_mm
    yield Handle(
        what="nose", name="Nose radius", at=pin - 1j * nose, way=-1j, key="bracket.nose_radius", value_mm=nose,
        least_mm=least,
    )  # fmt: skip
    ends, begin = feet(work), begin_under_rail(work)
    if ends:
        at = ends[1 if begin is None else begin] + shift - 1j * toe
        yield Handle(what="toe", name="Toe", at=at, way=-1j, key="bracket.toe", value_mm=toe, least_mm=least)
    if strip := plane_strip(work):
        at = complex(_left(work), pin.imag)
        yield Handle(what="offset", name="In-line offset", at=at, way=-1j, key="mount.inline_offset", value_mm=offset)
        plane = work.design.pin.plane_mm
        at = strip.zero + plane
        yield Handle(what="plane", name="Plane, along the pin", at=at, way=1, key="bracket.plane", value_mm=plane)
    for i, feature in enumerate(work.features):
        at = complex(*feature.placement.point(0j, feature.height_mm)[:2]) + shift
        key = f"rail.feature[{i}].station"
        yield Handle(what=f"feature {i}", name=feature.name, at=at, way=1, key=key, value_mm=feature.station_mm)
    yield from _gaps(work)


def plane_strip(work: Work) -> Strip | None:
    """The plates along the pin, below the cylinder at the drawing's left; None where the study places the pin."""
    if work.job.mount.pin != "here":
        return None
    reach = max(work.design.nose.mm, work.bracket.pin.eye_radius_mm, work.job.cylinder.body_diameter_mm / 2)
    return strip_of(work, complex(_left(work), pin_at(work).imag - reach))


def _left(work: Work) -> float:
    """Left of the foot and of the nose, mm."""
    pin = pin_at(work)
    return min(pin.real - 2.0 * work.design.nose.mm, *(end.real for end in (*feet(work), pin)))


def _gaps(work: Work) -> Iterator[Handle]:
    """The fit notes, those of the job file first, where the job has them so too."""
    notes = work.job.revision.fit_note if work.job.revision is not None else ()
    own = sum(not isinstance(note, FiledNote) for note in notes)
    if not work.rail.traces:
        return
    chain = work.rail.traces[0].chain
    for i, note in enumerate(notes):
        places = where_u(chain, note.station_mm)
        if not places:
            continue
        at = chain.segments[places[0][0]].point(places[0][1])
        words, key = f"Gap at {in_words(note.plate_name)}, round {note.round:g}", f"revision.fit_note[{i}].gap"
        filed = i - own if i >= own else None
        key = key if filed is None else ""
        yield Handle(what=f"gap {i}", name=words, at=at, way=1j, key=key, value_mm=note.gap_mm, note=filed)


def shift_of(work: Work) -> complex:
    """From the plate frame to the straightedge's; of a tube to that of its axis, which stays where it is as well."""
    return -1j * work.rail.inline_offset_mm


def pin_at(work: Work) -> complex:
    """The pin in that frame."""
    return complex(*work.bracket.pin.centre[:2]) + shift_of(work)


def _mark_mm(work: Work) -> float:
    return float(INCH_MM) / MARKS_PER_INCH if work.job.units == "in" else STEP_MM


def dragged(drag: Drag, draft: Draft, drawn: Drawn) -> Iterable[Edit]:
    """The changes that a drag comes to; ``drawn`` is what was drawn when it was taken hold of.

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
        _refuse_other_frame(drag, work)
        return (_reading(drag, draft, units),)
    if not drag.what.startswith("foot"):
        slides = next((each for each in handles(work) if each.what == drag.what), None)
        if slides is None:
            raise Refusal("this bracket has nothing of that name to move", drag.what)
        to_mm = slides.moved(complex(drag.u, drag.v))
        if slides.note is not None:
            return (_filed_gap(slides.note, to_mm, draft, units),)
        return (Set(slides.key, on_mark(to_mm, units)),)
    index = int(drag.what.split()[-1])
    ends = [end.real for end in feet(work)]
    if index >= len(ends):
        raise Refusal("this bracket's foot has no such end", drag.what)
    begin = begin_under_rail(work)
    if begin is not None:
        # round the corner the foot has one station; how far up the side it goes is a rise, no station
        return (Set("mount.foot[0]", on_mark(drag.u, units)),) if index == begin else ()
    ends[index] = drag.u
    given = work.job.mount.foot_mm
    if given is not None:
        return (Set(f"mount.foot[{index}]", on_mark(drag.u, units)),) if index < len(given) else ()
    return tuple(Set(f"mount.foot[{i}]", on_mark(end, units)) for i, end in enumerate(ends))


def _refuse_other_frame(drag: Drag, work: Work) -> None:
    """Refuse to drag where a drawn point may have been read in another frame: off another straightedge, or turned."""
    rail = work.job.rail
    if rail.tilt_rad or rail.turn_rad:
        raise Refusal(
            "the drawing shows the rail as the tilted plates see it, not as the rule read it; type the reading in its "
            "table",
            f"{drag.file}: line {drag.line}",
        )
    for entry in rail.trace:
        if entry.second is not None and drag.file in entry.files:
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


def begin_under_rail(work: Work) -> int | None:
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


def _filed_gap(number: int, gap_mm: float, draft: Draft, units: Units) -> Edit:
    """A gap of the file of fit notes, in the file's own unit; its other cells stay."""
    file = notes_file(draft)
    text = draft.text_of(file)
    rows = read_notes(text)
    if number >= len(rows):
        raise Refusal("this fit note is not there any more; look at the drawing again", file)
    station, gap, note = rows[number].typed
    typed = station, on_mark(gap_mm, units_in_file(text, units)), note
    return SetReading(file, rows[number].line, typed, was=(station, gap, note))


def _reading(drag: Drag, draft: Draft, units: Units) -> Edit:
    text = draft.text_of(drag.file)
    table = read_table(text)
    row = next((row for row in table.rows if row.line == drag.line), None)
    if row is None or not math.isfinite(drag.v):
        raise Refusal("there is no such reading", f"{drag.file}: line {drag.line}")
    own = units_in_file(text, units)
    first = row.first if table.names[0] == "station" else on_mark(drag.u, own)
    return SetReading(drag.file, drag.line, (first, on_mark(drag.v, own), row.note))
