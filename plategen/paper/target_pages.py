"""The pages that lie beside the cardboard in a photograph, as a PDF at true scale with bars to prove it."""

from io import BytesIO

from plategen import __version__
from plategen.ground.refusal import Refusal
from plategen.paper.ink import Words
from plategen.paper.page import foot
from plategen.paper.pdf import Page
from plategen.paper.size import MARGIN_MM, PAPERS_MM, Sheet
from plategen.photo.target import MOST_PAGES, TALL_MM, WIDE_MM, rectangles

HOW_TO_LAY = "Lay two or more of these pages flat beside the cardboard, in any turn; it may cover a part of them."
HOW_TO_PHOTOGRAPH = "Photograph all of it from above, sharp, in even light. Print each page once: every one is another."
HOW_TO_MEASURE = (
    "Measure the board's long side, 200 mm or 7 7/8 in, with a steel rule: the command asks for it (--bar)."
)
"""On every page, at its foot and at its head."""


def target_pdf(pages: int, paper: str) -> bytes:
    """The first pages of the target, each another, on one of ``PAPERS_MM``; the same bytes for the same choice.

    Raises:
        Refusal: If there are not so many pages, or no such paper.
    """
    from reportlab.pdfgen.canvas import Canvas

    if not 1 <= pages <= MOST_PAGES:
        raise Refusal(f"{pages} pages: 1 to {MOST_PAGES} is right")
    if paper.lower() not in PAPERS_MM:
        raise Refusal(f"no paper {paper!r}; there are {', '.join(PAPERS_MM)}")
    sheet = Sheet(paper.lower(), *PAPERS_MM[paper.lower()])
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle("Pages to photograph a pattern with")
    canvas.setSubject("True scale. Print at 100 %.")
    canvas.setCreator(f"plategen {__version__}")
    canvas.setViewerPreference("PrintScaling", "None")
    for number in range(pages):
        _page(Page(canvas, sheet.width_mm, sheet.height_mm), sheet, number, pages)
        canvas.showPage()
    canvas.save()
    return buffer.getvalue()


def _page(page: Page, sheet: Sheet, number: int, pages: int) -> None:
    left, bottom, width, height = sheet.window
    corner = complex(left + (width - WIDE_MM) / 2, bottom + (height - TALL_MM) / 2)
    top, right = sheet.height_mm - MARGIN_MM - 3.0, sheet.width_mm - MARGIN_MM
    canvas = page.canvas
    canvas.setFillGray(0.0)
    # one path, so that no hairline shows where two rectangles touch
    path = canvas.beginPath()
    for x, y, wide, tall in rectangles(number):
        path.rect(corner.real + x, corner.imag + y, wide, tall)
    canvas.drawPath(path, stroke=0, fill=1)
    page.draw(
        (
            Words(f"PAGE {number + 1}", complex(left, top), 5.0, "start", bold=True),
            Words(f"of {pages}  |  {sheet.label} paper", complex(right, top), 2.6, "end"),
            Words(HOW_TO_PHOTOGRAPH, complex(left, top - 7.0), 2.8, "start"),
            Words(HOW_TO_MEASURE, complex(left, top - 11.0), 2.8, "start"),
        )
    )
    foot(page, None, HOW_TO_LAY)
