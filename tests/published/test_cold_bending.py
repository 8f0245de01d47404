"""Bends against published tables and examples, and bent bars against a solved field of stress."""

import math

import pytest

from plategen.ground.refusal import Refusal
from plategen.rules import cold_bending as rule
from plategen.rules.material import steel

SQUARE = math.pi / 2


@pytest.mark.parametrize(
    ("radius", "thick", "off"),
    [
        (1.0, 1.0, 1.9), (1.6, 1.0, 2.1), (2.5, 1.0, 2.4), (2.5, 2.5, 4.8), (4.0, 2.0, 4.5), (6.0, 4.0, 8.3),
        (10.0, 6.0, 12.7), (16.0, 8.0, 17.8), (20.0, 8.0, 19.3),
    ],
)  # fmt: skip
def test_square_bends_lose_what_the_table_of_din_6935_says(radius: float, thick: float, off: float) -> None:
    """v of both legs measured outside, as German handbooks print the standard's table to a tenth (from memory)."""
    k = rule.k_factor(radius, thick)
    assert 2.0 * (radius + thick) - rule.allowance_mm(radius, thick, SQUARE, k) == pytest.approx(off, abs=0.055)


def test_the_worked_example_of_a_handbook_page() -> None:
    """Opened to 60 degrees, legs 16 and 21, r = 6, s = 5: k = 0.689, L = 16 + 21 - 5.77 = 32 about.

    Read in a copy of a German handbook's page on DIN 6935, which takes k = 0.7 off its diagram for the length.
    """
    assert 2.0 * rule.k_factor(6.0, 5.0) == pytest.approx(0.689, abs=1e-3)
    long = 16.0 + 21.0 - (2.0 * 11.0 - rule.allowance_mm(6.0, 5.0, math.radians(120.0), 0.35))
    assert long == pytest.approx(37.0 - 5.77, abs=0.005)
    by_formula = 37.0 - (22.0 - rule.allowance_mm(6.0, 5.0, math.radians(120.0), rule.k_factor(6.0, 5.0)))
    assert by_formula == pytest.approx(long, abs=0.06)


@pytest.mark.parametrize("ratio", [1.0, 1.5, 2.0, 3.0])
def test_another_handbook_is_near(ratio: float) -> None:
    """Machinery's Handbook, square bends of soft steel: L = 0.64 T + 1.57 R, so k = 0.64/1.57 = 0.41 (from memory)."""
    thick = 10.0
    ours = rule.allowance_mm(ratio * thick, thick, SQUARE, rule.k_factor(ratio * thick, thick))
    assert ours == pytest.approx(0.64 * thick + 1.57 * ratio * thick, rel=0.065)


@pytest.mark.parametrize(("radius", "thick"), [(0.125, 0.063), (0.188, 0.093), (0.25, 0.125)])
def test_aircraft_practice_is_near(radius: float, thick: float) -> None:
    """FAA-H-8083-31, chapter 4: allowance of a degree = 0.01743 R + 0.0078 T, made for aluminium (from memory)."""
    empirical = 90.0 * (0.01743 * radius + 0.0078 * thick)
    assert rule.allowance_mm(radius, thick, SQUARE, rule.k_factor(radius, thick)) == pytest.approx(empirical, rel=0.035)


@pytest.mark.parametrize(
    ("name", "thick", "across", "along"),
    [
        ("S235", 6.0, 8.0, 10.0), ("S235", 10.0, 16.0, 20.0), ("S275", 8.0, 16.0, 20.0), ("S275", 12.0, 25.0, 32.0),
        ("S355", 5.0, 8.0, 10.0), ("S355", 8.0, 16.0, 20.0), ("S355", 10.0, 20.0, 25.0), ("S355", 20.0, 50.0, 63.0),
    ],
)  # fmt: skip
def test_least_radii_of_en_10025(name: str, thick: float, across: float, along: float) -> None:
    """EN 10025-2:2004 Table 12, as a galvanizers' handbook reprints it (read)."""
    assert rule.least_radius_mm(steel(name, thick), thick, across=True)[0] == across
    assert rule.least_radius_mm(steel(name, thick), thick, across=False)[0] == along


def test_least_radii_of_astm_a6() -> None:
    """ASTM A6 Table X4.2 (read in a copy): 1.5 t up to 3/4 in for groups A to E, 1.75 t for F; along rolling x 1.5."""
    for name in ("A36", "A572-50", "A588"):
        across, _ = rule.least_radius_mm(steel(name), 9.525, across=True)
        along, _ = rule.least_radius_mm(steel(name), 9.525, across=False)
        assert across == pytest.approx(1.5 * 9.525)
        assert along == pytest.approx(1.5 * across)
    assert rule.least_radius_mm(steel("A514"), 19.05, across=True)[0] == pytest.approx(1.75 * 19.05)
    assert rule.least_radius_mm(steel("A572-50"), 38.1, across=True)[0] == pytest.approx(2.0 * 38.1)


def test_a_plate_too_thick_for_the_table_is_refused() -> None:
    with pytest.raises(Refusal, match="a thinner plate is right"):
        rule.least_radius_mm(steel("S355", 35.0), 35.0, across=True)


@pytest.mark.parametrize(
    ("opening", "leg"), [(40.0, 28.0), (63.0, 45.0), (80.0, 55.0), (100.0, 71.0), (125.0, 89.0), (160.0, 113.0)]
)
def test_least_leg_of_brake_makers_charts(opening: float, leg: float) -> None:
    """An air-bending chart for mild steel (read): least leg b under each opening V, rounded there to whole numbers."""
    assert opening * rule.LEG_OVER_DIE == pytest.approx(leg, abs=2.0)


@pytest.mark.parametrize(
    ("thick", "opening", "kn_a_metre"),
    [(4.0, 32.0, 340.0), (6.0, 50.0, 480.0), (8.0, 63.0, 680.0), (10.0, 80.0, 850.0), (12.0, 100.0, 960.0)],
)  # fmt: skip
def test_force_of_brake_makers_charts(thick: float, opening: float, kn_a_metre: float) -> None:
    """The same chart, Rm about 450 MPa: kN a metre at openings of about eight thicknesses (columns as printed)."""
    ours = rule.AIR_BENDING * 450.0 * thick**2 / opening
    assert ours == pytest.approx(kn_a_metre, rel=0.25)


@pytest.mark.parametrize("ratio", [0.75, 1.5, 2.5, 4.0])
def test_a_bent_bar_against_the_exact_field(ratio: float) -> None:
    """Golovin's solution of a curved bar in pure bending (Timoshenko and Goodier, Theory of Elasticity, article 29).

    Hoop stress at the inside: -4M/N (-a2 b2/r2 ln(b/a) + b2 ln(r/b) + a2 ln(a/r) + b2 - a2) with
    N = (b2 - a2)2 - 4 a2 b2 ln(b/a)2, against 6 M/t2 of a straight one.
    """
    a, b = ratio, ratio + 1.0
    n = (b**2 - a**2) ** 2 - 4.0 * a**2 * b**2 * math.log(b / a) ** 2
    hoop = -4.0 / n * (-(b**2) * math.log(b / a) + b**2 * math.log(a / b) + b**2 - a**2)
    assert rule.inner_stress_factor(ratio, 1.0) == pytest.approx(abs(hoop) / 6.0, rel=0.02)
