"""The ``[steering]`` table: the linkage as it stands straight ahead, and what is asked about it.

Nothing but the levers and the sweep is needed for a first answer, or a travel alone for the simplest.
"""

from typing import Literal

import msgspec

from plategen.ground.refusal import Refusal
from plategen.job.quantities import (
    Duration,
    LengthFromZero,
    PositiveAngle,
    PositiveLength,
    PositiveNumber,
    Pressure,
    Table,
)
from plategen.job.steering_equipment import (
    BarEntry,
    CircuitEntry,
    Direction,
    MarksEntry,
    Place,
    PortEntry,
    StopsEntry,
    TyreEntry,
)

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
        wheelbase_mm: Axle to axle; with it the Ackermann figures are given.
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
        if self.travel is not None and self.cylinder_mount is not None:
            raise Refusal(
                "the cylinder's travel follows from [steering.cylinder_mount]; leave one of the two out", "travel"
            )
        placed = self.tyre is not None and self.tyre.radius_mm is not None
        for number, bar in enumerate(self.bar, 1):
            if bar.clears == "tyres" and not placed:
                raise Refusal(
                    "the tyres are to clear it; [steering.tyre] needs its `radius` and `centre`", f"bar[{number}]"
                )
        self._refuse_unknown_names()

    def _refuse_unknown_names(self) -> None:
        """Refuse a word that stands for a lever or a rod and names none."""
        levers, rods = [lever.name for lever in self.lever], [rod.name for rod in self.rod]
        asked = [("lever", levers, self.driver, "driver")]
        if self.sweep is not None:
            asked.append(("lever", [*levers, "inner wheel"], self.sweep.of, "sweep.of"))
        if (mount := self.cylinder_mount) is not None:
            asked.append(("lever or rod", [*levers, *rods], mount.pushes, "cylinder_mount.pushes"))
            asked.append(("rod", rods, mount.in_line_with, "cylinder_mount.in_line_with"))
        for n, point in enumerate(self.point, 1):
            asked.append(("lever or rod", [*levers, *rods], point.on, f"point[{n}].on"))
        for n, stop in enumerate(() if self.stops is None else self.stops.stop, 1):
            asked.append(("lever", levers, stop.lever, f"stops.stop[{n}].lever"))
        for kind, known, name, key in asked:
            if name and name not in known:
                raise Refusal(f"there is no {kind} '{name}'; there are: {', '.join(known) or 'none'}", key)
