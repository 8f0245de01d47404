"""The ``[steering]`` table: the linkage as it stands straight ahead, and what is asked about it.

Nothing but the levers and the sweep is needed for a first answer, or a travel alone for the simplest.
"""

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Duration, PositiveLength, PositiveNumber, Table
from plategen.job.steering_equipment import BarEntry, CircuitEntry, MarksEntry, PortEntry, StopsEntry, TyreEntry
from plategen.job.steering_linkage import CylinderMountEntry, LeverEntry, PointEntry, RodEntry, SweepEntry


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
