"""Edges and elements written as SVG: the one place that knows how a line or an arc looks in path data.

The plane has v upwards, SVG has y downwards, so a point ``u + v*1j`` is written as ``u, -v``. Circular arcs stay
exact: an ``A`` command, never a polyline.
"""

from collections.abc import Iterable
from html import escape

from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Segment


def number(value: float) -> str:
    """A coordinate to a millionth, without trailing zeros and without a negative zero."""
    text = f"{value:.6f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def point(p: complex) -> str:
    """A point of the plane as path data writes it."""
    return f"{number(p.real)} {number(-p.imag)}"


def path_data(segments: Iterable[Segment], *, closed: bool = False) -> str:
    """Path data of edges that follow each other.

    An arc of positive bulge turns anticlockwise for the eye, which SVG, y being downwards, calls sweep 0.

    >>> from plategen.flat.segment import Arc, Line
    >>> path_data([Line(0j, 10 + 0j), Arc(10 + 0j, 10 + 10j, 1.0)])
    'M0 0L10 0A5 5 0 0 0 10 -10'
    """
    parts: list[str] = []
    for segment in segments:
        if not parts:
            parts.append(f"M{point(segment.start)}")
        if isinstance(segment, Arc):
            radius = number(segment.radius)
            large, sweep = int(abs(segment.bulge) > 1.0), int(segment.bulge < 0.0)
            parts.append(f"A{radius} {radius} 0 {large} {sweep} {point(segment.end)}")
        else:
            parts.append(f"L{point(segment.end)}")
    return "".join(parts) + ("Z" if closed else "")


def circle_data(circle: Circle) -> str:
    """Path data of a full circle, as two half turns."""
    left, right, radius = circle.centre - circle.radius, circle.centre + circle.radius, number(circle.radius)
    return f"M{point(left)}A{radius} {radius} 0 0 1 {point(right)}A{radius} {radius} 0 0 1 {point(left)}Z"


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
