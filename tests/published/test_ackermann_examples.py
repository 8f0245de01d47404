"""Wheel angles in a turn without scrubbing, against formula and examples that were printed elsewhere."""

import math

import numpy as np
import pytest

from plategen.steering.sweep import ackermann_percent, ideal_outer_rad


def test_post_with_worked_numbers() -> None:
    # reply in the newsgroup rec.autos.simulators, 2 February 2003: wheelbase 124 in, track 31 in, a turn of 5 deg at
    # the middle; it prints 5.055000127 deg and 4.94618088 deg. Those are the angles for a turn centre
    # 124 / tan 5 deg beside the middle of the rear axle (the formula in its text has the sine by mistake)
    found = ideal_outer_rad(np.radians(np.array([5.055000127])), 31.0, 124.0)
    assert np.degrees(found)[0] == pytest.approx(4.94618088, abs=1e-8)


def test_theory_of_machines_example() -> None:
    # S. S. Rattan, Theory of Machines, example on the Ackermann gear (from memory): ratio of kingpin distance to
    # wheelbase 0.44, inner wheel 18 deg; the outer wheel is to turn 15.9 deg
    assert math.degrees(float(ideal_outer_rad(np.array(math.radians(18.0)), 0.44, 1.0))) == pytest.approx(
        15.9, abs=0.05
    )


@pytest.mark.parametrize("inner_deg", [1.0, 10.0, 25.0, 40.0, 60.0])
@pytest.mark.parametrize(("kingpins", "wheelbase"), [(1.2, 2.7), (1478.0, 2438.0), (0.44, 1.0)])
def test_fundamental_equation_of_correct_steering(inner_deg: float, kingpins: float, wheelbase: float) -> None:
    # cot(outer) - cot(inner) = c / b: the equation that texts and examination papers of the theory of machines give
    inner = math.radians(inner_deg)
    outer = float(ideal_outer_rad(np.array(inner), kingpins, wheelbase))
    assert 1 / math.tan(outer) - 1 / math.tan(inner) == pytest.approx(kingpins / wheelbase, rel=1e-12)


def test_percent_ackermann_of_ideal_and_of_parallel_wheels() -> None:
    # common practice, no source: 100 % rolls freely, 0 % keeps the wheels parallel
    inner = np.radians(np.array([15.0, 30.0]))
    ideal = ideal_outer_rad(inner, 1.5, 2.5)
    assert ackermann_percent(inner, ideal, 1.5, 2.5) == pytest.approx(100.0)
    assert ackermann_percent(inner, inner, 1.5, 2.5) == pytest.approx(0.0)
