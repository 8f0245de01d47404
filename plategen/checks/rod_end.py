"""A rod end between plates: whether the cylinder's misalignment is less than what head, plates and ball let it take."""

import math
from collections.abc import Iterator

from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.ground.message import Quantity, message
from plategen.rules.pin_plate import MOST_IN_HAND_DEG, tilt_before_plates_rad, tilt_in_head_rad

TILT = Check(
    "rod end tilt",
    "rod end",
    "deg",
    "at least",
    source="geometry of ball, head and plates, as gear and bearing makers' engineering data give it",
    needs="a rod end",
)
CHECKS = (TILT,)
"""The checks of this file."""


def check_rod_end(setting: Setting) -> Iterator[Finding]:
    """The tilt that is asked of a rod end against both its limits; nothing for other ends."""
    base = setting.job.cylinder.base
    if base.kind != "rod_end" or base.head_width_mm is None:
        return
    gap = base.between_mm + 2.0 * setting.job.bracket.side_play_mm
    plates = tilt_before_plates_rad(gap, base.head_width_mm, 2.0 * base.eye_radius_mm)
    yield _tilt(setting, plates, "the head meets a plate", "wider spacers, or a head that is smaller")
    if base.ball_mm is not None:
        face = math.sqrt(base.ball_mm**2 - base.eye_width_mm**2)
        shoulder = base.spacer_diameter_mm or max(face, base.pin_mm)
        seat = tilt_in_head_rad(base.ball_mm, shoulder, base.head_width_mm)
        yield _tilt(setting, seat, "the head's seat meets the shoulder", "spacers of a smaller diameter at the ball")


def _tilt(setting: Setting, can_rad: float, until: str, cure: str) -> Finding:
    return TILT.at_least(
        part("rod end"),
        math.degrees(setting.design.motion.most_skew_rad),
        max(0.0, math.degrees(can_rad)),
        assumed=message(
            "until {}; the ball in the middle between the plates, which reach beyond the head; a maker's own figure "
            "may be {} less, and then it counts",
            until,
            Quantity(MOST_IN_HAND_DEG, "deg"),
        ),
        cure=cure,
    )
