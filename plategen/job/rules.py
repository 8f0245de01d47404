"""Tables ``[rules]`` and ``[driven]`` of the job file: what decides whether it holds, and the rod that is pushed."""

import math
from typing import Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import AngleFromZero, LengthFromZero, PositiveLength, PositiveNumber, Table


class Rules(Table, frozen=True, kw_only=True):
    """Which rules decide, and what loads and materials they are given.

    Args:
        set: The rule set that decides; the others are shown beside it as a second opinion.
        design_category: Design category of ASME BTH-1: A for loads that are known and watched, B for loads that are
            not, C for loads that come and go over many years.
        shock_factor: Factor on the cylinder's force at relief pressure. A wheel that hits a stump or drops into a rut
            drives the shut-in oil above the relief setting before the valve can open; 1.5 is common practice, no
            source. A cylinder that only moves a slow load may take less, an unvalved one more.
        swing: How far the cylinder turns about its pin in the plates' plane, to each side of its drawn line.
        skew: How far the cylinder's line may lie out of the plates' plane, to each side. 2 degrees is half an inch
            in fifteen, what a tape and a straightedge do not miss; common practice, no source.
        pin_steel: Steel of the pin.
        rod_steel: Steel of the cylinder's rod.
        buckling_factor: How many times the push at relief pressure the rod must stand before it buckles; shock is
            covered by it. Cylinder makers ask for 3 to 5.
        bolt_grade: Grade of the bolts, where the bracket has bolts.
        pretensioned: True when the bolts are tightened to a structural pretension and the joint must not slip.
    """

    set: Literal["aisc-asd", "aisc-lrfd", "en-1993"] = "aisc-asd"
    design_category: Literal["A", "B", "C"] = "B"
    shock_factor: PositiveNumber = 1.5
    swing_rad: AngleFromZero = math.radians(5.0)
    skew_rad: AngleFromZero = math.radians(2.0)
    pin_steel: str = "1018-CD"
    rod_steel: str = "1045-CD"
    buckling_factor: PositiveNumber = 3.5
    bolt_grade: str = "Grade 5"
    pretensioned: bool = False

    def __post_init__(self) -> None:
        if self.shock_factor < 1.0:
            raise Refusal(
                "a shock factor below 1 would make the force less than the pressure gives; 1 or more", "shock_factor"
            )
        if max(self.swing_rad, self.skew_rad) >= math.pi / 2:
            raise Refusal(
                "a right angle or more cannot be; less than 90 degrees is right",
                "swing" if self.swing_rad >= self.skew_rad else "skew",
            )


class Driven(Table, frozen=True, kw_only=True):
    """The rod or tube that the cylinder pushes, from joint to joint.

    Args:
        diameter_mm: Its outside diameter.
        bore_mm: Its inside diameter; 0 for a solid bar.
        length_mm: From joint to joint.
        steel: Its steel.
        arm_mm: How far the cylinder's line lies beside the rod's own line where it takes hold.
        at_mm: Where along the rod the cylinder takes hold, from its nearer joint.
        out_of_line: Largest angle between the cylinder and the rod; left out, the skew of `rules`.
    """

    diameter_mm: PositiveLength
    bore_mm: LengthFromZero = 0.0
    length_mm: PositiveLength
    steel: str = "A513-5"
    arm_mm: LengthFromZero = 0.0
    at_mm: LengthFromZero = 0.0
    out_of_line_rad: AngleFromZero | None = None

    def __post_init__(self) -> None:
        if self.bore_mm >= self.diameter_mm:
            raise Refusal("the bore must be less than the outside; less than `diameter` is right", "bore")
        if self.at_mm > self.length_mm:
            raise Refusal("the cylinder takes hold beyond the rod's end; up to `length` is right", "at")
        if self.out_of_line_rad is not None and self.out_of_line_rad >= math.pi / 2:
            raise Refusal("a cylinder square to the rod does not push it; less than 90 degrees is right", "out_of_line")
