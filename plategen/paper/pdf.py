"""Ink put on the pages of a PDF: everything in millimetres from the sheet's lower left corner, at true scale.

PDF knows only cubic Bezier curves, so an arc is split until its curves leave the circle by no more than half a
micrometre; no printer or scissors can tell.
"""

import math
from collections.abc import Iterable
from typing import Any

from plategen.draw.pen import draw, draw_edges
from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Line
from plategen.paper.ink import GREY, STROKES_MM, Ink, Stroke, Window, Words

POINTS_PER_MM = 72.0 / 25.4
"""PDF counts in points."""

WITHIN_MM = 0.0005
"""Farthest that a curve may leave its arc."""


def curve(arc: Arc) -> list[tuple[complex, complex, complex]]:
    """An arc as Bezier curves: for each, both control points and the end.

    A quarter turn's tangent cubic leaves its circle by 2.73e-4 r, and the error goes with the sixth power of the turn
    (Goldapp, Approximation of circular arcs by cubic polynomials, CAGD 8, 1991), which gives the number of parts.
    """
    radius, sweep = arc.radius, arc.sweep_rad
    largest = (math.pi / 2) * min(1.0, (WITHIN_MM / (2.73e-4 * radius)) ** (1 / 6))
    count = math.ceil(abs(sweep) / largest)
    reach = 4.0 / 3.0 * math.tan(abs(sweep) / count / 4.0) * radius
    points = [arc.point(i / count) for i in range(count + 1)]
    ahead = [reach * arc.tangent(i / count) for i in range(count + 1)]
    return [(points[i] + ahead[i], points[i + 1] - ahead[i + 1], points[i + 1]) for i in range(count)]


class _PdfPen:
    """Draws edges into a path of the canvas."""

    def __init__(self, path: Any) -> None:
        self._path = path

    def move_to(self, start: complex) -> None:
        self._path.moveTo(start.real, start.imag)

    def line_to(self, line: Line) -> None:
        self._path.lineTo(line.end.real, line.end.imag)

    def arc_to(self, arc: Arc) -> None:
        for a, b, end in curve(arc):
            self._path.curveTo(a.real, a.imag, b.real, b.imag, end.real, end.imag)

    def finish(self, *, closed: bool) -> None:
        if closed:
            self._path.close()

    def circle(self, circle: Circle) -> None:
        draw_edges(circle.segments, self, closed=True)


class Page:
    """A page of a reportlab canvas with its axes turned into millimetres."""

    def __init__(self, canvas: Any, width_mm: float, height_mm: float) -> None:
        self.canvas = canvas
        canvas.setPageSize((width_mm * POINTS_PER_MM, height_mm * POINTS_PER_MM))
        canvas.scale(POINTS_PER_MM, POINTS_PER_MM)
        canvas.setLineJoin(1)

    def window(
        self, left: float, bottom: float, width: float, height: float, corner: complex, ink: Iterable[Ink]
    ) -> None:
        """Draws ink whose point ``corner`` lies in the window's lower left corner, and nothing beyond the window.

        Words that do not stand whole in it are left to the sheet on which they do.
        """
        shown = Window(corner, corner + complex(width, height))
        c = self.canvas
        c.saveState()
        path = c.beginPath()
        path.rect(left, bottom, width, height)
        c.clipPath(path, stroke=0, fill=0)
        c.translate(left - corner.real, bottom - corner.imag)
        self.draw(item for item in ink if not isinstance(item, Words) or shown.holds(item))
        c.restoreState()

    def draw(self, ink: Iterable[Ink]) -> None:
        """Draws ink in the page's own millimetres."""
        for item in ink:
            match item:
                case Stroke():
                    self.stroke(item)
                case Words():
                    self.words(item)

    def stroke(self, stroke: Stroke) -> None:
        """An outline in one path."""
        if stroke.filled and isinstance(stroke.shape, Circle):
            self.canvas.setFillGray(0.0)
            centre = stroke.shape.centre
            self.canvas.circle(centre.real, centre.imag, stroke.shape.radius, stroke=0, fill=1)
            return
        _, dashes = STROKES_MM[stroke.weight]
        self.canvas.setLineWidth(stroke.width_mm)
        self.canvas.setStrokeGray(GREY[stroke.weight])
        self.canvas.setDash(*([list(dashes)] if dashes else []))
        path = self.canvas.beginPath()
        draw(stroke.shape, _PdfPen(path))
        self.canvas.drawPath(path, stroke=1, fill=int(stroke.filled))

    def words(self, words: Words) -> None:
        """A line of lettering on a white ground, so that no stroke runs through it."""
        c, height = self.canvas, words.height_mm
        font = "Helvetica-Bold" if words.bold else "Helvetica"
        c.saveState()
        c.translate(words.at.real, words.at.imag)
        c.rotate(math.degrees(words.turn_rad))
        wide = c.stringWidth(words.text, font, height)
        left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.anchor]
        c.setFillGray(1.0)
        c.rect(left - 0.3, -0.5 * height, wide + 0.6, height, stroke=0, fill=1)
        c.setFillGray(0.0)
        c.setFont(font, height)
        c.drawString(left, -0.35 * height, words.text)
        c.restoreState()

    def bar(self, left: float, bottom: float, length_mm: float, marks_mm: float, *, upright: bool, words: str) -> None:
        """A scale bar whose end ticks stand exactly ``length_mm`` apart."""
        c = self.canvas
        c.saveState()
        c.translate(left, bottom)
        if upright:
            c.rotate(90)
        c.setFillGray(0.0)
        c.setStrokeGray(0.0)
        c.setDash()
        c.setLineWidth(0.15)
        count = round(length_mm / marks_mm)
        for i in range(count):
            c.rect(i * marks_mm, 0, marks_mm, 1.4, stroke=1, fill=int(i % 2 == 0))
        for i in range(count + 1):
            c.line(i * marks_mm, 0, i * marks_mm, 3.2 if i in (0, count) else 2.0)
        c.setFont("Helvetica-Bold", 2.6)
        c.drawString(0.8, 2.5, words)
        c.restoreState()
