"""SVG written: elements, numbers, words, and the pen that writes outlines as path data. Its one home.

The plane has v upwards, SVG has y downwards, so a point ``u + v*1j`` is written as ``u, -v``. Circular arcs stay
exact: an ``A`` command, never a polyline.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from html import escape

from plategen.draw.pen import Shape, draw, draw_edges
from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Line


def number(value: float, decimals: int = 6) -> str:
    """A coordinate to so many decimals, without trailing zeros and without a negative zero.

    >>> number(2.50), number(-0.0), number(1 / 3, 2)
    ('2.5', '0', '0.33')
    """
    text = f"{value:.{decimals}f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def point(p: complex) -> str:
    """A point of the plane as path data writes it."""
    return f"{number(p.real)} {number(-p.imag)}"


@dataclass(slots=True)
class PathPen:
    """Writes path data (SVG 2, chapter 9).

    An arc of positive bulge turns anticlockwise for the eye, which SVG, y being downwards, calls sweep 0.
    """

    written: list[str] = field(default_factory=list)

    def move_to(self, start: complex) -> None:
        """``M``."""
        self.written.append(f"M{point(start)}")

    def line_to(self, line: Line) -> None:
        """``L``."""
        self.written.append(f"L{point(line.end)}")

    def arc_to(self, arc: Arc) -> None:
        """``A``."""
        radius, large, sweep = number(arc.radius), int(abs(arc.bulge) > 1.0), int(arc.bulge < 0.0)
        self.written.append(f"A{radius} {radius} 0 {large} {sweep} {point(arc.end)}")

    def finish(self, *, closed: bool) -> None:
        """``Z`` where the run closes."""
        if closed:
            self.written.append("Z")

    def circle(self, circle: Circle) -> None:
        """Both halves, clockwise from the leftmost point."""
        draw_edges((half.reversed() for half in circle.segments), self, closed=True)


def path_data(*shapes: Shape) -> str:
    """Path data of outlines, one after the other.

    >>> from plategen.flat.chain import Chain
    >>> path_data(Chain((Line(0j, 10 + 0j), Arc(10 + 0j, 10 + 10j, 1.0))))
    'M0 0L10 0A5 5 0 0 0 10 -10'
    """
    pen = PathPen()
    for shape in shapes:
        draw(shape, pen)
    return "".join(pen.written)


def polyline_data(points: Sequence[complex]) -> str:
    """Path data of straight strokes from point to point."""
    return "M" + "L".join(point(p) for p in points)


def element(name: str, content: str = "", **attributes: object) -> str:
    """An element; ``content`` is markup already. ``class_`` and ``stroke_width`` become ``class``, ``stroke-width``.

    >>> element("path", d="M0 0", class_="rail", data_note="3 < 4")
    '<path d="M0 0" class="rail" data-note="3 &lt; 4"/>'
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(_plain(value))}"'
        for key, value in attributes.items()
        if value is not None
    )
    return f"<{name}{written}>{content}</{name}>" if content else f"<{name}{written}/>"


def text_of(words: str) -> str:
    """Words as markup."""
    return escape(words, quote=False)


def _plain(value: object) -> str:
    return number(value) if isinstance(value, float) else str(value)
