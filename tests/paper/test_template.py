"""The template measured as a person would, at 300 points an inch and with a rule."""

import io

import numpy as np
import pypdf
import pytest

from plategen.flat.segment import Arc
from plategen.ground.refusal import Refusal
from plategen.paper.pdf import curve
from plategen.paper.size import PAPERS, PAPERS_MM
from plategen.paper.template import template_pages, template_pdf
from plategen.paper.tile import tiling
from tests.support.every_example import work_of
from tests.support.example_work import example_work
from tests.support.raster import PIXEL_MM, assert_bars, assert_clear, assert_strokes, places, raster


def pages_of(work, paper):
    """(plate, tiling, tile, raster) for every drawing on the pages after the print check."""
    for page, shown in zip(raster(template_pdf(work, paper)), ((), *template_pages(work, paper)), strict=True):
        for one in shown:
            yield one.plates[0], one.tiles, one.tile, page


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_bars_are_right_to_a_thousandth_on_every_page_in_both_directions(paper):
    for page in raster(template_pdf(example_work(scale=1.6), paper)):
        assert_bars(page)


@pytest.mark.parametrize(("paper", "scale"), [("letter", 1.0), ("a4", 1.0), ("letter", 2.2), ("a4", 2.2)])
def test_outline_and_holes_are_where_they_belong_on_every_tile(paper, scale):
    work, seen = example_work(scale=scale), {}
    for plate, tiles, tile, page in pages_of(work, paper):
        left, bottom, width, height = tiles.sheet.window
        c, r = plate.holes[0].circle.centre, plate.holes[0].circle.radius
        hole = (Arc(c + r, c - r, 1.0), Arc(c - r, c + r, 1.0))
        spots, square = places((*plate.outline, *hole), np.linspace(0.02, 0.98, 37))
        at = spots - tile.corner
        here = (at.real > 2) & (at.real < width - 2) & (at.imag > 2) & (at.imag < height - 2)
        if here.any():
            assert_strokes(page, at[here] + complex(left, bottom), square[here])
        seen[plate.name] = here | seen.get(plate.name, here)
    assert sorted(seen) == sorted(plate.name for plate in work.bracket.plates)
    assert all(here.all() for here in seen.values()), "every part of outline and hole is on some page"


@pytest.mark.parametrize(("paper", "scale"), [("letter", 1.0), ("letter", 2.2), ("a4", 2.2)])
def test_joining_marks_meet(paper, scale):
    places = {}
    for plate, tiles, tile, page in pages_of(example_work(scale=scale), paper):
        left, bottom, _, _ = tiles.sheet.window
        for joint in tiles.seen(tile):
            at = joint.at - tile.corner + complex(left, bottom)
            u0, v0 = int((at.real - 4.9) / PIXEL_MM), int((at.imag - 4.9) / PIXEL_MM)
            crop = page[v0 : v0 + int(9.8 / PIXEL_MM), u0 : u0 + int(9.8 / PIXEL_MM)].astype(float)
            # the arms of the cross reach beyond the ring: its columns and rows are the darkest of the crop
            column = float(np.average(np.arange(crop.shape[1]) + 0.5, weights=crop.sum(axis=0) ** 6)) + u0
            row = float(np.average(np.arange(crop.shape[0]) + 0.5, weights=crop.sum(axis=1) ** 6)) + v0
            found = complex(column, row) * PIXEL_MM - complex(left, bottom) + tile.corner
            places.setdefault((plate.name, joint.label), []).append(found)
        for tile_edges in (tiles.rows > 1, tiles.columns > 1):
            assert not tile_edges or tiles.joints
    assert places
    for name, found in places.items():
        assert len(found) >= 2, f"{name} must be on both sheets that join there"
        assert max(abs(p - q) for p in found for q in found) < 0.15


def test_every_joining_edge_has_two_marks_on_both_sheets():
    plate = example_work(scale=2.2).bracket.plates[0]
    for paper in ("letter", "a4"):
        tiles = tiling(plate.outline.bounds, paper)
        by_place = {(t.row, t.column): {j.label for j in tiles.seen(t)} for t in tiles.tiles}
        for (row, column), labels in by_place.items():
            for other in ((row + 1, column), (row, column + 1)):
                if other in by_place:
                    assert len(labels & by_place[other]) >= 2


@pytest.mark.parametrize("paper", PAPERS)
def test_every_size_keeps_its_margins_and_asks_for_no_scaling(paper):
    pdf = template_pdf(example_work(), paper)
    reader = pypdf.PdfReader(io.BytesIO(pdf))
    assert reader.trailer["/Root"]["/ViewerPreferences"]["/PrintScaling"] == "/None"
    for page, box in zip(raster(pdf), reader.pages, strict=True):
        if paper != "roll":
            size = sorted((float(box.mediabox.width) / 72 * 25.4, float(box.mediabox.height) / 72 * 25.4))
            assert size == pytest.approx(PAPERS_MM[paper], abs=0.01)
        assert_clear(page, 10.0)
        text = box.extract_text()
        assert "WITH A STEEL RULE BEFORE YOU CUT" in text
        assert "100 mm" in text
        assert "4 in" in text


@pytest.mark.parametrize(("name", "bar"), [("sprayer-kicked-rail", "4 in"), ("quarry-straight-rail", "100 mm")])
def test_the_bar_whose_length_is_written_down_is_in_the_job_s_units(name, bar):
    cover = pypdf.PdfReader(io.BytesIO(template_pdf(work_of(name), "letter"))).pages[0].extract_text()
    assert [f"{b} {way} reads" in cover for b in ("4 in", "100 mm") for way in ("across", "along")] == [
        b == bar for b in ("4 in", "100 mm") for _ in range(2)
    ]


@pytest.mark.parametrize("paper", ["tabloid", "a3", "a2", "roll"])
def test_large_formats_are_as_true(paper):
    for plate, tiles, tile, page in pages_of(example_work(), paper):
        left, bottom, _, _ = tiles.sheet.window
        spots, square = places(plate.outline, np.linspace(0.05, 0.95, 19))
        assert_strokes(page, spots - tile.corner + complex(left, bottom), square)


def test_a_plate_goes_on_one_page_where_the_paper_is_large_enough():
    work = example_work()
    for paper, pages in (("tabloid", 3), ("a3", 3), ("a2", 2), ("roll", 3)):
        assert len(pypdf.PdfReader(io.BytesIO(template_pdf(work, paper))).pages) == pages
    big = example_work(scale=3.5)
    assert len(pypdf.PdfReader(io.BytesIO(template_pdf(big, "roll"))).pages) == 3


def test_the_pages_say_what_they_are():
    work = example_work()
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter")))
    first, tile = reader.pages[0].extract_text(), reader.pages[1].extract_text()
    assert "PRINT CHECK" in first
    assert "can kill" in first
    assert "qualified welder" in first
    for words in ("ear near", "row 1 of 1, column 1 of 2", "THIS FACE IN", "3/4 in (0.750) dia.", "3/8 in (0.375) A36"):
        assert words in tile
    stations = {word for page in reader.pages[1:3] for word in page.extract_text().split()}
    assert {str(n) for n in range(2, 12)} <= stations


def test_same_job_same_bytes():
    assert template_pdf(example_work(), "a4") == template_pdf(example_work(), "a4")


def test_unknown_paper_is_refused_by_name():
    with pytest.raises(Refusal, match="no paper 'legal'; there are letter, a4"):
        template_pdf(example_work(), "legal")


@pytest.mark.parametrize("radius", [3.0, 40.0, 5000.0])
@pytest.mark.parametrize("sweep", [0.2, -1.5, 6.0])
def test_curves_stay_within_a_micrometre_of_the_arc(radius, sweep):
    arc = Arc.about(20 - 7j, radius, 0.4, sweep)
    start = arc.start
    for a, b, end in curve(arc):
        for t in np.linspace(0, 1, 200):
            p = (1 - t) ** 3 * start + 3 * (1 - t) ** 2 * t * a + 3 * (1 - t) * t * t * b + t**3 * end
            assert abs(abs(p - arc.centre) - radius) < 1e-3
        start = end
    assert start == pytest.approx(arc.end, abs=1e-9)
