"""What a bracket costs by the shop's own rates: steel, cutting, welding and hours.

What has no price of its own is counted by its time, where the shop gives an hour a price; what has neither is left
out and named. Steel is counted by the rectangle that a plate is cut from, cutting by the finished edge.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.bracket.measure import STEEL_KG_PER_MM3, cut_length_mm
from plategen.bracket.model import Plate, WeldRun
from plategen.ground.message import NOTHING, Message, Quantity, message, mm, number
from plategen.ground.refusal import Refusal
from plategen.job.cutting import Cutting
from plategen.job.shop import Shop
from plategen.rules import bead
from plategen.rules.cutting_feed import feed
from plategen.work import Work

Part: TypeAlias = Literal["steel", "cutting", "welding", "grinding", "other hours"]
"""What is counted."""


@dataclass(frozen=True, slots=True)
class CostItem:
    """One part of a cost."""

    part: Part
    amount: float  # In the shop's money.
    how: Message  # What it was counted by.


@dataclass(frozen=True, slots=True)
class Cost:
    """What something costs."""

    items: tuple[CostItem, ...]  # What was counted.
    left_out: tuple[str, ...]  # What has neither a price nor an hour's price to be counted by.
    money: str  # Sign or word of the shop's money.

    @property
    def total(self) -> float:
        """All of it, in the shop's money."""
        return math.fsum(item.amount for item in self.items)


def cost_of(work: Work, shop: Shop | None = None) -> Cost | None:
    """What a job's bracket costs by its own shop's rates or by another's; None where they are not given."""
    shop = shop or work.job.shop
    if shop is None or not shop.has_rates:
        return None
    found = [*plate_costs(work.cut_plates, work.job.cutting, shop), _welding(work.runs, shop), _hours(shop)]
    return _cost(found, shop)


def cost_of_change(
    work: Work, plates: Sequence[Plate], laid_mm: float, welding_minutes: float, grinding_minutes: float
) -> Cost | None:
    """What it costs to cut these plates of a job, and to lay and grind so much; None where the shop gives no rates."""
    shop = work.job.shop
    if shop is None or not shop.has_rates:
        return None
    cut, laid = plate_costs(plates, work.job.cutting, shop), _laid(laid_mm, welding_minutes, shop)
    return _cost([*cut, laid, _ground(grinding_minutes, shop)], shop)


def _cost(found: Iterable[CostItem | str | None], shop: Shop) -> Cost:
    items = [item for item in found if item is not None]
    return Cost(
        tuple(item for item in items if isinstance(item, CostItem)),
        tuple(dict.fromkeys(item for item in items if isinstance(item, str))),
        shop.money,
    )


def plate_costs(plates: Sequence[Plate], cutting: Cutting, shop: Shop) -> Iterator[CostItem | str]:
    """Steel and cutting of plates, each as often as it is cut."""
    if not plates:
        return
    mass_kg = math.fsum(_rectangle_kg(plate) * plate.count for plate in plates)
    if shop.steel_per_kg is None:
        yield "steel"
    else:
        how = message("{} of rectangles at {}", Quantity(mass_kg, "kg"), Quantity(shop.steel_per_kg, "/kg"))
        yield CostItem("steel", mass_kg * shop.steel_per_kg, how)
    yield _cutting(plates, cutting, shop)


def _cutting(plates: Sequence[Plate], cutting: Cutting, shop: Shop) -> CostItem | str:
    length_mm = math.fsum(cut_length_mm(plate) * plate.count for plate in plates)
    pierces = sum(_pierces(plate) * plate.count for plate in plates)
    pierced, how_pierced = 0.0, NOTHING
    if shop.pierce is not None:
        pierced, how_pierced = pierces * shop.pierce, message(", {} pierces", pierces)
    if shop.cut_per_mm is not None:
        how = message("{} of edge at {}{}", mm(length_mm), Quantity(shop.cut_per_mm, "/mm"), how_pierced)
        return CostItem("cutting", length_mm * shop.cut_per_mm + pierced, how)
    minutes = cutting_minutes(plates, cutting, pierces=shop.pierce is None)
    if shop.hour is None or minutes is None:
        return "cutting"
    how = message("about {} min{}", number(minutes), how_pierced)
    return CostItem("cutting", minutes / 60.0 * shop.hour + pierced, how)


def _rectangle_kg(plate: Plate) -> float:
    u0, v0, u1, v1 = plate.outline.bounds
    return (u1 - u0) * (v1 - v0) * plate.thickness_mm * STEEL_KG_PER_MM3


def _pierces(plate: Plate) -> int:
    return 1 + len(plate.openings) + sum(hole.made == "cut" for hole in plate.holes)


def cutting_minutes(plates: Sequence[Plate], cutting: Cutting, *, pierces: bool = True) -> float | None:
    """Time of the torch, with or without that of piercing; None where a plate is thicker than feeds are known for."""
    try:
        return math.fsum(
            p.count * feed(cutting.process, p.thickness_mm).minutes(cut_length_mm(p), _pierces(p) if pierces else 0)
            for p in plates
        )
    except Refusal:
        return None


def _welding(runs: Sequence[WeldRun], shop: Shop) -> CostItem | str | None:
    return _laid(
        math.fsum(run.length_mm for run in runs),
        math.fsum(bead.minutes(run.laid_leg_mm, run.length_mm) for run in runs),
        shop,
    )


def _laid(length_mm: float, minutes: float, shop: Shop) -> CostItem | str | None:
    if not length_mm and not minutes:
        return None
    if shop.weld_per_mm is not None:
        how = message("{} of weld at {}", mm(length_mm), Quantity(shop.weld_per_mm, "/mm"))
        return CostItem("welding", length_mm * shop.weld_per_mm, how)
    if shop.hour is None:
        return "welding"
    return CostItem("welding", minutes / 60.0 * shop.hour, message("about {} min", number(minutes)))


def _ground(minutes: float, shop: Shop) -> CostItem | str | None:
    if not minutes:
        return None
    if shop.hour is None:
        return "grinding"
    return CostItem("grinding", minutes / 60.0 * shop.hour, message("about {} min", number(minutes)))


def _hours(shop: Shop) -> CostItem | None:
    if shop.hour is None or not shop.hours:
        return None
    return CostItem(
        "other hours", shop.hours * shop.hour, message("{} h, the shop's own reckoning", number(shop.hours))
    )
