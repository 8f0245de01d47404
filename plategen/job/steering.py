"""The ``[steering]`` table: the linkage as it stands straight ahead, and what is asked about it.

All places are in the vehicle frame of ISO 8855: x forward, y to the left, z up, from any origin the user likes; the
ground is z = 0. Nothing but the levers and the sweep is needed for a first answer, or a travel alone for the simplest.
"""

from typing import Literal, TypeAlias

import msgspec

from plategen.job.quantities import (
    Angle,
    Duration,
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
from plategen.refusal import Refusal

Place: TypeAlias = tuple[Length, Length, Length]
Direction: TypeAlias = tuple[Number, Number, Number]

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
    yield_mpa: PositiveNumber | None = None

    def __post_init__(self) -> None:
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
        in_line_with: The rod whose line the cylinder should keep; the pushed rod when left out.
        margin_mm: Stroke in hand wanted at each end when a stroke is chosen.
        limit_at: Where the stroke is limited: both ends (mid stroke straight ahead), all at the rod end, or all at
            the cap end.
        box: Where the fixed pin could go; its best place in there is found.
        joint_rad: How far the joints at both ends may tilt.
    """

    pushes: str
    fixed_pin_mm: Place
    moving_pin_mm: Place
    pin_axis: Direction = (0.0, 0.0, 1.0)
    in_line_with: str = ""
    margin_mm: LengthFromZero = _INCH_MM / 4
    limit_at: Literal["both", "rod end", "cap end"] = "both"
    box: BoxEntry | None = None
    joint_rad: PositiveAngle | None = None


class TyreEntry(Table, frozen=True, kw_only=True):
    """A steered tyre on the ground, and its size for the clearances.

    Args:
        load_n: Load of one wheel.
        width_mm: Section width.
        contact_mm: Length of the contact patch; the width when left out.
        offset_mm: Kingpin offset at the ground.
        friction: On the ground; 0.7 is dry concrete.
        radius_mm: Outside radius; with it the clearance to the bars is told.
        centre_mm: Middle of the left tyre; the right one mirrors it.
    """

    load_n: Force
    width_mm: PositiveLength
    contact_mm: PositiveLength | None = None
    offset_mm: LengthFromZero = 0.0
    friction: PositiveNumber = 0.7
    radius_mm: PositiveLength | None = None
    centre_mm: Place | None = None


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
        hole_spacing_mm: Between two holes along the width; zero for one.
    """

    width_mm: PositiveLength
    height_mm: PositiveLength
    thickness_mm: PositiveLength
    corner_radius_mm: LengthFromZero = 0.0
    hole_mm: PositiveLength | None = None
    hole_spacing_mm: LengthFromZero = 0.0


class StopsEntry(Table, frozen=True, kw_only=True):
    """What stops the steering.

    Args:
        tolerance_rad: How far apart the stops may be met, in angle of the steering box's arm.
        stop: The stops.
        pad: A stop-pad plate to be cut.
    """

    tolerance_rad: PositiveAngle = 0.01745329251994329577
    stop: tuple[StopEntry, ...] = ()
    pad: PadEntry | None = None


class MarksEntry(Table, frozen=True, kw_only=True):
    """Marks on the steering box's arm.

    Args:
        hub_diameter_mm: Of the arm's hub, where the marks are.
        reading_error_mm: How well they are read.
        splines: Of the arm's shaft.
    """

    hub_diameter_mm: PositiveLength
    reading_error_mm: PositiveLength = _INCH_MM / 16
    splines: int | None = None

    def __post_init__(self) -> None:
        if self.splines is not None and not 4 <= self.splines <= 200:
            raise Refusal("a shaft has from 4 to 200 splines", "splines")


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


class TravelEntry(Table, frozen=True, kw_only=True):
    """What was measured, when no linkage is drawn: a travel alone, or the pin-to-pin lengths at the locks.

    Args:
        travel_mm: How far the moving pin goes from lock to lock.
        left_length_mm: Pin to pin at the left lock.
        right_length_mm: Pin to pin at the right lock.
        straight_length_mm: Pin to pin straight ahead; halfway when left out.
    """

    travel_mm: PositiveLength | None = None
    left_length_mm: PositiveLength | None = None
    right_length_mm: PositiveLength | None = None
    straight_length_mm: PositiveLength | None = None

    def __post_init__(self) -> None:
        locks = (self.left_length_mm is not None, self.right_length_mm is not None)
        if self.travel_mm is None and locks != (True, True):
            raise Refusal("give `travel` alone, or `left_length` and `right_length`", "travel")
        if self.travel_mm is not None and any(locks):
            raise Refusal("give `travel` or the two lengths, not both", "travel")


class Steering(Table, frozen=True, kw_only=True):
    """The steering.

    Args:
        wheelbase_mm: Axle to axle; with it the Ackermann figures are told.
        driver: The steering box's arm; the first lever when left out.
        column_ratio: Degrees of the steering wheel for a degree of the box's arm.
        lock_to_lock_s: Wanted time from lock to lock.
        lever: Levers, spindles and the box's arm.
        rod: The rods between them.
        sweep: How far it turns.
        point: Points whose travel is wanted.
        cylinder_mount: Where the cylinder sits.
        tyre: A steered tyre.
        bar: Bars to be cleared.
        port: The cylinder's ports.
        stops: What stops it.
        marks: Marks on the steering box.
        circuit: The oil circuit.
        travel: What was measured, when no linkage is drawn.
    """

    wheelbase_mm: PositiveLength | None = None
    driver: str = ""
    column_ratio: PositiveNumber | None = None
    lock_to_lock_s: Duration | None = None
    lever: tuple[LeverEntry, ...] = ()
    rod: tuple[RodEntry, ...] = ()
    sweep: SweepEntry | None = None
    point: tuple[PointEntry, ...] = ()
    cylinder_mount: CylinderMountEntry | None = None
    tyre: TyreEntry | None = None
    bar: tuple[BarEntry, ...] = ()
    port: tuple[PortEntry, ...] = ()
    stops: StopsEntry | None = None
    marks: MarksEntry | None = None
    circuit: CircuitEntry | None = None
    travel: TravelEntry | None = None

    def __post_init__(self) -> None:
        if not self.lever and self.travel is None:
            raise Refusal("give the levers ([[steering.lever]]) with a [steering.sweep], or [steering.travel]", "lever")
        if self.lever and self.sweep is None:
            raise Refusal("the levers are drawn, but not how far they turn; add `left` and `right`", "sweep")
        if not self.lever and (self.cylinder_mount or self.stops):
            raise Refusal("a cylinder's place or stops need the levers; add [[steering.lever]]", "lever")
