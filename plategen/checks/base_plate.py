"""A base on a rail's wall: prying of its bolts, the wall that they pull and press, a box section that they squeeze."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.bolt import tension_left_n, thickest_packing_mm
from plategen.checks.bolt_load import Pulled, face_of, pulled
from plategen.checks.finding import Check, Finding, between, first_worst, part, ratio
from plategen.checks.load_path import BoltJoint, bolt_holes
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.flat.distance import reach
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, message, mm, size
from plategen.ground.shop_size import PART_SIZES
from plategen.rules.bolt_grade import BoltGrade
from plategen.rules.fastener import tightened_n
from plategen.rules.prying import share_left, tee_half_n
from plategen.rules.safety import YIELDING
from plategen.rules.wall_bending import hinge_n, pulled_at_a_point_n

_row = partial(Check, subject="base", unit="N", needs="a base that is bolted to the rail")
PRYING = _row(
    "base at its bolts, with prying",
    source="AISC Manual part 9, prying action (from memory)",
    en_source="EN 1993-1-8:2005 6.2.4, Table 6.2",
)
WALL = _row(
    "rail wall at the bolts",
    source="yield lines about a bolt in a wide clamped wall: 4 pi m, m = Fy t^2/4 (plastic theory of plates)",
    not_covered="The rail as a whole, its bending, its twist and its own fatigue at the new holes, is not judged.",
)
SQUEEZED = _row(
    "box section squeezed by its bolts", source="yield lines as for the wall; a sleeve's area in compression"
)
BLIND = Check("nuts within a box section", "base", "1", "at most", needs="a base on a box section")
CHECKS = (PRYING, WALL, SQUEEZED, BLIND)
"""The checks of this file."""

SLEEVE_FY_MPA = 235.0
"""Yield strength that any sleeve has: S235 or A36."""

SLEEVE_WALL_MM = 3.0
"""A sleeve is at least so much wider than its bolt's hole on each side (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Strip:
    """A bolt in its base, mm: from the part that pulls, from the bead on it, to the edge, and the width that bends."""

    b: float
    m: float
    a: float
    p: float


def check_base(setting: Setting) -> Iterator[Finding]:
    """Findings about a base that is bolted to a rail; none without one."""
    for assembly, joint in setting.bolted:
        if not joint.on_wall:
            continue
        pulls = pulled(face_of(assembly, joint, setting.bracket.pin.centre), setting.cases, assembly.share)
        for view in setting:
            yield _prying(setting, view, joint, pulls)
            yield _wall(setting, view, joint, pulls)
        yield from _box(setting, joint)


def strips(setting: Setting, base: Plate) -> list[Strip]:
    """Every bolt of a base as a strip that bends from the nearest ear, or from the end of the ears' feet."""
    ears = []
    for plate in setting.bracket.plates:
        if plate.role == "ear" and plate.notch is not None:
            ends = (plate.notch.start, plate.notch.end)
            at = [base.placement.flat(plate.placement.point(p, w)) for p in ends for w in (0.0, plate.thickness_mm)]
            ears.append(_about(at))
    together = _about([corner for ear in ears for corner in ear])
    bolts, hole_mm = zip(*((hole.circle.centre, 2.0 * hole.circle.radius) for hole in bolt_holes(base)), strict=True)
    found = []
    for at in bolts:
        off = at - _nearest(together, at)
        if off == 0.0:  # between the ears
            off = at - min((_nearest(ear, at) for ear in ears), key=lambda p: abs(p - at))
        way = off / abs(off) if abs(off) > 1e-9 else 1j
        side = way * 1j
        next_to = [abs((p - at).real * side.real + (p - at).imag * side.imag) for p in bolts if p != at]
        spacing = min((s for s in next_to if s > 1.0), default=math.inf)
        edge = min(reach(base.outline, at, side), reach(base.outline, at, -side))
        b, a = abs(off), reach(base.outline, at, way)
        half = min(b, spacing / 2.0)
        # a formed ear goes on into the base, with no bead that makes the strip shorter
        leg = setting.job.weld.leg_mm if setting.bracket.folded is None else 0.0
        wide = max(half + min(half, edge), hole_mm[0])
        found.append(Strip(b=max(b, leg), m=max(0.2 * leg, b - 0.8 * leg), a=a, p=wide))
    return found


def _about(points: Sequence[complex]) -> tuple[complex, complex]:
    """Corners of the box about some points: least and most of both axes."""
    us, vs = [p.real for p in points], [p.imag for p in points]
    return complex(min(us), min(vs)), complex(max(us), max(vs))


def _nearest(box: tuple[complex, complex], p: complex) -> complex:
    """The point of a box that is nearest to another."""
    least, most = box
    return complex(min(max(p.real, least.real), most.real), min(max(p.imag, least.imag), most.imag))


def _prying(setting: Setting, view: View, joint: BoltJoint, pulls: list[Pulled]) -> Finding:
    base, steel = joint.upper, setting.steels[joint.upper.name]
    bolt_mm, hole_mm = joint.upper_holes[0].bolt_mm, 2.0 * joint.upper_holes[0].circle.radius
    grade, packed, bent = setting.bolt_grade(bolt_mm), thickest_packing_mm(setting), strips(setting, base)

    def asked(pull: Pulled, index: int, thickness: float) -> tuple[float, float]:
        shear, tension = abs(pull.shear[index]) * view.factor, pull.tensions[index] * view.factor
        can, strip = tension_left_n(grade, bolt_mm, view.rules, shear, packed), bent[index]
        if view.en:
            half = tee_half_n(
                thickness_mm=thickness, fy_mpa=steel.fy_mpa, tension_n=can, m_mm=strip.m, e_mm=strip.a, p_mm=strip.p
            )
            return tension, half
        share = share_left(
            thickness_mm=thickness, fu_mpa=steel.fu_mpa, bolt_mm=bolt_mm, hole_mm=min(hole_mm, 0.9 * strip.p),
            available_n=can, b_mm=strip.b, a_mm=strip.a, p_mm=strip.p, rules=view.rules,
        )  # fmt: skip
        return tension, share * can

    pairs = [(pull, index) for pull in pulls for index in range(len(bent))]
    worst, index = first_worst(pairs, lambda pair: ratio(*asked(*pair, base.thickness_mm)))
    demand, can = asked(worst, index, base.thickness_mm)

    def holds(thickness: float) -> bool:
        return all(ratio(*asked(*pair, thickness)) <= 1.0 for pair in pairs)

    def thicker() -> Cure | None:
        right = larger.size_that_holds(setting, base.thickness_mm, holds, 3.0 * base.thickness_mm)
        if right is None:
            return advise("larger bolts, more of them, or bolts further apart")
        return set_to(larger.thickness_key(setting, base.name), size(right), "a base of {}")

    return view.strength(
        PRYING,
        between(base.name, joint.lower.name, f"bolt {index + 1}"),
        demand,
        can,
        assumed=message(
            "{} from the ears to the bolt, {} on to the edge, {} of width; its tension left beside its shear",
            mm(bent[index].b), mm(bent[index].a), mm(bent[index].p),
        ),
        case=worst.case,
        cure=thicker,
    )  # fmt: skip


def wall_n(setting: Setting, view: View) -> float:
    """What the rail's wall carries of a bolt that pulls or presses, with the plate behind it bending beside it."""
    wall, backing = setting.job.rail.wall_mm, setting.bracket.of_role("backing")
    hinge = hinge_n(setting.wall.fy_mpa, wall)
    if backing is not None and setting.job.bolted is not None and setting.job.bolted.depth_mm is None:
        hinge += hinge_n(setting.steels[backing.name].fy_mpa, backing.thickness_mm)
    nominal = pulled_at_a_point_n(hinge)
    return nominal if view.en else YIELDING.available(nominal, view.rules)


def _wall(setting: Setting, view: View, joint: BoltJoint, pulls: list[Pulled]) -> Finding:
    def most(pull: Pulled) -> float:
        return max(*pull.tensions, *pull.contact)

    worst, can = first_worst(pulls, most), wall_n(setting, view)
    demand = most(worst) * view.factor
    behind = setting.bracket.of_role("backing")

    def backed() -> Cure | None:
        steel = setting.steels[behind.name if behind is not None else joint.upper.name]
        fy = steel.fy_mpa if view.en else YIELDING.available(steel.fy_mpa, view.rules)
        own = can - (0.0 if behind is None else math.pi * fy * behind.thickness_mm**2)
        wanted = PART_SIZES.up(math.sqrt(max(0.0, demand - own) / (math.pi * fy)), setting.job.units)
        if setting.job.bolted is not None and setting.job.bolted.depth_mm is not None:
            return advise("bolts further apart, or more of them: the wall of a box section is what it is")
        return set_to("bolted.backing", size(wanted), "a backing plate of {} behind the wall")

    return view.strength(
        WALL,
        part(joint.lower.name),
        demand,
        can,
        assumed=message(
            "wall of {}{}; the worst of the pull and the press of one bolt; the rail's own stress taken as none",
            mm(setting.job.rail.wall_mm),
            message(", a plate of {} behind it", mm(behind.thickness_mm)) if behind is not None else "",
        ),
        case=worst.case,
        cure=backed,
    )


def _box(setting: Setting, joint: BoltJoint) -> Iterator[Finding]:
    wanted, box = setting.job.bolted, setting.job.rail.section == "box"
    if wanted is None or not (box or wanted.depth_mm is not None):
        return
    yield BLIND.at_most(
        part(joint.lower.name),
        0.0,
        float(len(joint.upper_holes)) if wanted.depth_mm is None else 0.0,
        assumed="a nut within a closed section can be neither held nor looked at",
        cure="bolts right through the section, in sleeves: its depth under [bolted]",
    )
    if wanted.depth_mm is None:
        return
    bolt_mm = joint.upper_holes[0].bolt_mm
    grade: BoltGrade = setting.bolt_grade(bolt_mm)
    pull = tightened_n(grade, bolt_mm, pretensioned=setting.rules.pretensioned)
    hole_mm = 2.0 * joint.upper_holes[0].circle.radius

    def sleeve_n(outside_mm: float, view: View) -> float:
        area = math.pi / 4.0 * (outside_mm**2 - hole_mm**2)
        nominal = SLEEVE_FY_MPA * max(0.0, area)
        return nominal if view.en else YIELDING.available(nominal, view.rules)

    for view in setting:
        can = wall_n(setting, view) if wanted.sleeve_mm is None else sleeve_n(wanted.sleeve_mm, view)

        def sleeve(view: View = view) -> Cure | None:
            least = max(hole_mm + 2.0 * SLEEVE_WALL_MM, bolt_mm)
            right = larger.size_that_holds(setting, least, lambda d: sleeve_n(d, view) >= pull)
            return advise("smaller bolts") if right is None else set_to("bolted.sleeve", size(right), "sleeves of {}")

        yield view.strength(
            SQUEEZED,
            part(joint.lower.name),
            pull,
            can,
            assumed=_sleeved(wanted.sleeve_mm, wanted.depth_mm),
            cure=sleeve,
        )


def _sleeved(sleeve_mm: float | None, depth_mm: float) -> Message:
    if sleeve_mm is None:
        return message("the tension to which a bolt is tightened, no sleeve: the two walls take it in bending")
    return message(
        "the tension to which a bolt is tightened, sleeves of {} in a depth of {}", mm(sleeve_mm), mm(depth_mm)
    )
