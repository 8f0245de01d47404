"""A plate on the bench as lines, arcs, circles and slots, in true size."""

import cmath
import math
from dataclasses import dataclass

import numpy as np

from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.photo.camera import Floats
from plategen.photo.measure import Complexes, Measured, Ring
from plategen.rail.fit import fit_trace
from plategen.rail.trace import Reading, Trace

CORNER_RAD, BESIDE_MM = math.radians(25.0), 5.0
"""An outline that turns by this between so far before a point and so far behind it has a corner there."""

TRIM_MM = 3
"""Points beside a corner, a millimetre apart, that are left out of the edges that meet there."""

ROUND_MM = 0.25
"""A hole whose points lie this near to a circle, root mean square, is round; the same for a slot."""

LEAST_SEEN = 0.7
"""Of less than this share of an outline no plate is made."""


@dataclass(frozen=True, slots=True, eq=False)
class PhotographedPlate:
    """A plate as measured, in mm."""

    outline: Loop
    inside: tuple[Contour, ...]  # Holes as circles, slots and other openings as loops.
    error_mm: float  # One standard deviation of a point of an edge.
    doubts: tuple[Message, ...]
    rings: tuple[Ring, ...]  # What was read, the outline first.
    origin: complex  # Where its frame's origin lies on the floor.


def plate(of: Measured) -> PhotographedPlate:
    """The plate that a piece's edges are.

    Raises:
        Refusal: Too little of its outline could be told.
    """
    ring = of.outline
    if ring.good.mean() < LEAST_SEEN:
        raise Refusal(
            "too little of the plate's outline can be told from what lies beside it; lay it on a bench of another "
            "colour, in even light"
        )
    origin = complex(ring.points.real.min(), ring.points.imag.min())
    error = _error(ring)
    doubts = list(of.doubts)
    if ring.good.mean() < 0.97:
        doubts.append(
            message(
                "{} % of the outline could not be told and is drawn straight across",
                round(100 * (1 - float(ring.good.mean()))),
            )
        )
    inside: list[Contour] = []
    for hole in of.holes:
        contour, off = _opening(hole, origin)
        if hole.good.mean() < LEAST_SEEN or off > 3.0 * ROUND_MM:
            doubts.append(
                message(
                    "a hole near {} along, {} up is not seen well and is left out; photograph it from right above",
                    *map(mm, _at(hole, origin)),
                )
            )
        else:
            inside.append(contour)
    outline = Loop(tuple(_joined(_runs(ring, origin, error))))
    return PhotographedPlate(outline, tuple(inside), error, tuple(doubts), (ring, *of.holes), origin)


def _at(ring: Ring, origin: complex) -> tuple[float, float]:
    middle = complex(ring.points.mean()) - origin
    return middle.real, middle.imag


def _error(ring: Ring) -> float:
    """One standard deviation of a point about the whole plate's own place and turn."""
    squares = ring.error_mm**2 + ring.shared_mm**2
    z = ring.points - ring.points.mean()
    for move in ring.errors:
        off = move - move.mean()
        turn = (z.conj() * off).sum() / (np.abs(z) ** 2).sum()
        squares = squares + ((off - 1j * turn.imag * z) * ring.outward.conj()).real ** 2
    return float(np.sqrt(squares.mean()))


def _runs(ring: Ring, origin: complex, error_mm: float) -> list[list[Segment]]:
    """The edges between corners, anticlockwise."""
    z, count = ring.points - origin, len(ring.points)
    step = float(np.abs(np.diff(z)).mean())
    reach = max(2, round(BESIDE_MM / step))
    ahead, back = np.roll(z, -reach) - z, z - np.roll(z, reach)
    turn = np.abs(np.angle(ahead / back))
    local = np.array([turn[(k + np.arange(-reach, reach + 1)) % count].max() for k in range(count)])
    corners = np.flatnonzero((turn >= local) & (turn > CORNER_RAD)).tolist()
    kept = [c for k, c in enumerate(corners) if k == 0 or c - corners[k - 1] > reach]
    if not kept:
        kept = [int(np.argmin(turn))]
    runs = []
    for a, b in zip(kept, [*kept[1:], kept[0] + count], strict=True):
        members = np.arange(a + TRIM_MM, max(b - TRIM_MM, a + TRIM_MM) + 1) % count
        runs.append(_edges(z[members[ring.good[members]]] if ring.good[members].any() else z[members], error_mm))
    return runs


def _edges(z: Complexes, error_mm: float) -> list[Segment]:
    """The lines and arcs through points in order."""
    if len(z) < 6:
        return [Line(complex(z[0]), complex(z[-1]))] if len(z) > 1 else []
    # the fitter takes its metal on the left hand of growing stations: here as there
    way = z[-1] - z[0]
    turn = way / abs(way) if abs(way) > 1.0 else 1.0 + 0j
    local = (z - z[0]) / turn
    readings = tuple(Reading(complex(p), k + 1) for k, p in enumerate(local[:: max(1, len(z) // 150)]))
    trace = Trace(
        file="outline", plane_mm=0.0, readings=readings, round_corner=True, read_error_mm=min(max(0.08, error_mm), 0.2)
    )
    try:
        chain = fit_trace(trace).chain.moved(turn, complex(z[0]))
    except Refusal:
        return [Line(complex(a), complex(b)) for a, b in zip(z[:-3:3], z[3::3], strict=False)]
    edges = list(chain.segments)
    # a trace read backwards is fitted forwards
    return edges if abs(edges[0].start - z[0]) <= abs(edges[-1].end - z[0]) else [e.reversed() for e in reversed(edges)]


def _joined(runs: list[list[Segment]]) -> list[Segment]:
    """The runs' edges, lengthened to where they meet."""
    runs = [run for run in runs if run]
    corners = [_corner(runs[k - 1][-1], run[0]) for k, run in enumerate(runs)]
    edges: list[Segment] = []
    for k, run in enumerate(runs):
        start, end = corners[k], corners[(k + 1) % len(runs)]
        run = [*_from(start, run[0]), *run[1:]]
        edges += [*run[:-1], *(e.reversed() for e in reversed(_from(end, run[-1].reversed())))]
    return [edge for edge in edges if abs(edge.end - edge.start) > 1e-6]


def _from(corner: complex, edge: Segment) -> list[Segment]:
    """An edge begun at a corner before it."""
    if isinstance(edge, Line):
        return [Line(corner, edge.end)]
    return [Line(corner, edge.start), edge] if abs(edge.start - corner) > 1e-6 else [edge]


def _corner(before: Segment, after: Segment) -> complex:
    """Where the end of one edge and the beginning of the next would meet."""
    p, a = before.end, before.reversed().start_tangent * -1.0
    q, b = after.start, after.start_tangent
    across = (a * b.conjugate()).imag
    middle = (p + q) / 2.0
    if abs(across) < math.sin(CORNER_RAD / 2.0):
        return middle
    meeting = p + a * ((q - p) * b.conjugate()).imag / across
    return meeting if abs(meeting - middle) < 3.0 * abs(q - p) + 1.0 else middle


def _opening(ring: Ring, origin: complex) -> tuple[Contour, float]:
    """A hole as a circle or a slot, and how far its points lie from it, root mean square."""
    from scipy.optimize import least_squares

    told = ring.good if ring.good.sum() > 8 else np.ones(len(ring.points), bool)
    z, error = (ring.points - origin)[told], ring.error_mm[told]
    weight = error.min() / error  # where a wall begins to show, its rim is read less well
    middle, along, half_mm, radius = complex(z.mean()), 0.0, 0.0, float(np.abs(z - z.mean()).mean())

    def off_circle(x: Floats) -> Floats:
        return np.asarray(np.abs(z - complex(x[0], x[1])) - x[2])

    round_one = least_squares(
        lambda x: weight * off_circle(x), [middle.real, middle.imag, radius], loss="soft_l1", f_scale=0.15
    )
    off = _rms(off_circle(round_one.x))
    circle = Circle(complex(round_one.x[0], round_one.x[1]), float(round_one.x[2]))
    if off < ROUND_MM:
        return circle, off
    second = complex(((z - middle) ** 2).sum())
    along = cmath.phase(second) / 2.0
    local = (z - middle) * cmath.exp(-1j * along)
    radius = float(np.ptp(local.imag)) / 2.0
    half_mm = max(0.5, float(np.ptp(local.real)) / 2.0 - radius)

    def off_slot(x: Floats) -> Floats:
        at = (z - complex(x[0], x[1])) * np.exp(-1j * x[2])
        return np.asarray(np.hypot(np.maximum(np.abs(at.real) - abs(x[3]), 0.0), at.imag) - x[4])

    slot = least_squares(
        lambda x: weight * off_slot(x), [middle.real, middle.imag, along, half_mm, radius], loss="soft_l1", f_scale=0.15
    )
    x = slot.x
    if _rms(off_slot(x)) >= off:
        return circle, off
    turn, centre = cmath.exp(1j * x[2]), complex(x[0], x[1])
    reach, side = abs(float(x[3])) * turn, 1j * float(x[4]) * turn
    a, b, c, d = centre - reach - side, centre + reach - side, centre + reach + side, centre - reach + side
    return Loop((Line(a, b), Arc(b, c, 1.0), Line(c, d), Arc(d, a, 1.0))), _rms(off_slot(x))


def _rms(values: Floats) -> float:
    """Root mean square of the nine tenths that are least: a chip in a rim is no other shape."""
    least = np.sort(np.abs(values))[: max(4, int(0.9 * len(values)))]
    return float(np.sqrt((least**2).mean()))
