"""The cylinder's own rod, and the rod that it drives."""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace

from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.rules import rod as rule
from plategen.rules.material import steel
from plategen.rules.safety import AISC, YIELDING


def check_cylinder(setting: Setting) -> Iterator[Finding]:
    """Buckling of the rod at full extension, and its stress when it pushes out of line."""
    cylinder, rules = setting.job.cylinder, setting.rules
    pushes = [case for case in setting.cases if case.push]
    if not pushes:
        return
    worst = max(pushes, key=lambda case: case.size_n)
    metal = steel(rules.rod_steel)
    whole = rule.Bar(cylinder.rod_mm, cylinder.open_length_mm, metal.fy_mpa)
    push = worst.size_n / rules.shock_factor
    wanted, stands = rules.buckling_factor * push, whole.buckling_n()
    yield Finding(
        check="rod buckling",
        part="cylinder rod",
        demand=wanted,
        capacity=stands,
        unit="N",
        source="Euler and Johnson; factor by cylinder makers' practice, 3 to 5",
        assumed=f"pin to pin, all taken as rod, {metal.name}; {rules.buckling_factor:g} times the push, no shock",
        case="push, fully out",
        cure=_thicker_rod(setting, whole, wanted, cylinder.bore_mm) if wanted > stands else "",
    )
    leaning = max(pushes, key=lambda case: abs(case.force_n[2]))
    side = abs(leaning.force_n[2])
    stress = rule.side_load_stress_mpa(whole, leaning.size_n, side, cylinder.stroke_mm)
    can = YIELDING.available(metal.fy_mpa, "aisc-asd")
    yield Finding(
        check="rod side load",
        part="cylinder rod",
        demand=stress,
        capacity=can,
        unit="MPa",
        source="beam theory, Fy/1.67",
        assumed=f"side force of the skew on the rod's end, held at the gland, {metal.name}; a swivel takes less",
        case=leaning.name,
        cure=_in_line(whole, leaning.size_n, cylinder.stroke_mm, can) if stress > can else "",
    )


def _thicker_rod(setting: Setting, rod: rule.Bar, wanted_n: float, bore_mm: float) -> str:
    size = setting.size_that_holds(
        rod.diameter_mm, lambda d: replace(rod, diameter_mm=d).buckling_n() >= wanted_n, most_mm=bore_mm
    )
    return "a larger cylinder, or a shorter one, or less pressure" if size is None else f"rod to {setting.up(size)}"


def _in_line(rod: rule.Bar, force_n: float, free_mm: float, can_mpa: float) -> str:
    """How far out of line the rod may be, rounded down to a twentieth of a degree."""
    left_mpa = can_mpa - force_n / rod.section[0]
    side = left_mpa * rod.modulus_mm3 / (force_n * free_mm)
    within = math.floor(math.degrees(math.asin(min(1.0, max(0.0, side)))) * 20.0) / 20.0
    if within <= 0.0:
        return "a thicker rod, or a swivelling rod end"
    return f"line the cylinder up to within {within:g} deg of the plates, or a swivelling rod end"


def check_driven(setting: Setting) -> Iterator[Finding]:
    """The rod or tube that the cylinder pushes: bending by the bracket's arm with axial force, and buckling."""
    driven = setting.job.driven
    if driven is None:
        return
    metal = steel(driven.steel)
    bar = rule.Bar(driven.diameter_mm, driven.length_mm, metal.fy_mpa, driven.bore_mm)
    worst = max(setting.cases, key=lambda case: case.size_n)
    force = worst.size_n
    rules = setting.rules
    wanted, stands = rules.buckling_factor * force / rules.shock_factor, bar.buckling_n()
    yield Finding(
        check="driven rod buckling",
        part="driven rod",
        demand=wanted,
        capacity=stands,
        unit="N",
        source="Euler and Johnson",
        assumed=f"joints free to turn, whole length, {metal.name}; {rules.buckling_factor:g} times the force, no shock",
        case=worst.name,
        cure=_larger_tube(setting, bar, lambda tube: tube.buckling_n() >= wanted) if wanted > stands else "",
    )
    can = YIELDING.available(metal.fy_mpa, "aisc-asd")

    def bent(tube: rule.Bar) -> float:
        return rule.bracket_on_bar_stress_mpa(tube, force, driven.arm_mm, driven.at_mm, pushed=True)

    stress = bent(bar)
    larger = _larger_tube(setting, bar, lambda tube: bent(tube) <= can) if stress > can else ""
    yield Finding(
        check="driven rod bending",
        part="driven rod",
        demand=stress,
        capacity=can,
        unit="MPa",
        source=f"{AISC} H2 at first yield, bending amplified by 1/(1 - F/Pe)",
        assumed=f"the cylinder takes hold {setting.show.length(driven.arm_mm)} beside the rod's line, {metal.name}",
        case=worst.name,
        cure=f"{larger}, or bring the cylinder nearer to its line" if stress > can else "",
    )


def _larger_tube(setting: Setting, bar: rule.Bar, holds: Callable[[rule.Bar], bool]) -> str:
    """The tube's next outside diameter that holds, its bore kept."""
    size = setting.size_that_holds(bar.diameter_mm, lambda d: holds(replace(bar, diameter_mm=d)))
    return "a shorter rod" if size is None else f"tube to {setting.up(size)}"
