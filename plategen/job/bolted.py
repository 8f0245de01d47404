"""The ``[bolted]`` table: a base plate that is bolted to the rail, with ears welded to it or bent up out of it."""

from __future__ import annotations

from typing import Annotated, Literal

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, Length, LengthFromZero, PositiveLength, PositiveNumber, Table
from plategen.job.style_tables import LEAST_REACH_MM

MOST_K = 0.5
"""The middle of the thickness: no bend's fibre of true length lies farther out."""


class Formed(Table, frozen=True, kw_only=True):
    """Ears and base bent of one plate, so that nothing is welded."""

    radius_mm: Annotated[
        PositiveLength | None,
        BY_RULE,
        "Inside radius of the bends; left out, the least that the steel's own standard lets it be bent to.",
    ] = None
    k: Annotated[
        PositiveNumber | None,
        "How deep from the inside of a bend the fibre lies that keeps its length, over the thickness, by a trial bend "
        "on the shop's own brake; left out, by DIN 6935.",
    ] = None
    rolled: Annotated[
        Literal["across", "along"],
        'Which way the plate was rolled, seen from the bend lines: "across" them bends tighter and has to be seen to '
        'when the plate is cut, "along" them, the worse, is counted where nobody looks.',
    ] = "along"
    relief_mm: Annotated[
        PositiveLength | None,
        BY_RULE,
        "Width of the slots at both ends of a bend, where an ear leaves the base; left out, the plate's thickness.",
    ] = None
    throat_mm: Annotated[
        LengthFromZero,
        "How far the brake's punch is cut away beside its edge, where the ear that was bent first comes up to it; 0 "
        "for a straight punch.",
    ] = 0.0

    def __post_init__(self) -> None:
        if self.k is not None and self.k > MOST_K:
            raise Refusal(f"beyond the middle of the plate; {MOST_K:g} or less is right", "k")


FEWEST, MOST = 4, 8
"""Bolts of a base: fewer hold no moment about every axis, more want a rail of their own."""


class Bolted(Table, frozen=True, kw_only=True):
    """The base plate and its bolts.

    The bolts stand in two lines beside the ears, along the rail, or in two at the ends of the ears' feet, across it.
    """

    bolt_mm: Annotated[PositiveLength, "Diameter of the bolts."]
    base_mm: Annotated[
        PositiveLength | None,
        "Thickness of the base plate, to which the ears are welded off the vehicle; left out of a formed bracket, "
        "which is one plate.",
    ] = None
    formed: Annotated[Formed | None, "Ears and base bent of one plate; left out, the ears are welded on."] = None
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
    slot_mm: Annotated[
        LengthFromZero,
        "How far to each side along the pin the base can be moved to bring its ears in line: its own holes are slots "
        "then, those in the rail stay round; 0 for round holes.",
    ] = 0.0
    fitted: Annotated[
        bool,
        "Whether two of the bolts, far apart, go through round holes that are drilled in the base from the rail once "
        "it is set: they stop it along the other bolts' slots, and no friction has to.",
    ] = False
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
        if self.formed is None and self.base_mm is None:
            raise Refusal("missing; the thickness of the base plate is right, or a table [bolted.formed]", "base")
        if self.formed is not None and self.base_mm is not None:
            raise Refusal("ears and base of a formed bracket are one plate, as thick as the ears; leave it out", "base")
        if self.formed is not None and self.pattern == "beside":
            raise Refusal('the bends run beside the ears; pattern = "ends" is right, or leave it out', "pattern")
        if self.slot_mm and self.formed is not None:
            raise Refusal("the bends of a formed bracket run beside its bolts; round holes are right, slot = 0", "slot")
        if self.fitted and not self.slot_mm:
            raise Refusal("only a base in slots is fitted once it is set; leave it out, or tell `slot`", "fitted")
        if 0.0 < self.slot_mm < LEAST_REACH_MM:
            words = "a slot that lets a bolt move by less is a hole that was cut badly; {} or more is right, or 0"
            raise Refusal(message(words, mm(LEAST_REACH_MM, "up")), "slot")
        if self.sleeve_mm is not None and self.depth_mm is None:
            raise Refusal("sleeves stand between the walls of a box section; its depth is right too", "depth")
        if self.sleeve_mm is not None and self.sleeve_mm <= self.bolt_mm:
            raise Refusal("narrower than the bolt in it; well over the bolt's diameter is right", "sleeve")
