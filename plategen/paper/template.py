"""The paper template: every plate at true scale, on as many sheets as it needs, with the means to prove the scale.

Printers scale without saying so, each axis on its own, so every sheet carries a metric and an inch bar in both
directions and asks for a rule to be laid on them before anything is cut. Nothing is ever scaled to fit: what is
larger than the paper is tiled.
"""

from io import BytesIO
from typing import Any

from plategen import __version__
from plategen.bracket.model import Plate
from plategen.flat.loop import Circle
from plategen.paper.ink import Ink, Stroke, Words, line
from plategen.paper.page import HOW_TO_JOIN, check_page, foot, heading, tile_map
from plategen.paper.pdf import Page
from plategen.paper.plate_ink import ink_of
from plategen.paper.size import MARGIN_MM, sheets
from plategen.paper.tile import MARK_MM, Joint, Tile, Tiling, tiling
from plategen.tell.picture.plate_words import spoken
from plategen.work import Work

EDGE_POINTS = 24
"""Points of every edge of which joining marks keep clear."""


def template_pdf(work: Work, paper: str = "letter") -> bytes:
    """The finished job's template as a PDF, the same bytes for the same job, on one of ``PAPERS``.

    Raises:
        Refusal: If there is no such paper.
    """
    from reportlab.pdfgen.canvas import Canvas  # late: only this file of the ordinary path needs it

    first = sheets(paper, 0.0, 0.0)[0]
    laid = [(plate, laid_tiles(plate, paper)) for plate in work.cut_plates]
    total = 1 + sum(len(tiles.tiles) for _, tiles in laid)
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle(f"{work.job.title}: true-scale template")
    canvas.setSubject("True-scale template. Print at 100 %.")
    if work.stamp is not None:
        canvas.setKeywords(work.stamp.words)
    canvas.setCreator(f"plategen {__version__}")
    canvas.setViewerPreference("PrintScaling", "None")
    check_page(canvas, work, laid, first, total)
    number = 1
    for plate, tiles in laid:
        ink = ink_of(work, plate, tiles.windows, joining_ink(tiles))
        for tile in tiles.tiles:
            number += 1
            _tile_page(canvas, work, plate, tiles, tile, ink, f"page {number} of {total}")
    canvas.save()
    return buffer.getvalue()


def laid_tiles(plate: Plate, paper: str) -> Tiling:
    """How a plate is laid on paper, its holes clear of joining lines where there is room to spare."""
    edges = [edge.point(i / EDGE_POINTS) for edge in plate.outline for i in range(EDGE_POINTS)]
    rounds = [hole.circle.centre + hole.circle.radius * way for hole in plate.holes for way in (1, 1j, -1, -1j)]
    return tiling(plate.outline.bounds, paper, [hole.circle.centre for hole in plate.holes], edges + rounds)


def joining_ink(tiles: Tiling) -> tuple[Ink, ...]:
    """All joining lines and marks of a plate's sheets, of which its words keep clear."""
    lines = (line(a, b, "joint") for a, b in tiles.lines)
    return (*lines, *(item for joint in tiles.joints for item in joint_ink(joint)))


def joint_ink(joint: Joint) -> tuple[Ink, ...]:
    """A joining mark: a cross in a ring, with its letter."""
    at, reach = joint.at, MARK_MM
    return (
        Stroke(Circle(at, 0.6 * reach), "fine"),
        line(at - reach, at + reach, "fine"),
        line(at - reach * 1j, at + reach * 1j, "fine"),
        Words(joint.label, at + 3.4 + 3.4j, 2.8, bold=True),
    )


def _tile_page(
    canvas: Any, work: Work, plate: Plate, tiles: Tiling, tile: Tile, ink: tuple[Ink, ...], number: str
) -> None:
    sheet = tiles.sheet
    page = Page(canvas, sheet.width_mm, sheet.height_mm)
    left, bottom, width, height = sheet.window
    lines = [line(a, b, "joint") for a, b in tiles.lines]
    joints = [item for joint in tiles.seen(tile) for item in joint_ink(joint)]
    page.window(left, bottom, width, height, tile.corner, (*lines, *ink, *joints))
    alone = len(tiles.tiles) == 1
    place = "the whole plate" if alone else f"row {tile.row} of {tiles.rows}, column {tile.column} of {tiles.columns}"
    name = spoken(plate) if alone else f"{spoken(plate)}  {tile.row}-{tile.column}"
    top, right = sheet.height_mm - MARGIN_MM - 3.0, sheet.width_mm - MARGIN_MM
    page.draw(
        (
            Words(name, complex(left, top), 5.0, "start", bold=True),
            Words(f"{place}  |  {number}  |  {work.job.title}", complex(right, top + 1.6), 2.6, "end"),
            Words(heading(work, plate), complex(right, top - 2.2), 2.6, "end"),
        )
    )
    foot(page, *((HOW_TO_JOIN,) if not alone else ()))
    if not alone:
        tile_map(page, plate, tiles, tile)
    canvas.showPage()
