"""The template as SVG at true scale, a file a plate: the same ink as the PDF, on a sheet as large as the plate asks.

One unit of the drawing is one millimetre, and width and height say so; a browser or a plotter that prints at 100 %
keeps it. The bars are there to prove it, as on paper.
"""

import math
from collections.abc import Iterable

from plategen.bracket.model import Plate
from plategen.draw.svg import element, number, path_data, polyline_data, text_of
from plategen.flat.loop import Loop, polygon
from plategen.paper.ink import STROKES_MM, Ink, Stroke, Weight, Window, Words
from plategen.paper.page import HOW_TO_PRINT, MEASURE_FIRST, heading
from plategen.paper.plate_ink import ink_of
from plategen.paper.size import BARS_LEFT_MM, HEAD_MM, INCH_MM, MARGIN_MM, STRIP_BELOW_MM
from plategen.paper.tile import CLEAR_MM
from plategen.work import Work

LEAST_MM = 130.0
"""The window is never smaller, so that a bar of 4 in has room both ways."""


def template_svg(work: Work, plate: Plate) -> str:
    """One plate's template as an SVG file."""
    u0, v0, u1, v1 = plate.outline.bounds
    wide, tall = (max(reach + 2 * CLEAR_MM, LEAST_MM) for reach in (u1 - u0, v1 - v0))
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
                Words(heading(work, plate), complex(left, height - MARGIN_MM - 3.0), 3.4, "start", bold=True),
                Words(MEASURE_FIRST, complex(left, low - 4.0), 2.4, "start", bold=True),
                Words(HOW_TO_PRINT, complex(left, low - 7.1), 2.4, "start"),
            )
        ),
        _bar(complex(left, MARGIN_MM), 1 + 0j, 100.0, 10, "100 mm"),
        _bar(complex(left, MARGIN_MM + 5.5), 1 + 0j, 4 * INCH_MM, 8, "4 in"),
        _bar(complex(MARGIN_MM + 4.0, low), 1j, 100.0, 10, "100 mm"),
        _bar(complex(MARGIN_MM + 9.5, low), 1j, 4 * INCH_MM, 8, "4 in"),
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
                yield _path(path_data(item.shape), item.weight)
            case Words():
                yield _lettering(item)


def _path(data: str, weight: Weight) -> str:
    width, dashes = STROKES_MM[weight]
    return element(
        "path",
        d=data,
        stroke_width=number(width),
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
    """A scale bar, as one group that says what it is: a program can measure it as a person does."""
    way = "across" if along == 1 else "along"
    return element("g", "".join(_blocks(start, along, length_mm, parts, words)), data_bar=f"{words} {way}")


def _blocks(start: complex, along: complex, length_mm: float, parts: int, words: str) -> Iterable[str]:
    """Alternate blocks whose end ticks stand exactly ``length_mm`` apart."""
    side = along * 1j
    each = length_mm / parts
    blocks = (_box(start + along * each * i, along * each, side * 1.4) for i in range(0, parts, 2))
    yield element("path", d=path_data(*blocks), fill="#000", stroke="none")
    yield _path(path_data(_box(start, along * length_mm, side * 1.4)), "fine")
    for i in range(parts + 1):
        tick = start + along * each * i
        yield _path(polyline_data((tick, tick + side * (3.2 if i in (0, parts) else 2.0))), "fine")
    at = start + along * 0.8 + side * 3.4
    yield _lettering(Words(words, at, 2.6, "start", bold=True, turn_rad=math.atan2(along.imag, along.real)))


def _box(corner: complex, along: complex, side: complex) -> Loop:
    return polygon((corner, corner + along, corner + along + side, corner + side))
