"""What a cylinder bears that has come to its end before the wheels are stopped: the steering box goes on turning and a
wheel is struck, and cylinder, bracket, rod and balls are the stop. Its own oil adds nothing: it pushes end against end.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import StopsEntry, TyreEntry
from plategen.steering.motion import move
from plategen.steering.mount import Mount
from plategen.steering.rates import lever_rates, steer_rate
from plategen.steering.stop_kind import Turn
from plategen.steering.stop_load import strike_nmm
from plategen.steering.stops import StopOrder
from plategen.steering.sweep import Sweep
from plategen.steering.team import Team
from plategen.steering.vector import array, dot, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottomed:
    """A cylinder at its end in one turn."""

    turn: Turn
    opens: bool  # True where it is drawn out to its end and pulled, False where it is driven in and pushed.
    box_n: float | None  # Force along it by the box; None where the box's moment is not told.
    strike_n: float | None  # By a blow on a tyre's edge, the worse wheel; None without a tyre.
    further_n: float = 0.0  # By the further cylinders at relief, which drive the linkage on.

    @property
    def force_n(self) -> float:
        """All at once."""
        return (self.box_n or 0.0) + (self.strike_n or 0.0) + self.further_n


def bottomed(
    sweep: Sweep, order: StopOrder, mount: Mount, stops: StopsEntry, tyre: TyreEntry | None, team: Team
) -> tuple[Bottomed, ...]:
    """The turns in which the first cylinder ends before a wheel's stop is met, by virtual work at that end."""
    found = []
    turns: tuple[Turn, Turn] = ("left", "right")
    for turn in turns:
        end = next((m for m in order.of(turn) if m.kind == "cylinder" and math.isfinite(m.box_rad)), None)
        wheel = next((m for m in order.of(turn) if m.kind == "spindle"), None)
        if end is None or (wheel is not None and wheel.box_rad <= end.box_rad):
            continue
        at = math.copysign(end.box_rad, 1.0 if turn == "left" else -1.0)
        here = move(sweep.linkage, sweep.motion.driver, np.array([sweep.left_sense * at]))
        opens = float(dot(unit(mount.moving_path_mm(here) - array(mount.fixed_mm)), mount.moving_rate_mm(here))[0])
        rates = lever_rates(here)
        wheels = [abs(float(rates[name][0] * steer_rate(here, name)[0])) for name in sweep.linkage.wheels().values()]
        blow = None if tyre is None or not wheels else strike_nmm(stops, tyre) * max(wheels) / abs(opens)
        known = any(each.moment_nmm is not None for each in team.boxes)
        given = sum(float(each.about_driver_nmm(rates)[0]) for each in team.boxes)
        further = 0.0
        for each in team.further:
            force_n = each.thrust.left_right_n(each.pins)[0 if turn == "left" else 1]
            way = unit(each.mount.moving_path_mm(here) - array(each.mount.fixed_mm))
            further += force_n * abs(float(dot(way, each.mount.moving_rate_mm(here))[0]))
        found.append(
            Bottomed(
                turn=turn,
                opens=opens * sweep.left_sense * at > 0.0,
                box_n=given / abs(opens) if known else None,
                strike_n=blow,
                further_n=further / abs(opens),
            )
        )
    return tuple(found)
