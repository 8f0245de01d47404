"""One walk, any pen: every kind of outline reaches a pen whole and in order, and each output draws the same shape."""

import cmath
import io
import math
import re

import ezdxf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.cut.dxf import dxf_text
from plategen.cut.dxf_read import read_dxf
from plategen.cut.part import Cut, CutPart
from plategen.draw.pen import chords, draw, draw_edges
from plategen.draw.svg import path_data
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from tests.flat.shapes import loops


class Recorder:
    """Keeps what a pen is told."""

    def __init__(self) -> None:
        self.told: list[object] = []

    def move_to(self, start: complex) -> None:
        self.told.append(start)

    def line_to(self, line: Line) -> None:
        self.told.append(line)

    def arc_to(self, arc: Arc) -> None:
        self.told.append(arc)

    def finish(self, *, closed: bool) -> None:
        self.told.append(closed)

    def circle(self, circle: Circle) -> None:
        self.told.append(circle)


def walked(shape) -> list[object]:
    pen = Recorder()
    draw(shape, pen)
    return pen.told


LINE, ARC = Line(0j, 10 + 0j), Arc(10 + 0j, 10 + 10j, 0.4)


def test_a_chain_is_walked_open_and_a_loop_closed() -> None:
    assert walked(Chain((LINE, ARC))) == [0j, LINE, ARC, False]
    assert walked((LINE, ARC)) == [0j, LINE, ARC, False]
    back = Line(10 + 10j, 0j)
    assert walked(Loop((LINE, ARC, back))) == [0j, LINE, ARC, back, True]
    assert walked(()) == []


def test_a_circle_is_told_as_one_and_its_halves_make_it_up() -> None:
    circle = Circle(3 + 4j, 2.5)
    assert walked(circle) == [circle]
    pen = Recorder()
    draw_edges(circle.segments, pen, closed=True)
    first, *halves, closed = pen.told
    assert (first, closed) == (5.5 + 4j, True)
    assert Loop(tuple(halves)).area == pytest.approx(circle.area)  # type: ignore[arg-type]
    assert Loop(circle.segments).bounds == pytest.approx(circle.bounds)


def test_a_circle_answers_as_a_loop_does() -> None:
    circle, loop = Circle(3 + 4j, 2.5), Loop(Circle(3 + 4j, 2.5).segments)
    for p in (0j, 3 + 4j, 5 + 5j, 20 - 3j):
        assert circle.distance(p) == pytest.approx(loop.distance(p))
    turn, shift = complex(0.6, 0.8), 7 - 1j
    assert circle.moved(turn, shift).bounds == pytest.approx(loop.moved(turn, shift).bounds)


def length_of(data: str) -> float:
    """Length of path data, its arcs from end points to centre and sweep by SVG 2, implementation note B.2.4."""
    at, whole = 0j, 0.0
    for command, numbers in re.findall(r"([MLA])([^MLAZ]*)", data):
        values = [float(x) for x in numbers.split()]
        end = complex(values[-2], values[-1])
        if command == "L":
            whole += abs(end - at)
        if command == "A":
            radius, large, sweep = values[0], values[3] == 1.0, values[4] == 1.0
            half = (at - end) / 2
            root = math.sqrt(max(0.0, radius**2 - abs(half) ** 2)) * (1 if large != sweep else -1)
            centre = root * complex(half.imag, -half.real) / abs(half)
            turn = cmath.phase((-half - centre) / (half - centre))
            turn += 2 * math.pi if sweep and turn < 0 else -2 * math.pi if not sweep and turn > 0 else 0.0
            whole += radius * abs(turn)
        at = end
    return whole


@given(loops())
def test_every_pen_draws_the_same_shape(loop: Loop) -> None:
    assert length_of(path_data(loop)) == pytest.approx(loop.length, rel=1e-4)
    part = CutPart(name="plate", outside=Cut(loop))
    (contour,) = read_dxf(dxf_text((part,), "mm")).on("CUT-OUTSIDE")
    assert contour.length == pytest.approx(loop.length, rel=1e-6)
    assert abs(contour.area) == pytest.approx(abs(loop.area), rel=1e-6, abs=1e-6)


@given(loops(), st.floats(0.02, 0.5))
def test_chords_lie_on_the_outline_and_turn_no_more_than_asked(loop: Loop, turn: float) -> None:
    points = chords(loop, turn)
    assert max(loop.distance(p) for p in points) < 1e-6
    bow = max((e.radius * (1.0 - math.cos(turn / 2)) for e in loop if isinstance(e, Arc)), default=0.0)
    middles = [(a + b) / 2 for a, b in zip(points, (*points[1:], points[0]), strict=True)]
    assert max(loop.distance(p) for p in middles) <= bow + 1e-6


def test_loose_entities_are_the_same_edges_as_the_polyline() -> None:
    loop = Loop((LINE, Arc(10 + 0j, 0j, 0.8)))
    text = dxf_text((CutPart(name="plate", outside=Cut(loop)),), "mm", entities="lines and arcs")
    kinds = sorted(e.dxftype() for e in ezdxf.read(io.StringIO(text)).modelspace())
    assert kinds == ["ARC", "LINE"]
