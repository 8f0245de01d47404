"""The rods' statics: sections, the moment of a cylinder beside a bar's line, a bar that is pushed and bent."""

import math

import pytest

from plategen.rules.column import Bar, bracket_moment_nmm, pushed_bar_stress_mpa
from plategen.rules.material import YOUNG_MPA


def test_section_of_bar_and_tube() -> None:
    # handbook: pi d^3 / 32 for a bar; the tube's is the bar's less its core's, over the same outside
    assert Bar(30.0, 1.0, 1.0).modulus_mm3 == pytest.approx(math.pi * 30.0**3 / 32.0)
    assert Bar(30.0, 1.0, 1.0, 20.0).modulus_mm3 == pytest.approx(math.pi * (30.0**4 - 20.0**4) / (32.0 * 30.0))
    assert Bar(20.0, 1.0, 1.0).section[0] == pytest.approx(100 * math.pi)
    assert Bar(20.0, 1.0, 1.0, 10.0).section[0] == pytest.approx(75 * math.pi)


def test_moment_of_a_beam_on_two_supports() -> None:
    # handbook: a load at a, b gives F a b / L; a couple M there leaves M a / L on one side and M b / L on the other
    assert bracket_moment_nmm(1000.0, 0.0, 200.0, 0.0, 300.0) == pytest.approx(200.0 * 300 * 700 / 1000)
    assert bracket_moment_nmm(1000.0, 500.0, 0.0, 40.0, 300.0) == pytest.approx(500.0 * 40.0 * 0.7)
    assert bracket_moment_nmm(1000.0, 500.0, 200.0, 40.0, 700.0) == bracket_moment_nmm(
        1000.0, 500.0, 200.0, 40.0, 300.0
    )


@pytest.mark.parametrize("at", [-50.0, 1050.0])
def test_beyond_a_ball_the_bar_is_a_cantilever(at: float) -> None:
    assert bracket_moment_nmm(1000.0, 500.0, 200.0, 40.0, at) == pytest.approx(200.0 * 50.0 + 500.0 * 40.0)


def test_a_pushed_bar_bows_further_up_to_its_euler_load() -> None:
    bar = Bar(40.0, 800.0, 400.0)
    assert pushed_bar_stress_mpa(bar, 1000.0, 0.0) == pytest.approx(1000.0 / bar.section[0])
    euler = math.pi**2 * YOUNG_MPA * bar.section[1] / 800.0**2
    half = pushed_bar_stress_mpa(bar, euler / 2, 1000.0)
    assert half == pytest.approx(euler / 2 / bar.section[0] + 2.0 * 1000.0 / bar.modulus_mm3)
    assert math.isinf(pushed_bar_stress_mpa(bar, euler, 1.0))
