"""The paper template: every plate at true scale, on as many sheets as it needs, with the means to prove the scale.

Printers scale without saying so, each axis on its own, so every sheet carries a metric and an inch bar in both
directions and asks for a rule to be laid on them before anything is cut. Nothing is ever scaled to fit: what is
larger than the paper is tiled.
"""

from io import BytesIO

from plategen import __version__
from plategen.bracket.model import Plate
from plategen.flat.loop import Circle
from plategen.flat.segment import Line
from plategen.quantity import Show
from plategen.shop.paper_ink import Ink, Ring, Stroke, Words, ink_of
from plategen.shop.paper_pdf import POINTS_PER_MM, Page
from plategen.shop.paper_size import BARS_LEFT_MM, MARGIN_MM, STRIP_BELOW_MM, Sheet, sheets
from plategen.shop.paper_tile import MARK_MM, Joint, Tile, Tiling, tiling
from plategen.shop.plate_words import facing, shape_mark
from plategen.shop.work import Work

INCH_MM = 25.4

MEASURE_FIRST = "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT."
HOW_TO_PRINT = 'Print at 100 % ("actual size"), never "fit to page". Out by more than 0.5 mm (1/64 in): print again.'

WARNING = (
    "Steering and welding can kill. This paper proves a shape, not a strength: it certifies nothing.",
    "Local vehicle codes, a qualified welder and a licensed engineer have the last word.",
)


def template_pdf(work: Work, paper: str = "letter") -> bytes:
    """The template as a PDF, the same bytes for the same job.

    Args:
        work: The finished job.
        paper: ``letter``, ``a4``, ``tabloid``, ``a3``, ``a2`` or ``roll``.

    Raises:
        Refusal: If there is no such paper.
    """
    from reportlab.pdfgen.canvas import Canvas  # late: only this file of the ordinary path needs it

    laid = [
        (plate, tiling(plate.outline.bounds, paper, [hole.circle.centre for hole in plate.holes]))
        for plate in work.bracket.plates
    ]
    total = 1 + sum(len(t.tiles) for _, t in laid)
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle(f"{work.job.title}: true-scale template")
    canvas.setSubject("True-scale template. Print at 100 %.")
    canvas.setCreator(f"plategen {__version__}")
    if work.stamp is not None:
        canvas.setKeywords(work.stamp.words)
    canvas.setViewerPreference("PrintScaling", "None")
    _check_page(canvas, work, laid, sheets(paper, 0.0, 0.0)[0], total)
    number = 1
    for plate, tiles in laid:
        ink = ink_of(work, plate, tiles.lines)
        for tile in tiles.tiles:
            number += 1
            _tile_page(canvas, work, plate, tiles, tile, ink, f"page {number} of {total}")
    canvas.save()
    return buffer.getvalue()


def joint_ink(joint: Joint) -> tuple[Ink, ...]:
    """A joining mark: a cross in a ring, with its letter."""
    at, reach = joint.at, MARK_MM
    return (
        Ring(Circle(at, 0.6 * reach), "fine"),
        Stroke((Line(at - reach, at + reach),), "fine"),
        Stroke((Line(at - reach * 1j, at + reach * 1j),), "fine"),
        Words(joint.label, at + 3.4 + 3.4j, 2.8, bold=True),
    )


def _tile_page(
    canvas: object, work: Work, plate: Plate, tiles: Tiling, tile: Tile, ink: tuple[Ink, ...], number: str
) -> None:
    sheet = tiles.sheet
    page = Page(canvas, sheet.width_mm, sheet.height_mm)
    left, bottom, width, height = sheet.window
    joints = [item for joint in tiles.seen(tile) for item in joint_ink(joint)]
    lines = [Stroke((Line(a, b),), "joint") for a, b in tiles.lines]
    page.window(left, bottom, width, height, tile.corner, (*lines, *ink, *joints))
    name = plate.name.replace("_", " ")
    place = f"row {tile.row} of {tiles.rows}, column {tile.column} of {tiles.columns}"
    top, right = sheet.height_mm - MARGIN_MM - 3.0, sheet.width_mm - MARGIN_MM
    page.draw(
        (
            Words(f"{name}  {tile.row}-{tile.column}", complex(left, top), 5.0, "start", bold=True),
            Words(f"{place}  |  shape {shape_mark(plate)}  |  {number}", complex(right, top + 1.6), 2.6, "end"),
            Words(f"scale 1 : 1  |  {work.job.title}", complex(right, top - 2.2), 2.6, "end"),
        )
    )
    joined = "Cut one sheet along the dashed joining line, lay it on the next: rings and letters must meet."
    _foot(page, (joined,) if len(tiles.tiles) > 1 else ())
    _map(page, plate, tiles, tile)
    canvas.showPage()  # type: ignore[attr-defined]


def _foot(page: Page, more: tuple[str, ...] = ()) -> None:
    """Both bars in both directions, and what to do with them."""
    left, low = MARGIN_MM + BARS_LEFT_MM, MARGIN_MM
    _bars(page, left, low)
    lines = (MEASURE_FIRST, HOW_TO_PRINT, *more)
    for i, words in enumerate(lines):
        page.draw((Words(words, complex(left, low + STRIP_BELOW_MM - 4.0 - 3.1 * i), 2.4, "start", bold=i == 0),))


def _bars(page: Page, left: float, low: float) -> None:
    page.bar(left, low, 100.0, 10.0, upright=False, words="100 mm")
    page.bar(left, low + 5.5, 4 * INCH_MM, INCH_MM / 2, upright=False, words="4 in")
    page.bar(MARGIN_MM + 4.0, low + STRIP_BELOW_MM, 100.0, 10.0, upright=True, words="100 mm")
    page.bar(MARGIN_MM + 9.5, low + STRIP_BELOW_MM, 4 * INCH_MM, INCH_MM / 2, upright=True, words="4 in")


def _map(page: Page, plate: Plate, tiles: Tiling, tile: Tile) -> None:
    """A small map of the plate's sheets, this one filled."""
    _, _, wide, tall = tiles.sheet.window
    corners = [t.corner for t in tiles.tiles]
    left, bottom = min(p.real for p in corners), min(p.imag for p in corners)
    width, height = max(p.real for p in corners) + wide - left, max(p.imag for p in corners) + tall - bottom
    scale = min(34.0 / width, (STRIP_BELOW_MM - 3.0) / height)
    c = page.canvas
    c.saveState()
    c.translate(tiles.sheet.width_mm - MARGIN_MM - width * scale, MARGIN_MM)
    c.scale(scale, scale)
    c.translate(-left, -bottom)
    c.setDash()
    c.setLineWidth(0.15 / scale)
    c.setStrokeGray(0.0)
    for other in tiles.tiles:
        c.setFillGray(0.80 if other == tile else 1.0)
        c.rect(other.corner.real, other.corner.imag, wide, tall, stroke=1, fill=1)
    c.setFillGray(0.0)
    for other in tiles.tiles:
        c.setFont("Helvetica", 3.0 / scale)
        c.drawString(
            other.corner.real + 1.2 / scale, other.corner.imag + tall - 3.8 / scale, f"{other.row}-{other.column}"
        )
    c.restoreState()
    c.saveState()
    c.translate(tiles.sheet.width_mm - MARGIN_MM - width * scale, MARGIN_MM)
    c.scale(scale, scale)
    c.translate(-left, -bottom)
    page.stroke(plate.outline.segments, "cut", closed=True)
    c.restoreState()


def _check_page(canvas: object, work: Work, laid: list[tuple[Plate, Tiling]], sheet: Sheet, total: int) -> None:
    """The page to print first: bars, a square, a ring, what the pages are, what to heed."""
    if sheet.name == "roll":
        sheet = Sheet("roll", sheet.width_mm, 300.0)
    page = Page(canvas, sheet.width_mm, sheet.height_mm)
    show = Show(work.job.units)
    left, top = MARGIN_MM + BARS_LEFT_MM + 4.0, sheet.height_mm - MARGIN_MM - 4.0
    page.draw(
        (
            Words("PRINT CHECK", complex(left, top), 8.0, "start", bold=True),
            Words(f"page 1 of {total}  |  {sheet.label} paper", complex(sheet.width_mm - MARGIN_MM, top), 2.8, "end"),
            Words(work.job.title, complex(left, top - 9.0), 4.0, "start"),
            Words(
                "Print this page first. Lay a steel rule on both bars, along the page and across it.",
                complex(left, top - 17.0),
                3.2,
                "start",
                bold=True,
            ),
            Words(
                "The square is 50 mm by 50 mm corner to corner of its lines; the ring is 1 in across.",
                complex(left, top - 22.0),
                3.2,
                "start",
            ),
            Words(
                "If one direction is out and the other is not, turn off every scaling in the printer's dialogue",
                complex(left, top - 27.0),
                3.2,
                "start",
            ),
            Words(
                "and print again, or use another printer. Do not cut steel from paper that failed this.",
                complex(left, top - 31.5),
                3.2,
                "start",
            ),
        )
    )
    corner = complex(left, top - 90.0)
    square = (corner, corner + 50, corner + 50 + 50j, corner + 50j)
    page.stroke(tuple(Line(a, b) for a, b in zip(square, (*square[1:], square[0]), strict=True)), "fine", closed=True)
    page.ring(Circle(corner + 75 + 25j, INCH_MM / 2), "fine")
    page.draw(
        (
            Words("50 mm", corner + 25 + 3j, 2.8),
            Words("50 mm", corner + 3 + 25j, 2.8, turn_rad=1.5707963267948966),
            Words("1 in", corner + 75 + 25j, 2.8),
        )
    )
    box = corner + 96 + 2j
    checked = (box, box + 68, box + 68 + 46j, box + 46j)
    page.stroke(
        tuple(Line(a, b) for a, b in zip(checked, (*checked[1:], checked[0]), strict=True)), "fine", closed=True
    )
    for i, words in enumerate(("100 mm across reads", "100 mm along reads", "checked by", "date")):
        page.draw(
            (
                Words(words, box + 3 + complex(0, 40 - 11 * i), 2.8, "start"),
                Stroke((Line(box + 32 + complex(0, 38.5 - 11 * i), box + 65 + complex(0, 38.5 - 11 * i)),), "fine"),
            )
        )
    y = top - 100.0
    page.draw((Words("What follows", complex(left, y), 3.6, "start", bold=True),))
    first = 2
    for plate, tiles in laid:
        last = first + len(tiles.tiles) - 1
        pages = f"page {first}" if first == last else f"pages {first} to {last}"
        u0, v0, u1, v1 = plate.outline.bounds
        y -= 5.5
        page.draw(
            (
                Words(
                    f"{plate.name.replace('_', ' ')}: {pages}, {tiles.rows} by {tiles.columns}; "
                    f"{show.short(u1 - u0)} by {show.short(v1 - v0)} {show.units} over all; shape {shape_mark(plate)}; "
                    f"{facing(work, plate).lower()}",
                    complex(left, y),
                    2.8,
                    "start",
                ),
            )
        )
        first = last + 1
    for words in (*WARNING, *_cautions(work)):
        y -= 5.0
        page.draw((Words(words, complex(left, y - 3.0), 2.8, "start"),))
    _foot(page)
    canvas.showPage()  # type: ignore[attr-defined]


def _cautions(work: Work) -> tuple[str, ...]:
    return tuple(f"This job: {words}" for words in work.bracket.cautions if len(words) < 110)


__all__ = ["POINTS_PER_MM", "joint_ink", "template_pdf"]
