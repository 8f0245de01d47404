"""The ``[split]`` table: tabs welded to the rail, and the ears that are bolted to them and carry the pin."""

from typing import Literal

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Length, LengthFromZero, PositiveLength, Table

MOST_SHIM_MM = 25.4 / 8
"""Thicker packing is a plate of its own (AISC 360 J5.2 lets fillers up to 1/4 in go without a loss of shear)."""

LEAST_REACH_MM = 0.5
"""A slot that lets a bolt move by less is a hole that was cut badly."""


class Split(Table, frozen=True, kw_only=True):
    """Bolts between the welded tabs and the bolted ears.

    A row of bolts runs square to the cylinder's line; rows stand beside each other along it.

    Args:
        bolt_mm: Diameter of the bolts.
        rows: How many rows.
        in_row: How many bolts in each row; two to four in all.
        row_spacing_mm: From row to row, along the cylinder.
        spacing_mm: From bolt to bolt in a row, square to the cylinder.
        height_mm: From the cylinder's centre line to the middle of the bolts, when the cylinder lies at `built_for`.
        station_mm: Station of the middle of the bolts; left out, the pin's station.
        built_for_mm: The in-line offset that the tabs are made for.
        adjust: What takes up another in-line offset: ears cut anew, slots in the ears, or a ladder of holes in tabs.
        reach_mm: How far, to each side of `built_for`, the in-line offset may move without touching the tabs.
        step_mm: From hole to hole of the ladder.
        shim_mm: Packing between each ear and its tab, taken out or added to centre the eye.
        tab_thickness_mm: Thickness of the tabs; left out, that of the ears.
    """

    bolt_mm: PositiveLength
    rows: int = 2
    in_row: int = 1
    row_spacing_mm: PositiveLength | None = None
    spacing_mm: PositiveLength | None = None
    height_mm: PositiveLength
    station_mm: Length | None = None
    built_for_mm: Length
    adjust: Literal["recut", "slots", "ladder"] = "recut"
    reach_mm: LengthFromZero = 0.0
    step_mm: PositiveLength | None = None
    shim_mm: LengthFromZero = 0.0
    tab_thickness_mm: PositiveLength | None = None

    def __post_init__(self) -> None:
        if self.rows < 1 or self.in_row < 1 or not 2 <= self.rows * self.in_row <= 4:
            raise Refusal(
                f"{self.rows} rows of {self.in_row} are not two to four bolts; rows = 2 and in_row = 1 is right",
                "rows",
            )
        if self.rows > 1 and self.row_spacing_mm is None:
            raise Refusal("missing; how far the rows stand apart is right", "row_spacing")
        if self.in_row > 1 and self.spacing_mm is None:
            raise Refusal("missing; how far the bolts of a row stand apart is right", "spacing")
        if self.adjust == "slots" and self.reach_mm < LEAST_REACH_MM:
            raise Refusal(
                message("slots need a reach; {} or more to each side is right", mm(LEAST_REACH_MM, "up")), "reach"
            )
        if self.adjust == "ladder":
            self._refuse_ladder()
        elif self.step_mm is not None:
            raise Refusal('only a ladder of holes has steps; adjust = "ladder" is right', "step")
        if self.shim_mm > MOST_SHIM_MM:
            words = "{} of packing is a plate of its own; up to {} is right"
            raise Refusal(message(words, mm(self.shim_mm), mm(MOST_SHIM_MM, "down")), "shim")

    def _refuse_ladder(self) -> None:
        if self.step_mm is None:
            raise Refusal("missing; from hole to hole of the ladder is right", "step")
        if self.reach_mm < self.step_mm / 2:
            raise Refusal(message("a ladder of one rung; {} or more is right", mm(self.step_mm / 2, "up")), "reach")
        if self.reach_mm > 20.0 * self.step_mm:
            raise Refusal("a ladder of more than forty rungs; a longer step or a shorter reach is right", "step")
        if self.in_row > 1 and self.spacing_mm is not None:
            rungs = self.spacing_mm / self.step_mm
            if abs(rungs - round(rungs)) > 1e-6 or round(rungs) == 0:
                words = "bolts {} apart do not both meet a ladder of {}; a whole number of steps is right"
                raise Refusal(message(words, mm(self.spacing_mm), mm(self.step_mm)), "spacing")
