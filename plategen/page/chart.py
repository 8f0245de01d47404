"""A small chart of a measure over a number that runs: a mark for each variant, its limit, and where the job stands."""

from collections.abc import Sequence
from dataclasses import dataclass

from plategen.draw.svg import element, number, text_of

WIDE, HIGH = 360.0, 120.0
LEFT, RIGHT, TOP, BELOW = 64.0, 12.0, 14.0, 22.0
SIZE = 4.5
"""The picture and its margins, and half of a mark, in its own units: pixels at its natural size."""

MARKS = {
    "ok": "M-{0} 0A{0} {0} 0 1 1 {0} 0A{0} {0} 0 1 1 -{0} 0Z",
    "caution": "M0 -{0}L{0} {0}L-{0} {0}Z",
    "stop": "M-{0} -{0}H{0}V{0}H-{0}Z",
    "refused": "M-{0} -{0}L{0} {0}M{0} -{0}L-{0} {0}",
}
"""A mark for each verdict, told apart by its shape: disc, triangle, square, cross."""


@dataclass(frozen=True, slots=True)
class Mark:
    """One variant."""

    at: float  # Its number.
    value: float | None  # The measure; None where there is no bracket to measure.
    verdict: str
    words: str  # What it is, in a line.


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """What is drawn."""

    title: str
    marks: Sequence[Mark]
    ends: tuple[str, str]  # The first number and the last, in words.
    here: tuple[float, str] | None  # The job's own number, and the same in words; None where it has none.
    values: tuple[str, str]  # The least and the largest value, in words.
    limit: float | None = None  # What the measure must not pass.


def chart_svg(chart: Chart) -> str:
    """The chart as SVG that stands in the page."""
    lows = [mark.at for mark in chart.marks]
    x0, x1 = min(lows), max(lows)
    found = [mark.value for mark in chart.marks if mark.value is not None]
    scale = [*found, *(() if chart.limit is None else (0.0, chart.limit * 1.1))] or [0.0, 1.0]
    y0, y1 = min(scale), max(scale)

    def x(at: float) -> float:
        return LEFT + (WIDE - LEFT - RIGHT) * ((at - x0) / (x1 - x0) if x1 > x0 else 0.5)

    def y(value: float | None) -> float:
        share = 0.0 if value is None else (value - y0) / (y1 - y0) if y1 > y0 else 0.5
        return HIGH - BELOW - (HIGH - BELOW - TOP) * share

    content = [element("title", text_of(chart.title))]
    content.append(element("path", d=f"M{LEFT} {TOP}V{HIGH - BELOW}H{WIDE - RIGHT}", class_="axis"))
    if chart.limit is not None:
        content.append(element("path", d=f"M{LEFT} {number(y(chart.limit), 1)}H{WIDE - RIGHT}", class_="limit"))
        content.append(_words("limit", LEFT - 4, y(chart.limit) + 4, "end"))
    else:
        content.append(_words(chart.values[1], LEFT - 4, y(y1) + 4, "end"))
    content.append(_words("0" if chart.limit is not None else chart.values[0], LEFT - 4, y(y0) + 4, "end"))
    line = "L".join(f"{number(x(m.at), 1)} {number(y(m.value), 1)}" for m in chart.marks if m.value is not None)
    if line:
        content.append(element("path", d=f"M{line}", class_="course"))
    if chart.here is not None and x0 <= chart.here[0] <= x1:
        at = x(chart.here[0])
        content.append(element("path", d=f"M{number(at, 1)} {TOP - 6}V{HIGH - BELOW + 6}", class_="here"))
        content.append(_words(chart.here[1], at, HIGH - 4, "middle", "here-words"))
        near = [abs(at - x(end)) < 90 for end in (x0, x1)]
    else:
        near = [False, False]
    for mark in chart.marks:
        shape = MARKS[mark.verdict].format(number(SIZE))
        place = f"translate({number(x(mark.at), 1)} {number(y(mark.value), 1)})"
        words = element("title", text_of(mark.words))
        content.append(element("path", words, d=shape, class_=f"of {mark.verdict}", transform=place))
    for hidden, end, at, anchor in zip(near, chart.ends, (LEFT, WIDE - RIGHT), ("start", "end"), strict=True):
        if not hidden:
            content.append(_words(end, at, HIGH - 4, anchor))
    return element(
        "svg",
        "".join(content),
        xmlns="http://www.w3.org/2000/svg",
        class_="chart",
        role="img",
        aria_label=chart.title,
        viewBox=f"0 0 {number(WIDE)} {number(HIGH)}",
    )


def _words(words: str, x: float, y: float, anchor: str, kind: str = "") -> str:
    look = {"class_": kind} if kind else {}
    return element("text", text_of(words), x=number(x, 1), y=number(y, 1), text_anchor=anchor, **look)
