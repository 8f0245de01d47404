"""The rod or tube that the cylinder pushes: its buckling, and its bending by the cylinder's arm and side push.

The other rods of the linkage, the tie rod above all, pass the push on and may buckle under it.

A job may describe it twice: by the steering's linkage, which knows where it runs and how the cylinder lies to it, and
by the table ``[driven]``. It is judged once, by one rule, with what each knows; where both give a number, they must
agree, and the linkage's counts.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import TYPE_CHECKING

from plategen.checks.cylinder import BUCKLES
from plategen.checks.finding import Check, Finding, Part, part
from plategen.checks.setting import Setting
from plategen.design.motion import push_and_pull_n
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import Quantity, message, mm, mpa, number, rad, size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.unit import Units
from plategen.job.rules import Driven, Rules
from plategen.job.steering import RodEntry
from plategen.rules import column as rule
from plategen.rules.material import steel
from plategen.rules.safety import AISC, PRACTICE, YIELDING

if TYPE_CHECKING:
    from plategen.steering.alignment import RodBending
    from plategen.steering.study import SteeringStudy

_SIZED = "the driven rod's size"
BUCKLING = BUCKLES("driven rod buckling", "driven rod", needs=_SIZED)
BENDING = Check(
    "driven rod bending",
    "driven rod",
    "MPa",
    source=f"{AISC} H2 at first yield, bending amplified by 1/(1 - F/Pe)",
    needs=_SIZED,
    not_covered="The driven rod's fatigue, its threads and its joints are not checked.",
)
PASSES_ON = BUCKLES(
    "rod of the linkage buckling",
    "linkage rod",
    needs="the size and yield of a rod that is not pushed itself",
    not_covered="A steering box whose moment is not told is not counted in what the rods of the linkage pass on.",
)
_READ_ALIKE = f"geometry; what a caliper and a tape read alike ({PRACTICE})"
_TWICE = "a driven rod in the linkage and under [driven]"
AGREES = Check("driven rod sizes agree", "driven rod", "mm", "at most", source=_READ_ALIKE, needs=_TWICE)
CHECKS = (BUCKLING, BENDING, AGREES, PASSES_ON)
"""The checks of this file."""

SECTION_WITHIN_MM = 0.5
"""Outside and inside diameters that differ by less are alike: what a caliper reads on a painted tube."""

PLACE_WITHIN_MM = 1.6
"""Lengths and places along the rod that differ by less are alike: 1/16 in, what a tape reads between two balls."""


@dataclass(frozen=True, slots=True)
class DrivenRod:
    """A rod as it is judged, whoever described it."""

    about: Part  # Its name.
    bar: rule.Bar  # Its section, length and yield strength.
    keeps_wall: bool  # True where a thicker rod keeps its wall, False where it keeps its bore.
    arm_mm: float  # How far beside its line the cylinder takes hold.
    at_mm: float  # Where along it, from one end.
    out_of_line_rad: float  # Largest angle between cylinder and rod.
    keys: tuple[str, ...]  # The keys of the job file that its diameter comes from.

    def stress_mpa(self, force_n: float, bar: rule.Bar) -> float:
        """Largest stress under the cylinder's force, of this rod or of another bar in its place."""
        side_n = force_n * math.sin(self.out_of_line_rad)
        moment = rule.bracket_moment_nmm(bar.length_mm, force_n, side_n, self.arm_mm, self.at_mm)
        return rule.pushed_bar_stress_mpa(bar, force_n, moment)

    def thicker(self, diameter_mm: float) -> rule.Bar:
        """A bar of another outside diameter in its place."""
        bore = self.bar.bore_mm
        if self.keeps_wall and bore > 0.0:
            bore += diameter_mm - self.bar.diameter_mm
        return replace(self.bar, diameter_mm=diameter_mm, bore_mm=bore)


def check_driven_rod(setting: Setting) -> Iterator[Finding]:
    """Findings about the rod that the job's cylinder pushes; none where neither linkage nor ``[driven]`` sizes it."""
    push, _ = push_and_pull_n(setting.job.cylinder)
    yield from check_rod(setting.job.units, push, setting.rules, setting.job.driven, setting.study)


def check_rod(
    units: Units, push: float, rules: Rules, driven: Driven | None, study: "SteeringStudy | None"
) -> Iterator[Finding]:
    """The same without a bracket: by the linkage of a study, by ``[driven]``, or by both.

    Args:
        units: The job's, whose shop sizes a cure names.
        push: The cylinder's push at relief pressure, shock not included, N.
        rules: The job's rules.
        driven: The job's table of that name.
        study: The steering study.
    """
    yield from _passed_on(units, rules, study)
    rod = driven_rod(rules, driven, study)
    if rod is not None:
        yield from _pushed(units, rod, push, rules)
        bending = _bending(study)
        if driven is not None and bending is not None:
            yield from _alike(rod, driven, bending)
    for further_n, further in () if study is None else _pushed_further(study):
        yield from _pushed(units, further, further_n, rules)


def _pushed_further(study: "SteeringStudy") -> Iterator[tuple[float, DrivenRod]]:
    """The rods of a known size that the cylinders beside the first push, each with its push."""
    from plategen.steering.alignment import alignment, rod_bending

    for each in study.team.further:
        if study.sweep is None:
            return
        lies, most_n = alignment(study.sweep, each.mount, each.pins), max(each.thrust.push_n, each.thrust.pull_n)
        bending = rod_bending(study.sweep.linkage, each.mount, lies, most_n)
        rod = None if bending is None else _of_linkage(study, bending, None)
        if rod is not None:
            yield each.thrust.push_n, replace(rod, about=part(*rod.about.names, each.name))


def _pushed(units: Units, rod: DrivenRod, push: float, rules: Rules) -> Iterator[Finding]:
    """Buckling and bending of a pushed rod."""
    wanted, force = rules.buckling_factor * push, rules.shock_factor * push
    yield BUCKLING.strength(
        rod.about,
        wanted,
        rod.bar.buckling_n(),
        assumed=message(
            "joints free to turn, whole length, yield {}; {} times the push, no shock",
            mpa(rod.bar.yield_mpa),
            number(rules.buckling_factor),
        ),
        case="push",
        cure=lambda: _thicker(units, rod, partial(_stands, wanted), "a shorter rod"),
    )
    can = YIELDING.available(rod.bar.yield_mpa, "aisc-asd")
    yield BENDING.strength(
        rod.about,
        rod.stress_mpa(force, rod.bar),
        can,
        assumed=message(
            "the cylinder takes hold {} beside the rod's line, up to {} out of it; shock factor {} included, all "
            "moments in one plane; yield {}; no fatigue, no threads",
            mm(rod.arm_mm),
            rad(rod.out_of_line_rad, "up"),
            number(rules.shock_factor),
            mpa(rod.bar.yield_mpa),
        ),
        case="push",
        cure=lambda: _thicker(
            units, rod, lambda bar: rod.stress_mpa(force, bar) <= can, "bring the cylinder nearer to the rod's line"
        ),
    )


def _passed_on(units: Units, rules: Rules, study: "SteeringStudy | None") -> Iterator[Finding]:
    """Buckling of every other rod of a known size, when what lies beyond it takes all that pushes."""
    if study is None or study.in_line is None or study.sweep is None:
        return
    from plategen.steering.rod_force import most_passed_n

    for index, entry in enumerate(study.steering.rod):
        if entry.diameter_mm is None or entry.yield_mpa is None or entry.name == study.in_line.mount.pushes:
            continue
        length_mm = study.sweep.linkage.rod_length_mm(study.sweep.linkage.rod(entry.name))
        bar = rule.Bar(entry.diameter_mm, length_mm, entry.yield_mpa, _section(entry, None)[1])
        keys = (f"steering.rod[{index}].diameter",)
        rod = DrivenRod(part(entry.name), bar, True, 0.0, 0.0, 0.0, keys)
        most_n = most_passed_n(study.sweep, study.team, entry.name)
        wanted = rules.buckling_factor * most_n
        yield PASSES_ON.strength(
            rod.about,
            wanted,
            bar.buckling_n(),
            assumed=message(
                "all that cylinders and boxes before it push taken beyond it, as by a wheel against a stump: {} in the "
                "worst position; joints free to turn, yield {}; {} times that, no shock",
                Quantity(most_n, "N"),
                mpa(bar.yield_mpa),
                number(rules.buckling_factor),
            ),
            case="push",
            cure=partial(_thicker, units, rod, partial(_stands, wanted), "longer arms of its levers"),
        )


def _stands(wanted_n: float, bar: rule.Bar) -> bool:
    return bar.buckling_n() >= wanted_n


def _thicker(units: Units, rod: DrivenRod, holds: Callable[[rule.Bar], bool], otherwise: str) -> Cure:
    sizes = PART_SIZES.above(rod.bar.diameter_mm, units)
    diameter = next((each for each in sizes if holds(rod.thicker(each))), None)
    if diameter is None:
        return advise(otherwise)
    to = size(diameter)
    return Cure(message("tube to {}, or {}", to, otherwise), tuple(Change(key, to) for key in rod.keys))


def driven_rod(rules: Rules, driven: Driven | None, study: "SteeringStudy | None") -> DrivenRod | None:
    """The rod that the cylinder pushes, with what is known of it; None where its size is not given."""
    bending = _bending(study)
    if study is None or bending is None:
        if driven is None:
            return None
        bar = rule.Bar(driven.diameter_mm, driven.length_mm, steel(driven.steel).fy_mpa, driven.bore_mm)
        skew_rad = rules.skew_rad if driven.out_of_line_rad is None else driven.out_of_line_rad
        return DrivenRod(part("driven rod"), bar, False, driven.arm_mm, driven.at_mm, skew_rad, ("driven.diameter",))
    return _of_linkage(study, bending, driven)


def _of_linkage(study: "SteeringStudy", bending: "RodBending", driven: Driven | None) -> DrivenRod | None:
    index, entry = next((i, rod) for i, rod in enumerate(study.steering.rod) if rod.name == bending.rod)
    fy = entry.yield_mpa or (None if driven is None else steel(driven.steel).fy_mpa)
    diameter, bore = _section(entry, driven)
    if fy is None or diameter is None:
        return None
    keys = [f"steering.rod[{index}].diameter"] if entry.diameter_mm is not None else []
    return DrivenRod(
        about=part(bending.rod),
        bar=rule.Bar(diameter, bending.length_mm, fy, bore),
        keeps_wall=entry.diameter_mm is not None,
        arm_mm=bending.eccentric_mm,
        at_mm=bending.at_mm,
        out_of_line_rad=bending.out_of_line_rad,
        keys=(*keys, "driven.diameter") if driven is not None else tuple(keys),
    )


def _section(entry: RodEntry, driven: Driven | None) -> tuple[float | None, float]:
    """Outside diameter and bore, the linkage's where it gives them."""
    if entry.diameter_mm is not None:
        return entry.diameter_mm, 0.0 if entry.wall_mm is None else entry.diameter_mm - 2.0 * entry.wall_mm
    return (None, 0.0) if driven is None else (driven.diameter_mm, driven.bore_mm)


def _bending(study: "SteeringStudy | None") -> "RodBending | None":
    return None if study is None or study.in_line is None else study.in_line.bending


def _alike(rod: DrivenRod, driven: Driven, bending: "RodBending") -> Iterator[Finding]:
    """Every number that linkage and ``[driven]`` both give; an arm or a place of 0 was left out."""
    rows = [
        ("diameter", driven.diameter_mm, rod.bar.diameter_mm, SECTION_WITHIN_MM),
        ("bore", driven.bore_mm, rod.bar.bore_mm, SECTION_WITHIN_MM),
        ("length", driven.length_mm, bending.length_mm, PLACE_WITHIN_MM),
    ]
    if driven.arm_mm > 0.0:
        rows.append(("arm", driven.arm_mm, bending.eccentric_mm, PLACE_WITHIN_MM))
    if driven.at_mm > 0.0:
        rows.append(("at", driven.at_mm, min(bending.at_mm, bending.length_mm - bending.at_mm), PLACE_WITHIN_MM))
    for key, there, drawn, within in rows:
        yield AGREES.at_most(
            part(*rod.about.names, key),
            within,
            abs(there - drawn),
            assumed=message("{} under [driven], {} in the linkage; the linkage's is judged", mm(there), mm(drawn)),
            cure=partial(set_to, f"driven.{key}", mm(drawn), f"{key} of {{}} under [driven], or mend the linkage"),
        )
