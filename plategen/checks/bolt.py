"""Bolts between two plates: shear, tension with shear, and slip.

The cylinder's force at the pin is brought to the pattern by :mod:`plategen.checks.bolt_load`.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from plategen.bracket.base import shims_of
from plategen.checks import larger
from plategen.checks.bolt_load import Pulled, face_of, pulled
from plategen.checks.bolt_plate import BOLT, check_plate_at_bolts
from plategen.checks.finding import Check, Finding, Part, between, first_worst, ratio
from plategen.checks.setting import Setting
from plategen.checks.slot import SLIPS, SQUARE_WITHIN_DEG, check_held_along
from plategen.checks.view import View
from plategen.rules import bolt as rule
from plategen.rules.bolt_grade import BoltGrade
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE, RuleSet

NOT_COVERED = "threads in the shear plane, stiff plates that bear at the edge of the face they share"
"""What every finding about bolts assumes."""

ON_PADS = "threads in the shear plane, a thin wall that bears at the bolts alone: the neutral axis in their middle"
"""What it assumes of a base on a rail's wall."""

_EN = f"{EN_JOINTS} Table 3.4"

SHEAR = BOLT("bolt shear", source=f"{AISC} J3.7 (J3.6 in 360-16)", en_source=_EN)
TENSION = BOLT(
    "bolt tension with shear",
    source=f"{AISC} J3.8 (J3.7 in 360-16)",
    en_source=_EN,
    not_covered="The plates of a bolted joint count as stiff: they tilt and bear on each other at the edge of the face "
    "they share. A thin plate bends, bears nearer to its bolts and pulls them more.",
)
SLIP = SLIPS("bolt slip", "bolt", needs="pretensioned bolts")
CHECKS = (SHEAR, TENSION, SLIP)
"""The checks of this file."""

_TENSION_SHARE = TENSION.variant(unit="1")
"""EN 1993-1-8 adds shares of two strengths, so the limit is 1."""

Asked: TypeAlias = Callable[[Pulled, BoltGrade, float], tuple[float, float]]
"""Demand on a bolt and what it can take, of what pulls, the bolt's grade and its diameter."""


@dataclass(frozen=True, slots=True)
class Pattern:
    """The bolts of a joint under judgement: what pulls on them, their grade and diameter."""

    setting: Setting
    about: Part
    pulls: list[Pulled]
    grade: BoltGrade
    diameter: float
    packed_mm: float  # The thickest packing between the plates.
    statics: str  # How the plates are taken to bear.

    def judged(self, check: Check, view: View, asked: Asked, assumed: str) -> Finding:
        """The worst of all cases, with the bolt that would hold as the cure."""

        def used(pull: Pulled) -> float:
            return ratio(*asked(pull, self.grade, self.diameter))

        def holds(diameter: float) -> bool:
            grade = self.setting.bolt_grade(diameter)
            return all(ratio(*asked(pull, grade, diameter)) <= 1.0 for pull in self.pulls)

        worst = first_worst(self.pulls, used)
        demand, capacity = asked(worst, self.grade, self.diameter)
        return view.strength(
            check,
            self.about,
            demand,
            capacity,
            assumed=assumed,
            case=worst.case,
            cure=lambda: larger.bolts_that_hold(self.setting, self.setting.bolt_key, self.diameter, holds),
        )


def check_bolts(setting: Setting) -> Iterator[Finding]:
    """Findings about every bolted joint."""
    for assembly, joint in setting.bolted:
        diameter = joint.upper_holes[0].bolt_mm
        grade = setting.bolt_grade(diameter)
        face = face_of(assembly, joint, setting.bracket.pin.centre)
        pulls = pulled(face, setting.cases, assembly.share)
        packed = thickest_packing_mm(setting) if joint.on_wall else 0.0
        about = between(joint.upper.name, joint.lower.name)
        pattern = Pattern(setting, about, pulls, grade, diameter, packed, NOT_COVERED if face.stiff else ON_PADS)
        for view in setting:
            yield _shear(pattern, view)
            yield _tension_with_shear(pattern, view)
        if setting.rules.pretensioned:
            yield from (_slip(pattern, view, list(joint.ways)) for view in setting.friction_views(diameter))
        if joint.upper.slots and not joint.stopped:
            shears = [(pull.case, pull.shear, pull.lift) for pull in pulls]
            yield from check_held_along(setting, joint.upper, joint.upper.slots, shears)
        # the two sides of the skew push alike in the plates' plane
        flat = list({pull.shear: pull for pull in reversed(pulls)}.values())
        pushes = [(pull.case, pull.shear) for pull in flat]
        for plate, holes in ((joint.upper, joint.upper_holes), (joint.lower, joint.lower_holes)):
            yield from check_plate_at_bolts(setting, plate, holes, pushes, grade)


def shear_strength_n(grade: BoltGrade, diameter: float, rules: RuleSet, packed_mm: float = 0.0) -> float:
    """What a bolt carries in shear by a rule set, through packing so thick, N."""
    if rules == "en-1993":
        packed = rule.en_packing(packed_mm, diameter)
        return packed * rule.en_shear_n(grade.tensile_mpa, stress_area_mm2(diameter), grade.alpha_v)
    packed = rule.packing(packed_mm)
    return packed * RUPTURE.available(rule.shear_nominal_n(grade.fnv_in_mpa, diameter), rules)


def tension_left_n(grade: BoltGrade, diameter: float, rules: RuleSet, shear_n: float, packed_mm: float = 0.0) -> float:
    """What a bolt carries in tension beside a shear, load factor in, by a rule set, N."""
    if rules == "en-1993":
        can = rule.en_tension_n(grade.tensile_mpa, stress_area_mm2(diameter))
        can_shear = shear_strength_n(grade, diameter, rules, packed_mm)
        return min(can, max(0.0, 1.4 * can * (1.0 - shear_n / can_shear)))
    gross = math.pi * diameter**2 / 4.0
    left = rule.tension_with_shear_mpa(grade.fnt_mpa, grade.fnv_in_mpa, shear_n / gross, rules)
    return RUPTURE.available(left * gross, rules)


def thickest_packing_mm(setting: Setting) -> float:
    """The thickest shim under a base; none where pulling up closes the gaps."""
    base = setting.design.base
    return 0.0 if base is None else max((bolt.gap_mm for bolt in shims_of(base)), default=0.0)


def _shear(pattern: Pattern, view: View) -> Finding:
    def asked(pull: Pulled, grade: BoltGrade, diameter: float) -> tuple[float, float]:
        return pull.most_shear * view.factor, shear_strength_n(grade, diameter, view.rules, pattern.packed_mm)

    return pattern.judged(SHEAR, view, asked, f"{pattern.grade.name}; {pattern.statics}")


def _tension_with_shear(pattern: Pattern, view: View) -> Finding:
    """Tension with the shear that goes with it, as a share of 1 (EN) or as a force (AISC)."""

    def asked(pull: Pulled, grade: BoltGrade, diameter: float) -> tuple[float, float]:
        shear, tension = pull.most_shear * view.factor, pull.tension * view.factor
        if not view.en:
            return tension, tension_left_n(grade, diameter, view.rules, shear)
        can = rule.en_tension_n(grade.tensile_mpa, stress_area_mm2(diameter))
        can_shear = shear_strength_n(grade, diameter, view.rules, pattern.packed_mm)
        return max(rule.en_combined(shear / can_shear, tension / can), tension / can), 1.0

    return pattern.judged(
        _TENSION_SHARE if view.en else TENSION, view, asked, f"{pattern.grade.name}; {pattern.statics}"
    )


def _slip(pattern: Pattern, view: View, slots: list[complex]) -> Finding:
    """Friction against the whole force on each bolt; ``slots`` are the directions of the slots that they sit in."""

    def asked(pull: Pulled, grade: BoltGrade, diameter: float) -> tuple[float, float]:
        def held(shear: complex, hole: rule.HoleKind) -> tuple[float, float]:
            area, pulled = stress_area_mm2(diameter), pull.lift * view.factor
            return abs(shear) * view.factor, rule.slip_strength_n(grade.tensile_mpa, area, pulled, view.rules, hole)

        return first_worst(map(held, pull.shear, _holes(pull.shear, slots)), lambda each: ratio(*each))

    return pattern.judged(
        SLIP,
        view,
        asked,
        "clean mill scale, mu 0.30; pretension 0.7 of the tensile strength, less what the side force pulls; "
        + ("long slots" if slots else "standard holes"),
    )


def _holes(shear: Sequence[complex], slots: Sequence[complex]) -> list[rule.HoleKind]:
    """The hole of each bolt as the force on it meets it: a slot counts as across the force within some degrees."""
    if not slots:
        return ["standard"] * len(shear)
    leans = [abs((force * along.conjugate()).real) for force, along in zip(shear, slots, strict=True)]
    most = [abs(force) * math.sin(math.radians(SQUARE_WITHIN_DEG)) for force in shear]
    across: rule.HoleKind = "long slot across the force"
    return [across if lean <= least else "long slot along the force" for lean, least in zip(leans, most, strict=True)]
