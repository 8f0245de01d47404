"""A fitted trace as plain characters for the terminal: the edge with its readings, below it how far each lies off.

Across, both are to one scale; upwards each has its own, which is told beside it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.plate_station import numbered, step_mm
from plategen.tell.picture.trace import place_along

EDGE_ROWS = 11
OFF_ROWS = 9
"""Rows of the edge's picture and of the residuals'."""

NARROWEST = 48
WIDEST = 160
"""Columns of a picture at the least, whatever the terminal, and at the most."""

GUTTER = 10
"""Columns left of it for the scales."""

LEAST_RISE_MM = 12.0
"""A rail that rises less than this is not drawn as if it rose all the way."""

SAMPLES = 6
"""Points of the edge drawn for each column."""


@dataclass(frozen=True, slots=True)
class Signs:
    """What a picture is drawn with."""

    level: str  # An edge that lies level, from high in its row to low.
    rising: str
    falling: str
    upright: str
    axis: str
    tick: str
    reading: str = "o"
    left_out: str = "X"
    over: str = "^"
    under: str = "v"
    open: str = "~"
    asked: str = "?"

    @property
    def all(self) -> str:
        """Every sign."""
        return "".join((self.level, self.rising, self.falling, self.upright, self.axis, self.tick))


LINES = Signs(level="⎺⎻─⎼⎽", rising="╱", falling="╲", upright="│", axis="─", tick="┬")
PLAIN = Signs(level="'-_", rising="/", falling="\\", upright="|", axis="-", tick="+")
"""Line signs, and plain ASCII ones for a terminal that has no others."""


@dataclass(frozen=True, slots=True)
class Canvas:
    """A raster of characters over a window of the plane."""

    low: complex
    high: complex
    wide: int
    cells: list[list[str]] = field(default_factory=list)

    @classmethod
    def blank(cls, low: complex, high: complex, wide: int, rows: int) -> "Canvas":
        """An empty one."""
        return cls(low, high, wide, [[" "] * wide for _ in range(rows)])

    @property
    def rows(self) -> int:
        """How many rows it has."""
        return len(self.cells)

    def column(self, u: float) -> int:
        """The column of a place across; held within the window."""
        share = (u - self.low.real) / max(self.high.real - self.low.real, 1e-9)
        return round(min(max(share, 0.0), 1.0) * (self.wide - 1))

    def depth(self, v: float) -> float:
        """Rows below the top, with their fraction: a row reaches from its number to the next."""
        return (self.high.imag - v) / (self.high.imag - self.low.imag) * self.rows

    def put(self, u: float, v: float, sign: str, signs: Signs) -> None:
        """A sign where it belongs; beyond top or bottom, the arrow that says so."""
        row = math.floor(self.depth(v))
        sign = sign if 0 <= row < self.rows else signs.over if row < 0 else signs.under
        self.cells[min(max(row, 0), self.rows - 1)][self.column(u)] = sign


def plot(fitted: FittedTrace, show: Show, columns: int, signs: Signs = LINES) -> list[str]:
    """The picture's lines.

    Args:
        fitted: What is drawn.
        show: The units.
        columns: Width of the terminal.
        signs: What it is drawn with.
    """
    wide = min(max(columns, NARROWEST), WIDEST) - GUTTER
    edge = _edge(fitted, wide, signs)
    off, scale = _off(fitted, wide, signs)
    top, bottom = (show.short(v) for v in (edge.high.imag, edge.low.imag))
    return [
        *_labelled(edge, f"{top} {show.units}", f"{bottom} {show.units}"),
        *_ruler(edge, show, signs),
        *_labelled(off, f"+{show.short(scale)} {show.units}", f"-{show.short(scale)} {show.units}", "off"),
        *_asked(fitted, edge, signs),
        _legend(fitted, signs),
    ]


def _asked(fitted: FittedTrace, edge: Canvas, signs: Signs) -> list[str]:
    """Under the picture, along which stretches the fit leaves something open, and where readings would tell most."""
    heard = [question for question in fitted.questions if question.heard]
    cells = [" "] * edge.wide
    for question in heard:
        first, last = sorted(edge.column(point.real) for point in question.stretch)
        cells[first : last + 1] = signs.open * (last + 1 - first)
    for question in heard:
        for point in question.read_at:
            cells[edge.column(point.real)] = signs.asked
    return [f"{'open':>{GUTTER - 1}} " + "".join(cells).rstrip()] if heard else []


def _window(fitted: FittedTrace) -> tuple[complex, complex]:
    """What the edge's picture shows: the chain and the readings that were kept."""
    chain = fitted.chain
    points = [segment.point(t) for segment in chain for t in (0.0, 0.25, 0.5, 0.75, 1.0)]
    points += [r.point for i, r in enumerate(fitted.trace.readings) if i not in fitted.doubtful]
    across = [p.real for p in points] + [r.point.real for r in fitted.trace.readings]
    low, high = (f(p.imag for p in points) for f in (min, max))
    spare = max(LEAST_RISE_MM - (high - low), 0.1 * (high - low)) / 2
    return complex(min(across), low - spare), complex(max(across), high + spare)


def _edge(fitted: FittedTrace, wide: int, signs: Signs) -> Canvas:
    canvas = Canvas.blank(*_window(fitted), wide, EDGE_ROWS)
    column_mm = max((canvas.high.real - canvas.low.real) / wide, 1e-9)
    row_mm = (canvas.high.imag - canvas.low.imag) / canvas.rows
    for segment in fitted.chain:
        steps = max(int(SAMPLES * segment.length / min(column_mm, row_mm)), 2) if isinstance(segment, Line) else 400
        for step in range(steps + 1):
            at, way = segment.point(step / steps), segment.tangent(step / steps)
            depth = canvas.depth(at.imag)
            slope = (way.imag / row_mm) / (way.real / column_mm) if abs(way.real) > 1e-9 else math.inf
            row = min(max(math.floor(depth), 0), canvas.rows - 1)
            canvas.cells[row][canvas.column(at.real)] = _stroke(slope, depth - row, signs)
    for i, reading in enumerate(fitted.trace.readings):
        canvas.put(reading.point.real, reading.point.imag, _sign(fitted, i, signs), signs)
    return canvas


def _stroke(slope: float, down: float, signs: Signs) -> str:
    """The sign of an edge that rises so many rows a column, at its share of the row's height from the top."""
    if abs(slope) > 2.5:
        return signs.upright
    if abs(slope) > 0.7:
        return signs.rising if slope > 0.0 else signs.falling
    return signs.level[min(max(int(down * len(signs.level)), 0), len(signs.level) - 1)]


def _off(fitted: FittedTrace, wide: int, signs: Signs) -> tuple[Canvas, float]:
    """The residuals, and how much top and bottom stand for."""
    low, high = _window(fitted)
    kept = [abs(r) for i, r in enumerate(fitted.residuals_mm) if i not in fitted.doubtful]
    scale = max([2.2 * fitted.read_error_mm, *kept])
    reach = scale * OFF_ROWS / (OFF_ROWS - 1)  # so that the largest stands in the middle of its row
    canvas = Canvas.blank(complex(low.real, -reach), complex(high.real, reach), wide, OFF_ROWS)
    canvas.cells[OFF_ROWS // 2][:] = signs.axis * wide
    for i, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True)):
        u = place_along(fitted, reading.point, low.real, high.real)
        row = min(max(math.floor(canvas.depth(residual)), 0), OFF_ROWS - 1)
        for between in range(min(row, OFF_ROWS // 2) + (row < OFF_ROWS // 2), max(row, OFF_ROWS // 2)):
            canvas.cells[between + (row > OFF_ROWS // 2)][canvas.column(u)] = signs.upright
        canvas.put(u, residual, _sign(fitted, i, signs), signs)
    return canvas, scale


def _sign(fitted: FittedTrace, index: int, signs: Signs) -> str:
    return signs.left_out if index in fitted.doubtful else signs.reading


def _labelled(canvas: Canvas, top: str, bottom: str, middle: str = "") -> Iterator[str]:
    beside = {0: top, canvas.rows // 2: middle, canvas.rows - 1: bottom}
    for row, cells in enumerate(canvas.cells):
        yield (f"{beside.get(row, '')[: GUTTER - 1]:>{GUTTER - 1}} " + "".join(cells)).rstrip()


def _ruler(edge: Canvas, show: Show, signs: Signs) -> list[str]:
    """The straightedge with its stations."""
    span = edge.high.real - edge.low.real
    step = step_mm(span, show.units, edge.wide // 8)
    line, words = [signs.axis] * edge.wide, [" "] * edge.wide
    for i in range(math.ceil(edge.low.real / step - 1e-6), math.floor(edge.high.real / step + 1e-6) + 1):
        at, number = edge.column(i * step), numbered(show, i * step)
        line[at] = signs.tick
        begin = min(max(at - (len(number) - 1) // 2, 0), edge.wide - len(number))
        words[begin : begin + len(number)] = number
    return [" " * GUTTER + "".join(line), f"{'station':>{GUTTER - 1}} " + "".join(words).rstrip()]


def _legend(fitted: FittedTrace, signs: Signs) -> str:
    said = f"{signs.reading} reading" + (f", {signs.left_out} left out" if fitted.doubtful else "")
    heard = any(question.heard for question in fitted.questions)
    said += f", {signs.open} open, {signs.asked} read here" if heard else ""
    along = ", along the rail" if fitted.trace.round_corner else ""
    return f"{' ' * GUTTER}{said}; off: how far off the edge{along}, up is farther from you"
