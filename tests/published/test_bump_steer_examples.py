"""Bump steer of suspensions that books describe, each worked here by a way of its own.

No book at hand prints a table of degrees against travel for an axle that this program can be told, so each case takes
the book's geometry or the book's rule and works the number independently.
"""

import math

import numpy as np
import pytest
from scipy.optimize import fsolve

from plategen.job.steering_axle import AxleEntry
from plategen.steering.axle import axle_travel, held_at
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.sweep import Locks, sweep

LOCKS = Locks("box", math.radians(2.0), math.radians(2.0))
FAR_MM = 4000.0
"""Where the lever turns that stands for a rack: so far off that its balls go straight."""

A, B, C = (-251.0, 320.0, -80.0), (148.0, 320.0, -94.0), (13.0, 737.0, -145.0)
D, E, F = (-105.0, 435.0, 196.0), (122.0, 435.0, 230.0), (-25.0, 680.0, 162.0)
R, Q = (-150.0, 380.0, -38.0), (-137.0, 690.0, -88.0)
"""Double wishbone with rack: lower arm A B to ball C, upper arm D E to ball F, tie rod R at the rack to Q; mm.

Source: G. Rill, Road Vehicle Dynamics: Fundamentals and Modeling, CRC Press, the listing of a front axle's double
wishbone kinematics; its points as found in a copy of that listing kept in public source code.
"""


def arr(p: tuple[float, float, float]) -> np.ndarray:  # type: ignore[type-arg]
    return np.array(p, dtype=float)


def mirror(p: tuple[float, float, float]) -> tuple[float, float, float]:
    return (p[0], -p[1], p[2])


def wishbone_heading_rad(lift_mm: float) -> float:
    """The left wheel's heading with ball C lifted so far: every length of the book's figure kept, nothing else.

    Unknowns are the three balls of the wheel's body, C, F and Q.
    """
    fixed = [(C, A), (C, B), (F, D), (F, E), (Q, R)]
    within = [(0, 1), (1, 2), (0, 2)]
    drawn = [arr(C), arr(F), arr(Q)]

    def misses(x: np.ndarray) -> list[float]:  # type: ignore[type-arg]
        now = x.reshape(3, 3)
        at = {C: now[0], F: now[1], Q: now[2]}
        found = [np.linalg.norm(at[p] - arr(q)) - np.linalg.norm(arr(p) - arr(q)) for p, q in fixed]
        found += [np.linalg.norm(now[i] - now[j]) - np.linalg.norm(drawn[i] - drawn[j]) for i, j in within]
        return [*found, now[0][2] - C[2] - lift_mm]

    now = fsolve(misses, np.concatenate(drawn), xtol=1e-13).reshape(3, 3)

    def frame(c: np.ndarray, f: np.ndarray, q: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
        up = (f - c) / np.linalg.norm(f - c)
        side = np.cross(up, q - c)
        side /= np.linalg.norm(side)
        return np.column_stack([up, side, np.cross(up, side)])

    forward = frame(*now) @ frame(*drawn).T @ np.array([1.0, 0.0, 0.0])
    return math.atan2(forward[1], forward[0])


def rack(tie: tuple[float, float, float]) -> Lever:
    return Lever("box", (tie[0] - FAR_MM, 0.0, tie[2]), (0, 0, 1), {"left": tie, "right": mirror(tie)})


def independent(tie: tuple[float, float, float] = R) -> tuple[Linkage, AxleEntry]:
    """The same as a swing axle: at ride height the wheel's body turns about the line in which the arms' planes meet."""
    lower, upper = np.cross(arr(B) - arr(A), arr(C) - arr(A)), np.cross(arr(E) - arr(D), arr(F) - arr(D))
    line = np.cross(lower, upper)
    point = np.linalg.solve(np.array([lower, upper, line]), [lower @ arr(A), upper @ arr(D), line @ arr(C)])
    kingpin = arr(F) - arr(C)
    levers = (
        rack(tie),
        Lever("left", C, tuple(kingpin), {"tie": Q}, "left"),
        Lever("right", mirror(C), mirror(tuple(kingpin)), {"tie": mirror(Q)}, "right"),
    )
    rods = (
        Rod("left tie rod", ("box", "left"), ("left", "tie")),
        Rod("right tie rod", ("box", "right"), ("right", "tie")),
    )
    entry = AxleEntry(kind="swing", up_mm=1.0, down_mm=1.0, about_mm=tuple(point), axis=tuple(line))
    return Linkage(levers, rods), entry


def test_a_double_wishbone_of_a_book_steers_at_ride_height_as_its_own_lengths_make_it() -> None:
    # Rill's front axle; worked by a general solver that keeps every length of the figure
    linkage, entry = independent()
    swept = sweep(linkage, "box", Locks("box", 1e-3, 1e-3))
    ride = np.array([-1.0, 0.0, 1.0])
    steer = held_at(swept, entry, ride, np.zeros(3)).steer_rad
    wanted = (wishbone_heading_rad(1.0) - wishbone_heading_rad(-1.0)) / 2.0
    assert abs(wanted) > 1e-5, "the book's axle does steer a little"
    assert (steer["left"][2] - steer["left"][0]) / 2.0 == pytest.approx(wanted, rel=1e-3)
    assert steer["right"] == pytest.approx(-steer["left"], abs=1e-12), "toe, and no heading: both wheels go alike"


def test_a_tie_rod_aimed_at_the_instant_centre_steers_nothing_at_ride_height() -> None:
    """W. F. and D. L. Milliken, Race Car Vehicle Dynamics, SAE 1995: the tie rod's line through the instant centre,
    and as long as from ball to centre demands, gives no bump steer; aimed above or below it, toe changes with travel
    (the rule from memory).
    """
    centre = (0.0, -900.0, 250.0)
    kingpin, q, arm = (0.0, 700.0, 300.0), (-140.0, 690.0, 220.0), 140.0

    def rate(off_mm: float) -> float:
        # the inner ball on the line from Q to the instant centre, 300 mm in, and then so much higher
        share = 300.0 / math.dist(q[1:], centre[1:])
        inner = (q[0], q[1] + share * (centre[1] - q[1]), q[2] + share * (centre[2] - q[2]) + off_mm)
        levers = (
            rack(inner),
            Lever("left", kingpin, (0, 0, 1), {"tie": q}, "left"),
            Lever("right", mirror(kingpin), (0, 0, 1), {"tie": mirror(q)}, "right"),
        )
        rods = (Rod("l", ("box", "left"), ("left", "tie")), Rod("r", ("box", "right"), ("right", "tie")))
        swept = sweep(Linkage(levers, rods), "box", Locks("box", 1e-3, 1e-3))
        entry = AxleEntry(kind="swing", up_mm=0.5, down_mm=0.5, about_mm=centre)
        steer = held_at(swept, entry, np.array([-0.5, 0.0, 0.5]), np.zeros(3)).steer_rad["left"]
        return float(steer[2] - steer[0])

    assert rate(0.0) == pytest.approx(0.0, abs=1e-9)
    # derived: a ball h too high pushes the arm's ball outwards by h / rod for each unit of its own travel, which
    # is the lift times (its distance from the centre) / (the kingpin's); the arm lies behind the kingpin: toe-in
    travel = (q[1] - centre[1]) / (kingpin[1] - centre[1])
    for high in (-5.0, 5.0):
        assert rate(high) == pytest.approx(-high / 300.0 * travel / arm, rel=0.05)


@pytest.mark.parametrize("behind_mm", [900.0, -800.0])
def test_a_drag_link_whose_rear_ball_lies_at_the_centre_of_its_front_ball_s_path_steers_nothing(
    behind_mm: float,
) -> None:
    """T. D. Gillespie, Fundamentals of Vehicle Dynamics, SAE 1992, "steering geometry error": on a leaf-sprung solid
    axle the steering arm's ball runs about an ideal centre; the link's other end there gives none, one above or below
    steers with travel, one before or behind only by its square (the rule from memory). Spring eye behind, or ahead.
    """
    ball, arm = (0.0, 100.0, 350.0), 150.0

    def steer(x_mm: float, z_mm: float) -> np.ndarray:  # type: ignore[type-arg]
        rear = (-behind_mm + x_mm, 100.0, 350.0 + z_mm)
        levers = (
            Lever("box", (rear[0], 100.0, 700.0), (0, 1, 0), {"drag": rear}),
            Lever("left", (0.0, 100.0 + arm, 350.0), (0, 0, 1), {"drag": ball}, "left"),
        )
        swept = sweep(Linkage(levers, (Rod("drag link", ("box", "drag"), ("left", "drag")),)), "box", LOCKS)
        found = axle_travel(swept, AxleEntry(up_mm=60.0, down_mm=60.0, about_mm=(-behind_mm, 0.0, 350.0)))
        return found.heading_rad[np.argsort(found.rise_mm)]

    assert steer(0.0, 0.0) == pytest.approx(0.0, abs=1e-12)
    high, short = steer(0.0, 25.0), steer(60.0, 0.0)
    assert high[0] * high[-1] < 0.0, "above the centre: to one side in bump, to the other in rebound"
    assert abs(high[-1]) == pytest.approx(25.0 / abs(behind_mm) * 60.0 / arm, rel=0.1)
    assert short[0] * short[-1] > 0.0, "off the centre's length: to the same side both ways"
    link = abs(-behind_mm + 60.0)
    assert abs(short[-1]) == pytest.approx(60.0**2 / 2.0 * abs(1.0 / link - 1.0 / abs(behind_mm)) / arm, rel=0.1)
