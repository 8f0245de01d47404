"""Outlines as corners joined by chords, for what is drawn in flats: pictures, meshes, the room that words take."""

import math
from dataclasses import dataclass, field

from plategen.draw.pen import Shape, draw
from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Line


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

    Args:
        shape: What is drawn.
        turn_rad: No chord of an arc turns by more.

    >>> chords(Circle(0j, 1.0), math.pi / 2)[0]
    (1+0j)
    """
    pen = ChordPen(turn_rad)
    draw(shape, pen)
    return pen.points
