"""Small pieces of SVG that the steering's pictures share: a titled frame, lines, words, round tick marks, a plain line
plot over the sweep.

Strokes and letters take ``currentColor`` and a class, so that a page's style rules over them; line kinds differ in
dash as well as in colour, for colour-blind readers and grey printers. Coordinates are pixels, y downwards.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import count, pairwise

import numpy as np
from numpy.typing import NDArray

from plategen.draw.svg import element, text_of
from plategen.draw.svg import number as decimal
from plategen.ground.order import distinct
from plategen.steering.vector import Floats
from plategen.tell.picture.place import box_about

DASHES = {"a": "", "b": "7 3", "c": "2 3", "d": "9 3 2 3"}
"""Dashes of the line kinds, which ``section.css`` colours: no two of them differ in hue alone."""


def number(value: float) -> str:
    """A coordinate to a hundredth of a pixel."""
    return decimal(value, 2)


def frame(width: float, height: float, title: str, description: str, body: Iterable[str], name: str) -> str:
    """An SVG picture that says what it is to a screen reader; ``name`` makes its ids unique on the page."""
    head = element("title", text_of(title), id=f"{name}-title")
    head += element("desc", text_of(description), id=f"{name}-desc")
    return element(
        "svg",
        head + "".join(body),
        class_="steer",
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        role="img",
        aria_labelledby=f"{name}-title {name}-desc",
        fill="none",
        stroke="currentColor",
    )


def line(points: Iterable[tuple[float, float]], kind: str = "", width: float = 1.5, dash: str | None = None) -> str:
    """A polyline of a line kind (class)."""
    data = "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)
    dashes = DASHES.get(kind, "") if dash is None else dash
    return element("path", class_=kind, d=data, stroke_width=number(width), stroke_dasharray=dashes or None)


def words(x: float, y: float, text: str, *, anchor: str = "start", kind: str = "", turn: float = 0.0) -> str:
    """A line of text; turned about its own place when asked."""
    return element(
        "text",
        text_of(text),
        class_=kind,
        x=number(x),
        y=number(y),
        text_anchor=anchor,
        fill="currentColor",
        stroke="none",
        font_size="12",
        transform=f"rotate({number(turn)} {number(x)} {number(y)})" if turn else None,
    )


def dot(x: float, y: float, kind: str = "", radius: float = 3.0) -> str:
    """A ball joint or pin."""
    return element("circle", class_=kind, cx=number(x), cy=number(y), r=number(radius), stroke_width="1.5")


def round_ticks(low: float, high: float, about: int = 6) -> list[float]:
    """Round numbers that cover a range: steps of 1, 2 or 5 times a power of ten."""
    if not high > low:
        high, low = low + 0.5, low - 0.5
    raw = (high - low) / about
    power = 10.0 ** math.floor(math.log10(raw))
    step = next(m * power for m in (1.0, 2.0, 5.0, 10.0) if m * power >= raw * (1.0 - 1e-9))
    first = math.floor(low / step + 1e-9)
    ticks = []
    for i in count(first):
        ticks.append(i * step)
        if i * step >= high - 1e-9 * step:
            return ticks
    raise AssertionError  # count never ends


def spread_labels(places: Sequence[float], apart: float, lowest: float = math.inf) -> list[float]:
    """The same places moved down as far as needed to stand ``apart`` from each other, in their given order, and then up
    as far as the ``lowest`` place asks.
    """
    order = sorted(range(len(places)), key=lambda i: places[i])
    moved = list(places)
    for above, below in pairwise(order):
        moved[below] = max(moved[below], moved[above] + apart)
    for place in reversed(order):
        moved[place] = min(moved[place], lowest)
        lowest = moved[place] - apart
    return moved


_SAME_PX, LETTER_PX, _LINE_PX = 3.0, 7.0, 13.0
"""Dots nearer than this are one; width of a letter and height of a line as they are shown, no less."""


def numbered(dots: Sequence[tuple[float, float]]) -> list[tuple[float, float, str]]:
    """Where the number of each dot stands, from 1, clear of the dots and of each other: left end, base line, words.

    Dots in one place share their words. Beside the dot if there is room, else farther out, to the right and left by
    turns.
    """
    groups: list[tuple[float, float, list[int]]] = []
    for number, (x, y) in enumerate(dots, 1):
        same = next((g for g in groups if abs(g[0] - x) < _SAME_PX and abs(g[1] - y) < _SAME_PX), None)
        if same is not None:
            same[2].append(number)
        else:
            groups.append((x, y, [number]))
    taken = [box_about(complex(x, y), 8.0, 8.0) for x, y, _ in groups]
    found = []
    for x, y, numbers in groups:
        words = ", ".join(map(str, numbers))
        wide = LETTER_PX * len(words)
        tried = [
            (x + 6.0 * out if right else x - 6.0 * out - wide, y + 4.0 + 9.0 * down * out)
            for out in (1.0, 2.0, 3.0, 4.0)
            for down in (1.0, -1.0, 0.0)
            for right in (True, False)
        ]
        middles = (complex(left + wide / 2.0, base + 3.0 - _LINE_PX / 2.0) for left, base in tried)
        boxes = [box_about(middle, wide, _LINE_PX) for middle in middles]
        free = (i for i, box in enumerate(boxes) if not any(map(box.meets, taken)))
        best = next(free, 0)
        taken.append(boxes[best])
        found.append((*tried[best], words))
    return found


WIDTH, HEIGHT = 440.0, 250.0
LEFT, RIGHT, TOP, BOTTOM = 56.0, 112.0, 30.0, 46.0
MOST_POINTS = 121
KINDS = "abcd"
"""Size of a plot, the room about its frame, points of a curve, and the kinds of line."""


@dataclass(frozen=True, slots=True)
class Curve:
    """One line of a plot: its name and a value at every position; NaN leaves a gap."""

    name: str
    values: Floats


def picked(positions: int) -> NDArray[np.int64]:
    """The positions of so many that a curve is drawn through, (m,) indices."""
    return distinct(np.linspace(0, positions - 1, MOST_POINTS).round().astype(np.int64))


def line_plot(
    name: str, title: str, along: Floats, curves: tuple[Curve, ...], *, x_label: str, y_label: str, zero: bool = False
) -> str:
    """Up to four curves over one axis of rising values ``along``, (n,); the labels carry units.

    ``name`` is short and unique on the page and makes the picture's ids; ``zero`` sets zero on the vertical axis.
    """
    drawn = [c for c in curves if np.isfinite(c.values).any()]
    finite = np.concatenate([c.values[np.isfinite(c.values)] for c in drawn]) if drawn else np.array([0.0, 1.0])
    low, high = float(finite.min()), float(finite.max())
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    y_ticks = round_ticks(low, high)
    start, end = float(along[0]), float(along[-1])
    x_ticks = [t for t in round_ticks(start, end, 8) if start - 1e-9 <= t <= end + 1e-9]

    def x(value: float) -> float:
        return LEFT + (value - start) / (end - start) * (WIDTH - LEFT - RIGHT)

    def y(value: float) -> float:
        return HEIGHT - BOTTOM - (value - y_ticks[0]) / (y_ticks[-1] - y_ticks[0]) * (HEIGHT - TOP - BOTTOM)

    body = [words(LEFT, 18, title)]
    for tick in y_ticks:
        body.append(line([(LEFT, y(tick)), (WIDTH - RIGHT, y(tick))], "zero" if tick == 0.0 else "grid", 1.0))
        body.append(words(LEFT - 6, y(tick) + 4, _plain(tick), anchor="end"))
    for tick in x_ticks:
        body.append(line([(x(tick), TOP), (x(tick), HEIGHT - BOTTOM)], "zero" if tick == 0.0 else "grid", 1.0))
        body.append(words(x(tick), HEIGHT - BOTTOM + 16, _plain(tick), anchor="middle"))
    body.append(words((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 8, x_label, anchor="middle"))
    body.append(words(16, (TOP + HEIGHT - BOTTOM) / 2, y_label, anchor="middle", turn=-90.0))
    few, ends = picked(len(along)), []
    for kind, curve in zip(KINDS, drawn, strict=False):
        points = [(x(float(along[i])), y(float(curve.values[i]))) for i in few if math.isfinite(curve.values[i])]
        body.append(line(points, kind, 2.0))
        ends.append(points[-1][1])
    apart = 30.0 if any(", " in curve.name for curve in drawn) else 15.0  # such a name stands on two lines
    for kind, curve, place in zip(KINDS, drawn, spread_labels(ends, apart, HEIGHT - 24.0), strict=False):
        first, comma, rest = curve.name.partition(", ")
        body.append(words(WIDTH - RIGHT + 6, place + 4, first + comma.strip(), kind=kind))
        if rest:
            body.append(words(WIDTH - RIGHT + 6, place + 18, rest, kind=kind))
    described = "; ".join(
        f"{c.name} from {_plain(float(np.nanmin(c.values)))} to {_plain(float(np.nanmax(c.values)))}" for c in drawn
    )
    return frame(WIDTH, HEIGHT, title, f"{y_label} over {x_label}: {described}", body, name)


def _plain(value: float) -> str:
    return f"{value:.4g}"
