"""Slots: how long they may be, what they keep from edges and from each other, and what holds a bolt along them."""

import math
from collections.abc import Iterator

from plategen.bracket.model import Plate, Slot
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting, View
from plategen.flat.distance import chain_distance
from plategen.rules import bolt as rule
from plategen.rules.edge_distance import least_clear_between_holes, least_distance_en
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.material import bolt_grade
from plategen.rules.safety import AISC, EN_JOINTS

LONGEST_OVER_BOLT = 2.5
"""Length of the longest slot over the bolt (AISC 360 Tables J3.3 and J3.3M, long slots)."""

SQUARE_WITHIN_DEG = 10.0
"""A joint in bearing may have slots whose length lies within 80 to 100 degrees of the force (AISC 360 J3.2)."""

_EDGE = "beyond the slot's end"


def check_slots(setting: Setting, plate: Plate) -> Iterator[Finding]:
    """Edge distance, length and spacing of every slot of a plate."""
    for index, slot in enumerate(plate.slots):
        part = f"{plate.name}, {slot.name} slot"
        own = plate.openings[index] if index < len(plate.openings) else slot.contour
        edges = [plate.outline, *(opening for opening in plate.openings if opening is not own)]
        has = min(loop.distance(end) for loop in edges for end in slot.ends)
        yield _rule(setting, "edge distance", part, slot.edge_required_mm, has, slot.edge_source,
                    "from the centre of the slot's end to the nearest edge", _EDGE, opinion=False)  # fmt: skip
        en = least_distance_en("e4", slot.width_mm)
        yield _rule(setting, "edge distance to the hole's size", part, en.mm, has, en.source,
                    "e3 and e4 of a slot, from its axis and the centre of its end", _EDGE,
                    opinion=setting.rules.set != "en-1993")  # fmt: skip
        longest = LONGEST_OVER_BOLT * slot.bolt_mm
        yield Finding(
            check="slot length",
            part=part,
            demand=slot.length_mm,
            capacity=longest,
            unit="mm",
            source=f"{AISC} Table J3.3: 2.5 d",
            assumed="long slot over all; a ladder of holes reaches further",
            cure=f"a slot of {setting.show.length(longest)} at most, or a ladder" if slot.length_mm > longest else "",
        )
        clear = least_clear_between_holes(slot.bolt_mm)
        for other in plate.slots[index + 1 :]:
            apart = chain_distance(slot.contour, other.contour)
            yield _rule(setting, "bolt spacing", f"{plate.name}, {slot.name} to {other.name} slot", clear.mm, apart,
                        clear.source, "clear steel between the slots", "between the slots", opinion=False)  # fmt: skip


def check_held_along(
    setting: Setting, plate: Plate, slots: tuple[Slot, ...], shears: list[tuple[str, tuple[complex, ...], float]]
) -> Iterator[Finding]:
    """What pushes a bolt along its slot, where only friction holds it, and how far the force leans that way.

    Args:
        setting: The job under judgement.
        plate: The slotted plate.
        slots: Its slots.
        shears: For every load case its name, the force on each slot's bolt in the plate's plane, and the pull on
            each bolt, N.
    """
    along = [(slot.ends[1] - slot.ends[0]) / abs(slot.ends[1] - slot.ends[0]) for slot in slots]
    pushes = [
        (max(abs((f * a.conjugate()).real) for f, a in zip(forces, along, strict=True)), pull, case)
        for case, forces, pull in shears
    ]
    sums = [(sum(forces), name) for name, forces, _ in shears]
    lean, leaning = max(
        (math.degrees(math.asin(min(1.0, abs((total * along[0].conjugate()).real) / abs(total)))), name)
        for total, name in sums
        if abs(total) > 1e-9
    )
    yield Finding(
        check="force square to the slot",
        part=plate.name,
        demand=lean,
        capacity=SQUARE_WITHIN_DEG,
        unit="deg",
        source=f"{AISC} J3.2",
        assumed="how far the force on the pattern leans from square to the slots",
        case=leaning,
        cure="a ladder of holes" if lean > SQUARE_WITHIN_DEG else "",
    )
    for view in setting:
        yield _held(setting, view, plate, slots[0].bolt_mm, pushes)


def _held(
    setting: Setting, view: View, plate: Plate, bolt_mm: float, pushes: list[tuple[float, float, str]]
) -> Finding:
    """Whether friction holds bolts against what pushes them along their slots; ``pushes``: along, pulling, case."""
    tight = setting.rules.pretensioned

    def strength(pull: float, diameter: float) -> float:
        tensile = bolt_grade(setting.rules.bolt_grade, diameter).tensile_mpa
        area, pulled = stress_area_mm2(diameter), pull * view.factor
        return rule.slip_strength_n(tensile, area, pulled, view.rules, long_slot=True) if tight else 0.0

    def used(push: tuple[float, float, str], diameter: float) -> float:
        can = strength(push[1], diameter)
        return push[0] * view.factor / can if can > 0.0 else math.inf

    worst = max(pushes, key=lambda push: (used(push, bolt_mm), push[0]))
    demand, can = worst[0] * view.factor, strength(worst[1], bolt_mm)
    cure = "pretension the bolts (pretensioned = true under [rules]), or a ladder of holes"
    if tight and demand > can:
        larger = setting.bolts_that_hold(bolt_mm, lambda diameter: max(used(push, diameter) for push in pushes) <= 1.0)
        cure = f"{larger}, or rows further apart along the cylinder"
    return Finding(
        check="bolt held along its slot",
        part=plate.name,
        demand=demand,
        capacity=can,
        unit="N",
        source=f"{EN_JOINTS} 3.9.1 and 3.9.2"
        if view.rules == "en-1993"
        else f"{AISC} J3.9, J3.10 (J3.8, J3.9 in 360-16)",
        assumed="friction alone, clean mill scale, mu 0.30, pretension 0.7 of the tensile strength, less what the side "
        f"force pulls; {view.loads}"
        if tight
        else f"bolts without pretension hold nothing along a slot; {view.loads}",
        case=worst[2],
        cure=cure if demand > can else "",
        opinion=view.opinion,
    )


def _rule(
    setting: Setting,
    check: str,
    part: str,
    least: float,
    has: float,
    source: str,
    assumed: str,
    where: str,
    *,
    opinion: bool,
) -> Finding:
    return Finding(
        check=check,
        part=part,
        demand=least,
        capacity=has,
        unit="mm",
        source=source,
        assumed=assumed,
        cure=f"{setting.up(least - has)} more steel {where}" if has < least else "",
        opinion=opinion,
    )
