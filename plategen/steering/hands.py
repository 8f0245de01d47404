"""What the driver's hands feel at the rim: standing and rolling, with the assist, with the engine idling, without it.

By virtual work about the box's arm. The tyres ask (1 + f) sum of M |d steer / d arm|, f the joints' friction; cylinders
and boxes give up to the sums of F |dL / d arm| and of M_box |d box / d arm|, all at one pressure; the hands give the
rest, E r N eta: E the force at the rim, r its radius, N the column's ratio, eta what of their work arrives. So in any
sweep the work of cylinders, boxes and hands is the work on the tyres and the friction.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.job.steering_equipment import TyreEntry
from plategen.job.steering_hands import HandsEntry
from plategen.rules.steering_effort import PRACTICE_RPS, TEST_SPEED_MM_S, EffortLimit, effort_limit
from plategen.steering.hydraulics import Oil, Pass
from plategen.steering.sweep import Sweep
from plategen.steering.team import Team
from plategen.steering.tyre import GRAVITY_MM_S2, jacking_nmm, rolling_nmm, scrub_disc_nmm, scrub_width_nmm
from plategen.steering.vector import Floats

TEST_RADIUS_MM, FAILED_RADIUS_MM = 12_000.0, 20_000.0
"""Circles of UN R79, assist working and failed: what is driven into where no vehicle is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Rim:
    """The way from the rim to the box's arm."""

    gain_mm: float  # Moment about the box's arm for each N at the rim.
    valve_n: float  # Force at the rim that opens the box's valve; none is felt beyond it while the assist suffices.

    def force_n(self, asked_nmm: Floats, assist_nmm: Floats) -> Floats:
        """Force at the rim where so much is asked about the box's arm and the assist can give so much, (n,)."""
        return np.maximum(self.valve_n, (asked_nmm - assist_nmm) / self.gain_mm)

    def share(self, asked_nmm: Floats, assist_nmm: Floats) -> Floats:
        """Share of relief pressure at which the assist then works, (n,), 0 to 1."""
        left = np.maximum(asked_nmm - self.force_n(asked_nmm, assist_nmm) * self.gain_mm, 0.0)
        return np.divide(left, assist_nmm, out=np.zeros_like(left), where=assist_nmm > 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class RimEffort:
    """Greatest force at the rim on the way out of straight ahead, either turn, N: by the least and the greatest tyre
    moment that is published.
    """

    assisted_n: tuple[float, float]  # At working speed.
    idle_n: tuple[float, float] | None  # With the engine idling; None where its flow is not told.
    unassisted_n: tuple[float, float]  # Pump or engine dead.
    pressure_share: float  # Most of relief pressure that the assist then needs.


@dataclass(frozen=True, slots=True, kw_only=True)
class Hands:
    """The driver's hands."""

    standing: RimEffort
    rolling: RimEffort | None  # At 10 km/h into the test's circle; None without a wheelbase.
    limit: EffortLimit | None  # Of the vehicle that is told.
    needed_n: Floats | None  # Force of the first cylinder that turns the standing tyres, box and driver helping, (n,).
    box_known: bool  # True where the box's own moment is told.
    push_n: float  # Force at the rim that is counted on.


def asked_nmm(sweep: Sweep, wheels_nmm: dict[str, Floats], friction: float) -> Floats:
    """What is asked about the box's arm where each wheel asks so much about its kingpin, (n,), friction with it."""
    rates = sweep.steer_rates
    return np.asarray((1.0 + friction) * sum(m * np.abs(rates[side]) for side, m in wheels_nmm.items()))


def lifted_nmm(sweep: Sweep, tyre: TyreEntry) -> dict[str, Floats]:
    """What the lift of its load asks of each wheel about its kingpin, (n,) by side; its scrub comes to it."""
    return {
        side: jacking_nmm(tyre, sweep.linkage.lever(name), sweep.steer_rad[side])
        for side, name in sweep.linkage.wheels().items()
    }


def hands(
    sweep: Sweep,
    entry: HandsEntry,
    tyre: TyreEntry,
    team: Team,
    oil: Oil | None,
) -> Hands | None:
    """The driver's hands, with all cylinders and boxes helping; None without the column's ratio or without a wheel.

    The assist keeps up with hands that turn as fast as the limit's test asks, else one turn a second; faster than the
    oil follows they are on their own.
    """
    if sweep.column_ratio is None or not sweep.steer_rad:
        return None
    gain = entry.wheel_diameter_mm / 2.0 * sweep.column_ratio * entry.efficiency
    rim = Rim(gain_mm=gain, valve_n=entry.valve_effort_n)
    limit = None if entry.vehicle is None else effort_limit(entry.vehicle)
    boxes = team.boxes_nmm(sweep)
    assist = team.cylinders_nmm(sweep) + boxes
    drag = team.drag_nmm(sweep, entry.drag_mpa or 0.0)
    low, high = sorted((scrub_disc_nmm(tyre), scrub_width_nmm(tyre)))
    lifted = lifted_nmm(sweep, tyre)
    scrubbing = [
        asked_nmm(sweep, {side: scrub + lift for side, lift in lifted.items()}, entry.friction) for scrub in (low, high)
    ]
    whole = np.ones(len(sweep), dtype=bool)
    push = entry.push_n if entry.push_n is not None else 0.0 if limit is None else limit.intact_n
    needed = None
    if team.cylinders:
        left_nmm = np.maximum(scrubbing[1] - boxes - push * gain, 0.0)
        with np.errstate(divide="ignore"):
            needed = left_nmm * team.first_share(sweep) / team.cylinders[0].arm_mm(sweep)
    return Hands(
        standing=_effort(rim, scrubbing, assist, drag, (whole, whole), PRACTICE_RPS, oil),
        rolling=_rolling(sweep, entry, tyre, lifted, rim, assist, drag, limit, oil),
        limit=limit,
        needed_n=needed,
        box_known=team.boxes_known,
        push_n=push,
    )


def _rolling(
    sweep: Sweep,
    entry: HandsEntry,
    tyre: TyreEntry,
    lifted_nmm: dict[str, Floats],
    rim: Rim,
    assist_nmm: Floats,
    drag_nmm: Floats,
    limit: EffortLimit | None,
    oil: Oil | None,
) -> RimEffort | None:
    """The same at 10 km/h, as far as the test's circle, or full lock where the rule or the lock gives none."""
    mean = sweep.mean_steer_rad
    if sweep.wheelbase_mm is None or mean is None:
        return None
    curvature = np.abs(np.tan(mean)) / sweep.wheelbase_mm
    side_g = TEST_SPEED_MM_S**2 * curvature / GRAVITY_MM_S2
    wheels = {
        side: rolling_nmm(tyre, sweep.linkage.lever(name), side_g) + lifted_nmm[side]
        for side, name in sweep.linkage.wheels().items()
    }
    radii = (TEST_RADIUS_MM, FAILED_RADIUS_MM)
    if limit is not None:
        radii = (limit.intact_radius_mm or 0.0, limit.failed_radius_mm or 0.0)
    intact, failed = (_as_far_as(curvature, radius) for radius in radii)
    rps = PRACTICE_RPS
    if limit is not None and limit.intact_s is not None:
        assert sweep.column_ratio is not None
        most_rad = float(np.abs(sweep.driver_rad[intact]).max())
        rps = most_rad * sweep.column_ratio / (2.0 * np.pi) / limit.intact_s
    return _effort(rim, [asked_nmm(sweep, wheels, entry.friction)], assist_nmm, drag_nmm, (intact, failed), rps, oil)


def _as_far_as(curvature: Floats, radius_mm: float) -> NDArray[np.bool_]:
    """Positions of the sweep up to the first that is as tight as a circle, that one with it; all for a radius of 0."""
    if radius_mm == 0.0:
        return np.ones(len(curvature), dtype=bool)
    within = curvature <= 1.0 / radius_mm
    beside = within.copy()
    beside[1:] |= within[:-1]
    beside[:-1] |= within[1:]
    return beside


def _effort(
    rim: Rim,
    asked: list[Floats],
    assist_nmm: Floats,
    drag_nmm: Floats,
    over: tuple[NDArray[np.bool_], NDArray[np.bool_]],
    rps: float,
    oil: Oil | None,
) -> RimEffort:
    """The greatest forces at the rim, over the positions for the assist working and for it dead."""
    intact, dead = over
    none = np.zeros_like(assist_nmm)

    def most(each: Floats, assist: Floats, where: NDArray[np.bool_]) -> float:
        return float(rim.force_n(each, assist)[where].max())

    def at(run: Pass | None) -> tuple[float, float]:
        follows = run is None or run.wheel_rps is None or run.wheel_rps >= rps
        efforts = [most(each, assist_nmm, intact) if follows else most(each + drag_nmm, none, intact) for each in asked]
        return min(efforts), max(efforts)

    alone = [most(each + drag_nmm, none, dead) for each in asked]
    return RimEffort(
        assisted_n=at(None if oil is None else oil.working),
        idle_n=None if oil is None or oil.idle is None else at(oil.idle),
        unassisted_n=(min(alone), max(alone)),
        pressure_share=float(rim.share(asked[-1], assist_nmm)[intact].max()),
    )
