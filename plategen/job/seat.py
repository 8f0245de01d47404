"""The ``[seat]`` table: the tube that the cylinder's moving end is mounted on, and how its tabs are held there."""

import math
from typing import Literal

from plategen.ground.message import message, rad
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, Length, LengthFromZero, PositiveLength, Table

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
