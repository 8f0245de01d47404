"""A rod end between plates: whether the cylinder's misalignment is less than what head, plates and ball let it take."""

import math
from collections.abc import Iterator

from plategen.checks.finding import Finding
from plategen.job import Job
from plategen.rules.rod_end import MOST_IN_HAND_DEG, tilt_before_plates_rad, tilt_in_head_rad


def check_rod_end(job: Job, skew_rad: float) -> Iterator[Finding]:
    """The tilt that is asked of a rod end against both its limits; nothing for other ends.

    Args:
        job: The job.
        skew_rad: Largest angle of the cylinder out of the plates' plane.
    """
    base = job.cylinder.base
    if base.kind != "rod_end" or base.head_width_mm is None:
        return
    asked = math.degrees(skew_rad)
    gap = base.between_mm + 2.0 * job.bracket.side_play_mm
    plates = math.degrees(tilt_before_plates_rad(gap, base.head_width_mm, 2.0 * base.eye_radius_mm))
    yield _found(asked, plates, "the head meets a plate", "wider spacers, or a head that is smaller")
    if base.ball_mm is not None:
        face = math.sqrt(base.ball_mm**2 - base.eye_width_mm**2)
        shoulder = base.spacer_diameter_mm or max(face, base.pin_mm)
        seat = math.degrees(tilt_in_head_rad(base.ball_mm, shoulder, base.head_width_mm))
        yield _found(asked, seat, "the head's seat meets the shoulder", "spacers of a smaller diameter at the ball")


def _found(asked_deg: float, can_deg: float, when: str, cure: str) -> Finding:
    return Finding(
        check="rod end tilt",
        part="rod end",
        demand=asked_deg,
        capacity=max(0.0, can_deg),
        unit="deg",
        source="geometry of ball, head and plates, as gear and bearing makers' engineering data give it",
        assumed=f"until {when}; the ball in the middle between the plates, which reach beyond the head; a maker's own "
        f"figure may be {MOST_IN_HAND_DEG:g} deg less, and then it counts",
        cure=cure if asked_deg > can_deg else "",
    )
