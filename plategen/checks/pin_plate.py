"""The plate at the pin, in every direction of the force, by three published rules.

Distances are measured on the plate's outline, openings and other holes, along and across the force and at 45 degrees to
it; curved edges included. What AISC D5.2 asks of the shape is met by counting less steel, never by trusting more: a is
no more than the distance 45 degrees to either side of the force (so c >= a holds) and be no more than 3/4 a (so
a >= 4/3 be holds). Counted so, tearing beyond the hole never governs alone: 2 be <= 1.5 a < 1.2 (a + d/2) unless
a > 2 d, and there the pin bears too hard long before. So both modes of D5.1 are one finding, which names the lesser.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from plategen.checks.finding import Finding
from plategen.checks.load_path import Carrier
from plategen.checks.setting import Setting, View
from plategen.checks.worst import first_worst
from plategen.ground.space import dot
from plategen.rules import pin_plate as rule
from plategen.rules.material import Steel
from plategen.rules.reach import Edges, reaches
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE

_TURNS = (1 + 0j, 1j, -1j, complex(1, 1) / math.sqrt(2), complex(1, -1) / math.sqrt(2))
BTH = "ASME BTH-1-2020 3-3.3"
"""The rule for lifting devices, as findings name it."""


@dataclass(frozen=True, slots=True)
class Steelwork:
    """Steel about the hole in one direction of the force, distances from the hole's EDGE, mm.

    Args:
        force_n: Force on this plate in its plane, shock included, load factor not.
        case: The load case.
        beyond_mm: Beyond the hole, along the force (a).
        corner_mm: The least of that and of 45 degrees to each side (c of AISC D5).
        beside_mm: The least beside the hole, across the force (be; c of EN).
        edge_radius_mm: Radius of the edge met by the force; infinite when straight.
        fixed_mm: What a larger nose would leave of these three: the steel up to notch, openings and other holes.
    """

    force_n: float
    case: str
    beyond_mm: float
    corner_mm: float
    beside_mm: float
    edge_radius_mm: float
    fixed_mm: tuple[float, float, float]

    def with_nose(self, steel_mm: float) -> "Steelwork":
        """The steel with a nose that leaves so much all round the hole's edge."""
        ahead, corner, beside = self.fixed_mm
        return replace(
            self,
            beyond_mm=min(ahead, max(self.beyond_mm, steel_mm)),
            corner_mm=min(corner, max(self.corner_mm, steel_mm)),
            beside_mm=min(beside, max(self.beside_mm, steel_mm)),
        )


def check_pin_plate(setting: Setting, carrier: Carrier, edges: Edges, steel: Steel, pin: Steel) -> Iterator[Finding]:
    """Every finding about the plate at its pin hole."""
    plate, hole = carrier.plate, carrier.hole
    d0, d = 2.0 * hole.circle.radius, hole.bolt_mm
    ways = list(_steelwork(setting, carrier, edges))
    yield Finding(
        check="play of the pin",
        part=f"{plate.name}, {hole.name}",
        demand=d0 - d,
        capacity=rule.HOLE_OVER_PIN_MM,
        unit="mm",
        source=f"{AISC} D5.2: hole no more than 1 mm (1/32 in) over the pin",
        assumed="a pin that turns under load; BTH-1 takes more play and gives less strength for it",
        cure=f"ream the hole to {setting.show.length(d + 0.8)}" if d0 - d > rule.HOLE_OVER_PIN_MM else "",
        most="caution",
    )
    if not ways:
        return
    yield from _aisc(setting, carrier, ways, steel, pin)
    yield from _en(setting, carrier, ways, steel, pin)
    if setting.opinions:
        yield from _bth(setting, carrier, ways, steel)


def _steelwork(setting: Setting, carrier: Carrier, edges: Edges) -> Iterator[Steelwork]:
    place, hole = carrier.plate.placement, carrier.hole
    forces: dict[complex, str] = {}
    for case in setting.cases:
        f, u, v = case.force_n, place.u, place.v
        flat = complex(dot(f, u), dot(f, v))
        if abs(flat) > 1e-6:
            forces.setdefault(complex(round(flat.real, 6), round(flat.imag, 6)), case.name)
    if not forces:
        return
    ways = [force / abs(force) * turn for force in forces for turn in _TURNS]
    distance, radius = reaches(edges, hole.circle.centre, ways)
    far = (distance - hole.circle.radius).tolist()
    plate = carrier.plate
    kept = [*(plate.notch or ()), *(segment for opening in plate.openings for segment in opening)]
    others = [other.circle for other in plate.holes if other is not hole]
    fixed = (reaches(Edges.of(kept, others), hole.circle.centre, ways)[0] - hole.circle.radius).tolist()
    for index, (force, name) in enumerate(forces.items()):
        ahead, corner, beside = _least(far[5 * index : 5 * index + 5])
        yield Steelwork(
            force_n=abs(force) * carrier.share,
            case=name,
            beyond_mm=ahead,
            corner_mm=corner,
            beside_mm=beside,
            edge_radius_mm=float(radius[5 * index]),
            fixed_mm=_least(fixed[5 * index : 5 * index + 5]),
        )


def _least(far: list[float]) -> tuple[float, float, float]:
    """The steel ahead, the least of it and of 45 degrees to each side, and the least across."""
    ahead, left, right, one, other = far
    return ahead, min(ahead, one, other), min(left, right)


def _aisc(setting: Setting, carrier: Carrier, ways: list[Steelwork], steel: Steel, pin: Steel) -> Iterator[Finding]:
    plate, hole = carrier.plate, carrier.hole
    t, d, fu = plate.thickness_mm, hole.bolt_mm, steel.fu_mpa
    fy = min(steel.fy_mpa, pin.fy_mpa)

    def counted(way: Steelwork) -> float:
        return rule.effective_width_mm(t, min(way.beside_mm, 0.75 * way.corner_mm))

    def beside(way: Steelwork) -> float:
        return rule.tension_rupture_n(fu, t, counted(way))

    def beyond(way: Steelwork) -> float:
        return rule.shear_rupture_n(fu, t, way.corner_mm, d)

    def both(way: Steelwork) -> str:
        split, torn = beside(way), beyond(way)
        least = "rupture beside it" if split <= torn else "tearing beyond it"
        return (
            f"{least} is the least; be = min(2 t + 16 mm, steel from the hole's edge, 3/4 a) = "
            f"{setting.show.length(counted(way))}, a = {setting.show.length(way.corner_mm)} from the hole's edge, the "
            f"least of along the force and 45 degrees to each side; nominal {setting.show.force(split)} beside and "
            f"{setting.show.force(torn)} beyond"
        )

    checks = (
        _Check(
            "steel about the pin hole",
            f"{AISC} D5.1(a) and (b)",
            both,
            lambda way: min(beside(way), beyond(way)),
        ),
        _Check(
            "bearing on the pin",
            f"{AISC} J7(a)",
            lambda way: "Fy the lower of plate and pin",
            lambda way: rule.bearing_n(fy, d, t),
        ),
    )
    views = [(view, RUPTURE.available(1.0, view.rules)) for view in setting if view.rules != "en-1993"]
    return _judged(setting, carrier, ways, checks, views)


def _en(setting: Setting, carrier: Carrier, ways: list[Steelwork], steel: Steel, pin: Steel) -> Iterator[Finding]:
    plate, hole = carrier.plate, carrier.hole
    t, d, d0, fy = plate.thickness_mm, hole.bolt_mm, 2.0 * hole.circle.radius, steel.fy_mpa
    checks = (
        _Check(
            "steel beyond the pin hole",
            f"{EN_JOINTS} 3.13.1 Table 3.9 type A",
            lambda way: (
                f"a = {setting.show.length(way.corner_mm)} from the hole's edge, the least of along the force "
                "and 45 degrees to each side"
            ),
            lambda way: rule.en_force_by_a_n(way.corner_mm, t, d0, fy),
        ),
        _Check(
            "steel beside the pin hole",
            f"{EN_JOINTS} 3.13.1 Table 3.9 type A",
            lambda way: f"c = {setting.show.length(way.beside_mm)} from the hole's edge, across the force",
            lambda way: rule.en_force_by_c_n(way.beside_mm, t, d0, fy),
        ),
        _Check(
            "bearing of plate and pin",
            f"{EN_JOINTS} 3.13.2 Table 3.10",
            lambda way: "fy the lower of plate and pin",
            lambda way: rule.en_bearing_n(min(fy, pin.fy_mpa), d, t),
        ),
    )
    views = [(view, 1.0) for view in setting if view.rules == "en-1993"]
    return _judged(setting, carrier, ways, checks, views)


def _bth(setting: Setting, carrier: Carrier, ways: list[Steelwork], steel: Steel) -> Iterator[Finding]:
    plate, hole = carrier.plate, carrier.hole
    t, d, d0, fy, fu = plate.thickness_mm, hole.bolt_mm, 2.0 * hole.circle.radius, steel.fy_mpa, steel.fu_mpa
    category = setting.rules.design_category
    nd = rule.DESIGN_FACTOR[category]

    def assumed(way: Steelwork) -> str:
        show, radius = setting.show.length, way.edge_radius_mm
        curved = f", edge of radius {show(radius)}" if math.isfinite(radius) else ""
        return (
            f"design category {category}, Nd = {nd:g}; R = {show(way.beyond_mm + d0 / 2.0)} from the hole's centre, "
            f"a = {show(way.beyond_mm)} and be = {show(way.beside_mm)} from its edge{curved}"
        )

    checks = (
        _Check(
            "tension through the pin hole",
            BTH,
            assumed,
            lambda way: rule.bth_tension_n(fy, fu, t, way.beside_mm, d, d0, nd),
        ),
        _Check(
            "splitting beyond the pin hole",
            BTH,
            assumed,
            lambda way: rule.bth_fracture_n(fu, t, way.beyond_mm + d0 / 2.0, way.beside_mm, d, d0, nd),
        ),
        _Check(
            "shear beyond the pin hole",
            BTH,
            assumed,
            lambda way: rule.bth_shear_n(fu, t, way.beyond_mm, d, d0, nd, way.edge_radius_mm),
        ),
        _Check(
            "bearing on the pin, lifting rule",
            BTH,
            lambda way: (
                f"design category {category}, Nd = {nd:g}; pin kept from turning in the plate, half of this "
                "where it turns"
            ),
            lambda way: rule.bth_bearing_n(fy, d, t, nd),
        ),
    )
    return _judged(setting, carrier, ways, checks, [(View("aisc-asd", 1.0, True, setting.rules.shock_factor), 1.0)])


@dataclass(frozen=True, slots=True)
class _Check:
    """A strength of the plate at the hole in one direction of force.

    Args:
        name: The check.
        source: Its rule.
        assumed: How its distances are taken in that direction, and what they are.
        nominal: Strength in a direction, N, before the rule set's own factor.
    """

    name: str
    source: str
    assumed: Callable[[Steelwork], str]
    nominal: Callable[[Steelwork], float]


def _judged(
    setting: Setting,
    carrier: Carrier,
    ways: list[Steelwork],
    checks: tuple[_Check, ...],
    views: list[tuple[View, float]],
) -> Iterator[Finding]:
    """Each check in its worst direction, for each view and the factor by which it lowers the nominal strength."""
    for check in checks if views else ():
        nominal, way = first_worst(((check.nominal(way), way) for way in ways), _used)
        said = check.assumed(way)
        for view, factor in views:
            demand, capacity = way.force_n * view.factor, nominal * factor
            yield Finding(
                check=check.name,
                part=carrier.plate.name,
                demand=demand,
                capacity=capacity,
                unit="N",
                source=check.source,
                assumed=f"{said}; {view.loads}",
                case=way.case,
                cure=_cure(setting, carrier, check, ways, view.factor / factor) if demand > capacity else "",
                opinion=view.opinion,
            )


def _cure(setting: Setting, carrier: Carrier, check: _Check, ways: list[Steelwork], times: float) -> str:
    """A nose that is large enough and clear of the rail, or else a plate that is thick enough.

    ``times`` is what the nominal strength must be of the force.
    """
    plate, circle = carrier.plate, carrier.hole.circle
    room = plate.notch.distance(circle.centre) if plate.notch is not None else math.inf

    def holds(nose_mm: float) -> bool:
        larger = (way.with_nose(nose_mm - circle.radius) for way in ways)
        return all(check.nominal(way) >= way.force_n * times for way in larger)

    now = min(min(way.beyond_mm, way.beside_mm) for way in ways) + circle.radius
    nose = setting.size_that_holds(now, holds, most_mm=min(room, 10.0 * now))
    if nose is not None:
        return f"nose radius to {setting.up(nose)}"
    nominal, way = first_worst(((check.nominal(way), way) for way in ways), _used)
    if nominal > 0.0:
        return f"thickness to {setting.up(plate.thickness_mm * way.force_n * times / nominal)}"
    return "more steel about the hole: a smaller hole, or openings and other holes farther off"


def _used(pair: tuple[float, Steelwork]) -> float:
    """Force over strength."""
    return pair[1].force_n / pair[0] if pair[0] > 0.0 else math.inf
