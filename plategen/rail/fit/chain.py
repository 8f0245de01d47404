"""From a solved shape to the chain of edges between the first and the last reading, and how sure each edge is."""

import math

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line, Segment
from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.rail.fit.model import Feet, Floats, Frames, chord, motion, slopes
from plategen.rail.fit.solve import Solved


def edges(walk: Frames, first: tuple[int, float], last: tuple[int, float]) -> list[tuple[int, float, float]]:
    """The pieces between two feet: row, and the distances along it where the edge begins and ends.

    A sliver at either end, too short to cut, is left off.

    Args:
        walk: The solved shape's frames.
        first: Row and distance along it of the first foot.
        last: Row and distance along it of the last foot.
    """
    listed = [
        (row, first[1] if row == first[0] else 0.0, last[1] if row == last[0] else float(walk.high[row]))
        for row in range(first[0], last[0] + 1)
    ]
    ends = (first[0], last[0])
    kept = [edge for edge in listed if edge[0] not in ends or edge[2] - edge[1] >= SHORTEST_EDGE_MM]
    return kept or listed


def chain_along(walk: Frames, listed: list[tuple[int, float, float]]) -> Chain:
    """The edges as exact lines and arcs; each starts at the very point where the one before ends."""
    segments: list[Segment] = []
    for row, low, high in listed:
        start = segments[-1].end if segments else _point(walk, row, low)
        end = _point(walk, row, high)
        turn = float(walk.curvature[row]) * (high - low)
        segments.append(Arc(start, end, math.tan(turn / 4)) if turn else Line(start, end))
    return Chain(tuple(segments))


def standard_errors(
    solved: Solved, listed: list[tuple[int, float, float]], error_mm: float, reach: Floats
) -> tuple[float, ...]:
    """One standard deviation of the chain, square to itself, at the start, the middle and the end of each edge.

    With ``g`` the slopes of a point's normal position by the values, it is ``sqrt(g' C g)``,
    ``C = (J'WJ / s^2 + R^-2)^-1``: what the readings say of the values, within the ranges they can have at all.
    """
    walk = solved.walk
    row = np.array([edge[0] for edge in listed for _ in range(3)])
    along = np.array([value for _, low, high in listed for value in (low, (low + high) / 2, high)])
    point = walk.start[row] + walk.heading[row] * chord(walk.curvature[row], along)
    normal = 1j * walk.heading[row] * np.exp(1j * walk.curvature[row] * along)
    beyond = np.zeros(len(row), bool)
    slope = slopes(walk, motion(solved.shape, walk), Feet(row, along, point, normal, np.zeros(len(row)), beyond))
    spread = np.linalg.inv(solved.information / error_mm**2 + np.diag(reach**-2.0))
    return tuple(np.sqrt(np.einsum("ij,jk,ik->i", slope, spread, slope)).tolist())


def _point(walk: Frames, row: int, along: float) -> complex:
    return complex(walk.start[row] + walk.heading[row] * chord(walk.curvature[row], np.asarray(along)))
