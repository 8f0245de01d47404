"""Bolts between two plates: shear, bearing and tear-out, tension with shear, slip, and block shear.

The cylinder's force at the pin is brought to the pattern by the elastic method: in the plates' plane as shear with its
moment, out of it as tension with its moment about the pattern. Prying is not covered.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial

from plategen.bracket.model import Hole, Plate
from plategen.checks.block_shear import Block, block_strength, blocks, edges_beside
from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly, BoltJoint
from plategen.checks.setting import Setting, View
from plategen.checks.slot import check_held_along
from plategen.checks.worst import first_worst
from plategen.ground.space import dot
from plategen.rules import bolt as rule
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.material import BoltGrade, Steel, bolt_grade
from plategen.rules.reach import Edges, reaches
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE, RuleSet

NOT_COVERED = "threads in the shear plane, elastic pattern, prying not covered"
"""What every finding about bolts assumes."""


@dataclass(frozen=True, slots=True)
class Pulled:
    """What one case does to a pattern, N.

    Args:
        case: The load case.
        shear: Shear on each bolt in the plane.
        tension: Largest tension of a bolt.
        lift: What of it no contact elsewhere balances: the pull on the joint itself, shared by all.
    """

    case: str
    shear: tuple[complex, ...]
    tension: float
    lift: float


def check_bolt_joint(
    setting: Setting, assembly: Assembly, joint: BoltJoint, steels: dict[str, Steel]
) -> Iterator[Finding]:
    """Every finding about one bolted joint."""
    diameter = joint.upper_holes[0].bolt_mm
    grade = bolt_grade(setting.rules.bolt_grade, diameter)
    at = [hole.circle.centre for hole in joint.upper_holes]
    pulls = [_pulled(setting, assembly, joint, index, at) for index in range(len(setting.cases))]
    part = f"{joint.upper.name} to {joint.lower.name}"
    most_shear = first_worst(pulls, lambda pull: max(map(abs, pull.shear)))
    shear = max(map(abs, most_shear.shear))
    for view in setting:
        rules, en = view.rules, view.rules == "en-1993"
        can = _shear_strength(grade, diameter, rules)
        yield _found(
            view,
            "bolt shear",
            part,
            shear,
            can,
            most_shear.case,
            f"{EN_JOINTS} Table 3.4" if en else f"{AISC} J3.7 (J3.6 in 360-16)",
            f"{grade.name}; {NOT_COVERED}",
            setting.bolts_that_hold(diameter, partial(_shears, setting, view, shear))
            if shear * view.factor > can
            else "",
        )
        yield _combined(setting, view, part, pulls, grade, diameter)
        if setting.rules.pretensioned:
            yield _slip(setting, view, part, pulls, grade, diameter)
    if joint.upper.slots:
        shears = [(pull.case, pull.shear, pull.lift) for pull in pulls]
        yield from check_held_along(setting, joint.upper, joint.upper.slots, shears)
    # the two sides of the skew push alike in the plates' plane
    flat = list({pull.shear: pull for pull in reversed(pulls)}.values())
    for plate, holes in ((joint.upper, joint.upper_holes), (joint.lower, joint.lower_holes)):
        yield from _plate(setting, plate, holes, flat, steels[plate.name], grade)


def _pulled(setting: Setting, assembly: Assembly, joint: BoltJoint, index: int, at: list[complex]) -> Pulled:
    case, place = setting.cases[index], joint.upper.placement
    f, share = case.force_n, assembly.share
    where = next((c.at for c in assembly.carriers if c.plate is joint.upper), None)
    if where is None:
        where = assembly.carriers[0].at if assembly.carriers else place.point(at[0])
    u, v, n = place.u, place.v, place.normal
    flat = share * complex(dot(f, u), dot(f, v))
    side = dot(f, n)
    foot = place.flat(where)
    shear = rule.group_forces_n(at, flat, foot)
    # out of the plane: the side force pulls the bolts and turns the plate about the pattern's centre; the force in the
    # plane acts half a thickness off the shear plane, and turns it too
    centre = sum(at) / len(at)
    lever = foot - centre
    off = joint.upper.thickness_mm / 2.0
    tilt = abs(side) * abs(lever) + abs(flat) * off
    spread = [abs(p - centre) for p in at]
    polar = sum(r * r for r in spread)
    turned = tilt * max(spread) / (polar / 2.0) if polar > 0.0 else math.inf if tilt > 0.0 else 0.0
    return Pulled(case.name, shear, abs(side) / len(at) + turned, abs(side) / len(at))


def _shear_strength(grade: BoltGrade, diameter: float, rules: RuleSet) -> float:
    if rules == "en-1993":
        return rule.en_shear_n(grade.tensile_mpa, stress_area_mm2(diameter), grade.alpha_v)
    return RUPTURE.available(rule.shear_nominal_n(grade.fnv_in_mpa, diameter), rules)


def _shears(setting: Setting, view: View, shear: float, diameter: float) -> bool:
    """Whether a bolt of a diameter carries a shear."""
    return shear * view.factor <= _shear_strength(bolt_grade(setting.rules.bolt_grade, diameter), diameter, view.rules)


def _combined(
    setting: Setting, view: View, part: str, pulls: list[Pulled], grade: BoltGrade, diameter: float
) -> Finding:
    """Tension with the shear that goes with it, as a share of 1 (EN) or as a force (AISC)."""

    def pair(pull: Pulled, grade: BoltGrade, diameter: float) -> tuple[float, float]:
        gross, can_shear = math.pi * diameter**2 / 4.0, _shear_strength(grade, diameter, view.rules)
        shear, tension = max(map(abs, pull.shear)) * view.factor, pull.tension * view.factor
        if view.rules == "en-1993":
            can = rule.en_tension_n(grade.tensile_mpa, stress_area_mm2(diameter))
            return max(rule.en_combined(shear / can_shear, tension / can), tension / can), 1.0
        left = rule.tension_with_shear_mpa(grade.fnt_mpa, grade.fnv_in_mpa, shear / gross, view.rules)
        return tension, RUPTURE.available(left * gross, view.rules)

    def holds(diameter: float) -> bool:
        grade = bolt_grade(setting.rules.bolt_grade, diameter)
        return all(_ratio(*pair(pull, grade, diameter)) <= 1.0 for pull in pulls)

    worst = first_worst(pulls, lambda pull: _ratio(*pair(pull, grade, diameter)))
    demand, capacity = pair(worst, grade, diameter)
    en = view.rules == "en-1993"
    return Finding(
        check="bolt tension with shear",
        part=part,
        demand=demand,
        capacity=capacity,
        unit="1" if en else "N",
        source=f"{EN_JOINTS} Table 3.4" if en else f"{AISC} J3.8 (J3.7 in 360-16)",
        assumed=f"{grade.name}; {NOT_COVERED}; {view.loads}",
        case=worst.case,
        cure=setting.bolts_that_hold(diameter, holds) if demand > capacity else "",
        opinion=view.opinion,
    )


def _slip(setting: Setting, view: View, part: str, pulls: list[Pulled], grade: BoltGrade, diameter: float) -> Finding:
    def pair(pull: Pulled, grade: BoltGrade, diameter: float) -> tuple[float, float]:
        can = rule.slip_strength_n(grade.tensile_mpa, stress_area_mm2(diameter), pull.lift * view.factor, view.rules)
        return max(map(abs, pull.shear)) * view.factor, can

    def holds(diameter: float) -> bool:
        grade = bolt_grade(setting.rules.bolt_grade, diameter)
        return all(_ratio(*pair(pull, grade, diameter)) <= 1.0 for pull in pulls)

    worst = first_worst(pulls, lambda pull: _ratio(*pair(pull, grade, diameter)))
    demand, can = pair(worst, grade, diameter)
    return _found(
        view,
        "bolt slip",
        part,
        demand / view.factor,
        can,
        worst.case,
        f"{EN_JOINTS} 3.9.1 and 3.9.2" if view.rules == "en-1993" else f"{AISC} J3.9, J3.10 (J3.8, J3.9 in 360-16)",
        "clean mill scale, mu 0.30; pretension 0.7 of the tensile strength, less what the side force pulls; standard "
        "holes",
        setting.bolts_that_hold(diameter, holds) if demand > can else "",
    )


def _plate(
    setting: Setting, plate: Plate, holes: tuple[Hole, ...], pulls: list[Pulled], steel: Steel, grade: BoltGrade
) -> Iterator[Finding]:
    """Bearing and tear-out of every hole in every direction, and block shear of the pattern."""
    t, d, d0 = plate.thickness_mm, holes[0].bolt_mm, 2.0 * holes[0].circle.radius
    clears = _clears(plate, holes, pulls)
    torn = blocks(plate, holes, [(sum(pull.shear), pull.case) for pull in pulls])
    for view in setting:
        en = view.rules == "en-1993"
        if clears:
            slotted = bool(plate.slots)
            strengths = [
                _bearing(view, steel, grade, d, d0, t, clear, across, slotted) for _, _, clear, across in clears
            ]
            capacity, worst = first_worst(zip(strengths, clears, strict=True), _used)
            yield _found(
                view,
                "bolt bearing and tear-out",
                plate.name,
                worst[0],
                capacity,
                worst[1],
                f"{EN_JOINTS} Table 3.4" if en else f"{AISC} J3.11 (J3.10 in 360-16)",
                "clear steel along the force to the next edge or hole; the hole's stretch matters",
                f"thickness to {setting.up(t * _ratio(worst[0] * view.factor, capacity))}",
            )
        if torn:
            reserves = [(block_strength(view, steel, block), block) for block in torn]
            can, block = first_worst(reserves, _used_by_block)
            yield _found(
                view,
                "block shear",
                plate.name,
                block.force,
                can,
                block.case,
                f"{EN_JOINTS} 3.10.2" if en else f"{AISC} J4.3, Ubs = 1",
                "the block between the outer bolts and the edge that the force points to",
                f"thickness to {setting.up(t * _ratio(block.force * view.factor, can))}",
            )


def _clears(plate: Plate, holes: tuple[Hole, ...], pulls: list[Pulled]) -> list[tuple[float, str, float, float]]:
    """Force, case, clear steel along the force and least distance across it, for every hole and direction."""
    segments = edges_beside(plate, holes)
    found = []
    for index, hole in enumerate(holes):
        pushes = [(pull.case, pull.shear[index]) for pull in pulls if abs(pull.shear[index]) > 1e-9]
        if not pushes:
            continue
        edges = Edges.of(segments, [other.circle for other in plate.holes if other is not hole])
        ways = [force / abs(force) * turn for _, force in pushes for turn in (1, 1j, -1j)]
        far = reaches(edges, hole.circle.centre, ways)[0].tolist()
        for k, (case, force) in enumerate(pushes):
            ahead, left, right = far[3 * k : 3 * k + 3]
            across = min(
                side - _to_slot_end(plate, hole, way)
                for side, way in zip((left, right), ways[3 * k + 1 : 3 * k + 3], strict=True)
            )
            found.append((abs(force), case, ahead - hole.circle.radius, across))
    return found


def _to_slot_end(plate: Plate, hole: Hole, way: complex) -> float:
    """How far a bolt's slot reaches in a direction, from where the bolt sits to the centre of its end; 0 for a hole."""
    centre = hole.circle.centre
    ends = [end for slot in plate.slots if slot.name == hole.name for end in slot.ends]
    return max((((end - centre) * way.conjugate()).real for end in ends), default=0.0)


def _bearing(
    view: View,
    steel: Steel,
    grade: BoltGrade,
    d: float,
    d0: float,
    t: float,
    clear_mm: float,
    across_mm: float,
    slotted: bool,
) -> float:
    """What one hole may bear, by its clear steel along the force and from its centre to the edge across it."""
    if view.rules == "en-1993":
        return rule.en_bearing_n(
            steel.fu_mpa, grade.tensile_mpa, d, d0, t, clear_mm + d0 / 2.0, across_mm, slotted=slotted
        )
    return RUPTURE.available(rule.bearing_nominal_n(steel.fu_mpa, d, t, clear_mm, slotted=slotted), view.rules)


def _used(pair: tuple[float, tuple[float, str, float, float]]) -> float:
    """Force over strength."""
    return _ratio(pair[1][0], pair[0])


def _used_by_block(pair: tuple[float, Block]) -> float:
    """Force over strength."""
    return _ratio(pair[1].force, pair[0])


def _found(
    view: View, check: str, part: str, force: float, capacity: float, case: str, source: str, assumed: str, cure: str
) -> Finding:
    demand = force * view.factor
    return Finding(
        check=check,
        part=part,
        demand=demand,
        capacity=capacity,
        unit="N",
        source=source,
        assumed=f"{assumed}; {view.loads}",
        case=case,
        cure=cure if demand > capacity else "",
        opinion=view.opinion,
    )


def _ratio(demand: float, capacity: float) -> float:
    return demand / capacity if capacity > 0.0 else math.inf
