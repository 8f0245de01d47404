"""A push out of line: what is lost, what goes sideways, what it bends, and where the fixed pin does best."""

import math

import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.steering.alignment import alignment, moving_end_swing_rad, rod_bending
from plategen.steering.best_pin import best_pin
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.mount import Mount, pin_to_pin
from plategen.steering.sweep import Locks, Sweep, sweep
from tests.steering.examples import sprayer


def parallelogram() -> Linkage:
    """Two equal arms and a rod along x that stays along x."""
    return Linkage(
        (
            Lever("a", (0, 0, 0), (0, 0, 1), {"p": (0, 200, 0)}),
            Lever("b", (1000, 0, 0), (0, 0, 1), {"p": (1000, 200, 0)}),
        ),
        (Rod("rod", ("a", "p"), ("b", "p")),),
    )


def swept(turn_deg: float = 10.0) -> Sweep:
    turn = math.radians(turn_deg)
    return sweep(parallelogram(), "a", Locks("a", turn, turn))


@pytest.mark.parametrize("angle_deg", [0.0, 2.0, 5.0, 10.0, 20.0])
def test_a_push_out_of_line_loses_one_less_cosine_and_gives_the_sine_sideways(angle_deg: float) -> None:
    # common practice, no source: the fact of the trade as a check value; 10 deg loses 1.5 % and gives 17 % sideways
    angle = math.radians(angle_deg)
    moving = (500.0, 200.0, 0.0)
    fixed = (500.0 - 400.0 * math.cos(angle), 200.0, -400.0 * math.sin(angle))
    mount = Mount("rod", fixed, moving, (0, 1, 0))
    found = swept()
    aligned = alignment(found, mount, pin_to_pin(found, mount))
    i = found.straight
    assert aligned.push_lost[i] == pytest.approx(1.0 - math.cos(angle), abs=1e-12)
    assert aligned.side_share[i] == pytest.approx(math.sin(angle), abs=1e-12)
    assert aligned.upright_rad[i] == pytest.approx(angle, abs=1e-12)
    assert aligned.level_rad[i] == pytest.approx(0.0, abs=1e-12)


def test_shares_of_the_push_are_its_parts() -> None:
    mount = Mount("rod", (100, 260, -70), (500, 200, 0), (0, 0, 1))
    found = swept()
    pins = pin_to_pin(found, mount)
    aligned = alignment(found, mount, pins)
    np.testing.assert_allclose((aligned.shares**2).sum(axis=1), 1.0, atol=1e-12)
    np.testing.assert_allclose(aligned.shares[:, 0], np.cos(aligned.angle_rad), atol=1e-12)
    np.testing.assert_allclose(np.hypot(aligned.shares[:, 1], aligned.shares[:, 2]), aligned.side_share, atol=1e-12)
    # the rod stays along x: along, across and upwards are forward, left and up
    np.testing.assert_allclose(aligned.shares, pins.direction, atol=1e-9)


def test_pushing_a_lever_is_judged_against_the_way_its_pin_moves() -> None:
    found = swept()
    mount = Mount("a", (-400, 200, 0), (0, 200, 0))
    aligned = alignment(found, mount, pin_to_pin(found, mount))
    assert aligned.line == ""
    assert aligned.angle_rad[found.straight] == pytest.approx(0.0, abs=1e-6)
    # the pin moves square to the arm; the cylinder points from (-400, 200) to where the arm's end has come
    ahead = math.atan2(200.0 * math.cos(math.radians(10.0)) - 200.0, 400.0 + 200.0 * math.sin(math.radians(10.0)))
    assert aligned.angle_rad[0] == pytest.approx(math.radians(10.0) + ahead, abs=1e-3)


def test_bending_of_the_pushed_rod() -> None:
    # a beam on two supports with a load at a, b: F a b / L; a couple F e: the larger part of it max(a, b) / L
    angle = math.radians(6.0)
    fixed = (300.0 - 400.0 * math.cos(angle), 240.0, -400.0 * math.sin(angle))
    mount = Mount("rod", fixed, (300.0, 240.0, 0.0), (0, 1, 0))
    found = sweep(parallelogram(), "a", Locks("a", 1e-6, 1e-6))
    aligned = alignment(found, mount, pin_to_pin(found, mount))
    bending = rod_bending(found.linkage, mount, aligned, 10_000.0)
    assert bending is not None
    side, force = 10_000.0 * math.sin(angle), 10_000.0
    assert bending.eccentric_mm == pytest.approx(40.0)
    assert (bending.rod, bending.length_mm) == ("rod", pytest.approx(1000.0))
    assert bending.at_mm == pytest.approx(300.0)
    assert bending.out_of_line_rad == pytest.approx(angle, rel=1e-4)
    # the whole push is taken beside the rod's line, though only cos of it goes along it: on the safe side
    assert bending.moment_nmm == pytest.approx(side * 300 * 700 / 1000 + force * 40 * 700 / 1000, rel=1e-4)
    assert sum(bending.ball_side_n) == pytest.approx(side + 2 * force * 40 / 1000, rel=1e-4)
    assert bending.lever_moment_nmm[0] == pytest.approx(bending.ball_side_n[0] * 200.0)
    assert rod_bending(found.linkage, Mount("a", (-400, 200, 0), (0, 200, 0)), aligned, 1.0) is None


def test_a_rod_that_stays_parallel_turns_only_as_the_cylinder_swings() -> None:
    found = swept()
    mount = Mount("rod", (0, 200, 0), (500, 200, 0))
    pins = pin_to_pin(found, mount)
    level, upright = moving_end_swing_rad(found, mount, pins)
    swing = np.arctan2(pins.direction[:, 1], pins.direction[:, 0])
    assert level == pytest.approx(float(np.ptp(swing)), abs=1e-12)
    assert upright == pytest.approx(0.0, abs=1e-12)


def test_the_best_pin_is_as_good_as_a_general_optimiser_finds() -> None:
    optimize = pytest.importorskip("scipy.optimize")
    inch = 25.4
    found = sweep(sprayer(), "box arm", Locks("inner wheel", math.radians(35), math.radians(35)))
    mount = Mount("drag link", (-55 * inch, 20.75 * inch, 21.25 * inch), (-36 * inch, 21.75 * inch, 19.4375 * inch))
    low, high = (-58 * inch, 19 * inch, 18 * inch), (-53 * inch, 23 * inch, 24 * inch)
    best = best_pin(found, mount, low, high)

    def worst(place: np.ndarray) -> float:
        moved = mount.with_fixed(place)
        return alignment(found, moved, pin_to_pin(found, moved)).worst_rad

    result = optimize.differential_evolution(worst, list(zip(low, high, strict=True)), seed=1, tol=1e-8, maxiter=60)
    assert best.worst_rad <= result.fun + 1e-5
    assert best.worst_rad == pytest.approx(worst(np.array(best.fixed_mm)), abs=1e-9)
    assert best.worst_rad < best.drawn_worst_rad
    assert all(away.worst_rad >= best.worst_rad for away in best.away)
    assert {(a.axis, a.step_mm > 0) for a in best.away} == {(axis, up) for axis in "xyz" for up in (False, True)}


def test_a_box_that_holds_the_pin_back_says_on_which_side() -> None:
    found = swept()
    mount = Mount("rod", (100, 300, 0), (500, 200, 0))
    best = best_pin(found, mount, (100, 250, 0), (100, 320, 0))
    assert best.fixed_mm[1] == pytest.approx(250.0, abs=0.02)
    assert "y low" in best.on_edge


def test_boxes_without_a_place_are_refused() -> None:
    found = swept()
    mount = Mount("rod", (100, 200, 0), (500, 200, 0))
    with pytest.raises(Refusal, match="turned inside out"):
        best_pin(found, mount, (10, 0, 0), (0, 10, 10))
    with pytest.raises(Refusal, match="nowhere in the box"):
        best_pin(found, mount, (90, 190, -10), (110, 210, 10), lengths_mm=(100.0, 200.0))
