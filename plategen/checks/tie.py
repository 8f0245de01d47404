"""The runs between the plates of a bracket: what the side force asks of their throats.

A plate that ties two ears takes the side force down as a couple: the ears push and pull along its welds. Each of its
runs is given the whole couple along it and the whole side force across it, shared by no other run: more than it gets.
"""

import math
from collections.abc import Iterator
from functools import partial

from plategen.bracket.model import WeldRun
from plategen.checks import larger
from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly
from plategen.checks.run import part_of
from plategen.checks.section import tie_arm
from plategen.checks.setting import Setting
from plategen.checks.weld import THROAT_ROW
from plategen.ground.cure import Cure
from plategen.ground.space import dot
from plategen.rules import weld as rule
from plategen.rules.material import weld_metal

TIE = THROAT_ROW("tie weld throat stress", "tie", needs="a plate that ties the ears, or gussets")
CHECKS = (TIE,)
"""The checks of this file."""


def check_ties(setting: Setting) -> Iterator[Finding]:
    """Throat stress of every run between plates of an assembly that holds both ears, or has gussets."""
    for assembly in setting.assemblies:
        if len(assembly.carriers) > 1 or any(plate.role == "gusset" for plate in assembly.plates):
            yield from _ties(setting, assembly)


def _ties(setting: Setting, assembly: Assembly) -> Iterator[Finding]:
    arm = tie_arm(assembly)
    if arm is None:
        return
    normal = assembly.carriers[0].plate.placement.normal
    side, case = max(((abs(dot(case.force_n, normal)), case.name) for case in setting.cases), key=lambda pair: pair[0])
    couple = side * arm
    for run in assembly.ties:
        throat = min(rule.throat_mm(run.leg_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
        load = math.hypot(couple, side) / run.length_mm
        weaker = min(setting.steels[name].fu_mpa for name in (run.plate, run.other) if name in setting.plates)
        fexx = weld_metal(run.electrode).fexx_mpa
        for view in setting:
            can = rule.throat_stress_mpa(fexx, view.rules, min(weaker, fexx))
            yield view.strength(
                TIE,
                part_of(run),
                (load / throat if throat > 0.0 else math.inf) * view.factor,
                can,
                assumed="the whole side force across the run and its whole couple along it",
                case=case,
                cure=partial(_leg_for, setting, run, load * view.factor / can),
            )


def _leg_for(setting: Setting, run: WeldRun, throat_mm: float) -> Cure:
    leg = max(rule.leg_for_throat_mm(throat_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
    return larger.raise_to(setting, larger.leg_key(setting, run), leg, "leg to {}", "a groove weld")
