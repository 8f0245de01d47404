"""What stops the steering, in which order, how to set all stops to be met together, and what each has to bear.

Stops on the spindles take the load where it arises. A steering box's internal stop is the last resort: leaning on
it loads the box's shaft and housing with the whole linkage's force.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.job.steering_equipment import StopEntry
from plategen.steering.motion import Motion, move
from plategen.steering.mount import Mount
from plategen.steering.rates import lever_rates
from plategen.steering.stop_kind import Kind, Turn
from plategen.steering.sweep import Sweep, driver_at, steered_rad
from plategen.steering.team import Pusher
from plategen.steering.vector import Floats, array, dot, length, unit

BEYOND = (1.5, 1.15, 1.02)
"""How far past the locks a stop is looked for, as multiples of the lock, until no dead point is in the way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Met:
    """A stop as it is met."""

    name: str  # Of the stop.
    turn: Turn
    kind: Kind
    box_rad: float  # Driver's angle from straight ahead, positive; infinite when it is never met.
    travel_mm: float | None  # Travel of the moving pin from straight ahead along the cylinder; None without a cylinder.
    set_by_rad: float  # How much later (positive) it must be met, in driver's angle, to be met at the wanted lock.
    bolt_turns: float | None = None  # The same as turns of its bolt, in (later) negative; None when it is no bolt.
    per_turn_rad: float | None = None  # Lever angle for one turn of the bolt; ``per_turn_mm`` the travel for it.
    per_turn_mm: float | None = None
    # Force on it when the cylinder drives the steering against it at full pressure; None without radius.
    force_n: float | None = None
    # The moment that the cylinder then puts about the lever's axis; None without a cylinder.
    moment_nmm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class StopOrder:
    """All stops of both turns, in the order in which they are met; and how far they and the lock as swept lie apart."""

    left: tuple[Met, ...]
    right: tuple[Met, ...]
    spread_left_rad: float
    spread_right_rad: float

    def of(self, turn: Turn) -> tuple[Met, ...]:
        """The stops of one turn."""
        return self.left if turn == "left" else self.right

    def after_rad(self, met: Met) -> float | None:
        """How much later than the wheel's stop of its turn another stop is met, in driver's angle; negative: sooner.

        None for a wheel's stop itself, for one that is never met, and where no wheel's stop is.
        """
        spindle = next((m for m in self.of(met.turn) if m.kind == "spindle" and math.isfinite(m.box_rad)), None)
        if spindle is None or met.kind == "spindle" or not math.isfinite(met.box_rad):
            return None
        return met.box_rad - spindle.box_rad


def stop_order(
    sweep: Sweep,
    stops: tuple[StopEntry, ...],
    mount: Mount | None,
    cylinder_ends_mm: tuple[float, float] | None = None,
    forces_n: tuple[float, float] | None = None,
    further: tuple[Pusher, ...] = (),
) -> StopOrder:
    """When each stop is met, and how to set it to be met at the sweep's own locks.

    The cylinder's ends are pin to pin, closed and open, spacers included; its forces those of a left and a right turn.
    The further cylinders lean on every stop as well, and have ends of their own.
    """
    driver, wide = _wide(sweep)
    met: dict[Turn, list[Met]] = {"left": [], "right": []}
    boxes = [_box_rad(sweep, stop) for stop in stops]
    opened = [None] * len(stops) if mount is None else _opened(sweep, driver, stops, boxes, mount)
    also = [0.0] * len(stops)
    for each in further:
        for i, one in enumerate(_opened(sweep, driver, stops, boxes, each.mount)):
            also[i] += each.thrust.left_right_n(each.pins)[0 if stops[i].turn == "left" else 1] * one.per_rad_mm
    for stop, box, opens, more in zip(stops, boxes, opened, also, strict=True):
        met[stop.turn].append(_met(sweep, wide, driver, stop, box, opens, forces_n, more))
    ends = [("", mount, cylinder_ends_mm)] if mount is not None and cylinder_ends_mm is not None else []
    ends += [(each.name, each.mount, (each.size.closed_mm, each.size.open_mm)) for each in further]
    for name, sits, ends_mm in ends:
        for turn, end in _cylinder_ends(sweep, driver, wide, sits, ends_mm, name):
            met[turn].append(end)
    left = tuple(sorted(met["left"], key=lambda m: m.box_rad))
    right = tuple(sorted(met["right"], key=lambda m: m.box_rad))
    right_lock, left_lock = abs(float(sweep.driver_rad[0])), abs(float(sweep.driver_rad[-1]))
    spread_left, spread_right = _spread(left, left_lock), _spread(right, right_lock)
    return StopOrder(left=left, right=right, spread_left_rad=spread_left, spread_right_rad=spread_right)


def _spread(met: tuple[Met, ...], lock_rad: float) -> float:
    """Driver's angle between first and last of the swept lock and the stops at it; box and cylinder come later."""
    angles = [
        m.box_rad for m in met if m.kind not in ("box", "cylinder", "further cylinder") and math.isfinite(m.box_rad)
    ]
    return max(*angles, lock_rad) - min(*angles, lock_rad) if angles else 0.0


def _wide(sweep: Sweep) -> tuple[Floats, Motion]:
    """The steering swept past its locks as far as no dead point hinders: driver's angles (left positive) and motion."""
    low, high = float(sweep.driver_rad[0]), float(sweep.driver_rad[-1])
    for factor in BEYOND:
        angles = np.linspace(low * factor, high * factor, 1001)
        try:
            return angles, move(sweep.linkage, sweep.motion.driver, sweep.left_sense * angles)
        except Refusal:
            continue
    return sweep.driver_rad, sweep.motion


def _at(driver: Floats, values: Floats, angle: float) -> float:
    return float(np.interp(angle, driver, values))


def _box_rad(sweep: Sweep, stop: StopEntry) -> float:
    """The driver's angle, positive, at which a stop is met; infinite when it never is."""
    sign = 1.0 if stop.turn == "left" else -1.0
    try:
        return sign * driver_at(sweep.linkage, sweep.motion.driver, stop.lever, sign * stop.at_rad, sweep.left_sense)
    except Refusal:
        return math.inf


def _lock_rad(sweep: Sweep, turn: Turn) -> float:
    return float(sweep.driver_rad[-1] if turn == "left" else -sweep.driver_rad[0])


@dataclass(frozen=True, slots=True)
class _Opened:
    """The cylinder where a stop is met, or at the lock for one that is met beyond what was swept."""

    travel_mm: float | None  # From straight ahead; None for a stop beyond it.
    per_rad_mm: float  # What it opens for each radian of the stop's lever.


def _opened(
    sweep: Sweep, driver: Floats, stops: tuple[StopEntry, ...], boxes: list[float], mount: Mount
) -> list[_Opened]:
    """The cylinder at every stop that the driver's angles, (n,), reach."""
    reach = {"left": float(driver[-1]), "right": -float(driver[0])}
    inside = [box <= reach[stop.turn] for stop, box in zip(stops, boxes, strict=True)]
    angles = [
        (1.0 if stop.turn == "left" else -1.0) * (box if within else _lock_rad(sweep, stop.turn))
        for stop, box, within in zip(stops, boxes, inside, strict=True)
    ]
    at = np.array([0.0, *angles])
    order = np.argsort(at, kind="stable")
    here = move(sweep.linkage, sweep.motion.driver, sweep.left_sense * at[order])
    back = np.argsort(order, kind="stable")
    pin = mount.moving_path_mm(here) - array(mount.fixed_mm)
    lengths, opens, rates = length(pin)[back], dot(unit(pin), mount.moving_rate_mm(here))[back], lever_rates(here)
    return [
        _Opened(
            abs(float(lengths[i] - lengths[0])) if within else None,
            abs(float(opens[i] / rates[stop.lever][back][i])),
        )
        for i, (stop, within) in enumerate(zip(stops, inside, strict=True), 1)
    ]


def _met(
    sweep: Sweep,
    wide: Motion,
    driver: Floats,
    stop: StopEntry,
    box: float,
    opened: _Opened | None,
    forces_n: tuple[float, float] | None,
    further_nmm: float,
) -> Met:
    left = stop.turn == "left"
    lock = _lock_rad(sweep, stop.turn)
    lever, at = sweep.linkage.lever(stop.lever), lock if left else -lock
    own = np.array([_at(driver, wide.angles_rad[stop.lever], at)])
    set_lever = float(abs(steered_rad(lever, own)[0] if lever.wheel else own[0])) - stop.at_rad
    per_turn = None
    if stop.pitch_mm is not None and stop.contact_radius_mm is not None:
        per_turn = stop.pitch_mm / stop.contact_radius_mm
    force = moment = None
    if opened is not None and forces_n is not None:
        moment = (forces_n[0] if left else forces_n[1]) * opened.per_rad_mm + further_nmm
        force = None if stop.contact_radius_mm is None else moment / stop.contact_radius_mm
    return Met(
        name=stop.name,
        turn=stop.turn,
        kind=stop.kind,
        box_rad=box,
        travel_mm=None if opened is None else opened.travel_mm,
        set_by_rad=lock - box,
        bolt_turns=None if per_turn is None else -set_lever / per_turn,
        per_turn_rad=per_turn,
        per_turn_mm=None if per_turn is None or opened is None else per_turn * opened.per_rad_mm,
        force_n=force,
        moment_nmm=moment,
    )


def _cylinder_ends(
    sweep: Sweep, driver: Floats, wide: Motion, mount: Mount, ends_mm: tuple[float, float], further: str = ""
) -> Iterator[tuple[Turn, Met]]:
    """Where a cylinder, spacers included, runs out of stroke in either turn."""
    lengths = mount.lengths_mm(wide)
    ahead_mm = float(mount.lengths_mm(sweep.motion.picked(np.array([sweep.straight])))[0])
    yield "left", _cylinder_end(sweep, driver, lengths, ahead_mm, "left", ends_mm, further)
    yield "right", _cylinder_end(sweep, driver, lengths, ahead_mm, "right", ends_mm, further)


def _cylinder_end(
    sweep: Sweep,
    driver: Floats,
    lengths: Floats,
    ahead_mm: float,
    turn: Turn,
    ends_mm: tuple[float, float],
    further: str,
) -> Met:
    middle = int(np.argmin(np.abs(driver)))
    piece = slice(middle, None) if turn == "left" else slice(middle, None, -1)
    angles, values = np.abs(driver[piece]), lengths[piece]
    lock = abs(float(sweep.driver_rad[-1] if turn == "left" else sweep.driver_rad[0]))
    opens = values[-1] > values[0]
    end = ends_mm[1] if opens else ends_mm[0]
    past = (values - end) * (1.0 if opens else -1.0)
    over = np.flatnonzero(past >= 0.0)
    box, travel = math.inf, None
    if len(over):
        i = int(over[0])
        box = float(angles[0]) if i == 0 else float(np.interp(0.0, past[i - 1 : i + 1], angles[i - 1 : i + 1]))
        travel = abs(end - ahead_mm)
    name = f"{further or 'cylinder'} {'open' if opens else 'closed'}"
    kind: Kind = "further cylinder" if further else "cylinder"
    return Met(name=name, turn=turn, kind=kind, box_rad=box, travel_mm=travel, set_by_rad=lock - box)
