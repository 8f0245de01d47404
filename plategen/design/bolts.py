"""Where the bolts of a split bracket go, in its tabs for good and in its ears for now, and the steel that they need."""

import math
from dataclasses import dataclass

from plategen.design.places import PinPlace
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.style_tables import Split
from plategen.rules.edge_distance import EN_LEAST, least_edge_distance
from plategen.rules.hole_size import bolt_hole_size
from plategen.rules.table import unit_of_size


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltPlan:
    """Where the bolts go, in mm; the tabs' places in the straightedge's frame, the others in the plate frame."""

    tab: tuple[complex, ...]  # Every bolt hole of a tab.
    used: tuple[complex, ...]  # The bolts' places now.
    ear: tuple[complex, ...]  # The middles of the holes or slots of an ear.
    reach_mm: float  # Half the slots' travel; 0 for round holes.

    @property
    def tab_middle(self) -> complex:
        """The middle of a tab's bolt holes, in the straightedge's frame."""
        return sum(self.tab) / len(self.tab)


def bolt_plan(split: Split, pin: PinPlace, inline_offset_mm: float) -> BoltPlan:
    """Where the bolts go at an in-line offset.

    Raises:
        Refusal: If it is out of reach.
    """
    moved = inline_offset_mm - split.built_for_mm
    if abs(moved) > split.reach_mm + 1e-9:
        low, high = split.built_for_mm - split.reach_mm, split.built_for_mm + split.reach_mm
        words = "an in-line offset of {} is out of the tabs' reach; they are made for {} to {}"
        raise Refusal(message(words, mm(inline_offset_mm), mm(low, "up"), mm(high, "down")), "mount.inline_offset")
    station = pin.station_mm if split.station_mm is None else split.station_mm
    places = pattern(split.rows, split.in_row, split.row_spacing_mm or 0.0, split.spacing_mm or 0.0)
    middle = complex(station, split.height_mm)
    on_tab = tuple(middle - 1j * split.built_for_mm + p for p in places)
    if split.adjust == "slots":
        used = tuple(p + 1j * inline_offset_mm for p in on_tab)
        return BoltPlan(tab=on_tab, used=used, ear=tuple(middle + p for p in places), reach_mm=split.reach_mm)
    ladder, steps = on_tab, 0
    if split.adjust == "ladder" and split.step_mm is not None:
        ladder = rungs(on_tab, math.floor(split.reach_mm / split.step_mm + 0.5), split.step_mm)
        steps = -round(moved / split.step_mm)
    step = complex(0.0, steps * (split.step_mm or 0.0))
    used = tuple(p + step + 1j * inline_offset_mm for p in on_tab)
    return BoltPlan(tab=ladder, used=used, ear=used, reach_mm=0.0)


def pattern(rows: int, in_row: int, row_spacing_mm: float, spacing_mm: float) -> tuple[complex, ...]:
    """Bolt centres about the pattern's middle: rows along u, the bolts of a row along v, the lowest first.

    >>> pattern(2, 1, 60.0, 0.0)
    ((-30+0j), (30+0j))
    """
    return tuple(
        complex((i - (rows - 1) / 2) * row_spacing_mm, (j - (in_row - 1) / 2) * spacing_mm)
        for i in range(rows)
        for j in range(in_row)
    )


def rungs(along_v: tuple[complex, ...], steps: int, step_mm: float) -> tuple[complex, ...]:
    """Every centre that the pattern takes when it is moved along v by up to ``steps`` steps each way, each once."""
    found: dict[tuple[int, int], complex] = {}
    for p in along_v:
        for k in range(-steps, steps + 1):
            q = p + complex(0.0, k * step_mm)
            found.setdefault((round(q.real * 1e4), round(q.imag * 1e4)), q)
    return tuple(sorted(found.values(), key=lambda q: (q.real, q.imag)))


def steel_round(bolt_mm: float, hole_mm: float) -> float:
    """Radius of the steel to leave round a bolt hole: enough for both rule sets, on the next size up in its unit."""
    least = max(least_edge_distance(bolt_mm, unit_of_size(bolt_mm)).mm, EN_LEAST["e1"] * hole_mm)
    return PLATE_SIZES.up(least, unit_of_size(bolt_mm))


def steel_about(bolt_mm: float, *, slotted: bool) -> float:
    """Radius of the steel to leave round a bolt's standard hole, or round the centre of its slot's end."""
    return (steel_round_slot if slotted else steel_round)(bolt_mm, bolt_hole_size(bolt_mm).mm)


def steel_round_slot(bolt_mm: float, slot_mm: float) -> float:
    """Radius of the steel to leave round the centre of a slot's end, for both rule sets."""
    least = max(
        least_edge_distance(bolt_mm, unit_of_size(bolt_mm)).mm + (slot_mm - bolt_mm) / 2, EN_LEAST["e4"] * slot_mm
    )
    return PLATE_SIZES.up(least, unit_of_size(bolt_mm))
