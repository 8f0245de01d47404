"""Edge distances and hole sizes against the printed tables, and the rules between and beyond their rows."""

import pytest

from plategen.ground.refusal import Refusal
from plategen.rules import material, table
from plategen.rules.bolt_grade import bolt_grade
from plategen.rules.edge_distance import (
    least_distance_en,
    least_edge_distance,
    most_edge_distance,
    most_edge_distance_en,
    most_spacing,
    most_spacing_en,
)
from plategen.rules.hole_size import clearance_hole, stress_area_mm2, structural_hole
from plategen.rules.wrench import wrench_size

IN = 25.4


@pytest.mark.parametrize(
    ("bolt", "edge"),
    [(0.5, 0.75), (0.625, 0.875), (0.75, 1.0), (0.875, 1.125), (1.0, 1.25), (1.125, 1.5), (1.25, 1.625), (1.5, 1.875)],
)
def test_inch_rows_of_table_j34(bolt: float, edge: float) -> None:
    assert least_edge_distance(bolt * IN, "in").mm == pytest.approx(edge * IN, abs=1e-9)


@pytest.mark.parametrize(
    ("bolt", "edge"), [(16, 22), (20, 26), (22, 28), (24, 30), (27, 34), (30, 38), (36, 46), (40, 50)]
)
def test_metric_rows_of_table_j34m(bolt: float, edge: float) -> None:
    assert least_edge_distance(bolt, "mm").mm == pytest.approx(edge, abs=1e-9)


def test_an_exact_size_is_found_whatever_the_jobs_units() -> None:
    assert least_edge_distance(20.0, "in").mm == 26.0
    assert least_edge_distance(19.05, "mm").mm == pytest.approx(25.4)


def test_below_the_table_the_practice_value_is_named_as_practice() -> None:
    rule = least_edge_distance(12.0, "mm")
    assert rule.mm == 15.0
    assert "no source" in rule.source


def test_between_rows_the_larger_size_rules_and_never_falls() -> None:
    sizes = [10.0 + 0.5 * i for i in range(43)]
    found = [least_edge_distance(size, "mm").mm for size in sizes if abs(size - round(size)) > 0.1]
    assert found == sorted(found)
    assert least_edge_distance(13 / 16 * IN, "in").mm == pytest.approx(1.125 * IN)


def test_a_worn_pin_is_asked_what_the_pin_is_by_the_jobs_table() -> None:
    # AISC 360-16 Table J3.4: 1 in asks 1 1/4 in, and Table J3.4M: 27 mm asks 34 mm
    assert least_edge_distance(0.999 * IN, "in").mm == pytest.approx(1.25 * IN)
    assert least_edge_distance(25.3, "mm").mm == 34.0


def test_en_distances_from_the_hole_centre() -> None:
    assert least_distance_en("e2", 18.0).mm == pytest.approx(21.6)
    assert least_distance_en("p1", 22.0).mm == pytest.approx(48.4)


def test_greatest_distances() -> None:
    # AISC 360-16 J3.5: 12 t up to 6 in (150 mm), 24 t up to 12 in (300 mm); EN 1993-1-8:2005 Table 3.3, exposed steel
    assert most_edge_distance(0.25 * IN).mm == pytest.approx(3 * IN)
    assert most_edge_distance(1.0 * IN).mm == 150.0
    assert most_spacing(0.25 * IN).mm == pytest.approx(6 * IN)
    assert most_spacing(1.0 * IN).mm == 300.0
    assert most_edge_distance_en(10.0).mm == 80.0
    assert [most_spacing_en(t).mm for t in (10.0, 20.0)] == [140.0, 200.0]


def test_the_one_inch_hole_grew_in_2016() -> None:
    assert structural_hole(IN).mm == pytest.approx(1.125 * IN)
    assert structural_hole(IN, "standard to 2010").mm == pytest.approx(1.0625 * IN)


def test_structural_and_clearance_holes_are_different_tables() -> None:
    assert clearance_hole(12.0).mm == 13.5
    assert clearance_hole(20.0, "loose").mm == 24.0
    assert structural_hole(20.0).mm == 22.0
    assert clearance_hole(0.75 * IN, "loose").mm == pytest.approx(0.906 * IN)


def test_wrenches_threads() -> None:
    assert wrench_size(7 / 16 * IN).nut_mm == pytest.approx(11 / 16 * IN)
    assert wrench_size(16.0).head_mm == 24.0
    assert stress_area_mm2(20.0) == 245.0


def test_an_unknown_size_or_name_is_refused_with_what_would_be_right() -> None:
    with pytest.raises(Refusal, match=r"no standard bolt of 13.1 mm .*; 12.0 mm or 14.0 mm is right"):
        clearance_hole(13.1)
    with pytest.raises(Refusal, match="known are A36"):
        material.steel("unobtainium")
    with pytest.raises(Refusal, match=r"listed up to 40.0 mm, not for .*a thinner plate or another steel is right"):
        material.steel("S355", 60.0)


def test_every_row_names_its_source() -> None:
    for path in sorted(table.TABLES.glob("*.csv")):
        for row in table.read(path.stem):
            assert row["source"].strip(), path.name


def test_material_names_as_shops_write_them() -> None:
    assert material.steel("a572 gr 50").fu_mpa == pytest.approx(448.16, abs=0.01)
    assert material.weld_metal("E7018").fexx_mpa == pytest.approx(482.6, abs=0.1)
    assert bolt_grade("grade 5", 1.25 * IN).tensile_mpa == pytest.approx(105 * 6.894757, abs=0.01)
    assert material.weld_beta(490.0) == 0.9
