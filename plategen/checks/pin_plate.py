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
from functools import partial
from typing import TypeAlias

from plategen.bracket.style import style_of
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, first_worst, part, ratio
from plategen.checks.load_path import Carrier
from plategen.checks.setting import Setting
from plategen.checks.steelwork import Steelwork, fixed, steelwork
from plategen.checks.view import View
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, joined, message, mm, newton, number, size
from plategen.ground.refusal import Refusal
from plategen.rules import pin_plate as rule
from plategen.rules.material import listed
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE

BTH = "ASME BTH-1-2020 3-3.3"
"""The rule for lifting devices, as findings name it."""

_EN = f"{EN_JOINTS} 3.13.1 Table 3.9 type A"

_row = partial(Check, subject="pin plate", unit="N")
_LIFT = partial(Check, subject="pin plate, lifting rule", unit="N", source=BTH, opinion=True)
_PLAY = f"{AISC} D5.2: hole no more than 1 mm (1/32 in) over the pin"

PLAY = Check("play of the pin", "pin plate", "mm", "at most", source=_PLAY, most="caution")
ABOUT = _row("steel about the pin hole", source=f"{AISC} D5.1(a) and (b)")
BEARING = _row("bearing on the pin", source=f"{AISC} J7(a)")
BEYOND = _row("steel beyond the pin hole", source=_EN)
BESIDE = _row("steel beside the pin hole", source=_EN)
BEARING_EN = _row("bearing of plate and pin", source=f"{EN_JOINTS} 3.13.2 Table 3.10")
LIFT_TENSION = _LIFT("tension through the pin hole")
LIFT_SPLITTING = _LIFT("splitting beyond the pin hole")
LIFT_SHEAR = _LIFT("shear beyond the pin hole")
LIFT_BEARING = _LIFT("bearing on the pin, lifting rule")
CHECKS = (PLAY, ABOUT, BEARING, BEYOND, BESIDE, BEARING_EN, LIFT_TENSION, LIFT_SPLITTING, LIFT_SHEAR, LIFT_BEARING)
"""The checks of this file."""


REAMED_OVER_PIN_MM = 0.8
"""A hole reamed for a pin over that pin: a thirty-second of an inch."""


def check_pin_plates(setting: Setting) -> Iterator[Finding]:
    """Every finding about the plates at their pin holes."""
    for carrier in setting.carriers:
        plate, hole = carrier.plate, carrier.hole
        d0, d = 2.0 * hole.circle.radius, hole.bolt_mm
        yield PLAY.at_most(
            part(plate.name, hole.name),
            rule.HOLE_OVER_PIN_MM,
            d0 - d,
            assumed="a pin that turns under load; BTH-1 takes more play and gives less strength for it",
            cure=partial(advise, "ream the hole to {}", mm(d + REAMED_OVER_PIN_MM)),
        )
        ways = steelwork(setting, carrier)
        if ways:
            if american := [(v, RUPTURE.available(1.0, v.rules)) for v in setting if not v.en]:
                yield from _aisc(setting, carrier, ways, american)
            if european := [(v, 1.0) for v in setting if v.en]:
                yield from _en(setting, carrier, ways, european)
            if setting.opinions:
                yield from _bth(setting, carrier, ways)


Lowered: TypeAlias = list[tuple[View, float]]
"""Views, and the factor by which each lowers a nominal strength."""


@dataclass(frozen=True, slots=True)
class _Mode:
    """A way in which the plate fails at the hole, in one direction of force."""

    check: Check  # The check.
    assumed: Callable[[Steelwork], Message | str]  # How its distances are taken in that direction, and what they are.
    nominal: Callable[[Steelwork], float]  # Strength in a direction, N, before the rule set's own factor.


def _aisc(setting: Setting, carrier: Carrier, ways: tuple[Steelwork, ...], views: Lowered) -> Iterator[Finding]:
    t, d, steel = carrier.plate.thickness_mm, carrier.hole.bolt_mm, setting.steels[carrier.plate.name]
    fy = min(steel.fy_mpa, setting.pin_steel.fy_mpa)

    def counted(way: Steelwork) -> float:
        return rule.effective_width_mm(t, min(way.beside_mm, 0.75 * way.corner_mm))

    def beside(way: Steelwork) -> float:
        return rule.tension_rupture_n(steel.fu_mpa, t, counted(way))

    def beyond(way: Steelwork) -> float:
        return rule.shear_rupture_n(steel.fu_mpa, t, way.corner_mm, d)

    def both(way: Steelwork) -> Message:
        split, torn = beside(way), beyond(way)
        least = "rupture beside it" if split <= torn else "tearing beyond it"
        return message(
            f"{least} is the least; steel that counts beside the hole {{}} (be: least of 2 t + {{}}, the steel from "
            "the hole's edge and 3/4 a), steel beyond it {} (a: from its edge, least of along the force and 45 degrees "
            "to each side); nominal {} beside and {} beyond",
            mm(counted(way)), mm(rule.BE_EXTRA_MM), mm(way.corner_mm), newton(split), newton(torn),
        )  # fmt: skip

    modes = (
        _Mode(ABOUT, both, lambda way: min(beside(way), beyond(way))),
        _Mode(BEARING, lambda way: "the lower yield of plate and pin (Fy)", lambda way: rule.bearing_n(fy, d, t)),
    )
    return _judged(setting, carrier, ways, modes, views)


def _en(setting: Setting, carrier: Carrier, ways: tuple[Steelwork, ...], views: Lowered) -> Iterator[Finding]:
    t, d, d0 = carrier.plate.thickness_mm, carrier.hole.bolt_mm, 2.0 * carrier.hole.circle.radius
    fy, pin_fy = setting.steels[carrier.plate.name].fy_mpa, setting.pin_steel.fy_mpa
    modes = (
        _Mode(
            BEYOND,
            lambda way: message(
                "steel beyond the hole's edge {}, the least of along the force and 45 degrees to each side (a)",
                mm(way.corner_mm),
            ),
            lambda way: rule.en_force_by_a_n(way.corner_mm, t, d0, fy),
        ),
        _Mode(
            BESIDE,
            lambda way: message("steel beside the hole's edge {}, across the force (c)", mm(way.beside_mm)),
            lambda way: rule.en_force_by_c_n(way.beside_mm, t, d0, fy),
        ),
        _Mode(
            BEARING_EN,
            lambda way: "the lower yield of plate and pin (fy)",
            lambda way: rule.en_bearing_n(min(fy, pin_fy), d, t),
        ),
    )
    return _judged(setting, carrier, ways, modes, views)


def _bth(setting: Setting, carrier: Carrier, ways: tuple[Steelwork, ...]) -> Iterator[Finding]:
    t, d, d0 = carrier.plate.thickness_mm, carrier.hole.bolt_mm, 2.0 * carrier.hole.circle.radius
    steel = setting.steels[carrier.plate.name]
    fy, fu = steel.fy_mpa, steel.fu_mpa
    category = setting.rules.design_category
    nd = rule.DESIGN_FACTOR[category]
    factor = message(f"design category {category}, design factor {{}} (Nd)", number(nd, "size"))

    def assumed(way: Steelwork) -> Message:
        radius = way.edge_radius_mm
        return message(
            "{}; steel beyond the hole {} from its centre (R) and {} from its edge (a), beside it {} (be){}",
            factor,
            mm(way.beyond_mm + d0 / 2.0),
            mm(way.beyond_mm),
            mm(way.beside_mm),
            message(", edge of radius {}", mm(radius)) if math.isfinite(radius) else "",
        )

    modes = (
        _Mode(LIFT_TENSION, assumed, lambda way: rule.bth_tension_n(fy, fu, t, way.beside_mm, d, d0, nd)),
        _Mode(
            LIFT_SPLITTING,
            assumed,
            lambda way: rule.bth_fracture_n(fu, t, way.beyond_mm + d0 / 2.0, way.beside_mm, d, d0, nd),
        ),
        _Mode(LIFT_SHEAR, assumed, lambda way: rule.bth_shear_n(fu, t, way.beyond_mm, d, d0, nd, way.edge_radius_mm)),
        _Mode(
            LIFT_BEARING,
            lambda way: joined("; ", (factor, "pin kept from turning in the plate, half of this where it turns")),
            lambda way: rule.bth_bearing_n(fy, d, t, nd),
        ),
    )
    return _judged(setting, carrier, ways, modes, [(View("aisc-asd", 1.0, True, setting.rules.shock_factor), 1.0)])


def _judged(
    setting: Setting,
    carrier: Carrier,
    ways: tuple[Steelwork, ...],
    modes: tuple[_Mode, ...],
    views: Lowered,
) -> Iterator[Finding]:
    """Each mode in its worst direction, for each view and the factor by which it lowers the nominal strength."""
    about = part(carrier.plate.name)
    for mode in modes:
        nominal, way = first_worst(((mode.nominal(way), way) for way in ways), _used)
        assumed = mode.assumed(way)
        for view, factor in views:
            yield view.strength(
                mode.check,
                about,
                way.force_n * view.factor,
                nominal * factor,
                assumed=assumed,
                case=way.case,
                cure=partial(_cure, setting, carrier, mode, ways, view.factor / factor),
            )


def _cure(setting: Setting, carrier: Carrier, mode: _Mode, ways: tuple[Steelwork, ...], times: float) -> Cure:
    """A nose that is large enough and clear of the rail, or else a plate that is thick enough.

    ``times`` is what the nominal strength must be of the force.
    """
    plate, circle = carrier.plate, carrier.hole.circle
    room, seats = plate.notch.distance(circle.centre) if plate.notch is not None else math.inf, fixed(carrier, ways)

    def holds(nose_mm: float) -> bool:
        larger = (way.with_nose(nose_mm - circle.radius, left) for way, left in zip(ways, seats, strict=True))
        return all(mode.nominal(way) >= way.force_n * times for way in larger)

    now = min(min(way.beyond_mm, way.beside_mm) for way in ways) + circle.radius
    nose = larger.size_that_holds(setting, now, holds, most_mm=min(room, 10.0 * now))
    if nose is not None:
        return set_to("bracket.nose_radius", size(nose), "nose radius to {}")
    now_mm, nose_mm = plate.thickness_mm, _nose_of_thickness(setting)

    def thick_enough(mm: float) -> bool:
        if not listed(plate.steel, mm):
            return False
        most = nose_mm(mm) - circle.radius
        left = (way.with_no_more(most) for way in ways)
        return all(mode.nominal(way) * mm / now_mm >= way.force_n * times for way in left)

    thick = larger.size_that_holds(setting, now_mm, thick_enough, most_mm=10.0 * now_mm)
    if thick is not None:
        return set_to(larger.thickness_key(setting, plate.name), size(thick), "thickness to {}")
    return advise("more steel about the hole: the pin farther out, a smaller hole, or openings and holes farther off")


def _nose_of_thickness(setting: Setting) -> Callable[[float], float]:
    """The nose by a plate's thickness, where a rule chooses it for that: a thicker tab lies otherwise on its tube."""
    job, surface, style = setting.job, setting.surface, style_of(setting.job.bracket.style)
    if job.style.stands_on != "tube" or surface is None or job.bracket.nose_radius_mm is not None:
        return lambda _: math.inf

    def nose_mm(thickness_mm: float) -> float:
        thicker = job.replaced(bracket=job.bracket.replaced(thickness_mm=thickness_mm))
        try:
            sizes = style.sizes(thicker, setting.design.pin, surface)
            design = replace(setting.design, job=thicker, nose=sizes.nose, toe=sizes.toe, foot=sizes.foot)
            return style.settle(design, surface)[0].nose.mm
        except Refusal:
            return 0.0

    return lambda mm: setting.once(("nose of a plate so thick", str(mm)), lambda: nose_mm(mm))


def _used(pair: tuple[float, Steelwork]) -> float:
    return ratio(pair[1].force_n, pair[0])
