"""The tube that a seat stands on, and the foot of its tabs on it: as the job gives it, or chosen by rule.

A tube needs no trace, so along it nothing ends a foot. Across it the tube itself does: on a round one a tab stands no
further down than where the surface lies at 45 degrees, on a square one no further out than its flat.
"""

import math
from collections.abc import Sequence
from dataclasses import replace

from plategen.design.design import Chosen, nose_radius
from plategen.design.foot import ChosenFoot, Foot, under_pin
from plategen.design.places import PinPlace, PlatePlace, ear_places
from plategen.ground.cure import set_to
from plategen.ground.message import NOTHING, Message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.style_tables import Seat
from plategen.rail.tube import Tube
from plategen.rules.weld import throat_mm

CORNER_OVER_WALL = 2.0
"""Outside corner radius of a square tube over its wall, where the job gives none (usual for detailing; they vary)."""

SHOWN_BEYOND_MM = 75.0
"""How much of the tube is drawn to each side of the seat."""

STEEPEST_RAD = math.radians(45.0)
"""Beyond this the tab's end stands too sharp on a round tube for a fillet (common practice, no source)."""

LEAST_TAB_MM = 4.7
"""Tabs are asked to be no thinner (3/16 in; common practice, no source)."""

LEAST_SHARE = 0.5
"""The least throat that a longer foot makes up for, over a square fillet's (common practice, no source)."""


def seat_of(job: Job) -> Seat:
    """The job's ``[seat]`` table."""
    if job.seat is None:
        words = 'missing; style "seat" needs the table [seat] with tube, across and made'
        raise Refusal(f"{words}; `plategen start new --style seat` shows it filled in", "seat")
    return job.seat


def seat_places(job: Job, pin: PinPlace) -> tuple[PlatePlace, PlatePlace]:
    """The two tabs of a seat."""
    return ear_places(job, pin.plane_mm, ("tab_near", "tab_far"))


def tube_of(job: Job, pin: PinPlace) -> Tube:
    """The tube that the job's seat stands on, drawn as far beyond the foot as is shown of it.

    Raises:
        Refusal: The tube cannot be, or the tabs miss it.
    """
    tube, (near, far) = _bare_tube(job, pin), seat_places(job, pin)
    beyond = SHOWN_BEYOND_MM + seat_of(job).across_mm
    if tube.along_pin:
        shown = (near.faces_mm[0] - beyond, far.faces_mm[1] + beyond)
    else:
        first, last = foot_on_tube(job, pin, tube, nose_on_tube(job, pin, tube).mm).foot.stations
        shown = (first - pin.station_mm - beyond, last - pin.station_mm + beyond)
    return replace(tube, shown_mm=shown)


def _bare_tube(job: Job, pin: PinPlace) -> Tube:
    """The tube, of no length yet."""
    seat, (near, far) = seat_of(job), seat_places(job, pin)
    if seat.across_mm <= 2.0 * job.rail.wall_mm:
        raise Refusal("the wall fills the tube; less than half of `seat.across` is right", "rail.wall")
    corner = 0.0 if seat.tube == "round" else CORNER_OVER_WALL * job.rail.wall_mm
    if seat.corner_mm is not None:
        corner = seat.corner_mm
    if 2.0 * corner >= seat.across_mm:
        raise Refusal("corners of twice the wall use up the sides; give the tube's own `corner`", "seat.corner")
    along_pin = seat.along == "pin"
    middle = (near.faces_mm[1] + far.faces_mm[0]) / 2
    axis_u = pin.station_mm if not along_pin or seat.axis_mm is None else seat.axis_mm
    return Tube(
        round=seat.tube == "round",
        across_mm=seat.across_mm,
        corner_mm=corner,
        wall_mm=job.rail.wall_mm,
        along_pin=along_pin,
        lean_rad=seat.lean_rad,
        axis=complex(axis_u, pin.inline_offset_mm),
        axis_w_mm=middle if along_pin or seat.axis_mm is None else seat.axis_mm,
        shown_mm=(0.0, 0.0),
    )


def foot_on_tube(job: Job, pin: PinPlace, tube: Tube, nose_mm: float) -> ChosenFoot:
    """The two stations between which a seat's tabs stand on a tube of any length, and the rule where one chose them.

    Raises:
        Refusal: If a rise or a single station is given, as for a rail's corner, or the tabs miss the tube.
    """
    if job.mount.foot_rise_mm is not None:
        raise Refusal("a tube has no corner to rise from; leave it out", "mount.foot_rise")
    given = job.mount.foot_mm
    if given is not None:
        if len(given) != 2:
            raise Refusal("a tube has no corner to go round; two stations are right, e.g. foot = [2, 11]", "mount.foot")
        return ChosenFoot(foot=Foot(given[0], given[1]))
    seat, faces_mm = seat_of(job), [place.faces_mm for place in seat_places(job, pin)]
    on = _stood_on(seat, tube)
    height_mm = _height_mm(job, pin, tube, on, [sum(faces) / 2 for faces in faces_mm])
    if height_mm <= 0.0:
        right_mm = PLATE_SIZES.up(pin.inline_offset_mm - height_mm + job.cylinder.base.pin_mm, job.units)
        cure = set_to("mount.inline_offset", size(right_mm), "an in-line offset of {}")
        words = "the pin lies on or within what the tabs stand on, by {}; {} or more is right"
        raise Refusal(message(words, mm(-height_mm), cure.advice), "mount.inline_offset", cure=cure)
    length_mm, rule = under_pin(job, height_mm, nose_mm, throat=_least_throat_mm(job, on, faces_mm), on="tube")
    half_mm, most_mm = length_mm / 2 * math.cos(tube.lean_rad), _most_mm(seat, tube, on)
    middle = tube.axis.real
    if half_mm <= most_mm:
        first, last = PLATE_SIZES.down(middle - half_mm, job.units), PLATE_SIZES.up(middle + half_mm, job.units)
        foot = Foot(max(first, middle - most_mm), min(last, middle + most_mm))
        return ChosenFoot(foot=foot, why=message("foot from {}, on the next shop size out", rule))
    half_mm = PLATE_SIZES.down(most_mm, job.units) or most_mm
    foot = Foot(middle - half_mm, middle + half_mm)
    return ChosenFoot(foot=foot, why=message("foot from {}; cut short by the tube", rule))


def _height_mm(job: Job, pin: PinPlace, tube: Tube, on: Tube, places_mm: Sequence[float]) -> float:
    """The pin's height over what the tabs stand on, over the lowest of places along the pin."""
    top_mm = on.across_mm / 2 if tube.along_pin else min(on.height(w - tube.axis_w_mm) for w in places_mm)
    return pin.inline_offset_mm * math.cos(tube.lean_rad) - top_mm


def nose_on_tube(job: Job, pin: PinPlace, tube: Tube) -> Chosen:
    """The nose of a seat's tabs, clear of the highest that they stand on."""
    on = _stood_on(seat_of(job), tube)
    faces = (place.faces_mm for place in seat_places(job, pin))
    try:
        heights = [_height_mm(job, pin, tube, on, [min(max(tube.axis_w_mm, low), high)]) for low, high in faces]
    except Refusal:  # tabs beside what they stand on are refused with a cure where they are laid out
        return nose_radius(job)
    return nose_radius(job, min(heights) - job.bracket.root_gap_mm)


def corner_reason(seat: Seat) -> Message:
    """Why the corners of a square tube are taken as they are; no reason where the job gives them."""
    if seat.tube == "round" or seat.corner_mm is not None:
        return NOTHING
    return message(
        "corner radius of the square tube: 2 x wall, as usual for detailing; corners vary by maker, so gauge it"
    )


def _stood_on(seat: Seat, tube: Tube) -> Tube:
    """The surface that the tabs stand on: the tube's, its pad's, or the clamp's face, as wide as it will be made."""
    if seat.hold == "clamp" and seat.clamp is not None:
        crown_mm = (seat.clamp.crown_mm or seat.clamp.thickness_mm) if tube.round else 0.0
        return tube.grown(crown_mm + seat.clamp.thickness_mm, math.inf)
    if seat.pad is not None:
        return tube.grown(seat.pad.thickness_mm, 0.0 if tube.round else seat.pad.width_mm / 2)
    return tube


def _least_throat_mm(job: Job, on: Tube, faces_mm: Sequence[tuple[float, float]]) -> float:
    """The least throat of the tabs' beads: beside a tube's axis the joint opens and a face stands off.

    Not below a share of a square fillet's, where no length would cure what another leg or a pad does.
    """
    gap_mm, square = job.bracket.root_gap_mm, throat_mm(job.weld.leg_mm)
    if on.along_pin:
        return square
    throats = []
    for low, high in faces_mm:
        highest = on.height(min(max(on.axis_w_mm, low), high) - on.axis_w_mm)
        for w, towards in ((low, -1), (high, +1)):
            angle = math.pi / 2 + towards * math.atan(on.slope(w))
            throats.append(throat_mm(job.weld.leg_mm, angle, highest - on.height(w - on.axis_w_mm) + gap_mm))
    return max(min(throats), LEAST_SHARE * square)


def _most_mm(seat: Seat, tube: Tube, on: Tube) -> float:
    """How far to each side of the axis a foot may reach."""
    if not tube.along_pin:
        return math.inf
    if on.half_width_mm:
        return on.half_width_mm
    if not on.round:
        return on.across_mm / 2 - on.corner_mm
    wrap = STEEPEST_RAD
    if seat.pad is not None:
        wrap = min(wrap, seat.pad.width_mm / (tube.across_mm + seat.pad.thickness_mm))
    return on.across_mm / 2 * math.sin(wrap)
