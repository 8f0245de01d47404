"""Several brackets drawn over each other as they stand on the rail, seen along the pin."""

from collections.abc import Sequence

from plategen.draw.svg import element, number, text_of
from plategen.page.draw import seen
from plategen.work import Work

MARGIN = 0.04
"""Room about the picture, as a share of its width."""


def overlay(works: Sequence[tuple[str, Work | None]]) -> str:
    """The outlines of named brackets in the straightedge's frame, each in a line of its own; "" where none is there."""
    plates = [(i, name, seen(work)) for i, (name, work) in enumerate(works) if work is not None]
    points = [s.point(t) for *_, seen_ in plates for p in seen_ for s in p.outline for t in (0.0, 0.25, 0.5, 0.75)]
    if not points:
        return ""
    (u0, v0), (u1, v1) = ((f(p.real for p in points), f(p.imag for p in points)) for f in (min, max))
    pad = MARGIN * max(u1 - u0, v1 - v0)
    shapes = [
        element("path", element("title", text_of(name)), d=plate.data, class_=f"over over-{i}")
        for i, name, seen_ in reversed(plates)
        for plate in seen_
    ]
    box = (u0 - pad, -v1 - pad, u1 - u0 + 2 * pad, v1 - v0 + 2 * pad)
    words = "Over each other, seen along the pin: " + ", ".join(name for _, name, _ in plates)
    return element(
        "svg",
        element("title", text_of(words)) + "".join(shapes),
        xmlns="http://www.w3.org/2000/svg",
        class_="overlay",
        role="img",
        aria_label=words,
        viewBox=" ".join(number(x, 2) for x in box),
    )
