"""Bump steer of published suspensions, each worked here by a way of its own, and of two rules that books give.

One source prints degrees against travel beside its points. A general solver that keeps every published length gives
those degrees, so it may stand for the other three, of which the points alone are published; and each of the four as an
axle of this program steers at ride height as the solver says.
"""

import math
from dataclasses import dataclass

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

from plategen.job.steering_axle import AxleEntry
from plategen.steering.axle import axle_travel, held_at
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.sweep import Locks, sweep

LOCKS = Locks("box", math.radians(2.0), math.radians(2.0))
FAR_MM = 4000.0
"""Where the lever turns that stands for a rack: so far off that its balls go straight."""

Place = tuple[float, float, float]


@dataclass(frozen=True)
class Suspension:
    """A wheel's body on a lower arm, steered by a tie rod, and above either on an arm or on a strut; left, mm."""

    lower: tuple[Place, Place]
    lower_ball: Place
    tie_rod: tuple[Place, Place]  # At the rack, at the wheel's body.
    upper: tuple[Place, Place] | None  # The upper arm on the frame; None for a strut.
    upper_ball: Place  # The upper arm's at the wheel's body, or the strut's top on the frame.
    strut_foot: Place | None = None  # On the wheel's body: the strut slides along the line from there to its top.

    @property
    def strut(self) -> np.ndarray:  # type: ignore[type-arg]
        """The strut's direction."""
        assert self.strut_foot is not None
        way = arr(self.upper_ball) - arr(self.strut_foot)
        return np.asarray(way / np.linalg.norm(way))


SUSPENSIONS = {
    # G. Rill, Road Vehicle Dynamics: Fundamentals and Modeling, CRC Press, the listing of a front axle's double
    # wishbone kinematics; its points as found in a copy of that listing kept in public source code
    "Rill": Suspension(
        lower=((-251.0, 320.0, -80.0), (148.0, 320.0, -94.0)),
        lower_ball=(13.0, 737.0, -145.0),
        tie_rod=((-150.0, 380.0, -38.0), (-137.0, 690.0, -88.0)),
        upper=((-105.0, 435.0, 196.0), (122.0, 435.0, 230.0)),
        upper_ball=(-25.0, 680.0, 162.0),
    ),
    # Project Chrono (projectchrono.org, BSD licence), data/vehicle/generic/suspension/DoubleWishbone.json
    "Chrono, double wishbone": Suspension(
        lower=((199.0, 479.0, -206.0), (-279.0, 539.0, -200.0)),
        lower_ball=(-40.0, 898.0, -265.0),
        tie_rod=((-279.0, 479.0, -26.0), (-220.0, 898.0, -26.0)),
        upper=((-160.0, 539.0, 243.0), (-339.0, 587.0, 249.0)),
        upper_ball=(-88.0, 808.0, 243.0),
    ),
    # the same, MacPhersonStrut.json
    "Chrono, strut": Suspension(
        lower=((220.0, 520.0, -156.0), (-300.0, 507.0, -137.0)),
        lower_ball=(-21.65371, 940.57703, -174.02826),
        tie_rod=((-300.0, 520.0, -59.0), (-237.3756, 894.95045, -16.05418)),
        upper=None,
        upper_ball=(-115.0, 785.0, 579.0),
        strut_foot=(-74.02507, 853.2915, 248.4536),
    ),
    # open-kinematics (Apache-2.0 licence), tests/data/geometry.yaml
    "open-kinematics": Suspension(
        lower=((250.0, 400.0, 200.0), (-250.0, 450.0, 200.0)),
        lower_ball=(0.0, 900.0, 200.0),
        tie_rod=((50.0, 200.0, 250.0), (150.0, 800.0, 275.0)),
        upper=((225.0, 350.0, 500.0), (-275.0, 350.0, 500.0)),
        upper_ball=(-25.0, 750.0, 500.0),
    ),
}

SPINDLE: tuple[Place, Place] = ((-20.0, 800.0, 308.426), (-20.0, 950.0, 313.426))
"""The last one's wheel turns about this line; its second end is what is lifted."""

PRINTED = (
    (-40.0, -40.0, 14.232370231773253),
    (-22.0, -4.0, 7.703375014125108),
    (-20.0, 0.0, 7.014196942194489),
    (-18.0, 4.0, 6.330888518648425),
    (-10.0, 20.0, 3.6504359630047034),
    (0.0, 40.0, 0.3995849213609485),
    (10.0, 60.0, -2.765111402383252),
    (20.0, 80.0, -5.865205729492443),
)
"""What open-kinematics prints of it, tests/data/e2e/output.csv, steps 0, 9, 10, 11, 15, 20, 25 and 30 of 41: how far
the rack has gone outwards and how far the wheel's centre is lifted, mm, and the wheel's toe-in, degrees.
"""


def arr(p: Place) -> np.ndarray:  # type: ignore[type-arg]
    return np.array(p, dtype=float)


def mirror(p: Place) -> Place:
    return (p[0], -p[1], p[2])


def body_at(one: Suspension, lifted: Place, lift_mm: float, rack_mm: float = 0.0) -> np.ndarray:  # type: ignore[type-arg]
    """Turn and shift of the wheel's body, (6,), that keep every length of the figure, and nothing else, with a point of
    it lifted so far and the tie rod's inner ball so far outwards.
    """

    def gone(x: np.ndarray, p: Place) -> np.ndarray:  # type: ignore[type-arg]
        return np.asarray(Rotation.from_rotvec(x[:3]).apply(arr(p) - arr(one.lower_ball)) + arr(one.lower_ball) + x[3:])

    def misses(x: np.ndarray) -> list[float]:  # type: ignore[type-arg]
        inner, outer = one.tie_rod
        held = [(one.lower_ball, at, at) for at in one.lower]
        held += [(outer, inner, (inner[0], inner[1] + rack_mm, inner[2]))]
        held += [] if one.upper is None else [(one.upper_ball, at, at) for at in one.upper]
        found = [float(np.linalg.norm(gone(x, p) - arr(now)) - math.dist(p, drawn)) for p, drawn, now in held]
        if one.strut_foot is not None:
            # the line that the strut slides along, carried by the body, goes on passing through its top
            away = np.cross(arr(one.upper_ball) - gone(x, one.strut_foot), Rotation.from_rotvec(x[:3]).apply(one.strut))
            found += [float(away[0]), float(away[1])]
        return [*found, float(gone(x, lifted)[2] - lifted[2] - lift_mm)]

    scale = [1e-3] * 3 + [1.0] * 3  # radians and millimetres
    solved = least_squares(misses, np.zeros(6), x_scale=scale, xtol=1e-15, ftol=1e-15, gtol=1e-15)
    assert solved.cost < 1e-18
    return np.asarray(solved.x)


def heading_rad(one: Suspension, lift_mm: float) -> float:
    """The left wheel's heading with the lower ball lifted so far."""
    forward = Rotation.from_rotvec(body_at(one, one.lower_ball, lift_mm)[:3]).apply([1.0, 0.0, 0.0])
    return math.atan2(forward[1], forward[0])


def rack(tie: Place) -> Lever:
    return Lever("box", (tie[0] - FAR_MM, 0.0, tie[2]), (0, 0, 1), {"left": tie, "right": mirror(tie)})


def as_axle(one: Suspension) -> tuple[Linkage, AxleEntry]:
    """The same as a swing axle: at ride height the wheel's body turns about the line in which two planes meet, those of
    the arms, or of the lower arm and, through the strut's top, the one square to the strut. Where both arms lie level
    they meet nowhere, and it goes straight up and down.
    """
    (a, b), c, f = one.lower, arr(one.lower_ball), arr(one.upper_ball)
    lower = np.cross(arr(b) - arr(a), c - arr(a))
    upper = one.strut if one.upper is None else np.cross(arr(one.upper[1]) - arr(one.upper[0]), f - arr(one.upper[0]))
    line = np.cross(lower, upper)
    entry = AxleEntry(up_mm=1.0, down_mm=1.0)
    if np.linalg.norm(line) > 1e-9 * np.linalg.norm(lower) * np.linalg.norm(upper):
        point = np.linalg.solve(np.array([lower, upper, line]), [lower @ arr(a), upper @ f, line @ c])
        entry = entry.replaced(kind="swing", about_mm=tuple(point), axis=tuple(line))
    kingpin, (inner, outer) = tuple(f - c), one.tie_rod
    levers = (
        rack(inner),
        Lever("left", one.lower_ball, kingpin, {"tie": outer}, "left"),
        Lever("right", mirror(one.lower_ball), mirror(kingpin), {"tie": mirror(outer)}, "right"),
    )
    rods = (
        Rod("left tie rod", ("box", "left"), ("left", "tie")),
        Rod("right tie rod", ("box", "right"), ("right", "tie")),
    )
    return Linkage(levers, rods), entry


@pytest.mark.parametrize(("rack_mm", "lift_mm", "toe_in_deg"), PRINTED)
def test_the_general_solver_gives_the_degrees_that_are_printed(
    rack_mm: float, lift_mm: float, toe_in_deg: float
) -> None:
    turn = body_at(SUSPENSIONS["open-kinematics"], SPINDLE[1], lift_mm, rack_mm)[:3]
    spindle = Rotation.from_rotvec(turn).apply(arr(SPINDLE[1]) - arr(SPINDLE[0]))
    assert math.degrees(math.atan2(spindle[0], spindle[1])) == pytest.approx(toe_in_deg, abs=1e-5)


@pytest.mark.parametrize("name", SUSPENSIONS)
def test_a_published_suspension_steers_at_ride_height_as_its_own_lengths_make_it(name: str) -> None:
    one = SUSPENSIONS[name]
    linkage, entry = as_axle(one)
    swept = sweep(linkage, "box", Locks("box", 1e-3, 1e-3))
    ride = np.array([-1.0, 0.0, 1.0])
    steer = held_at(swept, entry, ride, np.zeros(3)).steer_rad
    wanted = (heading_rad(one, 1.0) - heading_rad(one, -1.0)) / 2.0
    assert abs(wanted) > 1e-5, "each does steer a little"
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
