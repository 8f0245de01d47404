"""What the oil does in a cylinder: forces, volumes, flow and times; what bore and rod to ask for; whether the cylinder
turns standing tyres at every position of the sweep.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import CircuitEntry, TyreEntry
from plategen.rules.column import Bar
from plategen.rules.piston import piston_areas_mm2
from plategen.steering.cylinder import CylinderSize
from plategen.steering.mount import Mount, PinToPin, leverage_mm
from plategen.steering.standard import Series, Size, nearest, sizes
from plategen.steering.sweep import Sweep
from plategen.steering.tyre import scrub_disc_nmm, scrub_width_nmm
from plategen.steering.vector import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class Thrust:
    """Forces and areas of a cylinder: N and mm^2. ``stronger_by`` is push over pull."""

    push_area_mm2: float
    pull_area_mm2: float
    push_n: float
    pull_n: float

    @property
    def stronger_by(self) -> float:
        """How many times stronger, and slower, the push is: D^2 / (D^2 - d^2)."""
        return self.push_n / self.pull_n

    def left_right_n(self, pins: PinToPin) -> tuple[float, float]:
        """The force there is when turning left and when turning right."""
        return (self.push_n, self.pull_n) if pins.opens_to_left else (self.pull_n, self.push_n)


def thrust(size: CylinderSize) -> Thrust:
    """Push p pi D^2/4 and pull p pi (D^2 - d^2)/4; a double-ended cylinder pulls both ways.

    Examples:
        >>> t = thrust(CylinderSize(bore_mm=50.8, rod_mm=31.75, stroke_mm=200, closed_mm=380, pressure_mpa=10.0))
        >>> round(t.push_n), round(t.pull_n)
        (20268, 12351)
    """
    push_area, pull_area = piston_areas_mm2(size.bore_mm, size.rod_mm, double_rod=size.double_ended)
    return Thrust(
        push_area_mm2=push_area,
        pull_area_mm2=pull_area,
        push_n=size.pressure_mpa * push_area,
        pull_n=size.pressure_mpa * pull_area,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Pass:
    """One pass from lock to lock, both ways, at one flow of the pump: seconds, and what the driver's hands can ask."""

    flow_lpm: float  # What the steering is sure of: the pump's flow times its priority.
    open_s: float
    close_s: float
    wheel_rps: float | None  # Turns of the steering wheel a second from which it goes heavy; None without turns.


@dataclass(frozen=True, slots=True, kw_only=True)
class Oil:
    """Oil for one pass from lock to lock, opening and closing. The box and the cylinder move together, so that the
    pump fills both in the same time.
    """

    open_mm3: float  # Volume that goes into the cylinders as the first one opens.
    close_mm3: float
    box_mm3: float | None  # Volume that goes into the boxes' own pistons; None when it is not told.
    box_share: float | None  # The box's share of all the oil in the slower pass, 0 to 1.
    working: Pass | None  # At working speed; None when no pump's flow is told.
    idle: Pass | None  # With the engine idling; None when its flow is not told.
    flow_lpm: float | None  # Flow that makes the slower pass in the wanted time; None when no time is told.

    @property
    def slowest(self) -> Pass | None:
        """The pass at the least flow that is told."""
        return self.idle or self.working


def oil(
    size: CylinderSize,
    travel_mm: float,
    circuit: CircuitEntry | None,
    *,
    lock_to_lock_s: float | None = None,
    wheel_turns: float | None = None,
    boxes_mm3: float | None = None,
    further_mm3: tuple[float, float] = (0.0, 0.0),
) -> Oil:
    """Volumes A s, times (V + box) / Q and the flow (V + box) / t from lock to lock (1 l/min = 10^6 mm^3 / 60 s).

    ``boxes_mm3`` is what all boxes take, the driver's alone when left out; ``further_mm3`` what the further cylinders
    take while the first one opens and closes.
    """
    forces = thrust(size)
    opening, closing = forces.push_area_mm2 * travel_mm, forces.pull_area_mm2 * travel_mm
    opening, closing = opening + further_mm3[0], closing + further_mm3[1]
    box = boxes_mm3 if boxes_mm3 is not None or circuit is None else circuit.box_volume_mm3
    passes = opening + (box or 0.0), closing + (box or 0.0)
    slower = max(passes)

    def at(flow_lpm: float | None) -> Pass | None:
        if circuit is None or flow_lpm is None:
            return None
        sure = flow_lpm * circuit.priority
        open_s, close_s = (volume * 60.0 / 1e6 / sure for volume in passes)
        turns = None if wheel_turns is None else wheel_turns / max(open_s, close_s)
        return Pass(flow_lpm=sure, open_s=open_s, close_s=close_s, wheel_rps=turns)

    return Oil(
        open_mm3=opening,
        close_mm3=closing,
        box_mm3=box,
        box_share=None if box is None else box / slower,
        working=at(None if circuit is None else circuit.flow_lpm),
        idle=at(None if circuit is None else circuit.at_idle_lpm),
        flow_lpm=None if lock_to_lock_s is None else slower / lock_to_lock_s * 60.0 / 1e6,
    )


THICKEST_ROD = 0.75
"""A rod thicker than this share of its bore leaves hardly any pull (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """What to ask for, and the standard sizes nearest to what is there."""

    needed_n: float  # Force asked both ways.
    bore: Size | None  # Smallest standard bore whose weaker way has it; None when no standard cylinder does.
    rod: Size | None  # Smallest standard rod of that cylinder that does not buckle.
    nearest_bore: Size | None = None  # Standard bore nearest to the cylinder's own; None without one.
    nearest_rod: Size | None = None  # Standard rod nearest to its own.


def rod_against_buckling(wanted_n: float, length_mm: float, yield_mpa: float, series: Series) -> Size | None:
    """The smallest standard rod whose buckling load reaches what is wanted; None where the series ends below it.

    The whole open length counts as rod, by the rule that judges it: :meth:`plategen.rules.column.Bar.buckling_n`.

    >>> rod_against_buckling(70_000.0, 600.0, 517.0, "metric").size_mm
    25.0
    """
    rods = sizes("rod", series)
    return next((rod for rod in rods if Bar(rod.size_mm, length_mm, yield_mpa).buckling_n() >= wanted_n), None)


def sizing(
    needed_n: float,
    pressure_mpa: float,
    open_mm: float,
    series: Series,
    *,
    yield_mpa: float,
    buckling_factor: float,
    own_bore_mm: float | None = None,
    own_rod_mm: float | None = None,
) -> Sizing:
    """The smallest standard bore that pushes and pulls with the asked force, with the rod it needs; beside them the
    standard sizes nearest to those of the cylinder there is. The rod stands the factor times the push over its open
    length without buckling.
    """
    bore, rod = None, None
    for each in sizes("bore", series):
        push = pressure_mpa * math.pi / 4.0 * each.size_mm**2
        held = rod_against_buckling(buckling_factor * push, open_mm, yield_mpa, series)
        if held is None or held.size_mm > THICKEST_ROD * each.size_mm:
            continue
        if push - pressure_mpa * math.pi / 4.0 * held.size_mm**2 >= needed_n:
            bore, rod = each, held
            break
    return Sizing(
        needed_n=needed_n,
        bore=bore,
        rod=rod,
        nearest_bore=None if own_bore_mm is None else nearest("bore", series, own_bore_mm),
        nearest_rod=None if own_rod_mm is None else nearest("rod", series, own_rod_mm),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Assist:
    """The cylinder against the tyres."""

    scrub_nmm: tuple[float, float]  # Moment for one wheel, lower and upper of the two formulas.
    # Effective arm of the cylinder on the driver's motion turned to mean wheel angle: |dL/d steer|, (n,).
    arm_mm: Floats
    # Cylinder force that turns the wheels alone, with the upper moment, (n,). No friction in the joints, and
    # nothing left to the driver's hands.
    needed_n: Floats
    # The force there is when turning left and when turning right, in that order; None while no cylinder is
    # chosen.
    available_n: tuple[float, float] | None
    opens_to_left: bool  # True when the cylinder pushes in a left turn.


def assist(
    sweep: Sweep,
    mount: Mount,
    pins: PinToPin,
    tyre: TyreEntry,
    forces: Thrust | None,
    first_share: Floats | float = 1.0,
) -> Assist:
    """Compare by virtual work: F |dL| = M (|d left| + |d right|) for the wheels there are.

    ``first_share`` is the share of the moment of several cylinders that this one gives, (n,).
    """
    per_driver = leverage_mm(sweep, mount, pins)
    rates = [np.abs(rate) for rate in sweep.steer_rates.values()]
    low, high = sorted((scrub_disc_nmm(tyre), scrub_width_nmm(tyre)))
    total_rate = np.asarray(sum(rates))
    with np.errstate(divide="ignore"):
        needed = high * total_rate * first_share / np.abs(per_driver)
    return Assist(
        scrub_nmm=(low, high),
        arm_mm=np.abs(per_driver) / (total_rate / len(rates)),
        needed_n=needed,
        available_n=None if forces is None else forces.left_right_n(pins),
        opens_to_left=pins.opens_to_left,
    )
