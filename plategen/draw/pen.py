"""The one way to draw: an outline is walked edge by edge, and a pen is told of each.

An outline knows nothing of how it is drawn, a pen nothing of how outlines are kept. So every output (DXF, PDF, SVG,
the solid kernel) is one small pen of its own, beside what it writes, and there is one walk. Here are the walk and the
pen of what is drawn in flats: chords.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment

Shape: TypeAlias = Loop | Circle | Chain | Iterable[Segment]
"""What can be drawn: a closed contour, or edges that follow each other."""


class Pen(Protocol):
    """What draws. Each run of edges is one ``move_to``, its edges in order and one ``finish``, or one ``circle``.

    An edge comes whole, its start with it, so that a pen need not keep where it stands.
    """

    def move_to(self, start: complex) -> None:
        """Begins a run of edges."""

    def line_to(self, line: Line) -> None:
        """A straight edge."""

    def arc_to(self, arc: Arc) -> None:
        """A circular edge."""

    def finish(self, *, closed: bool) -> None:
        """Ends the run; ``closed`` when its last edge ends where its first begins."""

    def circle(self, circle: Circle) -> None:
        """A full circle, a run of its own. A pen that knows none draws its halves (:func:`draw_edges`)."""


def draw(shape: Shape, pen: Pen) -> None:
    """Walks an outline with a pen: a loop closed, a chain or loose edges open, a circle as one."""
    if isinstance(shape, Circle):
        pen.circle(shape)
    else:
        draw_edges(shape, pen, closed=isinstance(shape, Loop))


def draw_edges(edges: Iterable[Segment], pen: Pen, *, closed: bool) -> None:
    """Walks edges that follow each other with a pen; nothing where there are none."""
    begun = False
    for edge in edges:
        if not begun:
            pen.move_to(edge.start)
            begun = True
        if isinstance(edge, Arc):
            pen.arc_to(edge)
        else:
            pen.line_to(edge)
    if begun:
        pen.finish(closed=closed)


@dataclass(slots=True)
class ChordPen:
    """Keeps the start of every chord; an arc is cut into equal chords that each turn by no more than ``turn_rad``."""

    turn_rad: float
    points: list[complex] = field(default_factory=list)

    def move_to(self, start: complex) -> None:
        """Nothing yet: each chord brings its start."""

    def line_to(self, line: Line) -> None:
        """One chord."""
        self.points.append(line.start)

    def arc_to(self, arc: Arc) -> None:
        """As many chords as the turn asks for."""
        count = max(1, math.ceil(abs(arc.sweep_rad) / self.turn_rad))
        self.points += [arc.point(k / count) for k in range(count)]

    def finish(self, *, closed: bool) -> None:
        """The end belongs to whoever draws on."""

    def circle(self, circle: Circle) -> None:
        """Chords from the rightmost point, anticlockwise."""
        count = math.ceil(2.0 * math.pi / self.turn_rad)
        angles = (2.0 * math.pi * k / count for k in range(count))
        self.points += [circle.centre + circle.radius * complex(math.cos(a), math.sin(a)) for a in angles]


def chords(shape: Shape, turn_rad: float) -> list[complex]:
    """The starts of the chords that stand for an outline, in order; the end of an open one left out.

    No chord of an arc turns by more than ``turn_rad``.

    >>> chords(Circle(0j, 1.0), math.pi / 2)[0]
    (1+0j)
    """
    pen = ChordPen(turn_rad)
    draw(shape, pen)
    return pen.points
