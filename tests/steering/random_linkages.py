"""Random steerings in space, for laws that must hold of all of them; all invented."""

from collections.abc import Iterator

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.mount import Mount, leverage_mm, pin_to_pin
from plategen.steering.rates import lever_rates
from plategen.steering.sweep import Locks, Sweep, sweep
from plategen.steering.vector import Point, as_point

TURN_RAD = 0.3
"""How far every driver can turn, both ways."""

QUICKEST = 4.0
"""No lever turns faster than so many times its driver, nor slower than its share: far enough from dead points."""


def linkages(count: int, seed: int = 17) -> Iterator[Linkage]:
    """So many: a box arm, at times a relay, two spindles on leaning kingpins; every axis and ball drawn at random."""
    rng, found = np.random.default_rng(seed), 0
    while found < count:
        try:
            linkage = _drawn(rng)
            motion = move(linkage, "box arm", np.linspace(-TURN_RAD, TURN_RAD, 21))
        except Refusal:
            continue
        rates = np.abs(list(lever_rates(motion).values()))
        if rates.max() < QUICKEST and rates.min() > 1.0 / QUICKEST:
            found += 1
            yield linkage


def steerings(count: int, seed: int = 23) -> Iterator[tuple[Sweep, Mount]]:
    """So many swept, each with a cylinder on a rod or a lever that keeps an arm from lock to lock."""
    rng, found = np.random.default_rng(seed), 0
    for linkage in linkages(20 * count, seed):
        lever = linkage.levers[int(rng.integers(len(linkage.levers)))]
        rod = linkage.rods[int(rng.integers(len(linkage.rods)))]
        pushes, ball = (lever.name, next(iter(lever.balls.values()))) if rng.random() < 0.4 else (rod.name, None)
        at = np.array(linkage.ball_mm(rod.start) if ball is None else ball)
        moving, fixed = at + rng.normal(0.0, 60.0, 3), at + rng.normal(0.0, 400.0, 3)
        try:
            swept = sweep(linkage, "box arm", Locks("box arm", TURN_RAD, TURN_RAD), column_ratio=18.0)
            mount = Mount(pushes, as_point(fixed), as_point(moving), as_point(rng.normal(0.0, 1.0, 3)))
            opens = leverage_mm(swept, mount, pin_to_pin(swept, mount))
        except Refusal:
            continue
        steers = [np.abs(rate).min() for rate in swept.steer_rates.values()]
        if np.abs(opens).min() > 15.0 and opens.min() * opens.max() > 0.0 and min(steers) > 0.05:
            found += 1
            yield swept, mount
        if found == count:
            return


def _drawn(rng: np.random.Generator) -> Linkage:
    def near(x: float, y: float, z: float, spread: float = 60.0) -> Point:
        return as_point(np.array([x, y, z]) + rng.uniform(-spread, spread, 3))

    def axis(x: float, y: float, z: float) -> Point:
        return as_point(np.array([x, y, z]) + rng.normal(0.0, 0.3, 3))

    relay = rng.random() < 0.5
    levers = [
        Lever("box arm", (-900.0, 400.0, 700.0), axis(0, 1, 0), {"drag": near(-900, 420, 480)}),
        Lever(
            "left spindle", (0.0, 690.0, 380.0), axis(-0.07, -0.14, 1),
            {"steer": near(10, 500, 400), "tie": near(-180, 645, 360)}, "left",
        ),
        Lever("right spindle", (0.0, -690.0, 380.0), axis(-0.07, 0.14, 1), {"tie": near(-180, -645, 360)}, "right"),
    ]  # fmt: skip
    rods = [Rod("tie rod", ("left spindle", "tie"), ("right spindle", "tie"))]
    if relay:
        balls = {"in": near(-420, 420, 350), "out": near(-420, 450, 330)}
        levers.insert(1, Lever("relay", (-420.0, 400.0, 540.0), axis(0, 1, 0), balls))
        rods = [
            Rod("drag link", ("box arm", "drag"), ("relay", "in")),
            Rod("short rod", ("relay", "out"), ("left spindle", "steer")),
            *rods,
        ]
    else:
        rods = [Rod("drag link", ("box arm", "drag"), ("left spindle", "steer")), *rods]
    return Linkage(tuple(levers), tuple(rods))
