"""Look-ups of ISO 9013 and EN ISO 13920 against figures of their tables as others reprint them.

The standards themselves were not at hand: the figures are those that reference pages and handbooks print.
"""

import math

import pytest

from plategen.cut.tolerance import cut_edge, cut_size, edge_margin_mm, welded_angle, welded_length
from plategen.ground.refusal import Refusal


@pytest.mark.parametrize(
    ("thickness", "nominal", "tolerance_class", "value"),
    [
        (1.0, 2.0, 1, 0.075),
        (3.15, 2.9, 1, 0.1),
        (6.3, 100.0, 1, 0.25),
        (6.35, 100.0, 1, 0.3),
        (12.0, 315.0, 1, 0.55),
        (9.525, 200.0, 2, 1.4),
        (10.0, 125.0, 2, 1.4),
        (10.1, 124.9, 2, 1.8),
        (20.0, 1500.0, 2, 3.0),
        (6.0, 2500.0, 2, 1.3),
    ],
)
def test_size_of_a_cut(thickness: float, nominal: float, tolerance_class, value: float) -> None:
    assert cut_size(thickness, nominal, tolerance_class).value == value


def test_nominal_size_counts_from_and_thickness_up_to() -> None:
    assert cut_size(6.0, 3.0, 2).value == 0.8, "3 falls in the column from 3 to 10"
    assert cut_size(6.3, 2.99, 2).value == 0.7


@pytest.mark.parametrize(
    ("thickness", "nominal", "tolerance_class"), [(12.0, 2.0, 2), (150.0, 50.0, 2), (12.0, 5000.0, 2)]
)
def test_what_the_standard_does_not_give_is_refused(thickness: float, nominal: float, tolerance_class) -> None:
    with pytest.raises(Refusal, match="ISO 9013 gives no limit deviation"):
        cut_size(thickness, nominal, tolerance_class)


@pytest.mark.parametrize(
    ("quality", "lean", "rough"),
    [
        (1, 0.05 + 0.03, 16.0),
        (2, 0.15 + 0.07, 48.0),
        (3, 0.4 + 0.1, 82.0),
        (4, 0.8 + 0.2, 128.0),
        (5, 1.2 + 0.35, None),
    ],
)
def test_edge_of_a_ten_millimetre_plate(quality: int, lean: float, rough: float | None) -> None:
    edge = cut_edge(10.0, quality)
    assert edge.lean_mm == pytest.approx(lean)
    assert edge.roughness_um == (pytest.approx(rough) if rough else None)
    # u holds over the thickness less the margin at the upper and at the lower face
    assert math.tan(edge.lean_rad) == pytest.approx(lean / (10.0 - 2 * 0.6))


@pytest.mark.parametrize(
    ("thickness", "margin"), [(2.0, 0.2), (4.0, 0.3), (6.0, 0.3), (8.0, 0.6), (16.0, 1.0), (30.0, 1.5)]
)
def test_margin_that_is_not_judged(thickness: float, margin: float) -> None:
    assert edge_margin_mm(thickness) == pytest.approx(margin)


@pytest.mark.parametrize(
    ("nominal", "tolerance_class", "value"),
    [
        (25.0, "A", 1),
        (30.0, "D", 1),
        (31.0, "B", 2),
        (120.0, "C", 3),
        (400.0, "C", 4),
        (401.0, "B", 3),
        (3000.0, "D", 16),
    ],
)
def test_length_of_a_welded_part(nominal: float, tolerance_class, value: float) -> None:
    assert welded_length(nominal, tolerance_class).value == value


def test_angle_of_a_welded_part() -> None:
    assert math.degrees(welded_angle(300.0, "B").value) == pytest.approx(0.75)
    # the table's own second form of the same: 13 mm per m
    assert math.tan(welded_angle(300.0, "B").value) * 1000 == pytest.approx(13.0, abs=0.1)
    assert math.tan(welded_angle(1500.0, "D").value) * 1000 == pytest.approx(18.0, abs=0.6)
    with pytest.raises(Refusal, match="no tolerance in class B"):
        welded_length(1.0, "B")
    with pytest.raises(Refusal, match='no class "Z"'):
        welded_length(20.0, "Z")
