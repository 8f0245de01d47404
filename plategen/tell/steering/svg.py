"""Small pieces of SVG that the steering's pictures share: a titled frame, lines, words, round tick marks.

Strokes and letters take ``currentColor`` and a class, so that a page's style rules over them; line kinds differ in
dash as well as in colour, for colour-blind readers and grey printers. Coordinates are pixels, y downwards.
"""

import math
from collections.abc import Iterable, Sequence
from html import escape
from itertools import count, pairwise

STYLE = (
    ".steer{--a:var(--datum,#0072b2);--b:var(--weld,#b34f00);--c:var(--good,#007a59);--d:var(--doubt,#7a3e9d);"
    "--ground:var(--paper,Canvas);font:12px 'Liberation Sans','Helvetica Neue',Arial,sans-serif;"
    "max-width:100%;height:auto}"
    ".steer .a{stroke:var(--a)}.steer .b{stroke:var(--b)}.steer .c{stroke:var(--c)}.steer .d{stroke:var(--d)}"
    ".steer text{paint-order:stroke;stroke:var(--ground);stroke-width:3px;stroke-linejoin:round}"
    ".steer text.a{fill:var(--a);stroke:var(--ground)}.steer text.b{fill:var(--b);stroke:var(--ground)}"
    ".steer text.c{fill:var(--c);stroke:var(--ground)}.steer text.d{fill:var(--d);stroke:var(--ground)}"
    ".steer .part{fill:var(--ground)}"
    ".steer .grid{stroke-opacity:.18}.steer .zero{stroke-opacity:.55}.steer .faint{stroke-opacity:.5}"
)
"""Colours of the line kinds, the page's own where it has them (so that they follow its dark scheme), else blue,
vermilion, green, purple; two of them never differ in hue alone.
"""

DASHES = {"a": "", "b": "7 3", "c": "2 3", "d": "9 3 2 3"}
"""Dashes of the line kinds."""


def number(value: float) -> str:
    """A coordinate to a hundredth of a pixel."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def frame(width: float, height: float, title: str, description: str, body: Iterable[str], name: str) -> str:
    """An SVG picture that says what it is to a screen reader; ``name`` makes its ids unique on the page."""
    return (
        f'<svg class="steer" xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {number(width)} {number(height)}" '
        f'role="img" aria-labelledby="{name}-title {name}-desc" fill="none" stroke="currentColor">'
        f'<title id="{name}-title">{escape(title)}</title><desc id="{name}-desc">{escape(description)}</desc>'
        + "".join(body)
        + "</svg>"
    )


def line(points: Iterable[tuple[float, float]], kind: str = "", width: float = 1.5, dash: str | None = None) -> str:
    """A polyline of a line kind (class)."""
    data = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    pattern = DASHES.get(kind, "") if dash is None else dash
    dashes = f' stroke-dasharray="{pattern}"' if pattern else ""
    return f'<path class="{kind}" d="M{data}" stroke-width="{number(width)}"{dashes}/>'


def words(x: float, y: float, text: str, *, anchor: str = "start", kind: str = "", turn: float = 0.0) -> str:
    """A line of text; turned about its own place when asked."""
    place = f' transform="rotate({number(turn)} {number(x)} {number(y)})"' if turn else ""
    return (
        f'<text class="{kind}" x="{number(x)}" y="{number(y)}" text-anchor="{anchor}" fill="currentColor" '
        f'stroke="none" font-size="12"{place}>{escape(text)}</text>'
    )


def dot(x: float, y: float, kind: str = "", radius: float = 3.0) -> str:
    """A ball joint or pin."""
    return f'<circle class="{kind}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" stroke-width="1.5"/>'


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


def spread_labels(places: Sequence[float], apart: float) -> list[float]:
    """The same places moved down as far as needed to stand ``apart`` from each other, in their given order."""
    order = sorted(range(len(places)), key=lambda i: places[i])
    moved = list(places)
    for above, below in pairwise(order):
        moved[below] = max(moved[below], moved[above] + apart)
    return moved
