"""The cylinder's own parts: buckling and stress of its rod when it pushes, and the tilt that its rod end allows."""

import math
from collections.abc import Iterator
from dataclasses import replace
from functools import partial

from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import Quantity, message, number, rad, size
from plategen.rules import column as rule
from plategen.rules.material import steel
from plategen.rules.pin_plate import MOST_IN_HAND_DEG, tilt_before_plates_rad, tilt_in_head_rad
from plategen.rules.safety import YIELDING

BUCKLES = partial(Check, unit="N", source="Euler and Johnson; factor by cylinder makers' practice, 3 to 5")
BUCKLING = BUCKLES("rod buckling", "cylinder")
SIDE_LOAD = Check("rod side load", "cylinder", "MPa", source="beam theory, Fy/1.67")
_BALL = "geometry of ball, head and plates, as gear and bearing makers' engineering data give it"
TILT = Check("rod end tilt", "rod end", "deg", "at least", source=_BALL, needs="a rod end")
CHECKS = (BUCKLING, SIDE_LOAD)
"""The checks of the rod; the tilt is the rod end's."""


def check_cylinder(setting: Setting) -> Iterator[Finding]:
    """Findings about the cylinder's rod when it pushes; none when no load case does."""
    cylinder, rules = setting.job.cylinder, setting.rules
    pushes = [case for case in setting.cases if case.push]
    if not pushes:
        return
    metal = steel(rules.rod_steel)
    rod = rule.Bar(cylinder.rod_mm, cylinder.open_length_mm, metal.fy_mpa)
    push = max(case.size_n for case in pushes) / rules.shock_factor
    wanted = rules.buckling_factor * push
    yield BUCKLING.strength(
        part("cylinder rod"),
        wanted,
        rod.buckling_n(),
        assumed=message(
            "pin to pin, all taken as rod, {}; {} times the push, no shock", metal.name, number(rules.buckling_factor)
        ),
        case="push, fully out",
        cure=lambda: _thicker(setting, rod, wanted),
    )
    leaning = max(pushes, key=lambda case: abs(case.force_n[2]))
    can = YIELDING.available(metal.fy_mpa, "aisc-asd")
    yield SIDE_LOAD.strength(
        part("cylinder rod"),
        rule.side_load_stress_mpa(rod, leaning.size_n, abs(leaning.force_n[2]), cylinder.stroke_mm),
        can,
        assumed=message(
            "side force of the skew on the rod's end, held at the gland, {}; a swivel takes less", metal.name
        ),
        case=leaning.name,
        cure=lambda: _in_line(setting, rod, leaning.size_n, can),
    )


def _thicker(setting: Setting, rod: rule.Bar, wanted_n: float) -> Cure:
    diameter = larger.size_that_holds(
        setting,
        rod.diameter_mm,
        lambda d: replace(rod, diameter_mm=d).buckling_n() >= wanted_n,
        most_mm=setting.job.cylinder.bore_mm,
    )
    if diameter is None:
        return advise("a larger cylinder, or a shorter one, or less pressure")
    return set_to("cylinder.rod", size(diameter), "rod to {}")


def _in_line(setting: Setting, rod: rule.Bar, force_n: float, can_mpa: float) -> Cure:
    """How far out of line the rod may be, rounded down to a tenth of a degree."""
    left_mpa = can_mpa - force_n / rod.section[0]
    side = left_mpa * rod.modulus_mm3 / (force_n * setting.job.cylinder.stroke_mm)
    within_deg = math.floor(math.degrees(math.asin(min(1.0, max(0.0, side)))) * 10.0) / 10.0
    if within_deg <= 0.0:
        return advise("a thicker rod, or a swivelling rod end")
    template = "line the cylinder up to within {} of the plates, or a swivelling rod end"
    within = rad(math.radians(within_deg))
    if setting.study is not None and setting.study.swings_about(setting.job.style.holds):
        return advise(template, within)  # the linkage gives the skew, and no key of the job does
    promise = message("you must then line the cylinder up to within {} of the plates", within)
    return Cure(message(template, within), (Change("rules.skew", within),), promise)


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
