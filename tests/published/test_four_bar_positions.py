"""Positions of four-bar linkages that textbooks print: planar ones, with Freudenstein's equation that ties them, and
the universal joint, whose law is that of an RSSR with crossing axes.
"""

import math

import numpy as np
import pytest

from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.rates import lever_rates
from tests.steering.examples import four_bar

# R. L. Norton, Design of Machinery. Example 4-1 (vector loop method): its data as in the public reworking of the
# book's examples, repository orxshi/fourbar, file e41.py; its answers from memory. Problem 4-7, rows a, c and e of
# table P4-1: data and answers (given to a tenth of a degree in the book's back) from memory.
# ground d, crank a, coupler b, rocker c; theta2; theta3; theta4
NORTON = [
    ("example 4-1, open", (100, 40, 120, 80), 40.0, 20.298, 57.325, 0.002),
    ("example 4-1, crossed", (100, 40, 120, 80), 40.0, -60.98, -98.01, 0.006),
    ("problem 4-7 a, open", (6, 2, 7, 9), 30.0, 88.8, 117.3, 0.06),
    ("problem 4-7 a, crossed", (6, 2, 7, 9), 30.0, -115.2, -143.6, 0.1),
    ("problem 4-7 c, open", (3, 10, 6, 8), 45.0, -53.1, 16.5, 0.06),
    ("problem 4-7 c, crossed", (3, 10, 6, 8), 45.0, 173.3, 103.6, 0.06),
    ("problem 4-7 e, open", (8, 5, 8, 6), 75.0, 7.5, 78.2, 0.06),
    ("problem 4-7 e, crossed", (8, 5, 8, 6), 75.0, -79.0, -149.7, 0.06),
]


@pytest.mark.parametrize(
    ("name", "links", "theta2", "theta3", "theta4", "within"), NORTON, ids=[row[0] for row in NORTON]
)
def test_norton_positions(
    name: str, links: tuple[float, float, float, float], theta2: float, theta3: float, theta4: float, within: float
) -> None:
    ground, crank, coupler, rocker = links
    # drawn a little away from the answer: the coupler's length must bring the rocker onto it
    motion = move(four_bar(ground, crank, coupler, rocker, theta2, theta4 + 3.0), "crank", np.array([0.0]))
    rocker_deg = theta4 + 3.0 + math.degrees(float(motion.angles_rad["rocker"][0]))
    start, end = motion.rod_ends_mm("coupler")
    along = end[0] - start[0]
    coupler_deg = math.degrees(math.atan2(along[1], along[0]))
    assert rocker_deg == pytest.approx(theta4, abs=within)
    assert coupler_deg == pytest.approx(theta3, abs=within)


@pytest.mark.parametrize("links", [(100.0, 40.0, 120.0, 80.0), (6.0, 2.0, 7.0, 9.0), (10.0, 6.0, 8.0, 10.0)])
def test_every_position_satisfies_freudenstein(links: tuple[float, float, float, float]) -> None:
    # F. Freudenstein, Approximate Synthesis of Four-Bar Linkages, Trans. ASME 77 (1955):
    # K1 cos t4 - K2 cos t2 + K3 = cos(t2 - t4)
    ground, crank, coupler, rocker = links
    first = 60.0
    motion = move(four_bar(*links, first, 80.0), "crank", np.radians(np.linspace(0.0, 90.0, 181)))
    t2 = math.radians(first) + motion.angles_rad["crank"]
    t4 = math.radians(80.0) + motion.angles_rad["rocker"]
    k1, k2 = ground / crank, ground / rocker
    k3 = (crank**2 - coupler**2 + rocker**2 + ground**2) / (2 * crank * rocker)
    np.testing.assert_allclose(k1 * np.cos(t4) - k2 * np.cos(t2) + k3, np.cos(t2 - t4), atol=1e-12)


def test_a_parallelogram_keeps_its_arms_parallel() -> None:
    # any text on mechanisms: equal opposite links, the follower copies the crank
    motion = move(four_bar(200.0, 50.0, 200.0, 50.0, 70.0, 70.0), "crank", np.radians(np.linspace(-60.0, 60.0, 121)))
    np.testing.assert_allclose(motion.angles_rad["rocker"], motion.angles_rad["crank"], atol=1e-12)


def test_extremes_of_a_crank_rocker_by_the_cosine_law() -> None:
    # the rocker turns back where crank and coupler lie in one line, at b + a and at b - a from the crank's pivot:
    # the toggle positions of any text on mechanisms
    d, a, b, c = 100.0, 40.0, 120.0, 80.0
    motion = move(four_bar(d, a, b, c, 40.0, 57.325), "crank", np.radians(np.linspace(0.0, 360.0, 7201)))
    t4 = math.radians(57.325) + motion.angles_rad["rocker"]
    reach = [math.pi - math.acos((d * d + c * c - span**2) / (2 * d * c)) for span in (b + a, b - a)]
    assert [float(t4.min()), float(t4.max())] == pytest.approx(sorted(reach), abs=1e-5)


@pytest.mark.parametrize("bent_deg", [10.0, 30.0, 60.0])
def test_an_rssr_with_crossing_axes_turns_as_a_universal_joint(bent_deg: float) -> None:
    """Two balls at one radius, a quarter turn apart about axes that cross: the rod between them, as long as the cross
    makes it, leads them as the cross of a universal joint does. Its law tan(driven) = tan(driver) / cos(bend), measured
    from where the driver's arm stands in the shafts' plane, and its ratio from cos(bend) to 1 / cos(bend): J. J.
    Uicker, G. R. Pennock, J. E. Shigley, Theory of Machines and Mechanisms, universal joint (from memory).
    """
    bent, r = math.radians(bent_deg), 120.0
    driven = (math.cos(bent), math.sin(bent), 0.0)
    linkage = Linkage(
        (
            Lever("driver", (0.0, 0.0, 0.0), (1.0, 0.0, 0.0), {"ball": (0.0, r, 0.0)}),
            Lever("driven", (0.0, 0.0, 0.0), driven, {"ball": (0.0, 0.0, r)}),
        ),
        (Rod("cross", ("driver", "ball"), ("driven", "ball")),),
    )
    turn = np.radians(np.linspace(-80.0, 80.0, 161))
    motion = move(linkage, "driver", turn)
    np.testing.assert_allclose(
        np.tan(motion.angles_rad["driven"]), np.tan(turn) / math.cos(bent), rtol=1e-9, atol=1e-12
    )
    ratio = lever_rates(motion)["driven"]
    assert ratio[80] == pytest.approx(1.0 / math.cos(bent), rel=1e-12)  # straight: where the driven shaft is quickest
    np.testing.assert_allclose(ratio, math.cos(bent) / (1.0 - (math.sin(bent) * np.cos(turn)) ** 2), rtol=1e-9)
