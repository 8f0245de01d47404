"""A clamp about a tube: whether friction holds it along and about the tube, its bolts' pull, and its plates' bending.

The bolts' pretension presses each half on the tube, so friction has the bolts' whole pull twice. Wedging of the tube in
its cradles would add to that and is left out; so is the clamp's squeeze on the tube's wall.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from plategen.bracket.model import Bracket, Plate
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting, View
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector, dot
from plategen.job.seat import Seat
from plategen.rules import bolt as rule
from plategen.rules.hole_size import stress_area_mm2, wrench_size
from plategen.rules.material import BoltGrade, Steel, bolt_grade
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE, SLIP, YIELDING
from plategen.rules.tool_room import HAND_MM, PRACTICE

MU = 0.15
"""Friction of a clamp on a tube, steel on steel that may be oiled or painted (common practice, no source)."""

NUT_OVER_BOLT = 1.4
"""How far washer, nut and thread stand out, over the bolt (common practice, no source)."""

PRETENSION = 0.7
"""Pretension over tensile strength (AISC 360 Table J3.1; EN 1993-1-8 3.6.1)."""


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


def check_clamp(setting: Setting, bracket: Bracket, steels: dict[str, Steel]) -> Iterator[Finding]:
    """Every finding about a bracket's clamp; none when it has no clamp."""
    seat = setting.job.seat
    plates = {plate.name: plate for plate in bracket.plates}
    if seat is None or "clamp_near" not in plates:
        return
    grip = _grip(plates["clamp_near"], plates["clamp_far"], seat, setting.job.rail.wall_mm)
    bolt = grip.plate.holes[0].bolt_mm
    grade = bolt_grade(setting.rules.bolt_grade, bolt)
    pull = _pull(setting, bolt)
    yield from _slip(setting, bracket, grip, bolt)
    yield from _tension(setting, bracket, grip, grade, bolt)
    if pull:
        yield from _bending(setting, grip, pull, steels[grip.plate.name])
    yield from _barrel(setting, bracket, grip, bolt)


def _grip(near: Plate, far: Plate, seat: Seat, wall_mm: float) -> Grip:
    holes = [hole.circle.centre for hole in near.holes]
    us, vs = [p.real for p in holes], [p.imag for p in holes]
    across = (max(vs) - min(vs)) / 2.0
    half = seat.across_mm / 2.0
    contact = half if seat.tube == "round" else half - (2.0 * wall_mm if seat.corner_mm is None else seat.corner_mm)
    one, other, place = near.placement.origin, far.placement.origin, near.placement
    middle = tuple((a + b) / 2.0 for a, b in zip(one, other, strict=True))
    axis = tuple(m + (max(us) + min(us)) / 2.0 * u for m, u in zip(middle, place.u, strict=True))
    return Grip(
        plate=near,
        along=(max(us) - min(us)) / 2.0,
        across=across,
        arm=across - contact,
        end=near.outline.bounds[2] - max(us),
        radius=half,
        is_round=seat.tube == "round",
        axis=axis,  # type: ignore[arg-type]
    )


def _seen(grip: Grip, bracket: Bracket, force: Vector) -> tuple[Vector, Vector]:
    """A force at the pin and its moment about the middle of the clamp: along the tube, across it, away from it."""
    place, pin = grip.plate.placement, bracket.pin.centre
    r = (pin[0] - grip.axis[0], pin[1] - grip.axis[1], pin[2] - grip.axis[2])
    m = (
        r[1] * force[2] - r[2] * force[1],
        r[2] * force[0] - r[0] * force[2],
        r[0] * force[1] - r[1] * force[0],
    )
    ways = (place.u, place.v, place.normal)
    return tuple(dot(force, w) for w in ways), tuple(dot(m, w) for w in ways)  # type: ignore[return-value]


def _pull(setting: Setting, bolt: float) -> float:
    """Pretension of a bolt of a diameter; 0 when the job asks for none."""
    if not setting.rules.pretensioned:
        return 0.0
    return PRETENSION * bolt_grade(setting.rules.bolt_grade, bolt).tensile_mpa * stress_area_mm2(bolt)


def _slip(setting: Setting, bracket: Bracket, grip: Grip, bolt: float) -> Iterator[Finding]:
    count, tight = len(grip.plate.holes), setting.rules.pretensioned
    for view in setting:

        def worst(diameter: float, view: View = view) -> tuple[float, float, str]:
            pull, cases = _pull(setting, diameter), []
            for case in setting.cases:
                (along, across, away), (twist, _, _) = _seen(grip, bracket, case.force_n)
                # a cradle holds a round tube sideways; on a flat the side force slides as well
                asked = math.hypot(along, twist / grip.radius if grip.is_round else across) * view.factor
                pressed = max(0.0, 2.0 * count * pull - max(0.0, away) * view.factor)
                cases.append((asked, SLIP.available(MU * pressed, view.rules), case.name))
            return max(cases, key=lambda c: (c[0] / c[1] if c[1] > 0.0 else math.inf, c[0]))

        def holds(diameter: float, worst: Callable[[float], tuple[float, float, str]] = worst) -> bool:
            asked, can, _ = worst(diameter)
            return asked <= can

        demand, can, name = worst(bolt)
        cure = (
            setting.bolts_that_hold(bolt, holds)
            if tight
            else "pretension the bolts (pretensioned = true under [rules])"
        )
        yield Finding(
            check="clamp slip on the tube",
            part="clamp",
            demand=demand,
            capacity=can,
            unit="N",
            source="common practice, no source: mu 0.15, safety of a slip joint (AISC 360 J3.9)",
            assumed=(
                f"{count} bolts at 0.7 of their tensile strength, twice their pull on the tube; along the tube"
                f"{' and about it' if grip.is_round else ' and across it'}; {view.loads}"
            )
            if tight
            else f"bolts without pretension press on nothing; {view.loads}",
            case=name,
            cure=cure if demand > can else "",
            opinion=view.opinion,
        )


def _tension(setting: Setting, bracket: Bracket, grip: Grip, grade: BoltGrade, bolt: float) -> Iterator[Finding]:
    count = len(grip.plate.holes)
    cases = []
    for case in setting.cases:
        (_, _, away), (twist, pitch, _) = _seen(grip, bracket, case.force_n)
        # half of the bolts stand on the side that lifts
        lift = abs(pitch) / (2.0 * grip.along) / (count / 2.0)
        roll = 0.0 if grip.is_round else abs(twist) / (2.0 * grip.across) / (count / 2.0)
        cases.append((max(0.0, away) / count + lift + roll, case.name))
    worst, name = max(cases)
    for view in setting:
        demand, can = worst * view.factor, _tensile(view, grade, bolt)

        def holds(diameter: float, view: View = view) -> bool:
            return worst * view.factor <= _tensile(view, bolt_grade(setting.rules.bolt_grade, diameter), diameter)

        yield Finding(
            check="clamp bolt tension",
            part="clamp",
            demand=demand,
            capacity=can,
            unit="N",
            source=f"{EN_JOINTS} Table 3.4" if view.rules == "en-1993" else f"{AISC} J3.7 (J3.6 in 360-16)",
            assumed=f"pull away from the tube and tilt along it, no help by friction; prying not covered; {view.loads}",
            case=name,
            cure=setting.bolts_that_hold(bolt, holds) if demand > can else "",
            opinion=view.opinion,
        )


def _tensile(view: View, grade: BoltGrade, bolt: float) -> float:
    """Tension that a bolt may carry."""
    if view.rules == "en-1993":
        return rule.en_tension_n(grade.tensile_mpa, stress_area_mm2(bolt))
    return RUPTURE.available(grade.fnt_mpa * math.pi * bolt**2 / 4.0, view.rules)


def _bending(setting: Setting, grip: Grip, pull: float, steel: Steel) -> Iterator[Finding]:
    width, t = 2.0 * grip.end, grip.plate.thickness_mm
    stress = 6.0 * pull * grip.arm / (width * t**2)
    for view in setting:
        can = _yield(view, steel.fy_mpa)
        yield Finding(
            check="clamp plate bending",
            part=grip.plate.name,
            demand=stress,
            capacity=can,
            unit="MPa",
            source="beam theory, first yield",
            assumed="each bolt's pretension over the edge of what bears on the tube, a strip of twice its end distance",
            cure=f"clamp thickness to {setting.up(t * math.sqrt(stress / can))}" if stress > can else "",
            opinion=view.opinion,
        )


def _barrel(setting: Setting, bracket: Bracket, grip: Grip, bolt: float) -> Iterator[Finding]:
    """Room between the barrel and the nuts that stand on the near plate beside it."""
    try:
        corner = wrench_size(bolt).nut_mm / math.sqrt(3.0)
    except Refusal:
        return
    place, pin = grip.plate.placement, bracket.pin.centre
    rooms = []
    for hole in grip.plate.holes:
        u, v, w = place.point(hole.circle.centre, grip.plate.thickness_mm + NUT_OVER_BOLT * bolt)
        if u + corner > pin[0]:
            rooms.append(math.hypot(v - pin[1], max(0.0, abs(w - pin[2]) - corner)))
    if rooms:
        least = setting.job.cylinder.body_diameter_mm / 2.0 + HAND_MM
        yield Finding(
            check="barrel beside the clamp's nuts",
            part="clamp",
            demand=least,
            capacity=min(rooms),
            unit="mm",
            source=PRACTICE,
            assumed="from the cylinder's line, drawn straight, to the nuts' tops: 1.4 d with washer and thread",
            cure="a larger in-line offset, or a wider clamp" if min(rooms) < least else "",
            most="caution",
        )


def _yield(view: View, fy_mpa: float) -> float:
    return fy_mpa if view.rules == "en-1993" else YIELDING.available(fy_mpa, view.rules)
