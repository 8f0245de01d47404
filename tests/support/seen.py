"""What a reader sees of pages and pictures: words that stand clear of each other and lie whole on the sheet."""

from collections.abc import Iterable, Sequence
from typing import Any

import numpy as np
import pypdfium2
from shapely import Geometry, STRtree
from shapely.geometry import Polygon


def watched_page(context: Any) -> Any:
    """A new page of a browser; what it asks for and complains of is kept on it."""
    page = context.new_page()
    page.asked, page.complaints = [], []
    page.on("request", lambda request: page.asked.append(request.url))
    page.on("console", lambda message: page.complaints.append(message.text))
    page.on("pageerror", lambda error: page.complaints.append(str(error)))
    return page


def meeting(some: Sequence[Geometry], others: Sequence[Geometry]) -> Iterable[tuple[int, int]]:
    """Which of some shapes meet which others, by their numbers."""
    return zip(*STRtree(np.array(others, object)).query(np.array(some, object), predicate="intersects"), strict=True)


def assert_words_clear(pictures: Iterable[dict[str, Any]]) -> None:
    """No word of a picture covers another or is cut at its frame; each word as the four corners of its box."""
    for picture in pictures:
        left, top, right, bottom = picture["frame"]
        inked = [(words, Polygon(corners)) for words, corners in picture["words"]]
        boxes = [box for _, box in inked]
        for a, b in meeting(boxes, boxes):
            assert a >= b or boxes[a].intersection(boxes[b]).area < 1.0, (picture["name"], inked[a][0], inked[b][0])
        for words, box in inked:
            u0, v0, u1, v1 = box.bounds
            assert left <= u0 + 0.5 <= u1 - 0.5 <= right, (picture["name"], words)
            assert top <= v0 + 0.5 <= v1 - 0.5 <= bottom, (picture["name"], words)


def printed_words(pdf: bytes, margin_mm: float) -> str:
    """All words of a printed page in reading order, none of which reaches into the margin."""
    margin_pt = margin_mm / 25.4 * 72
    text = []
    document = pypdfium2.PdfDocument(pdf)
    for page in document:
        width, height = page.get_size()
        words = page.get_textpage()
        for i in range(words.count_chars()):
            left, bottom, right, top = words.get_charbox(i)
            across = margin_pt < left < right < width - margin_pt
            inside = across and margin_pt < bottom < top < height - margin_pt
            assert inside or right <= left or not words.get_text_range(i, 1).strip()
        text.append(words.get_text_range())
    document.close()
    return " ".join(" ".join(text).split())


def page_by_page(pdf: bytes) -> list[str]:
    """The words of each printed page, in one line each."""
    document = pypdfium2.PdfDocument(pdf)
    words = [" ".join(page.get_textpage().get_text_range().split()) for page in document]
    document.close()
    return words
