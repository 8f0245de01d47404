"""How much of the cylinder's push a rod of the linkage passes on, by virtual work."""

import numpy as np

from plategen.steering.mount import Mount, PinToPin, leverage_mm
from plategen.steering.rates import lever_rates, spin_mm
from plategen.steering.sweep import Sweep
from plategen.steering.vector import dot, unit


def most_of_push(sweep: Sweep, mount: Mount, pins: PinToPin, rod: str) -> float:
    """Largest force along a rod over the sweep, for a cylinder's force of one.

    It comes when all that resists lies beyond the rod, as a wheel against a stump does: what the cylinder's end moves
    times the push is then what the rod's ball moves along the rod times its force. Infinite at a dead point.
    """
    start, end = sweep.motion.rod_ends_mm(rod)
    name = sweep.linkage.rod(rod).start[0]
    rate = lever_rates(sweep.motion)[name]
    moves = np.abs(rate * dot(spin_mm(sweep.linkage.lever(name), start), unit(end - start)))
    opens = np.abs(leverage_mm(sweep, mount, pins))
    with np.errstate(divide="ignore", invalid="ignore"):
        return float(np.nan_to_num(opens / moves, nan=0.0, posinf=np.inf).max())
