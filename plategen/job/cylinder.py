"""The ``[cylinder]`` table: the bought part that the bracket holds."""

from plategen.job.quantities import PositiveLength, Pressure, Table
from plategen.refusal import Refusal


class CylinderEnd(Table, frozen=True, kw_only=True):
    """One end of the cylinder, as measured on the real part.

    Args:
        pin_mm: Diameter of the pin.
        eye_width_mm: Width of what goes between the plates.
        eye_radius_mm: From the pin's centre to the outside of the eye.
    """

    pin_mm: PositiveLength
    eye_width_mm: PositiveLength
    eye_radius_mm: PositiveLength

    def __post_init__(self) -> None:
        if self.eye_radius_mm <= self.pin_mm / 2:
            raise Refusal("the eye must be larger than its pin: more than half of `pin` is right", "eye_radius")


class Cylinder(Table, frozen=True, kw_only=True):
    """A single-rod hydraulic cylinder.

    Args:
        bore_mm: Inside diameter of the barrel.
        rod_mm: Diameter of the rod.
        stroke_mm: How far the rod can move.
        closed_length_mm: From pin to pin with the rod all the way in.
        body_diameter_mm: Largest outside diameter of the barrel.
        pressure_mpa: Setting of the relief valve.
        base: The end that this bracket holds.
    """

    bore_mm: PositiveLength
    rod_mm: PositiveLength
    stroke_mm: PositiveLength
    closed_length_mm: PositiveLength
    body_diameter_mm: PositiveLength
    pressure_mpa: Pressure
    base: CylinderEnd

    def __post_init__(self) -> None:
        if self.rod_mm >= self.bore_mm:
            raise Refusal("the rod must be thinner than the bore; less than `bore` is right", "rod")
        if self.body_diameter_mm <= self.bore_mm:
            raise Refusal("the barrel must be wider outside than its bore; more than `bore` is right", "body_diameter")
        if self.closed_length_mm <= self.stroke_mm:
            raise Refusal(
                "closed, pin to pin, must be longer than the stroke; more than `stroke` is right", "closed_length"
            )

    @property
    def open_length_mm(self) -> float:
        """From pin to pin with the rod all the way out."""
        return self.closed_length_mm + self.stroke_mm
