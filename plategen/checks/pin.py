"""The pin itself: shear, bending over the real gaps, both together, and what lets it come out again.

A pin that is to come out again must not yield, nor dent its hole, under the largest force of its service: that with
shock, which comes, and without the load factor, which is for what may come beyond it.
"""

from collections.abc import Iterator
from functools import partial

from plategen.bracket.model import Pin
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part, ratio
from plategen.checks.load_path import Carrier
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.ground.cure import Change, Cure
from plategen.ground.message import message, mm, size
from plategen.rules import pin_plate as rule
from plategen.rules.safety import AISC, EN_JOINTS

_EN = f"{EN_JOINTS} Table 3.10"

SHEAR = Check("pin shear", "pin", "N", source=f"{AISC} G1 (0.6 Fy) and Table J3.2 (0.563 Fu)", en_source=_EN)
BENDING = Check("pin bending", "pin", "N·mm", source=f"{AISC} F11: Mn = 1.6 Fy S", en_source=_EN)
BOTH = Check("pin shear with bending", "pin", "1", source=_EN, needs="the rules of EN 1993")
_SERVICE = partial(Check, subject="pin in service", needs="the rules of EN 1993")
BENDING_SERVED = _SERVICE("pin bending in service", unit="N·mm", source=_EN)
BEARING_SERVED = _SERVICE("bearing in service", unit="N", source=_EN)
CONTACT_SERVED = _SERVICE("contact stress in service", unit="MPa", source=f"{EN_JOINTS} 3.13.2(3)")
CHECKS = (SHEAR, BENDING, BOTH, BENDING_SERVED, BEARING_SERVED, CONTACT_SERVED)
"""The checks of this file."""

EYE_OVER_PIN = 1.1
"""Radius of the thinnest eye over the pin in it (common practice, no source)."""


def check_pin(setting: Setting) -> Iterator[Finding]:
    """Every finding about the pin, under the largest load case; none where no plate holds it."""
    pin, held = setting.bracket.pin, setting.carriers
    if not held:
        return
    steel, about = setting.pin_steel, part("pin")
    worst = max(setting.cases, key=lambda case: case.size_n)
    case = f"{worst.kind}, in any direction"
    force, d = worst.size_n, pin.diameter_mm
    shear, moment, layout = _in_the_pin(pin, force, max(carrier.plate.thickness_mm for carrier in held), held)

    for view in setting:
        can_shear = rule.shear_n(steel.fy_mpa, steel.fu_mpa, d, view.rules)
        can_bend = rule.bending_nmm(steel.fy_mpa, d, view.rules)
        v, m = shear * view.factor, moment * view.factor
        asked = [
            (SHEAR, v, can_shear, "the held end hard against one side", 2.0),
            (BENDING, m, can_bend, layout, 3.0),
        ]
        if view.en:
            asked.append(
                (BOTH, rule.shear_with_bending(v / can_shear, m / can_bend), 1.0, "(M/MRd)^2 + (F/FRd)^2", 4.0)
            )
        for check, demand, can, words, power in asked:
            cure = partial(_cure, setting, ratio(demand, can), power)
            assumed = f"pin of {steel.name}; {words}"
            yield view.strength(check, about, demand, can, assumed=assumed, case=case, cure=cure)
        if view.en:
            yield from _in_service(setting, view, force, moment, case)


def _in_service(setting: Setting, view: View, force: float, moment: float, case: str) -> Iterator[Finding]:
    """A pin that is to come out again: its bending, its bearing in each plate and the stress of its contact."""
    d, fyp = setting.bracket.pin.diameter_mm, setting.pin_steel.fy_mpa
    assumed = message(
        "pin of {}; a pin that is to come out again; forces with shock, without load factor", setting.pin_steel.name
    )
    can = rule.service_bending_nmm(fyp, d)
    yield BENDING_SERVED.strength(
        part("pin"), moment, can, assumed=assumed, case=case, opinion=view.opinion,
        cure=partial(_cure, setting, ratio(moment, can), 3.0),
    )  # fmt: skip
    for carrier in setting.carriers:
        name, t, d0 = carrier.plate.name, carrier.plate.thickness_mm, 2.0 * carrier.hole.circle.radius
        load, fy = force * carrier.share, min(fyp, setting.steels[name].fy_mpa)
        bears = rule.service_bearing_n(fy, d, t)
        yield BEARING_SERVED.strength(
            part(name), load, bears, assumed=message("{}; the lower yield of plate and pin (fy)", assumed), case=case,
            opinion=view.opinion, cure=partial(_thicker, setting, name, load / bears),
        )  # fmt: skip
        yield CONTACT_SERVED.strength(
            part(name), rule.contact_stress_mpa(load, d, d0, t), rule.contact_limit_mpa(fy),
            assumed=message("{}; play {}; grows with the root of the force", assumed, mm(d0 - d)), case=case,
            opinion=view.opinion, cure=partial(_closer, d),
        )  # fmt: skip


def _thicker(setting: Setting, name: str, times: float) -> Cure:
    key, least_mm = larger.thickness_key(setting, name), setting.plates[name].thickness_mm * times
    return larger.raise_to(setting, key, least_mm, "plate to {}, or a larger pin", "a larger pin, or a stronger steel")


def _closer(pin_mm: float) -> Cure:
    words = message("ream the hole to the pin's {}, or a larger pin", size(pin_mm))
    return Cure(words, (Change("bracket.pin_fit", "ream"),))


def _in_the_pin(pin: Pin, force_n: float, ear_mm: float, held: tuple[Carrier, ...]) -> tuple[float, float, str]:
    """Shear on a plane of the pin, its largest moment, and how it is held."""
    if pin.fork_gap_mm:
        # the fork's two cheeks hold the pin, and the plate between them loads it
        cheek = (pin.eye_width_mm - pin.fork_gap_mm) / 2
        share = rule.near_ear_share(ear_mm, cheek, pin.gap_mm)
        moment = rule.moment_nmm(force_n, ear_mm, cheek, pin.gap_mm)
        return force_n * share, moment, "one plate in the fork: moment F (b + 4 c + 2 a)/8 with the real gaps"
    if len(held) == 1:
        moment = rule.cantilever_moment_nmm(force_n, pin.eye_width_mm, ear_mm, pin.gap_mm)
        return force_n * held[0].share, moment, "pin held on one side only"
    moment = rule.moment_nmm(force_n, pin.eye_width_mm, ear_mm, pin.gap_mm)
    share = max(carrier.share for carrier in held)
    return force_n * share, moment, "moment F (b + 4 c + 2 a)/8 with the real gaps"


def _cure(setting: Setting, times: float, power: float) -> Cure:
    """A pin so many times as strong, by a power of its diameter, in an eye that has steel left about it."""
    least_mm = setting.bracket.pin.diameter_mm * max(1.0, times) ** (1.0 / power)
    cure = larger.raise_to(setting, "cylinder.base.pin", least_mm, "pin to {} or a stronger steel", "a stronger steel")
    if not cure.changes:
        return cure
    eye_mm = EYE_OVER_PIN * larger.next_up_mm(setting, least_mm)
    if eye_mm <= setting.bracket.pin.eye_radius_mm:
        return cure
    eye = size(larger.next_up_mm(setting, eye_mm))
    words = message("{}; its eye's radius to {}", cure.advice, eye)
    return Cure(words, (*cure.changes, Change("cylinder.base.eye_radius", eye)))
