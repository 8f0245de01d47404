"""The table ``[steering.hands]``: the steering wheel, what is lost on the way to the tyres, whose limit counts."""

from __future__ import annotations

from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Force, NumberFromZero, PositiveLength, PositiveNumber, Pressure, Table

Vehicle = Literal["M1", "M2", "M3", "N1", "N2", "N3", "tractor", "earth-moving"]
"""Whose published limit of the effort at the rim is looked at: UN categories, or off-road machines."""


class HandsEntry(Table, frozen=True, kw_only=True):
    """The driver's hands at the steering wheel."""

    wheel_diameter_mm: Annotated[PositiveLength, "Diameter of the steering wheel, at the rim."]
    efficiency: Annotated[
        PositiveNumber, "Share of the hands' work that reaches the box's arm, 0 to 1 (common practice, no source)."
    ] = 0.75
    friction: Annotated[
        NumberFromZero, "Friction of kingpins and balls, as a share of the tyres' moment (common practice, no source)."
    ] = 0.1
    valve_effort_n: Annotated[Force, "Force at the rim that opens the box's valve all the way, as measured."] = 0.0
    drag_mpa: Annotated[
        Pressure | None, "Pressure that the hands put up to send cylinder's and box's oil round, pump dead."
    ] = None
    push_n: Annotated[
        Force | None, "Force at the rim that the driver is counted on to give; the limit of `vehicle` when left out."
    ] = None
    vehicle: Annotated[
        Vehicle | None, "Whose published limit is looked at: M1 to N3 of UN R79, a tractor, an earth-moving machine."
    ] = None

    def __post_init__(self) -> None:
        if self.efficiency > 1.0:
            raise Refusal("a share of the work is more than 0 and up to 1", "efficiency")
