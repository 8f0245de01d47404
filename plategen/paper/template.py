"""The paper template, as a PDF and as an SVG file a plate: true scale, with the means to prove it.

Printers scale without saying so, each axis on its own, so every sheet carries a metric and an inch bar in both
directions and asks for a rule to be laid on them before anything is cut. Nothing is ever scaled to fit: what is
larger than the PDF's paper is tiled, and an SVG's sheet is as large as the plate asks. There one unit is one
millimetre, and width and height say so; a browser or a plotter that prints at 100 % keeps it.
"""

import math
from collections.abc import Iterable
from dataclasses import replace
from io import BytesIO
from typing import Any

from plategen import __version__
from plategen.bracket.model import Plate
from plategen.cut.by_hand import torch_line_mm
from plategen.draw.svg import element, number, path_data, polyline_data, text_of
from plategen.flat.loop import Circle, Loop, polygon
from plategen.paper.ink import GREY, LETTER, STROKES_MM, Ink, Stroke, Weight, Window, Words, line
from plategen.paper.page import BARS, HOW_TO_JOIN, MEASURE_FIRST, check_page, foot, heading, how_to_print, tile_map
from plategen.paper.pdf import Page
from plategen.paper.plate_ink import ink_of
from plategen.paper.share import names, sharing
from plategen.paper.size import BARS_LEFT_MM, HEAD_MM, MARGIN_MM, STRIP_BELOW_MM, sheets
from plategen.paper.tile import CLEAR_MM, MARK_MM, Joint, Tiling, tiling
from plategen.paper.together import Shown, together
from plategen.work import Work

EDGE_POINTS = 24
"""Points of every edge of which joining marks keep clear."""


def template_pdf(work: Work, paper: str = "letter") -> bytes:
    """The finished job's template as a PDF, the same bytes for the same job, on one of ``PAPERS``.

    Raises:
        Refusal: If there is no such paper.
    """
    from reportlab.pdfgen.canvas import Canvas  # late: only this file of the ordinary path needs it

    pages = template_pages(work, paper)
    total = 1 + len(pages)
    buffer = BytesIO()
    canvas = Canvas(buffer, invariant=1, pageCompression=1)
    canvas.setTitle(f"{work.job.title}: true-scale template")
    canvas.setSubject("True-scale template. Print at 100 %.")
    if work.stamp is not None:
        canvas.setKeywords(work.stamp.words)
    canvas.setCreator(f"plategen {__version__}")
    canvas.setViewerPreference("PrintScaling", "None")
    check_page(canvas, work, pages, sheets(paper, 0.0, 0.0)[0])
    for count, page in enumerate(pages, 2):
        _plate_page(canvas, work, page, f"page {count} of {total}")
    canvas.save()
    return buffer.getvalue()


def template_pages(work: Work, paper: str) -> list[tuple[Shown, ...]]:
    """What each page shows after the first: a tile of one plate, or several small plates; by the job's first plates.

    Raises:
        Refusal: If there is no such paper.
    """
    laid = [(plates, laid_tiles(plates[0], paper, torch_line_mm(work.job, plates[0]))) for plates in sharing(work)]
    order = {plates[0].name: i for i, (plates, _) in enumerate(laid)}
    small = [plates for plates, tiles in laid if len(tiles.tiles) == 1 and plates[0].role != "wall"]
    pages = together(work, small, paper)
    placed = {shown.plates[0].name for page in pages for shown in page}
    for plates, tiles in laid:
        if plates[0].name not in placed:
            ink = ink_of(work.of(plates[0]), plates[0], tiles.windows, joining_ink(tiles), plates[1:])
            pages += [(Shown(plates, tiles, tile, ink),) for tile in tiles.tiles]
    return sorted(pages, key=lambda page: min(order[shown.plates[0].name] for shown in page))


def laid_tiles(plate: Plate, paper: str, torch_line_mm: float = 0.0) -> Tiling:
    """How a plate with its torch line is laid on paper, its holes clear of joining lines where there is room."""
    u0, v0, u1, v1 = plate.outline.bounds
    bounds = (u0 - torch_line_mm, v0 - torch_line_mm, u1 + torch_line_mm, v1 + torch_line_mm)
    edges = [edge.point(i / EDGE_POINTS) for edge in plate.outline for i in range(EDGE_POINTS)]
    rounds = [hole.circle.centre + hole.circle.radius * way for hole in plate.holes for way in (1, 1j, -1, -1j)]
    return tiling(bounds, paper, [hole.circle.centre for hole in plate.holes], edges + rounds)


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


def _plate_page(canvas: Any, work: Work, shown: tuple[Shown, ...], number: str) -> None:
    tiles, tile = shown[0].tiles, shown[0].tile
    sheet = replace(tiles.sheet, part=None)
    page = Page(canvas, sheet.width_mm, sheet.height_mm)
    for one in shown:
        lines = [line(a, b, "joint") for a, b in one.tiles.lines]
        joints = [item for joint in one.tiles.seen(one.tile) for item in joint_ink(joint)]
        page.window(*one.tiles.sheet.window, one.tile.corner, (*lines, *one.ink, *joints))
    left = sheet.window[0]
    alone = len(tiles.tiles) == 1
    place = "the whole plate" if alone else f"row {tile.row} of {tiles.rows}, column {tile.column} of {tiles.columns}"
    place = "each plate whole" if len(shown) > 1 else place
    named = names([plate for one in shown for plate in one.plates])
    name = named if alone else f"{named}  {tile.row}-{tile.column}"
    name = f"STOP  {name}" if work.stopped else name
    # on a tight sheet the heading begins at the margin, on another a little below it
    lower, first, second = (0.0, 0.0, -3.3) if sheet.tight else (3.0, 1.6, -2.2)
    top, right = sheet.height_mm - MARGIN_MM - lower, sheet.width_mm - MARGIN_MM
    beside = (
        Words(f"{place}  |  {number}  |  {work.job.title}", complex(right, top + first), 2.6, "end"),
        Words(heading(work, [one.plates for one in shown]), complex(right, top + second), 2.6, "end"),
    )
    # many names are written smaller, as wide as the words beside them leave room
    room = right - left - max(words.width_mm for words in beside) - 4.0
    single = len(shown) == len(shown[0].plates) == 1
    high = 5.0 if single else max(2.6, min(5.0, room / (LETTER[True] * len(name))))
    page.draw((Words(name, complex(left, top), high, "start", bold=True), *beside))
    foot(page, work.job.units, *((HOW_TO_JOIN,) if not alone else ()), tight=sheet.tight)
    if not alone:
        tile_map(page, shown[0].plates[0], tiles, tile)
    canvas.showPage()


LEAST_MM = 130.0
"""The window is never smaller, so that a bar of 4 in has room both ways."""


def template_svg(work: Work, plate: Plate) -> str:
    """One plate's template as an SVG file."""
    u0, v0, u1, v1 = plate.outline.bounds
    clear = CLEAR_MM + torch_line_mm(work.job, plate)
    wide, tall = (max(reach + 2 * clear, LEAST_MM) for reach in (u1 - u0, v1 - v0))
    left, low = MARGIN_MM + BARS_LEFT_MM, MARGIN_MM + STRIP_BELOW_MM
    width, height = left + wide + MARGIN_MM, low + tall + HEAD_MM + MARGIN_MM
    shift = complex(left + wide / 2, low + tall / 2) - complex(u0 + u1, v0 + v1) / 2
    corner = complex(left, low) - shift
    window = Window(corner, corner + complex(wide, tall))
    size = {"width": number(width), "height": number(height)}
    # a page has its corner at 0, 0 with v upwards; SVG's y is turned by the writer, so the frame begins at y = -height
    content = (
        element("rect", x="0", y=number(-height), **size, fill="#fff", stroke="none"),
        element(
            "g",
            "".join(_drawn(ink_of(work, plate, [window]))),
            transform=f"translate({number(shift.real)} {number(-shift.imag)})",
        ),
        *_drawn(
            (
                Words(heading(work, [(plate,)]), complex(left, height - MARGIN_MM - 3.0), 3.4, "start", bold=True),
                Words(MEASURE_FIRST, complex(left, low - 4.0), 2.4, "start", bold=True),
                Words(how_to_print(work.job.units), complex(left, low - 7.1), 2.4, "start"),
            )
        ),
        *(_bar(at, 1j if upright else 1 + 0j, length, parts, words) for at, upright, length, parts, words in BARS),
    )
    title = element("title", text_of(f"{work.job.title}: {plate.name}, true scale"))
    if work.stamp is not None:
        title += element("desc", text_of(work.stamp.words))
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        + element(
            "svg",
            title + "".join(content),
            xmlns="http://www.w3.org/2000/svg",
            width=f"{number(width)}mm",
            height=f"{number(height)}mm",
            viewBox=f"0 {number(-height)} {number(width)} {number(height)}",
            fill="none",
            stroke="#000",
            font_family="Helvetica, Arial, sans-serif",
        )
        + "\n"
    )


def _drawn(ink: Iterable[Ink]) -> Iterable[str]:
    for item in ink:
        match item:
            case Stroke() if item.filled:
                yield element("path", d=path_data(item.shape), fill="#000", stroke="none")
            case Stroke():
                yield _path(path_data(item.shape), item.weight, item.width_mm)
            case Words():
                yield _lettering(item)


def _path(data: str, weight: Weight, width_mm: float | None = None) -> str:
    width, dashes = STROKES_MM[weight]
    return element(
        "path",
        d=data,
        stroke=f"hsl(0 0% {100.0 * GREY[weight]:.0f}%)" if weight == "torch" else None,
        stroke_width=number(width if width_mm is None else width_mm),
        stroke_dasharray=" ".join(map(number, dashes)) or None,
        stroke_linejoin="round",
    )


def _lettering(words: Words) -> str:
    x, y = number(words.at.real), number(-words.at.imag)
    turn = f"rotate({number(-math.degrees(words.turn_rad))} {x} {y})" if words.turn_rad else None
    return element(
        "text",
        text_of(words.text),
        x=x,
        y=y,
        dy=number(0.35 * words.height_mm),
        font_size=number(words.height_mm),
        font_weight="700" if words.bold else None,
        text_anchor=words.anchor,
        transform=turn,
        fill="#000",
        stroke="#fff",
        stroke_width=number(0.3 * words.height_mm),
        paint_order="stroke",
    )


def _bar(start: complex, along: complex, length_mm: float, parts: int, words: str) -> str:
    """A scale bar, alternate blocks whose end ticks stand exactly ``length_mm`` apart.

    It is one group that says what it is: a program can measure it as a person does.
    """
    way = "across" if along == 1 else "along"
    side = along * 1j
    each = length_mm / parts
    blocks = (_box(start + along * each * i, along * each, side * 1.4) for i in range(0, parts, 2))
    drawn = element("path", d=path_data(*blocks), fill="#000", stroke="none")
    drawn += _path(path_data(_box(start, along * length_mm, side * 1.4)), "fine")
    for i in range(parts + 1):
        tick = start + along * each * i
        drawn += _path(polyline_data((tick, tick + side * (3.2 if i in (0, parts) else 2.0))), "fine")
    at = start + along * 0.8 + side * 3.4
    drawn += _lettering(Words(words, at, 2.6, "start", bold=True, turn_rad=math.atan2(along.imag, along.real)))
    return element("g", drawn, data_bar=f"{words} {way}")


def _box(corner: complex, along: complex, side: complex) -> Loop:
    return polygon((corner, corner + along, corner + along + side, corner + side))
