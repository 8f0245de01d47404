"""The ``[bolted]`` table: a base plate that is bolted to the rail, with the ears welded to it off the vehicle."""

from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, Length, PositiveLength, Table

FEWEST, MOST = 4, 8
"""Bolts of a base: fewer hold no moment about every axis, more want a rail of their own."""


class Bolted(Table, frozen=True, kw_only=True):
    """The base plate and its bolts.

    The bolts stand in two lines beside the ears, along the rail, or in two at the ends of the ears' feet, across it.
    """

    bolt_mm: Annotated[PositiveLength, "Diameter of the bolts."]
    base_mm: Annotated[PositiveLength, "Thickness of the base plate, to which the ears are welded off the vehicle."]
    bolts: Annotated[int, "How many: 4, 6 or 8."] = 4
    pattern: Annotated[
        Literal["beside", "ends"] | None,
        'Where they stand: in two lines along the rail "beside" the ears, or in two across it at the "ends" of the '
        "ears' feet; left out, beside where the rail's face has the room.",
    ] = None
    row_spacing_mm: Annotated[
        PositiveLength | None, BY_RULE, "From bolt to bolt along the rail, at the ends from end to end."
    ] = None
    spacing_mm: Annotated[
        PositiveLength | None, BY_RULE, "From bolt to bolt along the pin, beside the ears from line to line."
    ] = None
    station_mm: Annotated[Length | None, "Station of their middle; left out, the middle of the ears' feet."] = None
    backing_mm: Annotated[
        PositiveLength | None, "Thickness of a plate behind the rail's wall, under the nuts; left out, there is none."
    ] = None
    depth_mm: Annotated[
        PositiveLength | None,
        "Of a box section how deep it is, outside to outside, where bolts go right through it; left out, they go "
        "through the one wall.",
    ] = None
    sleeve_mm: Annotated[
        PositiveLength | None,
        "Outside diameter of the sleeves about such bolts, between the two walls, which keep them from being crushed.",
    ] = None

    def __post_init__(self) -> None:
        if self.bolts not in range(FEWEST, MOST + 1, 2):
            raise Refusal(f"{self.bolts} bolts; 4, 6 or 8 are right", "bolts")
        if self.sleeve_mm is not None and self.depth_mm is None:
            raise Refusal("sleeves stand between the walls of a box section; its depth is right too", "depth")
        if self.sleeve_mm is not None and self.sleeve_mm <= self.bolt_mm:
            raise Refusal("narrower than the bolt in it; well over the bolt's diameter is right", "sleeve")
