"""Where each part stands on the machine, in numbers that a tape reads: the box it fills, and the trace beside it.

Stop pads stand elsewhere: a pad's middle is where its stop's bolt meets it, so far from its lever's axis.
"""

import math
from collections.abc import Sequence

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate
from plategen.draw.pen import chords
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.job.rail import TraceEntry
from plategen.job.steering_equipment import StopEntry
from plategen.tell.sheet.cells import Cell, Table, row

STEP_RAD = math.radians(1.0)
"""Arcs are followed in steps of this: a nose of 100 mm is met to 0.02 mm."""

NO_LENGTH_MM = 1e-3
"""What is shorter is the arithmetic's."""

WHICH_WAY = (
    "Look at it so that its stations grow to your left and the {} lies above the cylinder: the near side is then "
    "the one towards you, and the plane grows away from you. The picture is drawn from the other side, the far one, "
    "and from below. The height is from the cylinder's centre line towards the {}, minus away from it; the plane "
    "from where the job has its 0. A part fills the box between these lengths."
)
"""How a person finds the three directions of the table, by the rail or tube that the bracket stands on."""


ROUND_THEIR_STOPS = (
    "A pad stands with its middle on its stop's bolt, its face square to the bolt, the lever turned to its lock; the "
    "radius is from the middle of the lever's own axis to the bolt's."
)
"""How a person finds a stop pad's place."""


def pad_places(pads: Sequence[Plate], stops: Sequence[StopEntry], show: Show) -> Table | None:
    """Where stop pads stand: one row for each stop that a wheel runs against; None without pads."""
    if not pads:
        return None
    names = "; ".join(f"{in_words(pad.name)}, {pad.count} to cut" for pad in pads)
    met = [stop for stop in stops if stop.kind == "spindle"]
    rows = [
        row(
            names,
            stop.name,
            stop.turn,
            stop.lever,
            show.angle(stop.at_rad),
            "as the bolt stands" if stop.contact_radius_mm is None else show.length(stop.contact_radius_mm),
        )
        for stop in met
    ] or [row(names, "the wheels' stops, which the job does not tell", "left and right", "", "", "as they stand")]
    return Table(
        "Where the stop pads stand",
        ("part", "against", "turning", "lever", "turned by", "radius from its axis"),
        tuple(rows),
    )


def spans_mm(plate: Plate) -> tuple[tuple[float, float], ...]:
    """From where to where a plate reaches, rolled if it is: along stations, over the cylinder's line, along the pin."""
    outside, _, place, length_mm = drawn_out(plate, plate.placement)
    points = [place.point(p, depth) for depth in (0.0, length_mm) for p in chords(outside, STEP_RAD)]
    return tuple((min(along), max(along)) for along in zip(*points, strict=True))


def in_place(plate: Plate, show: Show) -> str:
    """Where the points of a plate's drawing stand, so that who has cut it can put it there and turn it; "" if rolled.

    A plate that lies as it is drawn, across the pin, needs its plane alone; of another three points of the marked face
    are told. A rolled one fills its box of the table of places.
    """
    if plate.rolled_mm:
        return ""
    place, (u0, v0, u1, v1) = plate.placement, plate.outline.bounds
    right, up = max(u0, u1, key=abs), max(v0, v1, key=abs)
    first, *ends = (place.point(p, plate.thickness_mm) for p in (0j, complex(right, 0.0), complex(0.0, up)))
    drawn_so = ((first[0] + right, *first[1:]), (first[0], first[1] + up, first[2]))
    if sum(map(math.dist, ends, drawn_so)) + abs(first[0]) < NO_LENGTH_MM:
        height = f"{show.length(abs(first[1]))} {'more' if first[1] > 0.0 else 'less'}"
        heights = f", their heights {height}" if abs(first[1]) > NO_LENGTH_MM else " and heights"
        plane = _end(first[2], show)
        return f"In place its points have the drawing's stations{heights}; the marked face lies at plane {plane}."
    named_ends = zip(("0, 0", f"{show.length(right)}, 0", f"0, {show.length(up)}"), (first, *ends), strict=True)
    told = "; ".join(f"{words} at {_standing(point, show)}" for words, point in named_ends)
    return f"In place, on the marked face, the drawing's {told}."


def _standing(point: tuple[float, float, float], show: Show) -> str:
    station, height, plane = (_end(length, show) for length in point)
    return f"station {station}, height {height}, plane {plane}"


def _end(length_mm: float, show: Show) -> str:
    return show.length(length_mm if abs(length_mm) > NO_LENGTH_MM else 0.0)


def places(plates: Sequence[Plate], traces: Sequence[TraceEntry], show: Show) -> Table:
    """Where each part of the bracket stands."""
    return Table(
        "Where each part stands",
        ("part", "stations", "height", "plane", *(["trace nearest to it"] if traces else [])),
        tuple(_row(plate, traces, show) for plate in plates),
    )


def _row(plate: Plate, traces: Sequence[TraceEntry], show: Show) -> tuple[Cell, ...]:
    spans = spans_mm(plate)
    middle = sum(spans[2]) / 2.0
    nearest = min(traces, key=lambda entry: abs(entry.plane_mm - middle), default=None)
    # a thousandth of a millimetre is no length: an ear that begins at the plane 0 begins there
    words = (" to ".join(_end(end, show) for end in span) for span in spans)
    return row(in_words(plate.name), *words, *([", ".join(nearest.files)] if nearest else []))
