"""The foot of a seat's tabs on their tube: as the job gives it, or chosen by rule because the job left it out.

A tube needs no trace, so along it nothing ends a foot. Across it the tube itself does: on a round one a tab stands no
further down than where the surface lies at 45 degrees, on a square one no further out than its flat.
"""

import math
from collections.abc import Sequence

from plategen.design.foot_length import under_pin
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.seat import Seat
from plategen.rail.tube import Tube
from plategen.rules.weld import throat_mm

STEEPEST_RAD = math.radians(45.0)
"""Beyond this the tab's end stands too sharp on a round tube for a fillet (common practice, no source)."""

LEAST_SHARE = 0.5
"""The least throat that a longer foot makes up for, over a square fillet's (common practice, no source)."""


def foot_of(job: Job) -> tuple[float, float]:
    """The two stations between which a seat's tabs stand, once they are given or chosen.

    Raises:
        Refusal: If there is one alone, as for a foot that goes round a rail's corner.
    """
    foot = job.mount.foot_mm
    if foot is None or len(foot) != 2:
        raise Refusal("a tube has no corner to go round; two stations are right, e.g. foot = [2, 11]", "mount.foot")
    return foot[0], foot[1]


def with_foot(
    job: Job, seat: Seat, tube: Tube, faces_mm: Sequence[tuple[float, float]], nose_mm: float
) -> tuple[Job, str]:
    """The job with its foot, and the sentence of the rule where one chose it.

    Args:
        job: The job.
        seat: Its ``[seat]`` table.
        tube: The tube, of any length.
        faces_mm: w of every tab's two faces, the lower first.
        nose_mm: Radius of the nose.

    Raises:
        Refusal: If a rise is asked, or the tabs miss the tube.
    """
    if job.mount.foot_rise_mm is not None:
        raise Refusal("a tube has no corner to rise from; leave it out", "mount.foot_rise")
    if job.mount.foot_mm is not None:
        return job, ""
    on = _stood_on(seat, tube)
    middles = [sum(faces) / 2 - tube.axis_w_mm for faces in faces_mm]
    top_mm = on.across_mm / 2 if tube.along_pin else min(map(on.height, middles))
    height_mm = job.mount.inline_offset_mm * math.cos(tube.lean_rad) - top_mm
    if height_mm <= 0.0:
        raise Refusal(
            f"the pin lies on or within what the tabs stand on, by {-height_mm:.4g} mm; a larger in-line offset is "
            "right",
            "mount.inline_offset",
        )
    length_mm, rule = under_pin(job, height_mm, nose_mm, throat=_least_throat_mm(job, on, faces_mm))
    rule = rule.replace("from the rail", "from the tube")
    half_mm, most_mm = length_mm / 2 * math.cos(tube.lean_rad), _most_mm(seat, tube, on)
    middle = tube.axis.real
    if half_mm <= most_mm:
        first, last = PLATE_SIZES.down(middle - half_mm, job.units), PLATE_SIZES.up(middle + half_mm, job.units)
        first, last = max(first, middle - most_mm), min(last, middle + most_mm)
        why = f"foot from {rule}, on the next shop size out"
    else:
        half_mm = PLATE_SIZES.down(most_mm, job.units) or most_mm
        first, last, why = middle - half_mm, middle + half_mm, f"foot from {rule}; cut short by the tube"
    return job.replaced(mount=job.mount.replaced(foot_mm=(first, last))), why


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
