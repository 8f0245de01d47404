"""The tables that only one style of bracket has: ``[closing]`` of ears, ``[split]`` and ``[seat]``."""

from __future__ import annotations

import math
from typing import Annotated, Literal

from plategen.ground.message import message, mm, rad
from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, Angle, Length, LengthFromZero, PositiveLength, SteelName, Table


class Closing(Table, frozen=True, kw_only=True):
    """Plates that stand on the rail between the ears, square to it and each fitted to it on its own edge."""

    back: Annotated[bool, BY_RULE, "True for one at the foot's end that the cylinder points away from."] = False
    bottom: Annotated[
        bool, BY_RULE, "True for one at the foot's other end, as deep as the cylinder's swing allows."
    ] = False
    back_inset_mm: Annotated[
        PositiveLength | None,
        BY_RULE,
        "From the foot's end along the rail to the back plate's outer face; left out, a rule chooses.",
    ] = None
    bottom_inset_mm: Annotated[PositiveLength | None, BY_RULE, "The same for the bottom plate."] = None
    thickness_mm: Annotated[PositiveLength | None, "Thickness of these plates; left out, that of the ears."] = None
    steel: Annotated[SteelName, "Their steel; left out, that of the ears."] = ""
    leg_mm: Annotated[PositiveLength | None, "Leg of their fillets; left out, that of `weld`."] = None
    joint: Annotated[
        Literal["butt", "slots"], "How they meet the ears: fitted between them, or with tabs in slots that locate them."
    ] = "butt"
    tab_mm: Annotated[PositiveLength | None, BY_RULE, "Length of a tab; left out, a rule chooses."] = None
    fit_mm: Annotated[LengthFromZero, "Room between plate and ear on each side, and round a tab in its slot."] = 0.4

    def __post_init__(self) -> None:
        if not self.back and not self.bottom:
            raise Refusal("no plate is asked for; back = true is right, or bottom = true", "back")
        if self.tab_mm is not None and self.joint != "slots":
            raise Refusal('only plates in slots have tabs; joint = "slots" is right', "tab")


MOST_SHIM_MM = 25.4 / 8
"""Thicker packing is a plate of its own (AISC 360 J5.2 lets fillers up to 1/4 in go without a loss of shear)."""

LEAST_REACH_MM = 0.5
"""A slot that lets a bolt move by less is a hole that was cut badly."""


class Split(Table, frozen=True, kw_only=True):
    """Bolts between the welded tabs and the bolted ears.

    A row of bolts runs square to the cylinder's line; rows stand beside each other along it.
    """

    bolt_mm: Annotated[PositiveLength, "Diameter of the bolts."]
    rows: Annotated[int, "How many rows."] = 2
    in_row: Annotated[int, "How many bolts in each row; two to four in all."] = 1
    row_spacing_mm: Annotated[PositiveLength | None, "From row to row, along the cylinder."] = None
    spacing_mm: Annotated[PositiveLength | None, "From bolt to bolt in a row, square to the cylinder."] = None
    height_mm: Annotated[
        PositiveLength,
        "From the cylinder's centre line to the middle of the bolts, when the cylinder lies at `built_for`.",
    ]
    station_mm: Annotated[Length | None, "Station of the middle of the bolts; left out, the pin's station."] = None
    built_for_mm: Annotated[Length, "The in-line offset that the tabs are made for."]
    adjust: Annotated[
        Literal["recut", "slots", "ladder"],
        "What takes up another in-line offset: ears cut anew, slots in the ears, or a ladder of holes in tabs.",
    ] = "recut"
    reach_mm: Annotated[
        LengthFromZero, "How far, to each side of `built_for`, the in-line offset may move without touching the tabs."
    ] = 0.0
    step_mm: Annotated[PositiveLength | None, "From hole to hole of the ladder."] = None
    shim_mm: Annotated[
        LengthFromZero, "Packing between each ear and its tab, taken out or added to centre the eye."
    ] = 0.0
    tab_thickness_mm: Annotated[PositiveLength | None, "Thickness of the tabs; left out, that of the ears."] = None

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


MOST_LEAN_RAD = math.radians(30.0)
"""A tab that leans further is no tab any more."""


class Pad(Table, frozen=True, kw_only=True):
    """A saddle pad between tabs and tube: rolled on a round tube, flat on a square one."""

    thickness_mm: Annotated[PositiveLength, "Its thickness."]
    width_mm: Annotated[PositiveLength, "Width of its blank across the tube."]
    beyond_mm: Annotated[LengthFromZero, "How far it reaches beyond the tabs along the tube, at each end."] = 12.7


class Clamp(Table, frozen=True, kw_only=True):
    """Two half clamps about the tube, bolted beside it, for a tube that must not be welded."""

    bolt_mm: Annotated[PositiveLength, "Diameter of the four bolts."]
    thickness_mm: Annotated[PositiveLength, "Thickness of the clamp's plates and cradles."]
    steel: Annotated[SteelName | None, "Their steel; left out, that of the tabs."] = None
    crown_mm: Annotated[
        PositiveLength | None,
        "On a round tube, the steel of a cradle between tube and clamp plate; left out, the thickness.",
    ] = None


class Seat(Table, frozen=True, kw_only=True):
    """The tube, and how the tabs stand on it."""

    tube: Annotated[Literal["round", "square"], "Its section."]
    across_mm: Annotated[PositiveLength, "Outside diameter, or side of the square."]
    corner_mm: Annotated[PositiveLength | None, "Outside corner radius of a square tube; left out, twice the wall."] = (
        None
    )
    made: Annotated[
        Literal["plain", "forged", "heat-treated"], "What the tube is; forged and heat-treated parts are not welded."
    ]
    along: Annotated[
        Literal["cylinder", "pin"],
        "What the tube runs along: the cylinder's line, with the tabs lying along the tube, or the pin, with the tabs "
        "across it.",
    ] = "cylinder"
    lean_rad: Annotated[
        Angle,
        "Lean of the tube's axis against the cylinder's line, in the plates' plane, away from the cylinder towards "
        "larger stations; only for a tube along the cylinder.",
    ] = 0.0
    axis_mm: Annotated[
        Length | None,
        "Where the tube's axis lies: its place along the pin for a tube along the cylinder, left out midway between "
        "the tabs; its station for a tube along the pin, left out the pin's station.",
    ] = None
    hold: Annotated[Literal["weld", "clamp"], "Whether the tabs are welded on or stand on a clamp."] = "weld"
    pad: Annotated[Pad | None, "A saddle pad under welded tabs."] = None
    clamp: Annotated[Clamp | None, "The clamp."] = None

    def __post_init__(self) -> None:
        if self.hold == "weld" and self.made != "plain":
            raise Refusal(
                f"a {self.made} steering part is not welded: it loses its strength beside the weld and cracks; "
                'hold = "clamp" is right',
                "hold",
            )
        if self.hold == "clamp" and self.clamp is None:
            raise Refusal("missing; the table [seat.clamp] with its bolt and thickness is right", "clamp")
        if self.hold == "clamp" and self.pad is not None:
            raise Refusal("a clamp takes no saddle pad; leave [seat.pad] out", "pad")
        if self.tube == "round" and self.corner_mm is not None:
            raise Refusal("a round tube has no corners; leave `corner` out", "corner")
        if self.corner_mm is not None and 2.0 * self.corner_mm >= self.across_mm:
            raise Refusal("the corners use up the sides; less than half of `across` is right", "corner")
        if self.lean_rad and self.along == "pin":
            raise Refusal("only a tube along the cylinder may lean in the plates' plane; leave `lean` out", "lean")
        if abs(self.lean_rad) > MOST_LEAN_RAD:
            raise Refusal(
                message(
                    "the tube leans too far to call the cylinder in line; up to {} is right", rad(MOST_LEAN_RAD, "down")
                ),
                "lean",
            )
