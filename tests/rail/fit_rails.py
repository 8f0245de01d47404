"""Rails that are known exactly, hands that read them with error, and the best that a fit could do when told the pieces.

All invented: a rail kicks out by 8 to 25 degrees over a bend of 15 to 80 mm, is read every half inch over 12 to 16 in
with a standard deviation of half a millimetre, and the readings are rounded to 1/32 in.
"""

import math
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line
from plategen.rail.fit.model import Complexes, Shape, feet, frames, lengths, motion, slopes
from plategen.rail.trace import Reading, Trace

STEP_MM = 12.7
ERROR_MM = 0.5
MARK_MM = 25.4 / 32
FLATS = {"line": 1, "corner": 2, "bend": 2, "two bends": 3, "arc": 0}


@dataclass(frozen=True)
class Rail:
    """A true rail and the stretch of it that is traced, from u = 0 to ``span_mm``."""

    kind: str
    shape: Shape
    span_mm: float

    def offsets(self, stations: np.ndarray) -> np.ndarray:
        """True offsets at stations, from the rail walked in steps of 0.05 mm."""
        return np.interp(stations, (path := walked(self.shape, self.span_mm * 1.6, 0.05)).real, path.imag)

    def off(self, points: Complexes) -> float:
        """How far the worst of some points lies from the rail."""
        return float(np.abs(feet(frames(self.shape), points).distance).max())


def walked(shape: Shape, length_mm: float, step_mm: float) -> Complexes:
    """Points along a shape, by summing short steps: knows nothing of chords and arcs."""
    walk = frames(shape)
    ends = np.cumsum(np.where(np.isinf(walk.high), length_mm, walk.high))
    starts = np.concatenate(([0.0], ends[:-1]))
    s = np.arange(0.0, length_mm, step_mm) + step_mm / 2
    row = np.minimum(np.searchsorted(ends, s), len(ends) - 1)
    ahead = walk.heading[row] * np.exp(1j * walk.curvature[row] * (s - starts[row]))
    return np.concatenate(([walk.start[0]], walk.start[0] + np.cumsum(ahead * step_mm)))


def a_rail(kind: str, rng: np.random.Generator, span_mm: float | None = None) -> Rail:
    """A random rail of one kind."""
    span = span_mm or rng.uniform(12, 16) * 25.4
    lean = rng.uniform(-0.1, 0.1)

    def kick() -> float:
        return math.radians(rng.uniform(8, 25)) * float(rng.choice([-1, 1]))

    def bend(turn: float) -> tuple[float, float]:
        return turn, rng.uniform(15, 80) * abs(turn)

    lead = 20.0  # the rail begins before the first station
    if kind == "line":
        word, values = "L", []
    elif kind == "arc":
        word, values = "A", [float(rng.choice([-1, 1])) / rng.uniform(400, 2000)]
        lean = -values[0] * (span / 2 + lead)
    elif kind == "corner":
        word, values = "LCL", [lead + rng.uniform(0.3, 0.7) * span, kick()]
    elif kind == "bend":
        turn, length = bend(kick())
        word, values = "LAL", [lead + rng.uniform(0.3, 0.7) * span - length / 2, turn, length]
    else:
        first, second = kick(), abs(kick())
        (a, a_length), (b, b_length) = bend(first), bend(-math.copysign(second, first))
        flat = rng.uniform(0.3, 0.4) * span - (a_length + b_length) / 2
        word = "LALAL"
        values = [lead + rng.uniform(0.25, 0.33) * span - a_length / 2, a, a_length, flat, b, b_length]
    start = complex(-lead, 40.0)
    return Rail(kind, Shape(word, start, complex(np.exp(1j * lean)), np.array([0.0, 0.0, *values])), span)


def read(
    rail: Rail, rng: np.random.Generator, error_mm: float = ERROR_MM, mark_mm: float = MARK_MM, step_mm: float = STEP_MM
) -> Complexes:
    """Readings of a rail, as points."""
    stations = np.arange(0.0, rail.span_mm, step_mm)
    offsets = rail.offsets(stations) + rng.normal(0.0, error_mm, len(stations))
    return stations + 1j * np.round(offsets / mark_mm) * mark_mm


def trace_of(points: Complexes, round_corner: bool = False, read_error_mm: float | None = None) -> Trace:
    """Points as a trace."""
    readings = tuple(Reading(complex(p), line) for line, p in enumerate(points, 2))
    return Trace(
        file="rail.csv", plane_mm=0.0, readings=readings, round_corner=round_corner, read_error_mm=read_error_mm
    )


def letters(chain: Chain) -> str:
    """The chain's edges as a word of L and A."""
    return "".join("L" if isinstance(edge, Line) else "A" for edge in chain)


def along(chain: Chain, each: int = 40) -> Complexes:
    """Points along a chain, some on each edge and both its ends."""
    return np.array([edge.point(t) for edge in chain for t in np.linspace(0.0, 1.0, each)])


def told_the_pieces(rail: Rail, points: Complexes) -> Complexes:
    """Points along the least-squares fit that is told the true pieces and started at the truth, solved by scipy."""
    shape = rail.shape
    low = np.full(len(shape.values), -np.inf)
    low[list(lengths(shape.word))] = 1e-6

    def distances(values: np.ndarray) -> np.ndarray:
        return feet(frames(shape.at(values)), points).distance

    def derivatives(values: np.ndarray) -> np.ndarray:
        tried = shape.at(values)
        return slopes(walk := frames(tried), motion(tried, walk), feet(walk, points))

    scale = np.maximum(np.abs(shape.values), 1e-3)
    scale[:2] = 1.0, 0.01
    found = least_squares(distances, shape.values, derivatives, bounds=(low, np.inf), x_scale=scale)
    path = walked(shape.at(found.x), 1.6 * rail.span_mm, 1.0)
    return path[(path.real >= points[0].real) & (path.real <= points[-1].real)]


def chain_of(start: complex, heading_rad: float, *pieces: tuple[float, float]) -> Chain:
    """A chain from lengths and turns, of the plane's own edges: a line turns by nothing, a corner has no length."""
    edges: list[Line | Arc] = []
    point, ahead = start, complex(math.cos(heading_rad), math.sin(heading_rad))
    for length, turn in pieces:
        if length and turn:
            centre = point + 1j * ahead * length / turn
            from_rad = math.atan2((point - centre).imag, (point - centre).real)
            edges.append(Arc.about(centre, abs(length / turn), from_rad, turn))
        elif length:
            edges.append(Line(point, point + ahead * length))
        point = edges[-1].end
        ahead *= complex(math.cos(turn), math.sin(turn))
    joined = [edges[0]]
    for edge in edges[1:]:
        start = joined[-1].end
        joined.append(Line(start, edge.end) if isinstance(edge, Line) else Arc(start, edge.end, edge.bulge))
    return Chain(tuple(joined))
