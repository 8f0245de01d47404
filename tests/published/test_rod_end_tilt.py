"""Tilt of rod ends and their bearings against what catalogues print.

Sources:
    Boundary dimensions and tilt of radial spherical plain bearings, ISO 12240-1 series E, as makers' catalogues print
    them: size 15 (ball 22 mm, flange of the inner ring 18.4 mm, tilt 8 deg) as a supplier's product page shows it; the
    other sizes from memory. Catalogues give whole degrees, rounded down.
    A gear maker's catalogue, "Mounting and misalignment factors" of rod ends: least misalignment between the legs of a
    clevis, where the limit is the head striking the leg; more with standoff washers as wide as the ball's face; most on
    a stud no wider than the ball's bore.
"""

import math

import pytest

from plategen.strength.rod_end import tilt_before_plates_rad, tilt_in_head_rad

SERIES_E = [
    # size, ball, inner ring width, outer ring width, tilt
    (12, 18.0, 10.0, 7.0, 10),
    (15, 22.0, 12.0, 9.0, 8),
    (17, 25.0, 14.0, 10.0, 10),
    (20, 29.0, 16.0, 12.0, 9),
    (25, 35.5, 20.0, 16.0, 7),
    (30, 40.7, 22.0, 18.0, 6),
    (35, 47.0, 25.0, 20.0, 6),
    (40, 53.0, 28.0, 22.0, 7),
    (50, 66.0, 35.0, 28.0, 6),
]


@pytest.mark.parametrize(("size", "ball", "inner", "outer", "tilt"), SERIES_E)
def test_tilt_of_series_e_is_the_printed_one_rounded_down(
    size: int, ball: float, inner: float, outer: float, tilt: int
) -> None:
    face = math.sqrt(ball**2 - inner**2)
    assert face > size
    assert math.floor(math.degrees(tilt_in_head_rad(ball, face, outer))) == tilt


def test_the_flange_of_size_15_is_the_balls_face() -> None:
    assert math.sqrt(22.0**2 - 12.0**2) == pytest.approx(18.4, abs=0.05)


def test_the_order_of_the_three_mountings_is_the_catalogues() -> None:
    # bore 3/4 in: ball 0.875 wide and 1 1/4 across, head 0.687 wide and 1 3/4 across (inch rod ends, from memory)
    ball, width, head, across, bore = 1.25, 0.875, 0.687, 1.75, 0.75
    between_legs = tilt_before_plates_rad(width, head, across)
    washers = tilt_in_head_rad(ball, math.sqrt(ball**2 - width**2), head)
    stud = tilt_in_head_rad(ball, bore, head)
    assert between_legs < washers < stud


def test_the_head_touches_the_plate_at_the_limit_and_not_before() -> None:
    gap, head, across = 30.0, 22.0, 60.0
    limit = tilt_before_plates_rad(gap, head, across)

    def highest(tilt: float) -> float:
        return max(x * math.sin(tilt) + y * math.cos(tilt) for x in (-30.0, 30.0) for y in (-11.0, 11.0))

    assert highest(limit) == pytest.approx(gap / 2)
    assert highest(0.99 * limit) < gap / 2 < highest(1.01 * limit)
    assert tilt_before_plates_rad(70.0, head, across) == math.pi / 2
