"""A plate takes no more paper than it must, and what is joined is drawn on the first page."""

import io
from dataclasses import replace
from itertools import combinations

import pypdf
import pytest
from shapely.geometry import Polygon, box

from plategen.bracket.shape_mark import shape_mark
from plategen.paper.ink import Words
from plategen.paper.share import names, sharing
from plategen.paper.size import MARGIN_MM
from plategen.paper.template import laid_tiles, template_pages, template_pdf
from plategen.paper.tile import tiling
from plategen.tell.picture.plate_features import facing
from tests.support.every_example import EXAMPLES, STARTERS, work_of

IN = 25.4


def test_a_plate_of_nine_by_six_and_three_quarters_takes_one_letter_page() -> None:
    tiles = tiling((0.0, 0.0, 9.0 * IN, 6.75 * IN), "letter")
    assert len(tiles.tiles) == 1
    left, bottom, width, height = tiles.sheet.window
    (tile,) = tiles.tiles
    assert tile.corner.real < 0.0 < 9.0 * IN < tile.corner.real + width
    assert tile.corner.imag < 0.0 < 6.75 * IN < tile.corner.imag + height
    assert left + width <= 11.0 * IN - MARGIN_MM + 1e-9
    assert bottom >= MARGIN_MM + 11.0, "clear of the bars"


def test_a_plate_that_does_not_fit_is_joined_from_roomy_sheets() -> None:
    tiles = tiling((0.0, 0.0, 12.0 * IN, 6.75 * IN), "letter")
    assert len(tiles.tiles) == 2
    assert not tiles.sheet.tight


def test_plates_of_one_shape_that_face_one_way_share_a_page_with_every_name_and_weld_on_it() -> None:
    work = work_of("quarry-clamped-seat")
    pages = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter"))).pages]
    assert len(pages) == 5, "eight plates, four of them cradles alike, and small ones side by side"
    for pair in (("cradle near 1", "cradle far 1"), ("cradle near 2", "cradle far 2")):
        (page,) = [page for page in pages[1:] if pair[0] in page]
        assert f"{pair[0]}, {pair[1]}" in pages[0]
        assert pair[1] in page
        assert "cut 2, 1 for each name" in page
        for plate in work.cut_plates:
            if plate.name.replace("_", " ") in pair:
                assert facing(work, plate).partition(",")[0] in page
                runs = [run.name for run in work.bracket.welds if run.plate == plate.name]
                assert " ".join(runs) in page


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_plate_is_on_one_page_with_its_own_mark_steel_and_face(name: str) -> None:
    work = work_of(name)
    shared = sharing(work)
    assert sorted(plate.name for plates in shared for plate in plates) == sorted(p.name for p in work.paper_plates)
    for plates in shared:
        said = {(shape_mark(p), p.steel, p.thickness_mm, p.count, facing(work, p)) for p in plates}
        assert len(said) == 1


def test_another_steel_has_a_page_of_its_own() -> None:
    work = work_of("quarry-clamped-seat")
    plates = tuple(replace(p, steel="S235") if p.name == "cradle_far_1" else p for p in work.bracket.plates)
    other = replace(work, bracket=replace(work.bracket, plates=plates))
    assert len(sharing(other)) == len(sharing(work)) + 1


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "quarry-straight-rail"])
def test_the_ears_of_an_example_take_a_page_each_whose_words_lie_on_it(name: str) -> None:
    work = work_of(name)
    pages = pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter"))).pages
    assert len(pages) == 1 + sum(len(laid_tiles(plate, "letter").tiles) for plate in work.cut_plates)
    assert all(len(laid_tiles(plate, "letter").tiles) == 1 for plate in work.bracket.plates)
    for page in pages:
        assert "MEASURE BOTH BARS" in page.extract_text()


def test_small_plates_stand_side_by_side_each_with_its_own_stations_and_words() -> None:
    work = work_of("start-bolted")
    pages = template_pages(work, "letter")
    (shims,) = [page for page in pages if page[0].plates[0].role == "shim"]
    assert [shown.plates[0].name for shown in shims] == ["shim_1", "shim_2", "shim_3", "shim_4"]
    (tabs,) = [page for page in template_pages(work_of("quarry-clamped-seat"), "letter") if len(page[0].ink) > 40][:1]
    assert [shown.plates[0].name for shown in tabs] == ["tab_near", "tab_far"]
    for page in (shims, tabs):
        parts = [
            box(left, low, left + wide, low + tall) for left, low, wide, tall in (s.tiles.sheet.window for s in page)
        ]
        assert all(one.intersection(other).area < 1e-6 for one, other in combinations(parts, 2))
    stations = [[w.text for w in shown.ink if isinstance(w, Words) and w.text.isdigit()] for shown in tabs]
    assert stations[0] == stations[1]
    assert len(stations[0]) > 5
    reader = pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter")))
    (text,) = [page.extract_text() for page in reader.pages if "shim 4" in page.extract_text()][1:]
    assert text.count("MEASURE BOTH BARS") == 1


@pytest.mark.parametrize("name", [*EXAMPLES, *STARTERS])
def test_no_words_of_a_shim_run_over_its_edge(name: str) -> None:
    for shown in (s for page in template_pages(work_of(name), "letter") for s in page if s.plates[0].role == "shim"):
        edge = box(*shown.plates[0].outline.bounds).exterior
        for words in (item for item in shown.ink if isinstance(item, Words)):
            assert not Polygon([(p.real, p.imag) for p in words.corners]).intersects(edge), words.text


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_first_page_draws_how_pages_join(name: str, paper: str) -> None:
    work = work_of(name)
    first = pypdf.PdfReader(io.BytesIO(template_pdf(work, paper))).pages[0].extract_text()
    joined = [plates for plates in sharing(work) if len(laid_tiles(plates[0], paper).tiles) > 1]
    assert joined or name not in ("quarry-screen-corner", "forestry-bolted-channel")
    for plates in joined:
        assert f"{names(plates)}: how its pages join" in first
