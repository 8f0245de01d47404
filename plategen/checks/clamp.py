"""A clamp about a tube: whether friction holds it along and about the tube, its bolts' pull, and its plates' bending.

The bolts' pretension presses each half on the tube, so friction has the bolts' whole pull twice. Wedging of the tube in
its cradles would add to that and is left out; so is the clamp's squeeze on the tube's wall.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from operator import itemgetter

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.ground.message import Message, message
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector, cross, dot, minus, mixed
from plategen.job.style_tables import Seat
from plategen.rules import bolt as rule
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.safety import AISC, EN_JOINTS, PRACTICE, RUPTURE, SLIP, YIELDING
from plategen.rules.wrench import HAND_MM, wrench_size

MU = 0.15
"""Friction of a clamp on a tube, steel on steel that may be oiled or painted (common practice, no source)."""

NUT_OVER_BOLT = 1.4
"""How far washer, nut and thread stand out, over the bolt (common practice, no source)."""

BOLT_KEY = "seat.clamp.bolt"
"""The key of the job file that the clamp's bolts have their size from."""

_row = partial(Check, subject="clamp", needs="a clamp")
FRICTION = _row(
    "clamp slip on the tube",
    unit="N",
    source=f"{PRACTICE}: mu 0.15, safety of a slip joint (AISC 360 J3.9)",
    not_covered="The clamp's squeeze on the tube's wall is not checked.",
)
TENSION = _row(
    "clamp bolt tension", unit="N", source=f"{AISC} J3.7 (J3.6 in 360-16)", en_source=f"{EN_JOINTS} Table 3.4"
)
BENDING = Check(
    "clamp plate bending", "clamp", "MPa", source="beam theory, first yield", needs="a clamp with pretensioned bolts"
)
BARREL = _row("barrel beside the clamp's nuts", unit="mm", limit="at least", most="caution")
CHECKS = (FRICTION, TENSION, BENDING, BARREL)
"""The checks of this file."""


@dataclass(frozen=True, slots=True)
class Grip:
    """A clamp as its bolts see it, mm: half their spacings along and across the tube, and how far they lie out."""

    plate: Plate
    along: float
    across: float
    arm: float
    end: float
    radius: float
    is_round: bool
    axis: Vector
    pin: Vector

    @property
    def bolt_mm(self) -> float:
        """The bolts' diameter."""
        return self.plate.holes[0].bolt_mm

    def parts_of(self, force: Vector) -> tuple[Vector, Vector]:
        """A force at the pin and its moment about the middle of the clamp: along the tube, across it, away from it."""
        place, moment = self.plate.placement, cross(minus(self.pin, self.axis), force)
        u, v, n = place.u, place.v, place.normal
        return (dot(force, u), dot(force, v), dot(force, n)), (dot(moment, u), dot(moment, v), dot(moment, n))


def check_clamp(setting: Setting) -> Iterator[Finding]:
    """Findings about a bracket's clamp; none when it has no clamp."""
    seat = setting.job.seat
    halves = [plate for plate in setting.bracket.plates if plate.role == "clamp"]
    if seat is None or not halves:
        return
    grip = _grip(setting, seat, *halves)
    views = setting.friction_views(grip.bolt_mm)
    yield from (_friction(setting, view, grip) for view in views)
    yield from (_tension(setting, view, grip) for view in setting)
    if setting.rules.pretensioned:
        yield from (_bending(setting, view, grip) for view in views)
    yield from _barrel(setting, grip)


def _grip(setting: Setting, seat: Seat, near: Plate, far: Plate) -> Grip:
    holes = [hole.circle.centre for hole in near.holes]
    us, vs = [p.real for p in holes], [p.imag for p in holes]
    across, half = (max(vs) - min(vs)) / 2.0, seat.across_mm / 2.0
    corner = 2.0 * setting.job.rail.wall_mm if seat.corner_mm is None else seat.corner_mm
    contact = half if seat.tube == "round" else half - corner
    one, other = near.placement.origin, far.placement.origin
    return Grip(
        plate=near,
        along=(max(us) - min(us)) / 2.0,
        across=across,
        arm=across - contact,
        end=near.outline.bounds[2] - max(us),
        radius=half,
        is_round=seat.tube == "round",
        axis=mixed(mixed(one, 0.5, other, 0.5), 1.0, near.placement.u, (max(us) + min(us)) / 2.0),
        pin=setting.bracket.pin.centre,
    )


def _pull(setting: Setting, bolt: float) -> float:
    """Pretension of a bolt of a diameter."""
    return rule.pretension_n(setting.tight_grade(bolt).tensile_mpa, stress_area_mm2(bolt))


def _friction(setting: Setting, view: View, grip: Grip) -> Finding:
    count, tight = len(grip.plate.holes), setting.rules.pretensioned

    def worst(pull: float) -> tuple[float, float, Message]:
        cases = []
        for case in setting.cases:
            (along, across, away), (twist, _, _) = grip.parts_of(case.force_n)
            # a cradle holds a round tube sideways; on a flat the side force slides as well
            asked = math.hypot(along, twist / grip.radius if grip.is_round else across) * view.factor
            pressed = max(0.0, 2.0 * count * pull - max(0.0, away) * view.factor)
            cases.append((asked, SLIP.available(MU * pressed, view.rules), case.name))
        return max(cases, key=lambda c: (c[0] / c[1] if c[1] > 0.0 else math.inf, c[0]))

    def holds(diameter: float) -> bool:
        asked, can, _ = worst(_pull(setting, diameter))
        return asked <= can

    demand, can, name = worst(_pull(setting, grip.bolt_mm) if tight else 0.0)
    return view.strength(
        FRICTION,
        part("clamp"),
        demand,
        can,
        assumed=message(
            "{} bolts at 0.7 of their tensile strength, twice their pull on the tube; along the tube and {} it",
            count,
            "about" if grip.is_round else "across",
        )
        if tight
        else "bolts without pretension press on nothing",
        case=name,
        cure=lambda: larger.friction_that_holds(setting, BOLT_KEY, grip.bolt_mm, holds, "or bolts of a stronger grade"),
    )


def _tension(setting: Setting, view: View, grip: Grip) -> Finding:
    count = len(grip.plate.holes)
    cases = []
    for case in setting.cases:
        (_, _, away), (twist, pitch, _) = grip.parts_of(case.force_n)
        # half of the bolts stand on the side that lifts
        lift = abs(pitch) / (2.0 * grip.along) / (count / 2.0)
        roll = 0.0 if grip.is_round else abs(twist) / (2.0 * grip.across) / (count / 2.0)
        cases.append((max(0.0, away) / count + lift + roll, case.name))
    worst, name = max(cases, key=itemgetter(0))
    demand = worst * view.factor

    def strength(diameter: float) -> float:
        grade = setting.bolt_grade(diameter)
        if view.en:
            return rule.en_tension_n(grade.tensile_mpa, stress_area_mm2(diameter))
        return RUPTURE.available(grade.fnt_mpa * math.pi * diameter**2 / 4.0, view.rules)

    return view.strength(
        TENSION,
        part("clamp"),
        demand,
        strength(grip.bolt_mm),
        assumed="pull away from the tube and tilt along it, no help by friction; prying not covered",
        case=name,
        cure=lambda: larger.bolts_that_hold(setting, BOLT_KEY, grip.bolt_mm, lambda d: demand <= strength(d)),
    )


def _bending(setting: Setting, view: View, grip: Grip) -> Finding:
    t, fy = grip.plate.thickness_mm, setting.steels[grip.plate.name].fy_mpa
    stress = 6.0 * _pull(setting, grip.bolt_mm) * grip.arm / (2.0 * grip.end * t**2)
    can = fy if view.en else YIELDING.available(fy, view.rules)
    return BENDING.strength(
        part(grip.plate.name),
        stress,
        can,
        assumed="each bolt's pretension over the edge of what bears on the tube, a strip of twice its end distance",
        cure=lambda: larger.raise_to(
            setting,
            larger.thickness_key(setting, grip.plate.name),
            t * math.sqrt(stress / can),
            "clamp thickness to {}",
            "a stronger steel",
        ),
        opinion=view.opinion,
    )


def _barrel(setting: Setting, grip: Grip) -> Iterator[Finding]:
    """Room between the barrel and the nuts that stand on the near plate beside it."""
    bolt, pin = grip.bolt_mm, grip.pin
    try:
        corner = wrench_size(bolt).nut_mm / math.sqrt(3.0)
    except Refusal:
        return
    rooms = []
    for hole in grip.plate.holes:
        u, v, w = grip.plate.placement.point(hole.circle.centre, grip.plate.thickness_mm + NUT_OVER_BOLT * bolt)
        if u + corner > pin[0]:
            rooms.append(math.hypot(v - pin[1], max(0.0, abs(w - pin[2]) - corner)))
    if rooms:
        yield BARREL.at_least(
            part("clamp"),
            setting.job.cylinder.body_diameter_mm / 2.0 + HAND_MM,
            min(rooms),
            assumed="from the cylinder's line, drawn straight, to the nuts' tops: 1.4 d with washer and thread",
            cure="a larger in-line offset, or a wider clamp",
        )
