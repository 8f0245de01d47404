"""What every page of the template carries: its words, the bars in both directions, a map of its plate's sheets."""

from plategen.bracket.model import Plate
from plategen.paper.ink import Stroke, Words
from plategen.paper.pdf import Page
from plategen.paper.size import BARS_LEFT_MM, INCH_MM, MARGIN_MM, STRIP_BELOW_MM
from plategen.paper.tile import Tile, Tiling
from plategen.tell.picture.plate_words import shape_mark, spoken
from plategen.work import Work

MEASURE_FIRST = "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT."
"""On every page."""

HOW_TO_PRINT = 'Print at 100 % ("actual size"), never "fit to page". Out by more than 0.5 mm (1/64 in): print again.'
"""On every page."""

HOW_TO_JOIN = "Cut one sheet along the dashed joining line, lay it on the next: rings and letters must meet."
"""On pages that are joined."""

WARNING = (
    "Steering and welding can kill. This paper proves a shape, not a strength: it certifies nothing.",
    "Local vehicle codes, a qualified welder and a licensed engineer have the last word.",
)
"""On every page."""


def heading(work: Work, plate: Plate) -> str:
    """Plate, revision and shape in one line."""
    revision = f"  |  revision {work.stamp.letter}" if work.stamp else ""
    return f"{spoken(plate)}{revision}  |  shape {shape_mark(plate)}  |  scale 1 : 1"


FOOT_MM = 2.75
"""Height of the lettering under the drawing."""

MAP_WIDTH_MM = 34.0
"""Most that the map of sheets may be wide."""


def foot(page: Page, *more: str) -> None:
    """Both bars in both directions, and what to do with them."""
    left, low = MARGIN_MM + BARS_LEFT_MM, MARGIN_MM
    page.bar(left, low, 100.0, 10.0, upright=False, words="100 mm")
    page.bar(left, low + 5.5, 4 * INCH_MM, INCH_MM / 2, upright=False, words="4 in")
    page.bar(MARGIN_MM + 4.0, low + STRIP_BELOW_MM, 100.0, 10.0, upright=True, words="100 mm")
    page.bar(MARGIN_MM + 9.5, low + STRIP_BELOW_MM, 4 * INCH_MM, INCH_MM / 2, upright=True, words="4 in")
    level = complex(left, low + STRIP_BELOW_MM - 4.0)
    page.draw(
        Words(words, level - 3.6j * i, FOOT_MM, "start", bold=i == 0)
        for i, words in enumerate((MEASURE_FIRST, HOW_TO_PRINT, *more))
    )


def tile_map(page: Page, plate: Plate, tiles: Tiling, tile: Tile) -> None:
    """A small map of the plate's sheets, this one grey, in the lower right corner."""
    _, _, wide, tall = tiles.sheet.window
    corners = [t.corner for t in tiles.tiles]
    left, bottom = min(p.real for p in corners), min(p.imag for p in corners)
    width, height = max(p.real for p in corners) + wide - left, max(p.imag for p in corners) + tall - bottom
    scale = min(MAP_WIDTH_MM / width, (STRIP_BELOW_MM - 3.0) / height)
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
    c.setFont("Helvetica", 3.0 / scale)
    for other in tiles.tiles:
        at = other.corner + complex(1.2 / scale, tall - 3.8 / scale)
        c.drawString(at.real, at.imag, f"{other.row}-{other.column}")
    page.stroke(Stroke(plate.outline, "cut"), width_mm=0.2 / scale)
    c.restoreState()
