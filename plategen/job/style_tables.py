"""The tables that only one style of bracket has: ``[closing]`` of ears, ``[split]`` and ``[seat]``."""

import math
from typing import Annotated, Literal

from plategen.ground.message import message, mm, rad
from plategen.ground.refusal import Refusal
from plategen.job.quantities import BY_RULE, Angle, Length, LengthFromZero, PositiveLength, Table


class Closing(Table, frozen=True, kw_only=True):
    """Plates that stand on the rail between the ears, square to it and each fitted to it on its own edge.

    Args:
        back: True for one at the foot's end that the cylinder points away from.
        bottom: True for one at the foot's other end, as deep as the cylinder's swing allows.
        back_inset_mm: From the foot's end along the rail to the back plate's outer face; left out, a rule chooses.
        bottom_inset_mm: The same for the bottom plate.
        thickness_mm: Thickness of these plates; left out, that of the ears.
        steel: Their steel; left out, that of the ears.
        leg_mm: Leg of their fillets; left out, that of `weld`.
        joint: How they meet the ears: fitted between them, or with tabs in slots that locate them.
        tab_mm: Length of a tab; left out, a rule chooses.
        fit_mm: Room between plate and ear on each side, and round a tab in its slot.
    """

    back: Annotated[bool, BY_RULE] = False
    bottom: Annotated[bool, BY_RULE] = False
    back_inset_mm: Annotated[PositiveLength | None, BY_RULE] = None
    bottom_inset_mm: Annotated[PositiveLength | None, BY_RULE] = None
    thickness_mm: PositiveLength | None = None
    steel: str = ""
    leg_mm: PositiveLength | None = None
    joint: Literal["butt", "slots"] = "butt"
    tab_mm: Annotated[PositiveLength | None, BY_RULE] = None
    fit_mm: LengthFromZero = 0.4

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


MOST_LEAN_RAD = math.radians(30.0)
"""A tab that leans further is no tab any more."""


class Pad(Table, frozen=True, kw_only=True):
    """A saddle pad between tabs and tube: rolled on a round tube, flat on a square one.

    Args:
        thickness_mm: Its thickness.
        width_mm: Width of its blank across the tube.
        beyond_mm: How far it reaches beyond the tabs along the tube, at each end.
    """

    thickness_mm: PositiveLength
    width_mm: PositiveLength
    beyond_mm: LengthFromZero = 12.7


class Clamp(Table, frozen=True, kw_only=True):
    """Two half clamps about the tube, bolted beside it, for a tube that must not be welded.

    Args:
        bolt_mm: Diameter of the four bolts.
        thickness_mm: Thickness of the clamp's plates and cradles.
        steel: Their steel; left out, that of the tabs.
        crown_mm: On a round tube, the steel of a cradle between tube and clamp plate; left out, the thickness.
    """

    bolt_mm: PositiveLength
    thickness_mm: PositiveLength
    steel: str | None = None
    crown_mm: PositiveLength | None = None


class Seat(Table, frozen=True, kw_only=True):
    """The tube, and how the tabs stand on it.

    Args:
        tube: Its section.
        across_mm: Outside diameter, or side of the square.
        corner_mm: Outside corner radius of a square tube; left out, twice the wall.
        made: What the tube is; forged and heat-treated parts are not welded.
        along: What the tube runs along: the cylinder's line, with the tabs lying along the tube, or the pin, with the
            tabs across it.
        lean_rad: Lean of the tube's axis against the cylinder's line, in the plates' plane, away from the cylinder
            towards larger stations; only for a tube along the cylinder.
        axis_mm: Where the tube's axis lies: its place along the pin for a tube along the cylinder, left out midway
            between the tabs; its station for a tube along the pin, left out the pin's station.
        hold: Whether the tabs are welded on or stand on a clamp.
        pad: A saddle pad under welded tabs.
        clamp: The clamp.
    """

    tube: Literal["round", "square"]
    across_mm: PositiveLength
    corner_mm: PositiveLength | None = None
    made: Literal["plain", "forged", "heat-treated"]
    along: Literal["cylinder", "pin"] = "cylinder"
    lean_rad: Angle = 0.0
    axis_mm: Length | None = None
    hold: Literal["weld", "clamp"] = "weld"
    pad: Pad | None = None
    clamp: Clamp | None = None

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
