"""Plates that stand across the pin: a nose about it, two flanks, two toes square to the rail, the notch, its welds."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from plategen.bracket.holes import pin_hole, pin_hole_diameter
from plategen.bracket.hull import between, corner_steel, hull, string
from plategen.bracket.model import Hole, Joint, Plate, PlateRole, WeldRun, fillet
from plategen.bracket.notch import Notch, joint_angle, toes
from plategen.design.design import NOSE_CLEAR_MM, Design
from plategen.design.motion import tables_of
from plategen.design.places import PlatePlace
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.inside import simple
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import SAME_POINT_MM, SHORTEST_EDGE_MM, Arc, Line, Segment, angle
from plategen.flat.tangent import largest_radius, round_corner, tangent_point
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.ended import ENDED, ended
from plategen.ground.message import message, mm, size, uv
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rules.edge_distance import least_edge_distance

_REMEMBERED = 16  # outlines that are kept: those of one job, as the page and variants build it again

MOST_FARTHER_MM = 500.0
"""A pin is looked for no farther from the rail than this."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EarShape:
    """What shapes an ear besides its notch, mm."""

    pin: complex
    hole_radius_mm: float
    nose_radius_mm: float
    toe_mm: float
    corner_radius_mm: float

    @classmethod
    def of(cls, design: Design) -> "EarShape":
        """The shape of a design's ears, the pin on the cylinder's line."""
        bracket = design.job.bracket
        return cls(
            pin=complex(design.pin.station_mm, 0.0),
            hole_radius_mm=pin_hole_diameter(design.job.cylinder.base.pin_mm, bracket.pin_fit) / 2,
            nose_radius_mm=design.nose.mm,
            toe_mm=design.toe.mm,
            corner_radius_mm=bracket.corner_radius_mm,
        )


@lru_cache(maxsize=_REMEMBERED)
def ear_outline(notch: Chain, shape: EarShape) -> Loop:
    """The outline, anticlockwise, beginning with the toe at the notch's beginning and ending with the notch.

    Raises:
        Refusal: If a toe is inside the nose, a corner does not fit, or the outline crosses itself.
    """
    nose = Circle(shape.pin, shape.nose_radius_mm)
    first_toe, last_toe = toes(notch, shape.toe_mm)
    for toe, which in ((first_toe, "first"), (last_toe, "last")):
        if abs(toe - shape.pin) <= shape.nose_radius_mm + SHORTEST_EDGE_MM:
            words = "the {} toe lies inside the nose: {} from the pin, the nose has {}"
            what = message(words, which, mm(abs(toe - shape.pin)), mm(shape.nose_radius_mm))
            raise ended(what, "bracket.toe", "a foot that ends further from the pin, or a shorter toe,")
    below = _below(notch, nose, first_toe, last_toe, shape.toe_mm)
    first = _rounded_flank(Line(notch.start, first_toe), below[0], shape, "first")
    last = _rounded_flank(below[-1], Line(last_toe, notch.end), shape, "last")
    outline = Loop((*first, *below[1:-1], *last, *notch.reversed()))
    refuse_unfit(outline, "bracket.toe", "the toe or the corner radius")
    return outline


def _below(notch: Chain, nose: Circle, first_toe: complex, last_toe: complex, toe_mm: float) -> Sequence[Segment]:
    """From toe to toe: two flanks and the nose, and about a corner of the rail that a flank would cut, steel."""
    round_these, beside = [Circle(first_toe, 0.0), Circle(last_toe, 0.0), nose], corner_steel(notch, toe_mm)
    drawn = string(round_these, beside) if beside else None
    if drawn and drawn != hull(round_these) and (below := between(drawn, first_toe, last_toe)):
        return below
    into_nose, out_of_nose = tangent_point(first_toe, nose, "left"), tangent_point(last_toe, nose, "right")
    if abs(out_of_nose - into_nose) <= SAME_POINT_MM:  # one flank from toe to toe, which only touches the nose
        return Line(first_toe, into_nose), Line(into_nose, last_toe)
    sweep = angle((out_of_nose - nose.centre) / (into_nose - nose.centre)) % (2.0 * math.pi)
    return Line(first_toe, into_nose), Arc(into_nose, out_of_nose, math.tan(sweep / 4)), Line(out_of_nose, last_toe)


def _rounded_flank(before: Segment, after: Segment, shape: EarShape, which: str) -> tuple[Segment, ...]:
    """A toe and a flank with the corner between them rounded; nothing to round when they are all but in line."""
    turn = abs(angle(after.start_tangent / before.start_tangent))
    if shape.corner_radius_mm * min(1.0, turn) < SHORTEST_EDGE_MM:
        return before, after
    try:
        return round_corner(before, after, shape.corner_radius_mm)
    except Refusal:
        words = "the {} toe, {} high, has no room beside it for a corner radius of {}"
        what = message(words, which, mm(shape.toe_mm), mm(shape.corner_radius_mm))
        fits = message("a corner radius of {} or less", mm(largest_radius(before, after), "down"))
        raise ended(what, "bracket.corner_radius", fits) from None


def _refuse_impossible(design: Design, notch: Chain, shape: EarShape) -> None:
    """Refuse a pin that is too near to the rail for its hole or its nose, and a nose that the hole breaks."""
    job, hole_mm, nose_mm = design.job, shape.hole_radius_mm, shape.nose_radius_mm
    under = _stood_on(job)
    height_mm, edge_mm = (
        -offset_from(notch, shape.pin),
        least_edge_distance(job.cylinder.base.pin_mm, tables_of(job)).mm,
    )
    if nose_mm <= hole_mm:
        cure = set_to("bracket.nose_radius", size(PLATE_SIZES.up(edge_mm, job.units)), "a nose of {}")
        words = "the pin hole of {} breaks the edge of a nose of radius {}; {} is right"
        raise Refusal(message(words, mm(2 * hole_mm), mm(nose_mm), cure.advice), "bracket.nose_radius", cure=cure)
    if nose_mm < height_mm:
        return
    given = job.bracket.nose_radius_mm is not None
    smaller_mm = PLATE_SIZES.down(height_mm - NOSE_CLEAR_MM, job.units)
    if given and smaller_mm >= edge_mm:
        key, cure = "bracket.nose_radius", set_to("bracket.nose_radius", size(smaller_mm), "a nose of {}")
    else:
        room_mm = (nose_mm if given else edge_mm) + NOSE_CLEAR_MM
        key, cure = "mount.inline_offset", _farther(design, notch, shape.pin, PLATE_SIZES.up(room_mm, job.units))
    if height_mm <= 0.0:
        what = message("the pin lies on or beyond the {}, by {}", under, mm(-height_mm))
    elif hole_mm >= height_mm:
        words = "the pin hole breaks the notch: its centre is {} from the {} and its radius {}"
        what = message(words, mm(height_mm), under, mm(hole_mm))
    else:
        words = "the nose reaches the {}: radius {}, the pin is {} from it"
        what = message(words, under, mm(nose_mm), mm(height_mm))
    raise Refusal(message(ENDED, what, cure.advice), key, cure=cure)


def _stood_on(job: Job) -> str:
    """What the plates stand on, as one says it."""
    if job.bolted is not None:
        return "base" if job.bolted.formed is None else "bend"
    if job.seat is None or job.style.stands_on != "tube":
        return "rail"
    return "clamp" if job.seat.hold == "clamp" else "tube" if job.seat.pad is None else "pad"


def _farther(design: Design, notch: Chain, pin: complex, room_mm: float) -> Cure:
    """The least in-line offset that holds the pin so far off what carries it, all of it moving with the notch."""
    units, now_mm = design.job.units, design.pin.inline_offset_mm
    step_mm, first_mm = PLATE_SIZES.step_mm(units), PLATE_SIZES.up(now_mm, units)
    tried = (first_mm + step_mm * k for k in range(round(MOST_FARTHER_MM / step_mm)))
    right = next((mm for mm in tried if -offset_from(notch, pin - 1j * (mm - now_mm)) > room_mm), None)
    if right is None or design.job.mount.pin != "here":
        return advise("a pin farther from the {}", _stood_on(design.job))
    return set_to("mount.inline_offset", size(right), "an in-line offset of {} or more")


def refuse_unfit(outline: Loop, key: str, change: str = "the toe or the foot") -> None:
    """Refuse an outline that crosses itself or has an edge that no table can cut."""
    place = simple(outline)
    if place is not None:
        raise ended(message("the outline would cross itself near {}", uv(place)), key, "a wider foot or a shorter toe")
    shortest = min(outline, key=lambda edge: edge.length)
    if shortest.length < SHORTEST_EDGE_MM:
        words = "an edge of the outline would be shorter than {}, near station {}"
        what = message(words, mm(SHORTEST_EDGE_MM), mm(shortest.end.real))
        raise ended(what, key, f"another size, by a little, of {change}")


def pin_plate(design: Design, place: PlatePlace, role: PlateRole, notch: Notch) -> Plate:
    """A plate with the pin in its nose, standing on its notch.

    Raises:
        Refusal: If the pin lies on or beyond the rail, the hole breaks the nose, the nose reaches the rail, or its
            outline is impossible; see :func:`ear_outline`.
    """
    shape = EarShape.of(design)
    _refuse_impossible(design, notch.path, shape)
    outline = ear_outline(notch.path, shape)
    return standing_plate(design.job, place, role, notch, outline, (pin_hole(design),))


def standing_plate(
    job: Job,
    place: PlatePlace,
    role: PlateRole,
    notch: Notch,
    outline: Loop,
    holes: tuple[Hole, ...],
    *,
    thickness_mm: float = 0.0,
) -> Plate:
    """A plate across the pin that stands on its notch, as thick as the job's bracket unless it is said."""
    return Plate(
        name=place.name,
        role=role,
        outline=outline,
        thickness_mm=thickness_mm or job.bracket.thickness_mm,
        steel=job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=holes,
        notch=notch.path,
        fit=notch.fit,
        legs=tuple(leg.path for leg in notch.parts),
    )


def standing_runs(
    job: Job, place: PlatePlace, notch: Notch, joint: Joint = "rail", other: str = "rail"
) -> Iterator[WeldRun]:
    """The runs that hold a plate to what it stands on: along each leg of its notch the outside one, then the inside.

    The inside one is left out where the job has them welded from one side.
    """
    sides = (("outside", place.outward), ("inside", -place.outward))
    for leg in notch.legs:
        for side, towards in sides[:1] if job.weld.one_side else sides:
            yield fillet(
                job, place.name, joint, other, leg.path, across_pin(place.faces_mm[towards > 0]), side=side,
                angle_rad=joint_angle(leg.slope[towards > 0], towards),
                gap_mm=notch.fit.gap_far_mm if towards > 0 else notch.fit.gap_near_mm,
            )  # fmt: skip
