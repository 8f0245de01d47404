"""Welds between the plates of a bracket.

A plate that ties two ears takes the side force down as a couple: the ears push and pull along its welds. Each of its
runs is given the whole couple along it and the whole side force across it, shared by no other run: more than it gets.
"""

import math
from collections.abc import Iterator

from plategen.bracket.model import Plate
from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly
from plategen.checks.section_stress import span_of
from plategen.checks.setting import Setting
from plategen.rules import weld as rule
from plategen.rules.material import Steel, weld_metal
from plategen.rules.safety import AISC, EN_JOINTS


def check_ties(
    setting: Setting, assembly: Assembly, plates: dict[str, Plate], steels: dict[str, Steel]
) -> Iterator[Finding]:
    """Throat stress of every run between plates of an assembly that holds both ears."""
    if len(assembly.carriers) < 2:
        return
    span = next((s for s in (span_of(carrier, assembly) for carrier in assembly.carriers) if s is not None), None)
    if span is None or not math.isfinite(span.apart_mm):
        return
    normal = assembly.carriers[0].plate.placement.normal
    sides = [abs(sum(f * n for f, n in zip(case.force_n, normal, strict=True))) for case in setting.cases]
    worst = max(range(len(sides)), key=sides.__getitem__)
    side = sides[worst]
    couple = side * (span.end_mm - span.tie_mm) / span.apart_mm
    for run in assembly.ties:
        throat = min(rule.throat_mm(run.leg_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
        load = math.hypot(couple, side) / run.length_mm
        stress = load / throat if throat > 0.0 else math.inf
        weaker = min(steels[name].fu_mpa for name in (run.plate, run.other) if name in plates)
        fexx = weld_metal(run.electrode).fexx_mpa
        for view in setting:
            can = rule.throat_stress_mpa(fexx, view.rules, min(weaker, fexx))
            demand = stress * view.factor
            leg = max(rule.leg_for_throat_mm(load * view.factor / can, a, run.gap_mm) for a in run.joint_angle_rad)
            yield Finding(
                check="tie weld throat stress",
                part=f"{run.name}, {run.plate} to {run.other}",
                demand=demand,
                capacity=can,
                unit="MPa",
                source=f"{EN_JOINTS} 4.5.3.3, simplified" if view.rules == "en-1993" else f"{AISC} J2.4: 0.60 FEXX",
                assumed=f"the whole side force across the run and its whole couple along it; {view.loads}",
                case=setting.cases[worst].name,
                cure=_cure(setting, leg) if demand > can else "",
                opinion=view.opinion,
            )


def _cure(setting: Setting, leg_mm: float) -> str:
    return f"leg to {setting.up(leg_mm)}" if math.isfinite(leg_mm) else "a groove weld"
