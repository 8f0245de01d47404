"""Layouts against shapely: no overlap, spacing and margin kept, grain obeyed, never worse than plain shelves."""

import cmath
import itertools
import math
import os

import numpy as np
import pytest
import shapely

from plategen.cut.lead import LeadRule, led
from plategen.cut.nest.layout import Layout, nest
from plategen.cut.nest.packing import hull_of, minkowski, no_fit
from plategen.cut.part import Cut, CutPart, cut_part
from plategen.cut.proof import proved_dxf
from plategen.flat.convex import convex_hull
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal
from plategen.job.cutting import SheetStock
from tests.support.cut_examples import keyhole_plate, rectangle, slotted_plate
from tests.support.example_work import example_work

SETS = int(os.environ.get("PLATEGEN_CASES", "200"))


def polygon(contour) -> shapely.Polygon:
    """The contour by 24 chords an arc: inside it by a hair, so that what is found too near is too near."""
    return shapely.Polygon([(p.real, p.imag) for s in contour.segments for p in (s.point(k / 24) for k in range(24))])


def random_part(rng: np.random.Generator, name: str) -> CutPart:
    """A rectangle, a triangle with a round nose, a disc, or any polygon."""
    kind = rng.integers(4)
    size = rng.uniform(20, 160)
    if kind == 0:
        return CutPart(name=name, outside=Cut(rectangle(size, rng.uniform(20, 160))))
    if kind == 1:
        width, radius = size, rng.uniform(8, 0.4 * size)
        nose = Arc(complex(width / 2 + radius, -80), complex(width / 2 - radius, -80), -1.0)
        return CutPart(
            name=name,
            outside=Cut(
                Loop((Line(0j, width + 0j), Line(width + 0j, nose.start), nose, Line(nose.end, 0j))).reversed()
            ),
        )
    if kind == 2:
        return CutPart(name=name, outside=Cut(Circle(complex(*rng.uniform(-50, 50, 2)), size / 2)))
    count = int(rng.integers(3, 9))
    angles = (np.arange(count) + rng.uniform(-0.4, 0.4, count)) * 2 * math.pi / count
    corners = [cmath.rect(r, a) for r, a in zip(rng.uniform(0.3, 1.0, count) * size / 2 + 5, angles, strict=True)]
    return CutPart(
        name=name, outside=Cut(Loop(tuple(Line(a, b) for a, b in itertools.pairwise([*corners, corners[0]]))))
    )


def shelf_length(parts: list[CutPart], sheet: SheetStock) -> tuple[int, float]:
    """Plain shelf packing by itself: boxes in columns, the longest first; sheets and length."""
    room_x, room_y = sheet.length_mm - 2 * sheet.margin_mm, sheet.width_mm - 2 * sheet.margin_mm
    boxes = []
    for part in parts:
        u0, v0, u1, v1 = part.bounds
        ways = [(u1 - u0, v1 - v0), (v1 - v0, u1 - u0)] if sheet.grain == "any" else [(u1 - u0, v1 - v0)]
        if sheet.grain == "across":
            ways = [(v1 - v0, u1 - u0)]
        boxes.append(min((x, y) for x, y in ways if x <= room_x and y <= room_y))
    sheets, left, top, column = 1, 0.0, 0.0, 0.0
    for x, y in sorted(boxes, reverse=True):
        if top and top + y > room_y:
            left, top, column = left + column + sheet.spacing_mm, 0.0, 0.0
        if left + x > room_x:
            sheets, left, top, column = sheets + 1, 0.0, 0.0, 0.0
        column, top = max(column, x), top + y + sheet.spacing_mm
    return sheets, left + column + 2 * sheet.margin_mm


def prove(layout: Layout, parts: list[CutPart]) -> None:
    sheet = layout.sheet
    assert sorted(one.part for one in layout.laid) == list(range(len(parts)))
    for number in range(layout.sheets):
        shapes = [polygon(part.outside.contour) for part in layout.placed(parts, number)]
        allowed = shapely.box(0, 0, layout.used_mm[number], sheet.width_mm).buffer(
            -sheet.margin_mm + 1e-5, join_style=2
        )
        for shape in shapes:
            assert allowed.covers(shape)
        for a, b in itertools.combinations(shapes, 2):
            assert a.distance(b) >= sheet.spacing_mm - 2e-5
            assert not a.intersects(b) or sheet.spacing_mm == 0.0
            assert a.intersection(b).area < 1e-3
    assert layout.yield_share <= 1.0 + 1e-9


@pytest.mark.parametrize("first", range(0, SETS, 50))
def test_random_sets(first: int) -> None:
    for seed in range(first, min(first + 50, SETS)):
        rng = np.random.default_rng(seed)
        parts = [random_part(rng, f"p{i}") for i in range(rng.integers(2, 6))]
        sheet = SheetStock(
            length_mm=rng.uniform(250, 500), width_mm=rng.uniform(250, 400),
            spacing_mm=float(rng.choice([0.0, 3.0, 8.0])),
            margin_mm=float(rng.choice([0.0, 5.0, 12.0])), grain=str(rng.choice(["any", "any", "along", "across"])),  # type: ignore[arg-type]
        )  # fmt: skip
        layout = nest(parts, sheet)
        prove(layout, parts)
        sheets, length = shelf_length(parts, sheet)
        assert (layout.sheets, round(layout.used_mm[-1], 3)) <= (sheets, round(length, 3) + 0.002), seed


def test_two_ears_interlock() -> None:
    ears = [cut_part(plate) for plate in example_work().bracket.plates]
    sheet = SheetStock(length_mm=1200.0, width_mm=700.0, spacing_mm=6.0, margin_mm=10.0)
    layout = nest(ears * 2, sheet)
    prove(layout, ears * 2)
    shelves = shelf_length(ears * 2, sheet)
    assert layout.used_mm[-1] < 0.75 * shelves[1]
    assert layout.yield_share == pytest.approx(
        sum(e.area_mm2 for e in ears * 2) / (layout.used_mm[-1] * sheet.width_mm)
    )


def test_grain_keeps_plates_along_or_across() -> None:
    parts = [cut_part(slotted_plate()), cut_part(keyhole_plate())]
    for grain, allowed in (("along", {1 + 0j, -1 + 0j}), ("across", {1j, -1j})):
        layout = nest(parts, SheetStock(length_mm=600.0, width_mm=400.0, spacing_mm=5.0, margin_mm=5.0, grain=grain))  # type: ignore[arg-type]
        assert {one.turn for one in layout.laid} <= allowed


def test_leads_take_room_too() -> None:
    parts = [led(cut_part(slotted_plate()), LeadRule(radius_mm=8.0, pierce_clear_mm=6.0, corner_clear_mm=10.0))] * 3
    layout = nest(parts, SheetStock(length_mm=800.0, width_mm=200.0, spacing_mm=4.0, margin_mm=8.0))
    placed = layout.placed(parts)
    for a, b in itertools.combinations(placed, 2):
        for lead in (a.outside.lead_in, a.outside.lead_out):
            line = shapely.LineString([(p.real, p.imag) for p in (lead.point(lead.length * k / 9) for k in range(10))])
            assert polygon(b.outside.contour).distance(line) >= 4.0 - 1e-4
    assert "LEAD" in proved_dxf(placed, "in")


def test_more_sheets_when_one_is_full_and_refusal_when_none_is_large_enough() -> None:
    parts = [CutPart(name="p", outside=Cut(rectangle(90, 90)))] * 5
    layout = nest(parts, SheetStock(length_mm=200.0, width_mm=200.0, spacing_mm=5.0, margin_mm=5.0))
    assert layout.sheets == 2
    prove(layout, parts)
    with pytest.raises(Refusal, match="does not fit on a sheet"):
        nest(parts, SheetStock(length_mm=95.0, width_mm=200.0, spacing_mm=5.0, margin_mm=5.0))
    with pytest.raises(Refusal, match="nothing to lay out"):
        nest([], SheetStock(length_mm=95.0, width_mm=200.0, spacing_mm=5.0, margin_mm=5.0))


def test_hull_holds_the_part() -> None:
    for plate in (slotted_plate(), keyhole_plate(), *example_work().bracket.plates):
        hull = shapely.Polygon([(p.real, p.imag) for p in hull_of(cut_part(plate))])
        fine = [(p.real, p.imag) for s in plate.outline for p in (s.point(k / 400) for k in range(400))]
        assert hull.buffer(1e-9).covers(shapely.MultiPoint(fine))
        assert hull.area <= 1.005 * shapely.MultiPoint(fine).convex_hull.area


def test_sums_of_polygons_are_the_hulls_of_sums_of_corners() -> None:
    rng = np.random.default_rng(3)
    for _ in range(50):
        a, b = (convex_hull([complex(*p) for p in rng.uniform(-9, 9, (7, 2))]) for _ in range(2))
        ours = shapely.Polygon([(p.real, p.imag) for p in minkowski(a, b)])
        corners = convex_hull([p + q for p in a.tolist() for q in b.tolist()])
        assert ours.symmetric_difference(shapely.Polygon([(p.real, p.imag) for p in corners])).area < 1e-9
        assert ours.is_valid
    square = convex_hull([0j, 4 + 0j, 4 + 4j, 4j])
    blocked = shapely.Polygon([(p.real, p.imag) for p in no_fit(square, square, 1.0)])
    assert blocked.buffer(1e-9).covers(shapely.box(-4, -4, 4, 4).buffer(1.0))
