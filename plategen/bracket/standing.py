"""Plates that stand across the pin: a nose about it, two flanks, two toes square to the rail, the notch, its welds."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.bracket.holes import pin_hole, pin_hole_diameter
from plategen.bracket.model import Hole, Joint, Plate, PlateRole, WeldRun, fillet
from plategen.bracket.notch import Notch, joint_angle, toes
from plategen.design.design import Design
from plategen.design.places import PlatePlace
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.inside import simple
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, angle
from plategen.flat.tangent import round_corner, tangent_point
from plategen.ground.message import message, mm, uv
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rail.corner import goes_round

CROSSING = "the outline crosses itself near {}; shorten the toe or move the foot's ends apart"
THROUGH_CORNER = (
    "the plate's flank would cut through the rail's corner near {}; a higher toe, a pin farther out from the corner, "
    "or a foot on one face of the rail is right"
)
"""What is wrong with an outline that crosses itself, along a face and round a corner of the rail."""


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


def ear_outline(notch: Chain, shape: EarShape) -> Loop:
    """The outline, anticlockwise, beginning with the toe at the notch's beginning and ending with the notch.

    Raises:
        Refusal: If the pin lies on or beyond the rail, the hole breaks the nose, the nose reaches the rail, a toe
            is inside the nose, a corner does not fit, or the outline crosses itself.
    """
    _refuse_impossible(notch, shape)
    nose = Circle(shape.pin, shape.nose_radius_mm)
    first_toe, last_toe = toes(notch, shape.toe_mm)
    for toe, which in ((first_toe, "first"), (last_toe, "last")):
        if abs(toe - shape.pin) <= shape.nose_radius_mm + SHORTEST_EDGE_MM:
            words = (
                "the {} toe lies inside the nose: {} from the pin, the nose has {}; move the foot's end away from the "
                "pin or make the toe shorter"
            )
            raise Refusal(message(words, which, mm(abs(toe - shape.pin)), mm(shape.nose_radius_mm)), "bracket.toe")
    into_nose = tangent_point(first_toe, nose, "left")
    out_of_nose = tangent_point(last_toe, nose, "right")
    sweep = angle((out_of_nose - nose.centre) / (into_nose - nose.centre)) % (2.0 * math.pi)
    nose_arc = Arc(into_nose, out_of_nose, math.tan(sweep / 4))
    first = _rounded_flank(Line(notch.start, first_toe), Line(first_toe, into_nose), shape, "first")
    last = _rounded_flank(Line(out_of_nose, last_toe), Line(last_toe, notch.end), shape, "last")
    outline = Loop((*first, nose_arc, *last, *notch.reversed()))
    refuse_unfit(
        outline, "bracket.toe", THROUGH_CORNER if goes_round(notch) else CROSSING, "the toe or the corner radius"
    )
    return outline


def _rounded_flank(before: Line, after: Line, shape: EarShape, which: str) -> tuple[Segment, ...]:
    """A toe and a flank with the corner between them rounded; nothing to round when they are all but in line."""
    turn = abs(angle(after.start_tangent / before.start_tangent))
    if shape.corner_radius_mm * min(1.0, turn) < SHORTEST_EDGE_MM:
        return before, after
    try:
        return round_corner(before, after, shape.corner_radius_mm)
    except Refusal as refusal:
        raise Refusal(message("at the {} toe: {}", which, refusal.message), "bracket.corner_radius") from None


def _refuse_impossible(notch: Chain, shape: EarShape) -> None:
    height_mm, nose_mm, hole_mm = -offset_from(notch, shape.pin), shape.nose_radius_mm, shape.hole_radius_mm
    if height_mm <= 0.0:
        words = "the pin lies on or beyond the rail, by {}; the in-line offset must leave room for it"
        raise Refusal(message(words, mm(-height_mm)), "mount.inline_offset")
    if nose_mm <= hole_mm:
        words = "the pin hole of {} breaks the edge of a nose of radius {}; the nose must be larger than the hole"
        raise Refusal(message(words, mm(2 * hole_mm), mm(nose_mm)), "bracket.nose_radius")
    if hole_mm >= height_mm:
        words = (
            "the pin hole breaks the notch: its centre is {} from the rail and its radius {}; move the pin away from "
            "the rail"
        )
        raise Refusal(message(words, mm(height_mm), mm(hole_mm)), "mount.inline_offset")
    if nose_mm >= height_mm:
        words = (
            "the nose reaches the rail: radius {}, the pin is {} from the rail; make the nose smaller or the in-line "
            "offset larger"
        )
        raise Refusal(message(words, mm(nose_mm), mm(height_mm)), "bracket.nose_radius")


def refuse_unfit(
    outline: Loop,
    key: str,
    crossing: str = "the outline would cross itself near {}; a wider foot or a shorter toe is right",
    change: str = "the toe or the foot",
) -> None:
    """Refuse an outline that crosses itself or has an edge that no table can cut."""
    place = simple(outline)
    if place is not None:
        raise Refusal(message(crossing, uv(place)), key)
    shortest = min(outline, key=lambda edge: edge.length)
    if shortest.length < SHORTEST_EDGE_MM:
        words = "an edge of the outline would be shorter than {}, near u {}; change {} a little"
        raise Refusal(message(words, mm(SHORTEST_EDGE_MM), mm(shortest.end.real), change), key)


def pin_plate(design: Design, place: PlatePlace, role: PlateRole, notch: Notch) -> Plate:
    """A plate with the pin in its nose, standing on its notch.

    Raises:
        Refusal: If its outline is impossible; see :func:`ear_outline`.
    """
    outline = ear_outline(notch.path, EarShape.of(design))
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
    """The runs that hold a plate to what it stands on, two along each leg of its notch, the outside one first."""
    for leg in notch.legs:
        for side, towards in (("outside", place.outward), ("inside", -place.outward)):
            yield fillet(
                job, place.name, joint, other, leg.path, across_pin(place.faces_mm[towards > 0]), side=side,
                angle_rad=joint_angle(leg.slope[towards > 0], towards),
                gap_mm=notch.fit.gap_far_mm if towards > 0 else notch.fit.gap_near_mm,
            )  # fmt: skip
