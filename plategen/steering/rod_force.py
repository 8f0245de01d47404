"""What the rods of a linkage pass on when all that pushes is held beyond them, by virtual work."""

from collections.abc import Iterator

import numpy as np

from plategen.steering.rates import lever_rates, spin_mm
from plategen.steering.sweep import Sweep
from plategen.steering.team import Team
from plategen.steering.vector import Floats, dot, unit


def most_passed_n(sweep: Sweep, team: Team, rod: str) -> float:
    """Largest force along a rod over the sweep, no shock.

    It comes when all that resists lies beyond the rod, as a wheel against a stump does: what cylinders and boxes on
    this side of it do for a turn of the driving lever is then what the rod's ball moves along the rod times its force.
    What pushes on the far side is against the stump already. Infinite at a dead point.
    """
    start, end = sweep.motion.rod_ends_mm(rod)
    ends = sweep.linkage.rod(rod)
    rate = lever_rates(sweep.motion)[ends.start[0]]
    moves = np.abs(rate * dot(spin_mm(sweep.linkage.lever(ends.start[0]), start), unit(end - start)))
    beyond = sweep.linkage.beyond(sweep.motion.driver, rod)
    most = 0.0
    for side in (beyond, frozenset(lever.name for lever in sweep.linkage.levers) - beyond):
        pushed = sum(_moments_nmm(sweep, team, side, rod), np.zeros(len(sweep)))
        with np.errstate(divide="ignore", invalid="ignore"):
            most = max(most, float(np.nan_to_num(pushed / moves, nan=0.0, posinf=np.inf).max()))
    return most


def _moments_nmm(sweep: Sweep, team: Team, side: frozenset[str], rod: str) -> Iterator[Floats]:
    """What each cylinder and box on one side of a rod gives about the driving lever, (n,); a cylinder on the rod itself
    is on both.
    """
    rods = {each.name: each for each in sweep.linkage.rods}
    for cylinder in team.cylinders:
        pushes = cylinder.mount.pushes
        lever = rods[pushes].start[0] if pushes in rods else pushes
        if lever in side or pushes == rod:
            yield max(cylinder.thrust.push_n, cylinder.thrust.pull_n) * cylinder.arm_mm(sweep)
    rates = lever_rates(sweep.motion)
    yield from (box.about_driver_nmm(rates) for box in team.boxes if box.lever in side)
