"""The runs between the plates of a bracket: what the side force asks of their throats.

A plate that ties two ears takes the side force down as a couple: the ears push and pull along its welds. Each of its
runs is given the whole couple along it and the whole side force across it, shared by no other run: more than it gets.
"""

import math
from collections.abc import Iterable, Iterator
from functools import partial

from plategen.bracket.model import WeldRun
from plategen.checks import larger
from plategen.checks.crosshead import crosshead_load
from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly
from plategen.checks.run import part_of
from plategen.checks.setting import Setting
from plategen.checks.swept import tie_arm
from plategen.checks.weld import THROAT_ROW
from plategen.ground.cure import Cure
from plategen.ground.message import Message
from plategen.ground.space import dot
from plategen.rules import weld as rule
from plategen.rules.material import weld_metal

TIE = THROAT_ROW("tie weld throat stress", "tie", needs="plates that tie the ears, gussets, or a crosshead")
CHECKS = (TIE,)
"""The checks of this file."""


def check_ties(setting: Setting) -> Iterator[Finding]:
    """Throat stress of every run between plates of an assembly that holds both ears, or has gussets or a crosshead."""
    taken = crosshead_load(setting)
    if taken is not None:
        load, _, case = taken
        runs = [run for run in setting.bracket.welds if setting.plates[run.plate].role == "crosshead"]
        yield from _tied(setting, runs, load, case, "all that the crosshead hands on, across the run alone")
    for assembly in setting.assemblies:
        if len(assembly.carriers) > 1 or any(plate.role == "gusset" for plate in assembly.plates):
            yield from _ties(setting, assembly)


def _ties(setting: Setting, assembly: Assembly) -> Iterator[Finding]:
    arm = tie_arm(assembly)
    if arm is None:
        return
    normal = assembly.carriers[0].plate.placement.normal
    side, case = max(((abs(dot(case.force_n, normal)), case.name) for case in setting.cases), key=lambda pair: pair[0])
    ties = "the whole side force across the run and its whole couple along it"
    yield from _tied(setting, assembly.ties, math.hypot(side * arm, side), case, ties)


def _tied(
    setting: Setting, runs: Iterable[WeldRun], load_n: float, case: Message | str, assumed: str
) -> Iterator[Finding]:
    """Runs between plates, each of which is given all of a load."""
    for run in runs:
        throat = min(rule.throat_mm(run.leg_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
        load = load_n / run.length_mm
        weaker = min(setting.steels[name].fu_mpa for name in (run.plate, run.other) if name in setting.plates)
        fexx = weld_metal(run.electrode).fexx_mpa
        for view in setting:
            can = rule.throat_stress_mpa(fexx, view.rules, min(weaker, fexx))
            yield view.strength(
                TIE,
                part_of(run),
                (load / throat if throat > 0.0 else math.inf) * view.factor,
                can,
                assumed=assumed,
                case=case,
                cure=partial(_leg_for, setting, run, load * view.factor / can),
            )


def _leg_for(setting: Setting, run: WeldRun, throat_mm: float) -> Cure:
    leg = max(rule.leg_for_throat_mm(throat_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
    return larger.raise_to(setting, larger.leg_key(setting, run), leg, "leg to {}", "a groove weld")
