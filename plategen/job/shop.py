"""The ``[shop]`` table: what the shop reckons with, and the steel that lies in its rack."""

from __future__ import annotations

from typing import Annotated

from plategen.ground.refusal import Refusal
from plategen.job.cutting import SheetStock
from plategen.job.quantities import (
    LengthFromZero,
    NumberFromZero,
    PositiveLength,
    PricePerLength,
    PricePerMass,
    SteelName,
    Table,
)

MOST_ALIKE = 99
"""More pieces alike than a rack holds."""


class StockPiece(Table, frozen=True, kw_only=True):
    """A piece of steel in the rack."""

    name: Annotated[str, "What the shop calls it."]
    steel: Annotated[SteelName, "Its steel, by the name shops use."]
    thickness_mm: Annotated[PositiveLength, "Its thickness."]
    length_mm: Annotated[PositiveLength, "Along its grain."]
    width_mm: Annotated[PositiveLength, "Across it."]
    count: Annotated[int, "How many alike."] = 1
    spacing_mm: Annotated[LengthFromZero, "Least distance from part to part."] = 8.0
    margin_mm: Annotated[LengthFromZero, "Least distance from part to its edge."] = 10.0

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refusal("the name is missing; write what the shop calls the piece", "name")
        if not 1 <= self.count <= MOST_ALIKE:
            raise Refusal(f"{self.count} pieces; 1 to {MOST_ALIKE} is right", "count")
        _ = self.sheet  # its margins must leave something

    @property
    def sheet(self) -> SheetStock:
        """The piece as a sheet to lay plates on."""
        return SheetStock(
            length_mm=self.length_mm, width_mm=self.width_mm, spacing_mm=self.spacing_mm, margin_mm=self.margin_mm
        )


class Shop(Table, frozen=True, kw_only=True):
    """The shop's own rates; what has no rate of its own is counted by its hours, where an hour has one."""

    money: Annotated[str, 'Sign or word of the money: "$", "EUR".'] = ""
    steel_per_kg: Annotated[
        PricePerMass | None, "Price of steel by weight, of the rectangle that each plate is cut from."
    ] = None
    cut_per_mm: Annotated[PricePerLength | None, "Price of cutting by the length of edge."] = None
    pierce: Annotated[NumberFromZero | None, "Price of each pierce."] = None
    weld_per_mm: Annotated[PricePerLength | None, "Price of welding by the length of weld."] = None
    hour: Annotated[
        NumberFromZero | None, "Price of an hour of the shop, for cutting and welding without a price by length."
    ] = None
    hours: Annotated[
        NumberFromZero, "Hours besides cutting and welding: fitting up, grinding, drilling, paint; your own reckoning."
    ] = 0.0
    stock: Annotated[tuple[StockPiece, ...], "Steel in the rack, a [[shop.stock]] for each piece."] = ()

    def __post_init__(self) -> None:
        if self.hours and self.hour is None:
            raise Refusal("hours have a price only where an hour has one; give `hour`", "hours")
        if self.pierce is not None and self.cut_per_mm is None and self.hour is None:
            raise Refusal("a pierce has a price and the cut has none; `cut` or `hour` beside it is right", "pierce")
        names = [piece.name for piece in self.stock]
        for name in names:
            if names.count(name) > 1:
                raise Refusal(f'two pieces are called "{name}"; a name of its own for each is right', "stock")

    @property
    def has_rates(self) -> bool:
        """Whether there is anything to reckon with."""
        rates = (self.steel_per_kg, self.cut_per_mm, self.pierce, self.weld_per_mm, self.hour)
        return any(rate is not None for rate in rates)
