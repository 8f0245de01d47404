"""How many full strokes the throats of welds last, against how many are asked; see :mod:`.fatigue_plate` for plates.

A fillet's root goes before its own toe wherever its throat is thinner than the plate, as it is here, so a run is judged
on its throat; a plate that is bent at its weld is judged at the toe, and under AISC 360 at the root behind it too.
"""

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache, partial

import numpy as np

from plategen.bracket.model import LAPPED, WeldRun
from plategen.checks import larger
from plategen.checks.fatigue_life import MOST_THICKER, Asked, Ranged, en_curve, en_shear_curve, finding
from plategen.checks.fatigue_plate import CHECKS as PLATE_CHECKS
from plategen.checks.fatigue_plate import check_plates
from plategen.checks.finding import Check, Finding
from plategen.checks.load_path import Assembly, standing_alone
from plategen.checks.run import part_of
from plategen.checks.setting import REMEMBERED, Setting
from plategen.checks.swept import tie_arm
from plategen.checks.view import View
from plategen.checks.weld import greatest_relief_mm, group_of, loads_on
from plategen.checks.worst import worst_of
from plategen.design.design import relief_for_leg_mm
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import message, size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.space import Vector, dot
from plategen.rules import fatigue as rule
from plategen.rules.fatigue import Curve
from plategen.rules.plate_section import Floats
from plategen.rules.safety import AISC
from plategen.rules.weld import counted_leg_mm, throat_mm
from plategen.rules.weld_group import WeldGroup

THROAT = Check(
    "weld throat fatigue",
    "fatigue",
    "MPa",
    source=f"{AISC} Appendix 3, category F",
    en_source="EN 1993-1-9:2005 Table 8.5, 36 at the root with 80 along",
    not_covered="Fatigue counts full strokes of one size and the welds as drawn: no undercut, no crack to begin with. "
    "The rail's own stress, which nobody told, and the bolts are not in it. Look at weld ends and the pin hole's rim "
    "for cracks at every service.",
)
CHECKS = (THROAT, *PLATE_CHECKS)
"""The checks of fatigue."""


def check_fatigue(setting: Setting) -> Iterator[Finding]:
    """Every finding about fatigue, in the view that decides and that of the other family of rules."""
    chosen, *others = setting.views
    views = (chosen, *(view for view in others if view.en and not chosen.en), *others[: 1 if chosen.en else 0])
    asked = Asked.of(setting)
    yield from _runs(setting, asked, views)
    yield from check_plates(setting, asked, views)


def _runs(setting: Setting, asked: Asked, views: Sequence[View]) -> Iterator[Finding]:
    for assembly in setting.assemblies:
        for held in (assembly, *standing_alone(assembly)):
            yield from _group(setting, asked, views, held)
        if len(assembly.carriers) > 1:
            yield from _ties(setting, asked, views, assembly)


def _group(setting: Setting, asked: Asked, views: Sequence[View], assembly: Assembly) -> Iterator[Finding]:
    """The runs of a group."""
    runs = assembly.rail_runs
    if not runs or not assembly.carriers:
        return
    loads = loads_on(setting, assembly)
    pushes = tuple(loads[index] for index in asked.pushes)
    line_loads = _line_loads(group_of(setting, assembly), pushes)
    for run, (across, along) in zip(runs, line_loads, strict=False):  # none for runs on one line, turned about it
        yield from _throats(setting, asked, views, run, across, along)


@lru_cache(maxsize=REMEMBERED)
def _line_loads(group: WeldGroup, loads: tuple[tuple[Vector, Vector], ...]) -> tuple[tuple[Floats, Floats], ...]:
    """The line loads across and along each run, cases by points, N/mm; none where the runs resist no turn.

    There the throat's strength stops. A straight piece has its worst at an end; an arc is looked at midway too.
    """
    points = [[each for piece in run for each in piece.walked()] for run in group.runs]
    q = group.loads_at(loads, [point for row in points for point, _ in row])
    if np.isnan(q).any():
        return ()
    lengths = (q * np.array([way for row in points for _, way in row])).sum(axis=2)
    along, across = np.abs(lengths), np.sqrt(np.maximum(0.0, (q * q).sum(axis=2) - lengths**2))
    ends = np.cumsum([len(row) for row in points])[:-1]
    return tuple(zip(np.split(across, ends, axis=1), np.split(along, ends, axis=1), strict=True))


def _ties(setting: Setting, asked: Asked, views: Sequence[View], assembly: Assembly) -> Iterator[Finding]:
    """The runs of plates between two ears: the whole side force across each and its whole couple along it."""
    arm = tie_arm(assembly)
    if arm is None:
        return
    normal = assembly.carriers[0].plate.placement.normal
    side = np.array([[abs(dot(setting.cases[index].force_n, normal))] for index in asked.pushes])
    couple = side * arm
    for run in assembly.ties:
        yield from _throats(setting, asked, views, run, side / run.length_mm, couple / run.length_mm)


def _throats(
    setting: Setting, asked: Asked, views: Sequence[View], run: WeldRun, across: Floats, along: Floats
) -> Iterator[Finding]:
    """A run's throat, from the push's line loads across it and along it: cases by points, N/mm."""
    leg = counted_leg_mm(run.leg_mm, run.length_mm)
    throat = min(throat_mm(leg, angle, run.gap_mm) for angle in run.joint_angle_rad)
    up_mm = PART_SIZES.next_up(run.leg_mm, setting.job.units)
    larger = min(throat_mm(up_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
    for view in views:
        root = side = rule.aisc("F", "fillet throat")
        if view.en:
            root = en_curve("weld root", rule.EN_ROOT)
            side = en_shear_curve("weld along", rule.EN_THROAT_SHEAR)
        can, can_along = (curve.range_mpa(asked.strokes, asked.shock) for curve in (root, side))
        # EN 1993-1-9 8(3) adds the cube of the one share to the fifth power of the other; two cubes are a little more
        together = np.cbrt(across**3 + (along * can / can_along) ** 3) if view.en else np.hypot(across, along)
        push, at = worst_of(together)
        worst, (case, _) = push * asked.times, at
        parts = (float(across[at]) * asked.times, float(along[at]) * asked.times) if view.en else (worst, 0.0)
        yield finding(
            asked,
            view,
            Ranged(
                check=THROAT,
                about=part_of(run),
                range_mpa=worst / throat if throat > 0.0 else math.inf,
                can_mpa=can,
                detail=f"{root.detail}; {side.detail}" if view.en else root.detail,
                strokes=partial(_both, (root, side), parts, throat, asked.shock),
                easier=(message("a leg of {}", size(up_mm)), throat / larger if larger > 0.0 else 1.0),
                case=setting.cases[asked.pushes[case]].name,
                cure=partial(_larger_leg, setting, run, worst / can),
            ),
        )


def _both(
    curves: tuple[Curve, Curve], line_loads: tuple[float, float], throat: float, shock: float, times: float
) -> float:
    """Strokes until the damage across and that along a throat are 1 together."""
    if throat <= 0.0 or not all(map(math.isfinite, line_loads)):
        return 0.0
    ranges = [q * times / throat for q in line_loads]
    damage = sum(1.0 / curve.cycles(r, r * shock) for curve, r in zip(curves, ranges, strict=True))
    return 1.0 / damage if damage > 0.0 else math.inf


def _larger_leg(setting: Setting, run: WeldRun, wanted_mm: float) -> Cure:
    """A leg whose throat holds on the length of its run; a relief at the rail's corner would shorten it."""
    plate = setting.plates[run.plate]
    relieved = len(plate.legs) > 1 and setting.job.bracket.relief_mm is None

    most_mm = greatest_relief_mm(setting, plate)

    def holds(leg_mm: float) -> bool:
        if relief_for_leg_mm(leg_mm, setting.job.units) > most_mm:
            return False
        counted = counted_leg_mm(leg_mm, run.length_mm)
        return min(throat_mm(counted, angle, run.gap_mm) for angle in run.joint_angle_rad) >= wanted_mm

    most = MOST_THICKER * plate.thickness_mm
    leg = None if relieved or plate.role in LAPPED else larger.size_that_holds(setting, run.leg_mm, holds, most_mm=most)
    if leg is None:
        return advise("a larger leg on a longer foot, or less pressure")
    return set_to(larger.leg_key(setting, run), size(leg), "leg to {}")
