"""Slots: how long they may be, what they keep from edges and from each other, and what holds a bolt along them."""

import math
from collections.abc import Iterator
from functools import partial
from operator import itemgetter

from plategen.bracket.model import Plate, Slot
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, between, part
from plategen.checks.hole import BOLT_SPACING, edge_distances
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.flat.distance import chain_distance
from plategen.flat.segment import unit
from plategen.ground.cure import advise
from plategen.ground.message import Message, mm
from plategen.rules import bolt as rule
from plategen.rules.edge_distance import Distance, least_clear_between_holes, least_distance_en
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.safety import AISC, EN_JOINTS

LONGEST_OVER_BOLT = 2.5
"""Length of the longest slot over the bolt (AISC 360 Tables J3.3 and J3.3M, long slots)."""

SQUARE_WITHIN_DEG = 10.0
"""A joint in bearing may have slots whose length lies within 80 to 100 degrees of the force (AISC 360 J3.2)."""

_row = partial(Check, subject="hole", needs="slots")
LENGTH = _row("slot length", unit="mm", limit="at most", source=f"{AISC} Table J3.3: 2.5 d")
SQUARE = _row("force square to the slot", unit="deg", limit="at most", source=f"{AISC} J3.2")
SLIPS = partial(
    Check, unit="N", source=f"{AISC} J3.9, J3.10 (J3.8, J3.9 in 360-16)", en_source=f"{EN_JOINTS} 3.9.1 and 3.9.2"
)
HELD = SLIPS("bolt held along its slot", "hole", needs="slots")
CHECKS = (LENGTH, SQUARE, HELD)
"""The checks of this file; a slot's distances are those of holes."""


BOLT_KEY = "split.bolt"
"""The key of the job file that the bolts between two plates have their size from."""


def check_slots(setting: Setting) -> Iterator[Finding]:
    """Findings about edge distance, length and spacing of every slot."""
    for plate in setting.bracket.plates:
        for index, slot in enumerate(plate.slots):
            yield from _at_edges(setting, plate, index, slot)
            longest = LONGEST_OVER_BOLT * slot.bolt_mm
            yield LENGTH.at_most(
                part(plate.name, f"{slot.name} slot"),
                longest,
                slot.length_mm,
                assumed="long slot over all; a ladder of holes reaches further",
                cure=partial(advise, "a slot of {} at most, or a ladder", mm(longest, "down")),
            )
            yield from _beside_others(setting, plate, index, slot)


def _at_edges(setting: Setting, plate: Plate, index: int, slot: Slot) -> Iterator[Finding]:
    about = part(plate.name, f"{slot.name} slot")
    own = plate.openings[index] if index < len(plate.openings) else slot.contour
    edges = [plate.outline, *(opening for opening in plate.openings if opening is not own)]
    there = min(loop.distance(end) for loop in edges for end in slot.ends)
    yield from edge_distances(
        setting,
        about,
        there,
        (Distance(slot.edge_required_mm, slot.edge_source), "from the centre of the slot's end to the nearest edge"),
        (least_distance_en("e4", slot.width_mm), "e3 and e4 of a slot, from its axis and the centre of its end"),
        lambda least_mm: advise("{} more steel beyond the slot's end", larger.up(setting, least_mm - there)),
        slot.bolt_mm if plate.name in setting.bearing_on_bolts else 0.0,
    )


def _beside_others(setting: Setting, plate: Plate, index: int, slot: Slot) -> Iterator[Finding]:
    clear = least_clear_between_holes(slot.bolt_mm)
    for other in plate.slots[index + 1 :]:
        apart = chain_distance(slot.contour, other.contour)
        yield BOLT_SPACING.at_least(
            between(slot.name, f"{other.name} slot", plate.name),
            clear.mm,
            apart,
            source=clear.source,
            assumed="clear steel between the slots",
            cure=partial(advise, "{} more steel between the slots", larger.up(setting, clear.mm - apart)),
        )


def check_held_along(
    setting: Setting, plate: Plate, slots: tuple[Slot, ...], shears: list[tuple[Message, tuple[complex, ...], float]]
) -> Iterator[Finding]:
    """Findings about what pushes a bolt along its slot, where only friction holds it, and how the force leans there.

    Args:
        setting: The design under judgement.
        plate: The slotted plate.
        slots: Its slots.
        shears: For every load case its name, the force on each slot's bolt in the plate's plane, and the pull on
            each bolt, N.
    """
    along = [unit(slot.ends[1] - slot.ends[0]) for slot in slots]
    pushes = [
        (max(abs((f * a.conjugate()).real) for f, a in zip(forces, along, strict=True)), pull, case)
        for case, forces, pull in shears
    ]
    sums = [(sum(forces), name) for name, forces, _ in shears]
    leans = (
        (math.degrees(math.asin(min(1.0, abs((total * along[0].conjugate()).real) / abs(total)))), name)
        for total, name in sums
        if abs(total) > 1e-9
    )
    lean, leaning = max(leans, key=itemgetter(0))
    yield SQUARE.at_most(
        part(plate.name),
        SQUARE_WITHIN_DEG,
        lean,
        assumed="how far the force on the pattern leans from square to the slots",
        case=leaning,
        cure="round holes, drilled when the base is set" if plate.role == "base" else "a ladder of holes",
    )
    for view in setting.friction_views(slots[0].bolt_mm):
        yield _held(setting, view, plate, slots[0].bolt_mm, pushes)


def _held(
    setting: Setting, view: View, plate: Plate, bolt_mm: float, pushes: list[tuple[float, float, Message]]
) -> Finding:
    """Whether friction holds bolts against what pushes them along their slots; ``pushes``: along, pulling, case."""
    tight = setting.rules.pretensioned

    def strength(pull: float, diameter: float) -> float:
        tensile = setting.tight_grade(diameter).tensile_mpa
        area, pulled = stress_area_mm2(diameter), pull * view.factor
        return rule.slip_strength_n(tensile, area, pulled, view.rules, "long slot along the force")

    def used(push: tuple[float, float, Message], diameter: float) -> float:
        can = strength(push[1], diameter)
        return push[0] * view.factor / can if can > 0.0 else math.inf

    def holds(diameter: float) -> bool:
        return max(used(push, diameter) for push in pushes) <= 1.0

    otherwise = "or rows further apart along the cylinder, or a ladder of holes"
    if plate.role == "base":
        otherwise = "or round holes, drilled when the base is set"
    worst = max(pushes, key=lambda push: (used(push, bolt_mm) if tight else 0.0, push[0]))
    return view.strength(
        HELD,
        part(plate.name),
        worst[0] * view.factor,
        strength(worst[1], bolt_mm) if tight else 0.0,
        assumed="friction alone, clean mill scale, mu 0.30, pretension 0.7 of the tensile strength, less what the side "
        "force pulls"
        if tight
        else "bolts without pretension hold nothing along a slot",
        case=worst[2],
        cure=lambda: larger.friction_that_holds(setting, setting.bolt_key, bolt_mm, holds, otherwise),
    )
