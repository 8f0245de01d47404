"""A steering with two relays, as swing axles and narrow beams have it: the box turns one relay, a rod between them the
other, and each turns its own wheel by a short tie rod. Held against a general solver and against its own symmetry.
"""

import math

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from plategen.job.steering_axle import AxleEntry
from plategen.steering.axle import axle_travel, held_at
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.sweep import Locks, Sweep, sweep

LEFT = {"pivot": (-300.0, 180.0, 400.0), "tie": (-150.0, 190.0, 390.0), "between": (-420.0, 175.0, 400.0)}
SPINDLE, ARM, LEAN = (0.0, 700.0, 420.0), (-150.0, 650.0, 395.0), (-0.05, -0.12, 1.0)


def mirror(p: tuple[float, float, float]) -> tuple[float, float, float]:
    return (p[0], -p[1], p[2])


def two_relays() -> Sweep:
    box = Lever("box", (-900.0, 180.0, 600.0), (0, 1, 0), {"drag": (-900.0, 150.0, 420.0)})
    relays = (
        Lever(
            "left relay",
            LEFT["pivot"],
            (0, 0, 1),
            {"tie": LEFT["tie"], "between": LEFT["between"], "drag": (-290.0, 60.0, 430.0)},
        ),
        Lever(
            "right relay",
            mirror(LEFT["pivot"]),
            (0, 0, 1),
            {"tie": mirror(LEFT["tie"]), "between": (-420.0, -185.0, 400.0)},
        ),
    )
    wheels = (
        Lever("left", SPINDLE, LEAN, {"tie": ARM}, "left"),
        Lever("right", mirror(SPINDLE), mirror(LEAN), {"tie": mirror(ARM)}, "right"),
    )
    rods = (
        Rod("drag link", ("box", "drag"), ("left relay", "drag")),
        Rod("relay rod", ("left relay", "between"), ("right relay", "between")),
        Rod("left tie rod", ("left relay", "tie"), ("left", "tie")),
        Rod("right tie rod", ("right relay", "tie"), ("right", "tie")),
    )
    lock = math.radians(12.0)
    return sweep(Linkage((box, *relays, *wheels), rods), "box", Locks("box", lock, lock), positions=41)


def test_every_lever_stands_where_a_general_solver_finds_it() -> None:
    swept = two_relays()
    linkage, motion = swept.linkage, swept.motion

    def ball(lever: str, name: str, turn: float) -> np.ndarray:  # type: ignore[type-arg]
        drawn = linkage.lever(lever)
        axis, pivot = np.array(drawn.axis), np.array(drawn.pivot_mm)
        return pivot + Rotation.from_rotvec(axis * turn).apply(np.array(drawn.balls[name]) - pivot)

    for i in range(0, len(swept), 4):
        at = {name: float(turn[i]) for name, turn in motion.angles_rad.items()}
        for rod in linkage.rods:
            start, (follows, name) = rod.start, rod.end
            fixed = ball(*start, at[start[0]])
            wanted = linkage.rod_length_mm(rod)

            def miss(turn: float, fixed=fixed, follows=follows, name=name, wanted=wanted) -> float:  # type: ignore[no-untyped-def]
                return float(np.linalg.norm(ball(follows, name, turn) - fixed)) - wanted

            assert brentq(miss, at[follows] - 0.05, at[follows] + 0.05, xtol=1e-14) == pytest.approx(
                at[follows], abs=1e-9
            )


def test_a_parallelogram_of_relays_steers_both_wheels_as_each_other_s_mirror() -> None:
    # the rod between the relays is as long as their pivots are apart and its balls stand alike: they turn as one
    swept = two_relays()
    turn = swept.motion.angles_rad
    assert turn["left relay"] == pytest.approx(turn["right relay"], abs=1e-9)
    left, right = swept.steer_rad["left"], swept.steer_rad["right"]
    order = np.argsort(turn["left relay"])
    seen_back = np.interp(-turn["left relay"][order], turn["left relay"][order], -left[order])
    inner = np.abs(turn["left relay"][order]) < 0.9 * min(abs(turn["left relay"][0]), abs(turn["left relay"][-1]))
    assert right[order][inner] == pytest.approx(seen_back[inner], abs=2e-4)


def test_relays_on_the_frame_with_a_swing_axle_change_toe_and_no_heading() -> None:
    swept = two_relays()
    entry = AxleEntry(kind="swing", up_mm=60.0, down_mm=60.0, about_mm=(0.0, -80.0, 330.0))
    found = axle_travel(swept, entry)
    assert found.heading_rad == pytest.approx(0.0, abs=1e-12)
    assert found.toe_rad is not None
    assert float(np.abs(found.toe_rad).max()) > math.radians(0.2)
    again = held_at(swept, entry, found.rise_mm, found.roll_rad).steer_rad
    assert again["right"] - again["left"] == pytest.approx(found.toe_rad, abs=1e-12)
