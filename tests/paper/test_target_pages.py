"""The pages of the target: every corner found where it must be, on paper measured at 300 dots an inch."""

import numpy as np
import pypdfium2
import pytest

from plategen.ground.refusal import Refusal
from plategen.paper.target_pages import target_pdf
from plategen.photo import target
from plategen.photo.detect import sighting
from plategen.photo.picture import Picture

DPI = 300.0


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_every_page_measures_true_and_is_read_as_itself(paper):
    pages = pypdfium2.PdfDocument(target_pdf(4, paper))
    assert len(pages) == 4
    for number in range(4):
        pixels = np.asarray(pages[number].render(scale=DPI / 72.0).to_pil().convert("RGB"))
        seen = sighting(Picture(paper, pixels, 1.0, 1.0, ""))
        assert seen.pages == (number,)
        assert len(seen.pixels) == len(target.board_corners())
        at_mm = seen.pixels * 25.4 / DPI * [1.0, -1.0]
        off = at_mm - seen.board_mm
        assert np.abs(off - off.mean(0)).max() < 0.03


def test_more_pages_than_there_are_is_refused():
    with pytest.raises(Refusal, match="5 pages: 1 to 4 is right"):
        target_pdf(5, "letter")
