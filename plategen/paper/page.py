"""What every page of the template carries, and the print-check page: the one to print first, with which a printer's
scale is proved and signed for.
"""

from collections.abc import Sequence
from textwrap import wrap
from typing import Any

from plategen.bracket.model import Plate
from plategen.bracket.shape_mark import shape_mark
from plategen.flat.loop import Circle, polygon
from plategen.ground.show import Show
from plategen.ground.unit import CHECK_BAR, Units
from plategen.paper.ink import LETTER, Stroke, Words, line
from plategen.paper.pdf import Page
from plategen.paper.share import Sharing, names
from plategen.paper.size import BARS_LEFT_MM, INCH_MM, MARGIN_MM, ROLL, STRIP_BELOW_MM, Sheet
from plategen.paper.tile import Tile, Tiling
from plategen.paper.together import Shown
from plategen.tell.picture.plate_features import facing, tape
from plategen.work import Work

MEASURE_FIRST = "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT."
"""On every page."""

MOST_OUT: dict[Units, str] = {"in": "1/64 in", "mm": "0.5 mm"}
"""How far either bar may be out, read with a rule (common practice, no source)."""


def how_to_print(units: Units | None) -> str:
    """On every page; in both units on one that belongs to no job."""
    most = MOST_OUT[units] if units else f"{MOST_OUT['mm']} ({MOST_OUT['in']})"
    return f'Print at 100 % ("actual size"), never "fit to page". Out by more than {most}: print again.'


HOW_TO_JOIN = "Cut one sheet along the dashed joining line, lay it on the next: rings and letters must meet."
"""On pages that are joined."""

WARNING = (
    "Steering and welding can kill. This paper proves a shape, not a strength: it certifies nothing.",
    "Local vehicle codes, a qualified welder and a licensed engineer have the last word.",
)
"""On every page."""


STOPPED = "STOP: a check says no, do not cut"
"""At the head of every page of a job that must not be built."""


def heading(work: Work, shown: Sequence[Sharing]) -> str:
    """The plates on a page, revision and shape in one line, after what stops them; of several each bears its mark."""
    stopped = f"{STOPPED}  |  " if work.stopped else ""
    revision = f"  |  revision {work.stamp.letter}" if work.stamp else ""
    if len(shown) > 1:
        return f"{stopped}{len(shown)} drawings{revision}  |  scale 1 : 1"
    return f"{stopped}{names(shown[0])}{revision}  |  mark {shape_mark(shown[0][0])}  |  scale 1 : 1"


FOOT_MM = 2.75
"""Height of the lettering under the drawing."""

BESIDE_BARS_MM = 134.0
"""Where words begin that stand beside the bars."""

MAP_WIDTH_MM = 34.0
"""Most that the map of sheets may be wide."""


BARS = (
    (complex(MARGIN_MM + BARS_LEFT_MM, MARGIN_MM), False, 100.0, 10, CHECK_BAR["mm"]),
    (complex(MARGIN_MM + BARS_LEFT_MM, MARGIN_MM + 5.5), False, 4 * INCH_MM, 8, CHECK_BAR["in"]),
    (complex(MARGIN_MM + 4.0, MARGIN_MM + STRIP_BELOW_MM), True, 100.0, 10, CHECK_BAR["mm"]),
    (complex(MARGIN_MM + 9.5, MARGIN_MM + STRIP_BELOW_MM), True, 4 * INCH_MM, 8, CHECK_BAR["in"]),
)
"""Scale bars in both directions: where each begins, whether upright, its length in mm, its parts, what it says."""


def foot(page: Page, units: Units | None, *more: str, tight: bool = False) -> None:
    """Both bars in both directions, and what to do with them, beside the bars on a ``tight`` sheet."""
    for at, upright, length_mm, parts, words in BARS:
        page.bar(at.real, at.imag, length_mm, length_mm / parts, upright=upright, words=words)
    level = complex(MARGIN_MM + BARS_LEFT_MM, MARGIN_MM + STRIP_BELOW_MM - 4.0)
    if tight:
        level = complex(BESIDE_BARS_MM, MARGIN_MM + 6.5)
    page.draw(
        Words(words, level - 3.6j * i, FOOT_MM, "start", bold=i == 0)
        for i, words in enumerate((MEASURE_FIRST, how_to_print(units), *more))
    )


def tile_map(page: Page, plate: Plate, tiles: Tiling, tile: Tile) -> None:
    """A small map of the plate's sheets, this one grey, in the lower right corner."""
    scale = map_scale(tiles, MAP_WIDTH_MM, STRIP_BELOW_MM - 3.0)
    _, _, width, _ = map_bounds(tiles)
    draw_map(page, plate, tiles, complex(tiles.sheet.width_mm - MARGIN_MM - width * scale, MARGIN_MM), scale, tile)


def map_bounds(tiles: Tiling) -> tuple[float, float, float, float]:
    """Left, bottom, width and height of all of a plate's sheets, laid on each other, in the plate's millimetres."""
    _, _, wide, tall = tiles.sheet.window
    corners = [t.corner for t in tiles.tiles]
    left, bottom = min(p.real for p in corners), min(p.imag for p in corners)
    return left, bottom, max(p.real for p in corners) + wide - left, max(p.imag for p in corners) + tall - bottom


def map_scale(tiles: Tiling, width_mm: float, height_mm: float) -> float:
    """The scale at which a plate's sheets fit a rectangle."""
    _, _, width, height = map_bounds(tiles)
    return min(width_mm / width, height_mm / height)


def draw_map(page: Page, plate: Plate, tiles: Tiling, corner: complex, scale: float, grey: Tile | None = None) -> None:
    """How a plate's sheets lie beside each other, from a corner of the page, one of them grey."""
    _, _, wide, tall = tiles.sheet.window
    left, bottom, _, _ = map_bounds(tiles)
    c = page.canvas
    c.saveState()
    c.translate(corner.real, corner.imag)
    c.scale(scale, scale)
    c.translate(-left, -bottom)
    c.setDash()
    c.setLineWidth(0.15 / scale)
    c.setStrokeGray(0.0)
    for other in tiles.tiles:
        c.setFillGray(0.80 if other == grey else 1.0)
        c.rect(other.corner.real, other.corner.imag, wide, tall, stroke=1, fill=1)
    c.setFillGray(0.0)
    c.setFont("Helvetica", 3.0 / scale)
    for other in tiles.tiles:
        at = other.corner + complex(1.2 / scale, tall - 3.8 / scale)
        c.drawString(at.real, at.imag, f"{other.row}-{other.column}")
    page.stroke(Stroke(plate.outline, "cut", wide_mm=0.2 / scale))
    c.restoreState()


Pages = Sequence[tuple[Shown, ...]]
"""What each page after the first one shows."""

COVER_MAP_MM, LEAST_MAP_MM = (52.0, 38.0), 12.0
"""Most that a plate's map may measure on the first page, across and up; the least height that shows anything."""

MAP_WORDS_MM, MAP_APART_MM = 2.8, 6.0
"""Height of the words over a map, and room between maps."""


def _maps(page: Page, pages: Pages, left: float, right: float, above_mm: float) -> None:
    """How the pages of each plate that takes several are joined, in a row over the bars, as large as there is room."""
    low = MARGIN_MM + STRIP_BELOW_MM + 4.0
    joined = [(s.plates, s.tiles) for s, *_ in pages if len(s.tiles.tiles) > 1 and s.tile is s.tiles.tiles[0]]
    tall = min(COVER_MAP_MM[1], above_mm - low - 8.0)
    if not joined or tall < LEAST_MAP_MM:
        return
    each = (right - left + MAP_APART_MM) / len(joined) - MAP_APART_MM
    at = complex(left, low)
    for plates, tiles in joined:
        scale = map_scale(tiles, min(COVER_MAP_MM[0], each), tall)
        _, _, width, height = (side * scale for side in map_bounds(tiles))
        draw_map(page, plates[0], tiles, at, scale)
        words = f"{names(plates)}: how its pages join"
        high = min(MAP_WORDS_MM, each / (LETTER[False] * len(words)))
        page.draw((Words(words, at + complex(0.0, height + 2.0), high, "start"),))
        at += max(width, LETTER[False] * high * len(words)) + MAP_APART_MM


HOW_TO_CHECK = (
    "Print this page first. Lay a steel rule on both bars, along the page and across it.",
    "The square is 50 mm by 50 mm corner to corner of its lines; the ring is 1 in across.",
    "If one direction is out and the other is not, turn off every scaling in the printer's dialogue",
    "and print again, or use another printer. Do not cut steel from paper that failed this.",
)
"""What the page says."""

LETTERING_MM = 3.2
"""Height of its lettering."""


def check_page(canvas: Any, work: Work, pages: Pages, sheet: Sheet) -> None:
    """Bars, a square, a ring, a box to sign, what the pages are, what to heed."""
    if sheet.name == ROLL:
        sheet = Sheet(ROLL, sheet.width_mm, 300.0)
    page = Page(canvas, sheet.width_mm, sheet.height_mm)
    left, right = MARGIN_MM + BARS_LEFT_MM, sheet.width_mm - MARGIN_MM
    top = sheet.height_mm - MARGIN_MM - 4.0
    revision = f"revision {work.stamp.letter}  |  " if work.stamp else ""
    page.draw(
        (
            Words("PRINT CHECK", complex(left, top), 8.0, "start", bold=True),
            *((Words(STOPPED, complex(left, top - 13.0), 4.0, "start", bold=True),) if work.stopped else ()),
            Words(f"{revision}page 1 of {len(pages) + 1}  |  {sheet.label} paper", complex(right, top), 2.8, "end"),
            Words(work.job.title, complex(left, top - 9.0), 4.0, "start"),
            *(Words(w, complex(left, top - 17.0 - 5.0 * i), 3.4, "start", i == 0) for i, w in enumerate(HOW_TO_CHECK)),
        )
    )
    corner = complex(left, top - 88.0)
    _box(page, corner, 50.0, 50.0)
    page.stroke(Stroke(Circle(corner + 75 + 25j, INCH_MM / 2), "fine"))
    page.draw(
        (
            Words("50 mm", corner + 25 + 3j, 2.8),
            Words("50 mm", corner + 3 + 25j, 2.8, turn_rad=1.5707963267948966),
            Words("1 in", corner + 75 + 25j, 2.8),
        )
    )
    _sign(page, corner + 96 + 2j, CHECK_BAR[work.job.units])
    contents = _contents(work, pages, complex(left, top - 97.0), right - left)
    page.draw(contents)
    _maps(page, pages, left, right, contents[-1].at.imag)
    foot(page, work.job.units)
    canvas.showPage()


def _box(page: Page, corner: complex, width: float, height: float) -> None:
    points = (corner, corner + width, corner + complex(width, height), corner + complex(0, height))
    page.stroke(Stroke(polygon(points), "fine"))


def _sign(page: Page, corner: complex, bar: str) -> None:
    _box(page, corner, 68.0, 46.0)
    for i, words in enumerate((f"{bar} across reads", f"{bar} along reads", "checked by", "date")):
        level = corner + complex(0, 38.5 - 11 * i)
        page.draw((Words(words, level + 3 + 1.5j, 2.8, "start"), line(level + 32, level + 65, "fine")))


def _numbered(pages: Pages) -> list[tuple[Sharing, int, int]]:
    """Plates with their first and last page, shims, which are squares alike, as one entry."""
    found: dict[str, tuple[Sharing, int, int]] = {}
    for number, page in enumerate(pages, 2):
        for plates in (shown.plates for shown in page):
            key = "shim" if plates[0].role == "shim" else plates[0].name
            before, first, _ = found.get(key, ((), number, number))
            found[key] = (tuple(dict.fromkeys((*before, *plates))), first, number)
    return list(found.values())


def _contents(work: Work, pages: Pages, at: complex, wide_mm: float) -> list[Words]:
    """A line a plate with its pages, then the warnings."""
    show, letters = Show(work.job.units), int(wide_mm / (LETTERING_MM * LETTER[False]))
    lines = [Words("What follows", at, 3.6, "start", bold=True)]
    for plates, first, last in _numbered(pages):
        plate = plates[0]
        u0, v0, u1, v1 = plate.outline.bounds
        parts = (
            f"{names(plates)}: " + (f"page {first}" if first == last else f"pages {first} to {last}"),
            f"{tape(show, u1 - u0)} by {tape(show, v1 - v0)} {show.units} over all",
            *((f"mark {shape_mark(plate)}", facing(work, plate).lower()) if plate.role != "shim" else ()),
        )
        for k, row in enumerate(wrap("; ".join(p for p in parts if p), letters)):
            lines.append(Words(row, lines[-1].at - (4.2j if k else 5.5j), LETTERING_MM, "start"))
    told = dict.fromkeys(words for end in work.ends for words in end.bracket.cautions)
    for i, words in enumerate((*WARNING, *map(show.text, told))):
        for k, row in enumerate(wrap(words, letters)):
            lines.append(
                Words(row, lines[-1].at - (9.0j if i == k == 0 else 5.5j if k == 0 else 4.2j), LETTERING_MM, "start")
            )
    return lines
