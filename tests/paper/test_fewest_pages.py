"""A plate takes no more paper than it must, and what is joined is drawn on the first page."""

import io

import pypdf
import pytest

from plategen.paper.size import MARGIN_MM
from plategen.paper.template import laid_tiles, template_pdf
from plategen.paper.tile import tiling
from tests.support.every_example import work_of

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


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "quarry-straight-rail"])
def test_the_ears_of_an_example_take_a_page_each_whose_words_lie_on_it(name: str) -> None:
    work = work_of(name)
    pages = pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter"))).pages
    assert len(pages) == 1 + sum(len(laid_tiles(plate, "letter").tiles) for plate in work.cut_plates)
    assert all(len(laid_tiles(plate, "letter").tiles) == 1 for plate in work.bracket.plates)
    for page in pages:
        assert "MEASURE BOTH BARS" in page.extract_text()


def test_the_first_page_draws_how_pages_join() -> None:
    work = work_of("quarry-screen-corner")
    first = pypdf.PdfReader(io.BytesIO(template_pdf(work, "letter"))).pages[0].extract_text()
    joined = [plate for plate in work.cut_plates if len(laid_tiles(plate, "letter").tiles) > 1]
    assert joined
    for plate in joined:
        assert f"{plate.name.replace('_', ' ')}: how its pages join" in first
