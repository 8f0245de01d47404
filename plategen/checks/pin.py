"""The pin itself: shear, bending over the real gaps, and both together."""

from collections.abc import Iterator

from plategen.bracket.model import Bracket, Pin
from plategen.checks.finding import Finding
from plategen.checks.load_path import Carrier
from plategen.checks.setting import Setting, View
from plategen.rules import pin as rule
from plategen.rules.material import Steel
from plategen.rules.safety import AISC, EN_JOINTS


def check_pin(setting: Setting, bracket: Bracket, held: tuple[Carrier, ...], steel: Steel) -> Iterator[Finding]:
    """Every finding about the pin, under the largest load case."""
    pin = bracket.pin
    worst = max(setting.cases, key=lambda case: case.size_n)
    name = f"{'push' if worst.push else 'pull'}, in any direction"
    force, d = worst.size_n, pin.diameter_mm
    ear = max(carrier.plate.thickness_mm for carrier in held)
    shear, moment, layout = _in_the_pin(pin, force, ear, held)
    steel_note = f"pin of {steel.name}"
    for view in setting:
        en = view.rules == "en-1993"
        can_shear = rule.shear_n(steel.fy_mpa, steel.fu_mpa, d, view.rules)
        can_bend = rule.bending_nmm(steel.fy_mpa, d, view.rules)
        v, m = shear * view.factor, moment * view.factor
        yield _found(
            setting,
            view,
            "pin shear",
            v,
            can_shear,
            "N",
            d * _root(v, can_shear, 2.0),
            name,
            f"{EN_JOINTS} Table 3.10" if en else f"{AISC} G1 (0.6 Fy) and Table J3.2 (0.563 Fu)",
            f"{steel_note}; the held end hard against one side",
        )
        yield _found(
            setting,
            view,
            "pin bending",
            m,
            can_bend,
            "N·mm",
            d * _root(m, can_bend, 3.0),
            name,
            f"{EN_JOINTS} Table 3.10" if en else f"{AISC} F11: Mn = 1.6 Fy S",
            f"{steel_note}; {layout}",
        )
        if en:
            both = rule.shear_with_bending(v / can_shear, m / can_bend)
            yield _found(
                setting,
                view,
                "pin shear with bending",
                both,
                1.0,
                "1",
                d * both ** (1.0 / 4.0),
                name,
                f"{EN_JOINTS} Table 3.10",
                f"{steel_note}; (M/MRd)^2 + (F/FRd)^2",
            )
            can_serve = rule.service_bending_nmm(steel.fy_mpa, d)
            serves = moment / setting.rules.shock_factor
            yield _found(
                setting,
                view,
                "pin bending in service",
                serves,
                can_serve,
                "N·mm",
                d * _root(serves, can_serve, 3.0),
                name,
                f"{EN_JOINTS} Table 3.10",
                f"{steel_note}; a pin that is to come out again; forces as they are, without shock",
            )


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


def _root(demand: float, capacity: float, power: float) -> float:
    """How many times larger the diameter must be."""
    return float(max(1.0, demand / capacity) ** (1.0 / power))


def _found(
    setting: Setting,
    view: View,
    check: str,
    demand: float,
    capacity: float,
    unit: str,
    diameter_mm: float,
    case: str,
    source: str,
    assumed: str,
) -> Finding:
    return Finding(
        check=check,
        part="pin",
        demand=demand,
        capacity=capacity,
        unit=unit,
        source=source,
        assumed=assumed if "forces" in assumed else f"{assumed}; {view.loads}",
        case=case,
        cure=f"pin to {setting.up(diameter_mm)} or a stronger steel" if demand > capacity else "",
        opinion=view.opinion,
    )
