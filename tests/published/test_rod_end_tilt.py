"""Tilt of rod ends and their bearings against what catalogues print.

Sources:
    Radial spherical plain bearings to ISO 12240-1 (metric) and their inch series, as suppliers' pages print them, ball,
    both widths, tilt and the largest shoulder together: size 4, size 15, size 40, and 1 1/4 in. The standard itself
    could not be had. Whole degrees; no page prints more than the geometry gives, one (size 40) prints 1.5 deg less.
    A bearing maker's "permissible tilt angles" of series E by size, the middle column, for a shoulder as wide as the
    ball's face; the dimensions that go with the sizes are from memory of ISO 12240-1.
    A gear maker's catalogue, "Mounting and misalignment factors": a2 = asin(W/A) - asin(H/A) with
    A = sqrt((D - 2C)^2 + H^2) for a head between plates, a3 = asin(W/E) - asin(H/E) for a shoulder as wide as the
    ball's face; W ball width, H housing width, D its diameter, C its chamfer, E ball diameter. The same pages order
    the mountings: least tilt between the legs of a clevis, where the limit is the head striking the leg; more with
    standoff washers as wide as the ball's face; most on a stud no wider than the ball's bore.
    A bearing maker's technical data: asin(W/D) - asin(H/D) until a head strikes its clevis, for a head that is round.
"""

import math

import pytest

from plategen.rules.pin_plate import MOST_IN_HAND_DEG, tilt_before_plates_rad, tilt_in_head_rad

PRINTED = [
    # ball, inner ring width, outer ring width, tilt, largest shoulder
    (8.0, 5.0, 3.0, 16, 6.2),
    (22.0, 12.0, 9.0, 8, 18.4),
    (45.593, 27.762, 23.8, 6, 36.2),
    (52.4, 28.0, 22.0, 6, 44.2),
]
SERIES_E = [
    # size, ball, inner ring width, outer ring width (from memory), tilt (printed)
    (12, 18.0, 10.0, 7.0, 11),
    (15, 22.0, 12.0, 9.0, 8),
    (17, 25.0, 14.0, 10.0, 10),
    (20, 29.0, 16.0, 12.0, 9),
    (25, 35.5, 20.0, 16.0, 7),
    (30, 40.7, 22.0, 18.0, 6),
    (35, 47.0, 25.0, 20.0, 6),
    (40, 53.0, 28.0, 22.0, 7),
    (50, 66.0, 35.0, 28.0, 6),
    (60, 80.0, 44.0, 36.0, 6),
]


@pytest.mark.parametrize(("ball", "inner", "outer", "tilt", "shoulder"), PRINTED)
def test_tilt_and_shoulder_are_the_printed_ones(
    ball: float, inner: float, outer: float, tilt: int, shoulder: float
) -> None:
    face = math.sqrt(ball**2 - inner**2)
    assert face == pytest.approx(shoulder, abs=0.1)
    assert tilt <= math.degrees(tilt_in_head_rad(ball, face, outer)) < tilt + MOST_IN_HAND_DEG


@pytest.mark.parametrize(("size", "ball", "inner", "outer", "tilt"), SERIES_E)
def test_tilt_of_series_e_is_the_printed_one_in_whole_degrees(
    size: int, ball: float, inner: float, outer: float, tilt: int
) -> None:
    face = math.sqrt(ball**2 - inner**2)
    assert face > size
    assert -0.5 < math.degrees(tilt_in_head_rad(ball, face, outer)) - tilt < 1.0


MOUNTED = [
    # ball, ball width, head width, head diameter: metric and inch rod ends, from memory
    (22.0, 12.0, 9.0, 40.0),
    (35.5, 20.0, 16.0, 64.0),
    (31.75, 22.225, 17.45, 44.45),
]


@pytest.mark.parametrize(("ball", "width", "head", "across"), MOUNTED)
def test_both_limits_are_the_catalogues_formulas(ball: float, width: float, head: float, across: float) -> None:
    a = math.sqrt(across**2 + head**2)  # no chamfer: the corner is taken to be sharp
    assert tilt_before_plates_rad(width, head, across) == pytest.approx(math.asin(width / a) - math.asin(head / a))
    face = math.sqrt(ball**2 - width**2)
    assert tilt_in_head_rad(ball, face, head) == pytest.approx(math.asin(width / ball) - math.asin(head / ball))
    # a head that is round strikes its clevis later than one with a sharp corner
    assert tilt_before_plates_rad(width, head, across) < math.asin(width / across) - math.asin(head / across)


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
