"""Bolt holes, slots, edge distances, washers, flats and wrench room against tables that others printed."""

import math
from itertools import pairwise

import pytest

from plategen.bracket.holes import bolt_slot
from plategen.checks.slot import LONGEST_OVER_BOLT
from plategen.checks.wrench import HEAD_OVER_BOLT
from plategen.design.bolts import bolt_hole_size, pattern, steel_round
from plategen.rules import table
from plategen.rules.edge_distance import least_clear_between_holes, least_edge_distance, least_spacing
from plategen.rules.fastener import washer_mm
from plategen.rules.hole_size import structural_hole
from plategen.rules.wrench import tool_room, wrench_size

INCH = 25.4

# Brockenbrough & Merritt, Structural Steel Designer's Handbook, 4th ed., Table 5.11 (p. 5.47): nominal holes, mm;
# bolt: standard hole, long slot width x length
HOLES_MM = {16: (18, 18, 40), 20: (22, 22, 50), 22: (24, 24, 55), 24: (27, 27, 60), 27: (30, 30, 67), 30: (33, 33, 75)}

# the same, Table 5.13 (p. 5.48): least edge distance at rolled and thermally cut edges, mm
EDGES_MM = {16: 22, 20: 26, 22: 28, 24: 30, 27: 34, 30: 38, 36: 46}


@pytest.mark.parametrize("bolt", HOLES_MM)
def test_standard_holes_and_long_slots(bolt: int) -> None:
    hole, width, length = HOLES_MM[bolt]
    assert bolt_hole_size(float(bolt)).mm == hole
    # the printed lengths are 2.5 d cut to whole millimetres
    assert math.floor(LONGEST_OVER_BOLT * bolt) == length
    slot = bolt_slot(1, 0j, (length - width) / 2, 0j, float(bolt))
    assert (slot.width_mm, slot.length_mm) == (width, length)


@pytest.mark.parametrize("bolt", EDGES_MM)
def test_edge_distances(bolt: int) -> None:
    assert least_edge_distance(float(bolt), "mm").mm == EDGES_MM[bolt]
    assert steel_round(float(bolt), float(bolt) + 2.0) >= EDGES_MM[bolt]


@pytest.mark.parametrize("bolt", HOLES_MM)
def test_edge_distance_of_a_long_slot(bolt: int) -> None:
    # Table 5.15 (p. 5.49), long slots across the edge: C2 = 0.75 d beyond Table 5.13, from the slot's centre, less half
    # the difference to the longest slot for a shorter one. Here the rule is laid at the centre of the slot's end.
    longest = LONGEST_OVER_BOLT * bolt
    for length in (longest, 0.8 * longest):
        reach = (length - bolt_hole_size(float(bolt)).mm) / 2
        slot = bolt_slot(1, 0j, reach, 0j, float(bolt))
        printed = EDGES_MM[bolt] + 0.75 * bolt - (longest - length) / 2
        assert slot.edge_required_mm + reach == pytest.approx(printed, abs=1e-9)


def test_spacing() -> None:
    # the same, article 5.9.7: not less than 2 2/3 d, preferably 3 d
    assert least_spacing(24.0).mm == pytest.approx(64.0)
    assert least_clear_between_holes(24.0).mm == 24.0
    assert [abs(q - p) for p, q in pairwise(pattern(3, 1, 64.0, 0.0))] == [64.0, 64.0]


# AISC 360-22 Table J3.3 as public copies of it give it, inches: bolt: standard and oversized hole; over 1 in d + 1/8
# and d + 5/16
HOLES_IN = {1 / 2: (9 / 16, 5 / 8), 5 / 8: (11 / 16, 13 / 16), 3 / 4: (13 / 16, 15 / 16), 7 / 8: (15 / 16, 17 / 16),
            1.0: (9 / 8, 5 / 4)} | {d: (d + 1 / 8, d + 5 / 16) for d in (9 / 8, 5 / 4, 11 / 8, 3 / 2)}  # fmt: skip


@pytest.mark.parametrize("bolt", HOLES_IN)
def test_holes_of_inch_bolts(bolt: float) -> None:
    holes = [structural_hole(bolt * INCH, kind).mm / INCH for kind in ("standard", "oversized")]
    assert holes == pytest.approx(HOLES_IN[bolt])


# ISO 273:1979, mm: bolt: fine, medium, coarse
CLEARANCE_MM = {
    18: (19, 20, 21), 20: (21, 22, 24), 22: (23, 24, 26), 24: (25, 26, 28), 27: (28, 30, 32), 30: (31, 33, 35),
    33: (34, 36, 38), 36: (37, 39, 42),
}  # fmt: skip


def test_clearance_holes_of_large_metric_bolts() -> None:
    rows = [row for row in table.read("hole_sizes") if row["standard"] == "ISO 273"]
    for bolt, holes in CLEARANCE_MM.items():
        tabled = [table.number(row["hole"]) for row in rows if table.number(row["diameter"]) == bolt]
        assert tuple(tabled) == holes


# ISO 7089 (as GB/T 97.1): outside diameter and thickness of plain washers, mm
WASHERS_MM = {6: (12, 1.6), 8: (16, 1.6), 10: (20, 2.0), 12: (24, 2.5), 16: (30, 3.0), 20: (37, 3.0), 24: (44, 4.0),
              30: (56, 4.0), 36: (66, 5.0)}  # fmt: skip


@pytest.mark.parametrize("bolt", WASHERS_MM)
def test_washers(bolt: int) -> None:
    outside, thick = WASHERS_MM[bolt]
    assert washer_mm(float(bolt)) >= thick
    if bolt >= 16:  # the steel about a hole takes the washer whole or leaves it over the edge by no more than 1 mm
        assert outside / 2 <= steel_round(float(bolt), bolt_hole_size(float(bolt)).mm) + 1.0


# ISO 4014 and ISO 4032, metric, as public charts of bolt heads print them; ASME B18.2.1 and B18.2.2, inch: across flats
FLATS_MM = {6: 10, 8: 13, 10: 16, 12: 18, 14: 21, 16: 24, 18: 27, 20: 30, 22: 34, 24: 36}
FLATS_IN = {
    1 / 4: 7 / 16, 5 / 16: 1 / 2, 3 / 8: 9 / 16, 7 / 16: 5 / 8, 1 / 2: 3 / 4, 5 / 8: 15 / 16, 3 / 4: 9 / 8,
    7 / 8: 21 / 16, 1: 3 / 2, 9 / 8: 27 / 16, 5 / 4: 15 / 8, 11 / 8: 33 / 16, 3 / 2: 9 / 4,
}  # fmt: skip

# ISO 4014 and ASME B18.2.1: height of the hexagon head
HEADS_MM = {6: 4.0, 8: 5.3, 10: 6.4, 12: 7.5, 14: 8.8, 16: 10.0, 20: 12.5, 24: 15.0, 30: 18.7, 36: 22.5}
HEADS_IN = {1 / 4: 11 / 64, 5 / 16: 7 / 32, 3 / 8: 1 / 4, 1 / 2: 11 / 32, 5 / 8: 27 / 64, 3 / 4: 1 / 2, 1: 43 / 64}


def test_no_head_is_higher_than_is_counted() -> None:
    # 5/16 in is the highest for its size, 0.7 d; 0.65 d was counted
    assert all(head <= HEAD_OVER_BOLT * bolt for bolt, head in (*HEADS_MM.items(), *HEADS_IN.items()))


def test_flats() -> None:
    for bolt, flats in FLATS_MM.items():
        assert wrench_size(float(bolt)).head_mm == wrench_size(float(bolt)).nut_mm == flats
    for bolt, flats in FLATS_IN.items():
        assert wrench_size(bolt * INCH).head_mm == pytest.approx(flats * INCH)


# AISC, Manual of Steel Construction, 2nd LRFD ed., vol. II, Table 8-4 (p. 8-13), inches: bolt: socket, head, clearance
TIGHTENING = {
    5 / 8: (1.75, 25 / 64, 1.0),
    3 / 4: (2.25, 15 / 32, 1.25),
    7 / 8: (2.5, 35 / 64, 1.375),
    1.0: (2.625, 39 / 64, 1.4375),
    1.125: (2.875, 11 / 16, 1.5625),
    1.25: (3.125, 25 / 32, 1.6875),
    1.375: (3.25, 27 / 32, 1.75),
}


@pytest.mark.parametrize("bolt", TIGHTENING)
def test_room_for_a_power_wrench(bolt: float) -> None:
    socket, head, clearance = TIGHTENING[bolt]
    assert tool_room(bolt * INCH, power=True).mm == pytest.approx(clearance * INCH)
    # the table's own reason: half the socket and 1/8 in
    assert clearance == socket / 2 + 1 / 8
    # a hand socket asks less, and the head is no higher than is counted with
    assert tool_room(bolt * INCH, power=False).mm < clearance * INCH
    assert HEAD_OVER_BOLT * bolt >= head


# EN 1993-1-8:2005 Table 3.3 as worked in a public design sheet ("Design resistance for individual fasteners"): M20 in
# 22 mm holes: e1, e2 >= 26.4, p1 >= 48.4 mm
def test_european_edge_distance_is_left_about_every_hole() -> None:
    assert steel_round(20.0, 22.0) >= 26.4
