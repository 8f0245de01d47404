"""The tables of ``[steering]`` for what stands around the linkage: tyres, bars, ports, stops, marks, oil circuit."""

from typing import Literal, TypeAlias

import msgspec

from plategen.ground.refusal import Refusal
from plategen.job.quantities import (
    Angle,
    Flow,
    Force,
    Length,
    LengthFromZero,
    Number,
    NumberFromZero,
    PositiveAngle,
    PositiveLength,
    PositiveNumber,
    Table,
)

_INCH_MM = 25.4
_DEGREE_RAD = 0.017453292519943295

Place: TypeAlias = tuple[Length, Length, Length]
Direction: TypeAlias = tuple[Number, Number, Number]
"""A point, and a direction of any length, in the vehicle frame."""


class TyreEntry(Table, frozen=True, kw_only=True):
    """A steered tyre on the ground, and its size for the clearances.

    Args:
        load_n: Load of one wheel.
        width_mm: Section width.
        contact_mm: Length of the contact patch; the width when left out.
        offset_mm: Kingpin offset at the ground.
        friction: On the ground; 0.7 is dry concrete.
        radius_mm: Outside radius; with it the clearance to the bars is given.
        centre_mm: Middle of the left tyre; the right one mirrors it.
    """

    load_n: Force
    width_mm: PositiveLength
    contact_mm: PositiveLength | None = None
    offset_mm: LengthFromZero = 0.0
    friction: PositiveNumber = 0.7
    radius_mm: PositiveLength | None = None
    centre_mm: Place | None = None

    def __post_init__(self) -> None:
        if (self.radius_mm is None) != (self.centre_mm is None):
            raise Refusal(
                "a tyre's `radius` and `centre` go together: with both the clearances are given",
                "centre" if self.centre_mm is None else "radius",
            )


class BarEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.bar]]``: a radius arm, rail edge or other straight bar that must be cleared.

    Args:
        name: What it is.
        start_mm: One end of its middle line.
        end_mm: The other end.
        diameter_mm: Its outside diameter.
        clears: Whether the tyres or the cylinder's fittings are to clear it.
    """

    name: str
    start_mm: Place = msgspec.field(name="from")
    end_mm: Place = msgspec.field(name="to")
    diameter_mm: LengthFromZero = 0.0
    clears: Literal["tyres", "fittings"] = "tyres"


class PortEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.port]]`` of the cylinder.

    Args:
        name: Which port.
        station_mm: From the fixed pin along the cylinder.
        radius_mm: From the centre line to its face; half the body when left out.
        clock_rad: Round the barrel from straight up, seen from the fixed pin; clockwise positive.
        fitting_mm: How far fitting and crimp stand off.
        hose_to_mm: Where its hose is made fast on the frame.
        hose_length_mm: Length of the hose, when it is there already.
        bend_radius_mm: Least bend radius of the hose.
    """

    name: str
    station_mm: LengthFromZero
    radius_mm: PositiveLength | None = None
    clock_rad: Angle = 0.0
    fitting_mm: LengthFromZero = 0.0
    hose_to_mm: Place | None = None
    hose_length_mm: PositiveLength | None = None
    bend_radius_mm: PositiveLength | None = None


class StopEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.stops.stop]]``.

    Args:
        name: What it is.
        lever: The lever that runs against it.
        turn: In which turn it is met.
        at_rad: How far the lever has turned then; for a wheel its steer angle.
        kind: "box" for the steering box's internal stop.
        contact_radius_mm: From the lever's axis to the contact.
        pitch_mm: Thread pitch when it is a bolt.
    """

    name: str
    lever: str
    turn: Literal["left", "right"]
    at_rad: PositiveAngle
    kind: Literal["spindle", "box", "other"] = "spindle"
    contact_radius_mm: PositiveLength | None = None
    pitch_mm: PositiveLength | None = None


class PadEntry(Table, frozen=True, kw_only=True):
    """A stop-pad plate to be cut.

    Args:
        width_mm: Outside width.
        height_mm: Outside height.
        thickness_mm: Plate.
        corner_radius_mm: Of its corners.
        hole_mm: Diameter of its hole or holes; left out for a pad that is welded on.
        bolt_mm: Diameter of the bolt in such a hole; left out, it is taken to fill it.
        hole_spacing_mm: Between two holes along the width; zero for one.
        steel: Its steel; the bracket's when left out.
        count: How many alike are cut; two when left out, one for each side.
    """

    width_mm: PositiveLength
    height_mm: PositiveLength
    thickness_mm: PositiveLength
    corner_radius_mm: LengthFromZero = 0.0
    hole_mm: PositiveLength | None = None
    bolt_mm: PositiveLength | None = None
    hole_spacing_mm: LengthFromZero = 0.0
    steel: str = ""
    count: int = 2

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 100:
            raise Refusal("from 1 to 100 pads are right", "count")
        if self.bolt_mm is not None and self.bolt_mm > (self.hole_mm or 0.0):
            raise Refusal("a bolt goes through its hole; less than `hole` is right", "bolt")


class StopsEntry(Table, frozen=True, kw_only=True):
    """What stops the steering.

    Args:
        tolerance_rad: How far apart the stops may be met, in angle of the steering box's arm.
        stop: The stops.
        pad: A stop-pad plate to be cut.
    """

    tolerance_rad: PositiveAngle = _DEGREE_RAD
    stop: tuple[StopEntry, ...] = ()
    pad: PadEntry | None = None


class MarksEntry(Table, frozen=True, kw_only=True):
    """Marks on the steering box's arm.

    Args:
        hub_diameter_mm: Of the arm's hub, where the marks are.
        reading_error_mm: How well they are read.
        splines: Of the arm's shaft.
        column_splines: Of the steering column; with `column_ratio` one spline of it is given too.
    """

    hub_diameter_mm: PositiveLength
    reading_error_mm: PositiveLength = _INCH_MM / 16
    splines: int | None = None
    column_splines: int | None = None

    def __post_init__(self) -> None:
        for key, count in (("splines", self.splines), ("column_splines", self.column_splines)):
            if count is not None and not 4 <= count <= 200:
                raise Refusal("a shaft has from 4 to 200 splines", key)


class LineEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.circuit.line]]``: a hose or pipe.

    Args:
        name: What it joins.
        kind: Which limit of velocity it keeps.
        inside_mm: Inside diameter.
        length_mm: Its length.
    """

    name: str
    kind: Literal["suction", "pressure", "return"]
    inside_mm: PositiveLength
    length_mm: PositiveLength


class CircuitEntry(Table, frozen=True, kw_only=True):
    """The oil circuit; heights are above the ground.

    Args:
        flow_lpm: The pump's flow.
        reservoir_mm: Height of the oil level in the reservoir.
        pump_mm: Height of the pump's inlet.
        box_mm: Height of the steering box's upper port.
        cylinder_mm: Height of the cylinder's upper port.
        cooler_mm: Height of the cooler's upper port.
        relief_share: Share of the time that the oil goes over the relief valve, 0 to 1.
        viscosity: Of the oil at work, mm^2/s.
        cooler_kw: What the cooler carries, when there is one.
        line: Hoses and pipes.
    """

    flow_lpm: Flow
    reservoir_mm: Length
    pump_mm: Length
    box_mm: Length | None = None
    cylinder_mm: Length | None = None
    cooler_mm: Length | None = None
    relief_share: NumberFromZero = 0.1
    viscosity: PositiveNumber = 46.0
    cooler_kw: PositiveNumber | None = None
    line: tuple[LineEntry, ...] = ()

    def __post_init__(self) -> None:
        if self.relief_share > 1.0:
            raise Refusal("a share of the time is from 0 to 1", "relief_share")
