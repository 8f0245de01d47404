"""The tables of ``[steering]`` that draw the linkage: levers, rods, how far it turns, where the cylinder sits.

All places are in the vehicle frame of ISO 8855: x forward, y to the left, z up, from any origin the user likes; the
ground is z = 0. Everything is drawn straight ahead.
"""

from typing import Literal, TypeAlias

import msgspec

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Length, LengthFromZero, Number, PositiveAngle, PositiveLength, Pressure, Table

Place: TypeAlias = tuple[Length, Length, Length]
Direction: TypeAlias = tuple[Number, Number, Number]
"""A point, and a direction of any length, in the vehicle frame."""

_INCH_MM = 25.4


class LeverEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.lever]]``: a steering arm, relay lever or spindle on its axis.

    Args:
        name: What the shop calls it.
        pivot_mm: Any point of its axis.
        axis: Direction of its axis; straight up when left out. A kingpin leans inwards and back.
        balls: Its ball joints by name, each the place of the ball's centre, straight ahead.
        wheel: Which road wheel turns with it.
    """

    name: str
    pivot_mm: Place
    axis: Direction = (0.0, 0.0, 1.0)
    balls: dict[str, Place]
    wheel: Literal["left", "right"] | None = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refusal("it is empty; what the shop calls the lever is right", "name")


class RodEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.rod]]``: a rod with a ball joint at each end.

    Args:
        name: What the shop calls it.
        start: Where it begins, written "lever.ball".
        end: Where it ends, written "lever.ball".
        length_mm: Between its ball centres; left out, as drawn.
        diameter_mm: Outside diameter, to judge its bending.
        wall_mm: Wall of a tube; left out, a solid bar.
        yield_mpa: Yield stress, to judge its bending.
    """

    name: str
    start: str = msgspec.field(name="from")
    end: str = msgspec.field(name="to")
    length_mm: PositiveLength | None = None
    diameter_mm: PositiveLength | None = None
    wall_mm: PositiveLength | None = None
    yield_mpa: Pressure | None = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refusal("it is empty; what the shop calls the rod is right", "name")
        if self.wall_mm is not None and (self.diameter_mm is None or 2.0 * self.wall_mm > self.diameter_mm):
            raise Refusal("a tube's wall is at most half its `diameter`", "wall")


class SweepEntry(Table, frozen=True, kw_only=True):
    """How far the steering is swept.

    Args:
        left_rad: Left lock, from straight ahead.
        right_rad: Right lock, from straight ahead.
        of: Whose angle that is: a lever's name or "inner wheel"; the steering box's arm when left out.
        positions: How many positions are computed.
    """

    left_rad: PositiveAngle
    right_rad: PositiveAngle
    of: str = ""
    positions: int = 201

    def __post_init__(self) -> None:
        if not 21 <= self.positions <= 20001:
            raise Refusal("from 21 to 20001 positions are right", "positions")


class PointEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.point]]`` whose travel is wanted.

    Args:
        name: What it is.
        on: The lever or rod that carries it.
        at_mm: Where it is, straight ahead.
    """

    name: str
    on: str
    at_mm: Place


class BoxEntry(Table, frozen=True, kw_only=True):
    """A box in space, between two corners.

    Args:
        low_mm: The corner with the smaller x, y and z.
        high_mm: The corner with the larger ones.
    """

    low_mm: Place
    high_mm: Place


class CylinderMountEntry(Table, frozen=True, kw_only=True):
    """Where the cylinder sits, straight ahead.

    Args:
        pushes: The rod or lever that carries the moving pin.
        fixed_pin_mm: The pin on the frame, which the bracket holds.
        moving_pin_mm: The pin on what is pushed.
        pin_axis: Direction of the fixed pin; the bracket's plates lie across it.
        straightedge_mm: Where the straightedge's station 0 lies, in the traces' plane 0; left out, the pin drawn here
            and the pin at the mount's station and in-line offset are taken for one.
        in_line_with: The rod whose line the cylinder should keep; the pushed rod when left out.
        margin_mm: Stroke in hand wanted at each end when a stroke is chosen.
        limit_at: Where the stroke is limited: both ends (mid stroke straight ahead), all at the rod end, or all at
            the cap end.
        box: Where the fixed pin could go; its best place in there is found.
        joint_rad: How far the joints at both ends may tilt.
        pressure_mpa: Relief setting, as long as no cylinder is chosen: bore and rod are advised for it.
    """

    pushes: str
    fixed_pin_mm: Place
    moving_pin_mm: Place
    pin_axis: Direction = (0.0, 0.0, 1.0)
    straightedge_mm: Place | None = None
    in_line_with: str = ""
    margin_mm: LengthFromZero = _INCH_MM / 4
    limit_at: Literal["both", "rod end", "cap end"] = "both"
    box: BoxEntry | None = None
    joint_rad: PositiveAngle | None = None
    pressure_mpa: Pressure | None = None
