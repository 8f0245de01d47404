"""Tables ``[rules]``, ``[use]`` and ``[driven]``: what decides whether it holds, how it is used, the rod pushed."""

import math
from typing import Annotated, Literal

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.quantities import (
    AngleFromZero,
    BoltGradeName,
    LengthFromZero,
    PositiveLength,
    PositiveNumber,
    Pressure,
    SteelName,
    Table,
)


class Rules(Table, frozen=True, kw_only=True):
    """Which rules decide, and what loads and materials they are given."""

    set: Annotated[
        Literal["aisc-asd", "aisc-lrfd", "en-1993"],
        "The rule set that decides; the others are shown beside it as a second opinion.",
    ] = "aisc-asd"
    tables: Annotated[
        Units | None,
        "The system of a rule that prints a table in inches and another in millimetres, which differ by rounding; "
        "left out, the units of the job.",
    ] = None
    design_category: Annotated[
        Literal["A", "B", "C"],
        "Design category of ASME BTH-1: A for loads that are known and watched, B for loads that are not, C for loads "
        "that come and go over many years.",
    ] = "B"
    shock_factor: Annotated[
        PositiveNumber,
        "Factor on the cylinder's force at relief pressure. A wheel that hits a stump or drops into a rut drives the "
        "shut-in oil above the relief setting before the valve can open; 1.5 is common practice, no source. A "
        "cylinder that only moves a slow load may take less, an unvalved one more.",
    ] = 1.5
    swing_rad: Annotated[
        AngleFromZero, "How far the cylinder turns about its pin in the plates' plane, to each side of its drawn line."
    ] = math.radians(5.0)
    skew_rad: Annotated[
        AngleFromZero,
        "How far the cylinder's line may lie out of the plates' plane, to each side. 2 degrees is half an inch in "
        "fifteen, what a tape and a straightedge do not miss; common practice, no source.",
    ] = math.radians(2.0)
    pin_steel: Annotated[SteelName, "Steel of the pin."] = "1018-CD"
    rod_steel: Annotated[SteelName, "Steel of the cylinder's rod."] = "1045-CD"
    buckling_factor: Annotated[
        PositiveNumber,
        "How many times the push at relief pressure the rod must stand before it buckles; shock is covered by it. "
        "Cylinder makers ask for 3 to 5.",
    ] = 3.5
    bolt_grade: Annotated[BoltGradeName, "Grade of the bolts, where the bracket has bolts."] = "Grade 5"
    pretensioned: Annotated[
        bool, "True when the bolts are tightened to a structural pretension and the joint must not slip."
    ] = False

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


WEEKS_A_YEAR = 52.0
"""No weeks off: a machine that stands in winter has fewer hours a week."""


class Use(Table, frozen=True, kw_only=True):
    """How much the cylinder works, for fatigue; one full stroke goes from full push to full pull and back."""

    hours_a_week: Annotated[PositiveNumber, "Hours of work a week, the year through."]
    strokes_an_hour: Annotated[PositiveNumber, "Full strokes out and back in an hour of work."]
    years: Annotated[PositiveNumber, "How many years it has to last."]
    pressure_mpa: Annotated[
        Pressure | None, "Pressure that an ordinary full stroke reaches on both sides; left out, the relief pressure."
    ] = None

    @property
    def strokes_a_year(self) -> float:
        """Full strokes in a year."""
        return self.hours_a_week * self.strokes_an_hour * WEEKS_A_YEAR


class Driven(Table, frozen=True, kw_only=True):
    """The rod or tube that the cylinder pushes, from joint to joint."""

    diameter_mm: Annotated[PositiveLength, "Its outside diameter."]
    bore_mm: Annotated[LengthFromZero, "Its inside diameter; 0 for a solid bar."] = 0.0
    length_mm: Annotated[PositiveLength, "From joint to joint."]
    steel: Annotated[SteelName, "Its steel."] = "A513-5"
    arm_mm: Annotated[
        LengthFromZero, "How far the cylinder's line lies beside the rod's own line where it takes hold."
    ] = 0.0
    at_mm: Annotated[LengthFromZero, "Where along the rod the cylinder takes hold, from its nearer joint."] = 0.0
    out_of_line_rad: Annotated[
        AngleFromZero | None, "Largest angle between the cylinder and the rod; left out, the skew of `rules`."
    ] = None

    def __post_init__(self) -> None:
        if self.bore_mm >= self.diameter_mm:
            raise Refusal("the bore must be less than the outside; less than `diameter` is right", "bore")
        if self.at_mm > self.length_mm:
            raise Refusal("the cylinder takes hold beyond the rod's end; up to `length` is right", "at")
        if self.out_of_line_rad is not None and self.out_of_line_rad >= math.pi / 2:
            raise Refusal("a cylinder square to the rod does not push it; less than 90 degrees is right", "out_of_line")
