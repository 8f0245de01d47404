"""A plain line plot over the sweep, as SVG text: grid, round ticks, each line named at its end."""

import math
from dataclasses import dataclass

import numpy as np

from plategen.steering.vector import Floats
from plategen.tell.steering import svg

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


def line_plot(
    name: str, title: str, along: Floats, curves: tuple[Curve, ...], *, x_label: str, y_label: str, zero: bool = False
) -> str:
    """Up to four curves over one axis.

    Args:
        name: Short and unique on the page; makes the picture's ids.
        title: What is shown.
        along: Horizontal values, (n,), rising.
        curves: What is drawn.
        x_label: Horizontal axis, with its unit.
        y_label: Vertical axis, with its unit.
        zero: True to have zero on the vertical axis.
    """
    drawn = [c for c in curves if np.isfinite(c.values).any()]
    finite = np.concatenate([c.values[np.isfinite(c.values)] for c in drawn]) if drawn else np.array([0.0, 1.0])
    low, high = float(finite.min()), float(finite.max())
    if zero:
        low, high = min(low, 0.0), max(high, 0.0)
    y_ticks = svg.round_ticks(low, high)
    start, end = float(along[0]), float(along[-1])
    x_ticks = [t for t in svg.round_ticks(start, end, 8) if start - 1e-9 <= t <= end + 1e-9]

    def x(value: float) -> float:
        return LEFT + (value - start) / (end - start) * (WIDTH - LEFT - RIGHT)

    def y(value: float) -> float:
        return HEIGHT - BOTTOM - (value - y_ticks[0]) / (y_ticks[-1] - y_ticks[0]) * (HEIGHT - TOP - BOTTOM)

    body = [svg.words(LEFT, 18, title)]
    for tick in y_ticks:
        body.append(svg.line([(LEFT, y(tick)), (WIDTH - RIGHT, y(tick))], "zero" if tick == 0.0 else "grid", 1.0))
        body.append(svg.words(LEFT - 6, y(tick) + 4, _plain(tick), anchor="end"))
    for tick in x_ticks:
        body.append(svg.line([(x(tick), TOP), (x(tick), HEIGHT - BOTTOM)], "zero" if tick == 0.0 else "grid", 1.0))
        body.append(svg.words(x(tick), HEIGHT - BOTTOM + 16, _plain(tick), anchor="middle"))
    body.append(svg.words((LEFT + WIDTH - RIGHT) / 2, HEIGHT - 8, x_label, anchor="middle"))
    body.append(svg.words(16, (TOP + HEIGHT - BOTTOM) / 2, y_label, anchor="middle", turn=-90.0))
    picked = np.unique(np.linspace(0, len(along) - 1, MOST_POINTS).round().astype(int))
    ends = []
    for kind, curve in zip(KINDS, drawn, strict=False):
        points = [(x(float(along[i])), y(float(curve.values[i]))) for i in picked if math.isfinite(curve.values[i])]
        body.append(svg.line(points, kind, 2.0))
        ends.append(points[-1][1])
    apart = 30.0 if any(", " in curve.name for curve in drawn) else 15.0  # such a name stands on two lines
    for kind, curve, place in zip(KINDS, drawn, svg.spread_labels(ends, apart), strict=False):
        first, comma, rest = curve.name.partition(", ")
        body.append(svg.words(WIDTH - RIGHT + 6, place + 4, first + comma.strip(), kind=kind))
        if rest:
            body.append(svg.words(WIDTH - RIGHT + 6, place + 18, rest, kind=kind))
    described = "; ".join(
        f"{c.name} from {_plain(float(np.nanmin(c.values)))} to {_plain(float(np.nanmax(c.values)))}" for c in drawn
    )
    return svg.frame(WIDTH, HEIGHT, title, f"{y_label} over {x_label}: {described}", body, name)


def _plain(value: float) -> str:
    return f"{value:.4g}"
