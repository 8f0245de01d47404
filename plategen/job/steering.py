"""The ``[steering]`` table: the linkage as it stands straight ahead, and what is asked about it.

Nothing but the levers and the sweep is needed for a first answer, or a travel alone for the simplest.
"""

from __future__ import annotations

from typing import Annotated, Literal

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
from plategen.job.steering_axle import AxleEntry
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
from plategen.job.steering_hands import HandsEntry
from plategen.job.steering_team import FurtherBoxEntry, FurtherCylinderEntry

_INCH_MM = 25.4


class LeverEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.lever]]``: a steering arm, relay lever or spindle on its axis."""

    name: Annotated[str, "What the shop calls it."]
    pivot_mm: Annotated[Place, "Any point of its axis."]
    axis: Annotated[
        Direction, "Direction of its axis; straight up when left out. A kingpin leans inwards and back."
    ] = (0.0, 0.0, 1.0)
    balls: Annotated[dict[str, Place], "Its ball joints by name, each the place of the ball's centre, straight ahead."]
    wheel: Annotated[Literal["left", "right"] | None, "Which road wheel turns with it."] = None
    diameter_mm: Annotated[
        PositiveLength | None,
        "Of the round that its arms fit into, for the tyres' clearance; thin lines when left out.",
    ] = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refusal("the name is missing; write what the shop calls the lever", "name")


class RodEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.rod]]``: a rod with a ball joint at each end."""

    name: Annotated[str, "What the shop calls it."]
    start: Annotated[str, 'Where it begins, written "lever.ball".'] = msgspec.field(name="from")
    end: Annotated[str, 'Where it ends, written "lever.ball".'] = msgspec.field(name="to")
    length_mm: Annotated[PositiveLength | None, "Between its ball centres; left out, as drawn."] = None
    diameter_mm: Annotated[PositiveLength | None, "Outside diameter, for its bending and the tyres' clearance."] = None
    wall_mm: Annotated[PositiveLength | None, "Wall of a tube; left out, a solid bar."] = None
    yield_mpa: Annotated[Pressure | None, "Yield stress, to judge its bending."] = None

    def __post_init__(self) -> None:
        if not self.name.strip():
            raise Refusal("the name is missing; write what the shop calls the rod", "name")
        if self.wall_mm is not None and (self.diameter_mm is None or 2.0 * self.wall_mm > self.diameter_mm):
            raise Refusal("a tube's wall is at most half its `diameter`", "wall")


class TapeEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.tape]]``: a length taped between two points of the linkage, to prove them by."""

    start: Annotated[
        str, 'From, written "lever.ball", "lever.pivot", "cylinder.fixed_pin" or "cylinder.moving_pin".'
    ] = msgspec.field(name="from")
    end: Annotated[str, "To, written alike."] = msgspec.field(name="to")
    length_mm: Annotated[PositiveLength, "Straight from middle to middle."]


class SweepEntry(Table, frozen=True, kw_only=True):
    """How far the steering is swept."""

    left_rad: Annotated[PositiveAngle, "Left lock, from straight ahead."]
    right_rad: Annotated[PositiveAngle, "Right lock, from straight ahead."]
    of: Annotated[
        str, "Whose angle that is: a lever's name or \"inner wheel\"; the steering box's arm when left out."
    ] = ""
    positions: Annotated[int, "How many positions are computed."] = 201

    def __post_init__(self) -> None:
        if not 21 <= self.positions <= 20001:
            raise Refusal("from 21 to 20001 positions are right", "positions")


class PointEntry(Table, frozen=True, kw_only=True):
    """One ``[[steering.point]]`` whose travel is wanted."""

    name: Annotated[str, "What it is."]
    on: Annotated[str, "The lever or rod that carries it."]
    at_mm: Annotated[Place, "Where it is, straight ahead."]


class BoxEntry(Table, frozen=True, kw_only=True):
    """A box in space, between two corners."""

    low_mm: Annotated[Place, "The corner with the smaller x, y and z."]
    high_mm: Annotated[Place, "The corner with the larger ones."]


class CylinderMountEntry(Table, frozen=True, kw_only=True):
    """Where the cylinder sits, straight ahead."""

    pushes: Annotated[str, "The rod or lever that carries the moving pin."]
    fixed_pin_mm: Annotated[Place, "The pin on the frame, which the bracket holds."]
    moving_pin_mm: Annotated[Place, "The pin on what is pushed."]
    pin_axis: Annotated[Direction, "Direction of the fixed pin; the bracket's plates lie across it."] = (0.0, 0.0, 1.0)
    straightedge_mm: Annotated[
        Place | None,
        "Where the straightedge's station 0 lies, in the traces' plane 0; left out, the pin drawn here and the pin at "
        "the mount's station and in-line offset are taken for one.",
    ] = None
    in_line_with: Annotated[str, "The rod whose line the cylinder should keep; the pushed rod when left out."] = ""
    margin_mm: Annotated[LengthFromZero, "Stroke in hand wanted at each end when a stroke is chosen."] = _INCH_MM / 4
    limit_at: Annotated[
        Literal["both", "rod end", "cap end"],
        "Where the stroke is limited: both ends (mid stroke straight ahead), all at the rod end, or all at the cap "
        "end.",
    ] = "both"
    box: Annotated[BoxEntry | None, "Where the fixed pin could go; its best place in there is found."] = None
    joint_rad: Annotated[PositiveAngle | None, "How far the joints at both ends may tilt."] = None
    holds_roll: Annotated[
        Literal["", "end", "lever", "joints"],
        "What keeps a pushed rod from rolling about its own line: a keyed or bolted end, a link to the lever, or the "
        "joints' own limit (`roll_free`); nothing when left out.",
    ] = ""
    roll_free_rad: Annotated[PositiveAngle | None, "How far the joints let the rod roll, to either side."] = None
    pressure_mpa: Annotated[
        Pressure | None, "Relief setting, as long as no cylinder is chosen: bore and rod are advised for it."
    ] = None

    def __post_init__(self) -> None:
        if (self.holds_roll == "joints") != (self.roll_free_rad is not None):
            raise Refusal('the angle goes with holds_roll = "joints"; give both or neither', "roll_free")


class TravelEntry(Table, frozen=True, kw_only=True):
    """What was measured, when no linkage is drawn: a travel alone, or the pin-to-pin lengths at the locks."""

    travel_mm: Annotated[PositiveLength | None, "How far the moving pin goes from lock to lock."] = None
    left_length_mm: Annotated[PositiveLength | None, "Pin to pin at the left lock."] = None
    right_length_mm: Annotated[PositiveLength | None, "Pin to pin at the right lock."] = None
    straight_length_mm: Annotated[PositiveLength | None, "Pin to pin straight ahead; halfway when left out."] = None

    def __post_init__(self) -> None:
        locks = (self.left_length_mm is not None, self.right_length_mm is not None)
        if self.travel_mm is None and locks != (True, True):
            raise Refusal("give `travel` alone, or `left_length` and `right_length`", "travel")
        if self.travel_mm is not None and any(locks):
            raise Refusal("give `travel` or the two lengths, not both", "travel")


class Steering(Table, frozen=True, kw_only=True):
    """The steering."""

    wheelbase_mm: Annotated[PositiveLength | None, "Axle to axle; with it the Ackermann figures are given."] = None
    driver: Annotated[str, "The steering box's arm; the first lever when left out."] = ""
    column_ratio: Annotated[PositiveNumber | None, "Degrees of the steering wheel for a degree of the box's arm."] = (
        None
    )
    lock_to_lock_s: Annotated[Duration | None, "Wanted time from lock to lock."] = None
    lever: Annotated[tuple[LeverEntry, ...], "Levers, spindles and the box's arm."] = ()
    rod: Annotated[tuple[RodEntry, ...], "The rods between them."] = ()
    tape: Annotated[tuple[TapeEntry, ...], "Lengths taped between points, to prove these by."] = ()
    tape_error_mm: Annotated[PositiveLength, "How far a tape may disagree with the points."] = _INCH_MM / 8
    sweep: Annotated[SweepEntry | None, "How far it turns."] = None
    point: Annotated[tuple[PointEntry, ...], "Points whose travel is wanted."] = ()
    cylinder_mount: Annotated[CylinderMountEntry | None, "Where the cylinder sits."] = None
    cylinder: Annotated[tuple[FurtherCylinderEntry, ...], "Cylinders beside that of `cylinder_mount`."] = ()
    box: Annotated[tuple[FurtherBoxEntry, ...], "Steering boxes beside the driver's."] = ()
    tyre: Annotated[TyreEntry | None, "A steered tyre."] = None
    hands: Annotated[HandsEntry | None, "The driver's hands at the steering wheel."] = None
    bar: Annotated[tuple[BarEntry, ...], "Bars to be cleared."] = ()
    port: Annotated[tuple[PortEntry, ...], "The cylinder's ports."] = ()
    stops: Annotated[StopsEntry | None, "What stops it."] = None
    marks: Annotated[MarksEntry | None, "Marks on the steering box."] = None
    circuit: Annotated[CircuitEntry | None, "The oil circuit."] = None
    axle: Annotated[AxleEntry | None, "How the axle moves under it."] = None
    travel: Annotated[TravelEntry | None, "What was measured, when no linkage is drawn."] = None

    def __post_init__(self) -> None:
        if not self.lever and self.travel is None:
            raise Refusal("give the levers ([[steering.lever]]) with a [steering.sweep], or [steering.travel]", "lever")
        if self.lever and self.sweep is None:
            raise Refusal("the levers are drawn, but not how far they turn; add `left` and `right`", "sweep")
        if not self.lever and (self.cylinder_mount or self.stops or self.axle):
            raise Refusal(
                "a cylinder's place, stops or an axle's travel need the levers; add [[steering.lever]]", "lever"
            )
        if self.travel is not None and self.cylinder_mount is not None:
            raise Refusal(
                "the cylinder's travel follows from [steering.cylinder_mount]; leave one of the two out", "travel"
            )
        if self.cylinder and self.cylinder_mount is None:
            raise Refusal("the first cylinder has no place; give [steering.cylinder_mount] for it", "cylinder")
        placed = self.tyre is not None and self.tyre.radius_mm is not None
        for number, bar in enumerate(self.bar, 1):
            if bar.clears == "tyres" and not placed:
                raise Refusal(
                    "the tyres are to clear it; [steering.tyre] needs its `radius` and `centre`", f"bar[{number}]"
                )
        self._refuse_unknown_names()
        for n, line in enumerate(() if self.circuit is None else self.circuit.line, 1):
            port = next((port for port in self.port if port.name == line.port), None)
            if port is not None and (port.hose_length_mm is not None or port.bend_radius_mm is not None):
                raise Refusal(
                    "the port's hose is told there and here; leave `hose_length` and `bend_radius` of the port out",
                    f"circuit.line[{n}].port",
                )

    @property
    def points_mm(self) -> dict[str, tuple[float, float, float]]:
        """Every point that is measured, by the name that a tape ends at: pivots and balls of the levers, pins of the
        cylinders. Where one has a ball's name, it is the ball.
        """
        first = () if self.cylinder_mount is None else (("cylinder", self.cylinder_mount),)
        cylinders = (*first, *((each.name, each) for each in self.cylinder))
        found = {f"{lever.name}.pivot": lever.pivot_mm for lever in self.lever}
        balls = {f"{lever.name}.{ball}": place for lever in self.lever for ball, place in lever.balls.items()}
        for name, each in cylinders:
            balls.setdefault(f"{name}.fixed_pin", each.fixed_pin_mm)
            balls.setdefault(f"{name}.moving_pin", each.moving_pin_mm)
        return found | balls

    def _refuse_unknown_names(self) -> None:
        """Refuse a word that stands for a lever or a rod and names none."""
        levers, rods = [lever.name for lever in self.lever], [rod.name for rod in self.rod]
        asked = [("lever", levers, self.driver, "driver")]
        if self.sweep is not None:
            asked.append(("lever", [*levers, "inner wheel"], self.sweep.of, "sweep.of"))
        if (mount := self.cylinder_mount) is not None:
            asked.append(("lever or rod", [*levers, *rods], mount.pushes, "cylinder_mount.pushes"))
            asked.append(("rod", rods, mount.in_line_with, "cylinder_mount.in_line_with"))
        names = [each.name for each in self.cylinder]
        for n, each in enumerate(self.cylinder, 1):
            asked.append(("lever or rod", [*levers, *rods], each.pushes, f"cylinder[{n}].pushes"))
            if each.name in names[: n - 1]:
                raise Refusal(f"two cylinders are called '{each.name}'; give each its own name", f"cylinder[{n}].name")
        for n, box in enumerate(self.box, 1):
            asked.append(("lever", levers, box.lever, f"box[{n}].lever"))
            if box.lever in (self.driver or next(iter(levers), ""), *(other.lever for other in self.box[: n - 1])):
                raise Refusal(f"'{box.lever}' has its box already; give another lever", f"box[{n}].lever")
        for n, point in enumerate(self.point, 1):
            asked.append(("lever or rod", [*levers, *rods], point.on, f"point[{n}].on"))
        for n, name in enumerate(() if self.axle is None else self.axle.carries):
            asked.append(("lever", levers, name, f"axle.carries[{n}]"))
        for n, stop in enumerate(() if self.stops is None else self.stops.stop, 1):
            asked.append(("lever", levers, stop.lever, f"stops.stop[{n}].lever"))
        ports = [port.name for port in self.port]
        for n, line in enumerate(() if self.circuit is None else self.circuit.line, 1):
            asked.append(("port", ports, line.port, f"circuit.line[{n}].port"))
        points = list(self.points_mm)
        for n, tape in enumerate(self.tape, 1):
            asked += [("point", points, tape.start, f"tape[{n}].from"), ("point", points, tape.end, f"tape[{n}].to")]
            if tape.start == tape.end:
                raise Refusal("a tape runs between two points; give another", f"tape[{n}].to")
        for kind, known, name, key in asked:
            if name and name not in known:
                raise Refusal(f"there is no {kind} '{name}'; there are: {', '.join(known) or 'none'}", key)
