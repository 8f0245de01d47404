"""Every example on every paper: its words read by rule, its pages measured from the raster as a person would."""

import re
from html import unescape
from itertools import combinations

import numpy as np
import pytest
from reportlab.pdfbase.pdfmetrics import stringWidth
from shapely import affinity
from shapely.geometry import LineString, Polygon, box

from plategen.flat.loop import Circle
from plategen.flat.segment import Arc
from plategen.paper.ink import Stroke, Words
from plategen.paper.plate_ink import PUNCH_RADIUS_MM, ink_of
from plategen.paper.share import sharing
from plategen.paper.size import PAPERS
from plategen.paper.template import joining_ink, laid_tiles, template_pages, template_pdf, template_svg
from tests.support.every_example import EXAMPLES, work_of
from tests.support.raster import assert_bars, assert_clear, assert_strokes, places, raster

SIDES = {"bolted": "BASE SIDE", "clamp": "CLAMP SIDE", "pad": "PAD SIDE", "weld": "TUBE SIDE"}
"""What the side of a notch is called where it does not lie on the rail."""

LARGE = tuple(paper for paper in PAPERS if paper not in ("letter", "a4"))


def lettering(words: Words) -> Polygon:
    """Where a line of words is inked, with the font's own widths: between the base line and the capitals' tops."""
    font = "Helvetica-Bold" if words.bold else "Helvetica"
    wide, high = stringWidth(words.text, font, words.height_mm), words.height_mm
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
    flat = box(left, -0.35 * high, left + wide, 0.37 * high)
    turned = affinity.rotate(flat, words.turn_rad, origin=(0, 0), use_radians=True)
    return affinity.translate(turned, words.at.real, words.at.imag)


def polyline(segment) -> LineString:
    count = 40 if isinstance(segment, Arc) else 1
    return LineString([(p.real, p.imag) for p in (segment.point(i / count) for i in range(count + 1))])


def cut_lines(ink):
    """Every line that scissors or the torch follow."""
    for item in ink:
        if isinstance(item, Stroke) and item.weight == "cut":
            yield from (polyline(segment) for segment in item.shape.segments)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", PAPERS)
def test_words_cover_neither_each_other_nor_a_line_that_is_cut_and_stand_whole_on_a_sheet(name, paper):
    work = work_of(name)
    firsts = {shown.plates[0].name: shown for page in template_pages(work, paper) for shown in page}
    for plate, tiles, ink in ((shown.plates[0], shown.tiles, shown.ink) for shown in firsts.values()):
        if plate.role == "wall":
            continue
        marks = joining_ink(tiles)
        words = [item for item in ink if isinstance(item, Words)]
        placed = [(w.text, lettering(w)) for w in (*words, *(m for m in marks if isinstance(m, Words)))]
        for (a, one), (b, other) in combinations(placed, 2):
            assert not one.intersects(other), (plate.name, a, b)
        lines = list(cut_lines(ink))
        joins = [LineString([(p.real, p.imag) for p in join]) for join in tiles.lines]
        sheets = [box(w.low.real, w.low.imag, w.high.real, w.high.imag) for w in tiles.windows]
        for text, inked in placed[: len(words)]:
            assert not any(inked.intersects(line) for line in lines), (plate.name, text)
            assert not any(inked.intersects(join) for join in joins), (plate.name, text, "on a joining line")
            assert any(sheet.contains(inked) for sheet in sheets), (plate.name, text, "on no sheet whole")


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_a_bench_needs_is_printed_of_every_plate(name):
    work = work_of(name)
    welds = {run.name for run in work.bracket.welds}
    told = ""
    for plate in work.cut_plates:
        ink = ink_of(work, plate, laid_tiles(plate, "a2").windows)
        words = [item.text for item in ink if isinstance(item, Words)]
        told += " ".join(words) + " "
        assert plate.name.replace("_", " ") in words
        seat = work.job.seat
        on = work.job.bracket.style if seat is None else seat.hold if seat.pad is None else "pad"
        side = SIDES.get(on, "RAIL SIDE")
        assert plate.notch is None or side in words
        assert plate.placement.normal[2] ** 2 < 0.99 or any(w in ("THIS FACE OUT", "THIS FACE IN") for w in words)
        rings = [item.shape for item in ink if isinstance(item, Stroke) and isinstance(item.shape, Circle)]
        for hole in plate.holes:
            assert any(word.startswith(f"{hole.name}: ") for word in words)
            same = [c.radius for c in rings if abs(c.centre - hole.circle.centre) < 1e-9]
            assert {hole.circle.radius, PUNCH_RADIUS_MM, 0.3} <= set(same), "its edge, its punch circle, its centre"
        assert not any(re.search(r" R \d+\.\d{3}\b", word) for word in words), "a radius as the sheet has it"
        arcs = [s for s in plate.notch or () if isinstance(s, Arc)]
        assert sum(w.startswith(("bend R", "relief R")) for w in words) == len(arcs)
        svg = " ".join(re.findall(r">([^<]*)</text>", template_svg(work, plate)))
        # in one line or in two, as there is room
        said, drawn = (set(unescape(text).replace(",", " ").split()) for text in (" ".join(words), svg))
        assert said <= drawn, "PDF and SVG say the same"
    # a ring weld round a pad's edge runs across the drawing's plane and is on the weld map only
    seen = {run for run in welds if f" {run} " in told.replace("weld ", " ")}
    assert seen or not welds


@pytest.mark.slow
@pytest.mark.parametrize(
    ("name", "paper"),
    [
        (n, p)
        for n in EXAMPLES
        for p in PAPERS
        if p not in LARGE or n in ("sprayer-kicked-rail", "quarry-screen-corner")
    ],
)
def test_pages_measure_true_from_the_raster(name, paper):
    """Bars to a thousandth both ways, 10 mm clear all round, every edge and hole within 0.2 mm on some sheet."""
    work = work_of(name)
    drawn: dict[str, np.ndarray] = {}
    for dark, page in zip(raster(template_pdf(work, paper)), ((), *template_pages(work, paper)), strict=True):
        assert_clear(dark, 10.0)
        assert_bars(dark)
        for shown in page:
            plate, tiles, tile = shown.plates[0], shown.tiles, shown.tile
            if paper in LARGE:
                assert len(tiles.tiles) == 1 or paper in ("tabloid", "a3"), "a whole plate on one sheet"
            circles = [hole.circle for hole in plate.holes]
            edges = [*plate.outline, *(s for opening in plate.openings for s in opening)]
            edges += [Arc(c.centre + c.radius * w, c.centre - c.radius * w, 1.0) for c in circles for w in (1, -1)]
            spots, square = places(edges, np.linspace(0.03, 0.97, 23))
            left, bottom, width, height = tiles.sheet.window
            at = spots - tile.corner
            here = (at.real > 2) & (at.real < width - 2) & (at.imag > 2) & (at.imag < height - 2)
            assert_strokes(dark, at[here] + complex(left, bottom), square[here])
            drawn[plate.name] = here | drawn.get(plate.name, here)
    assert sorted(drawn) == sorted(plates[0].name for plates in sharing(work))
    assert all(seen.all() for seen in drawn.values()), "every edge is whole on some sheet"
