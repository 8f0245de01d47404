"""A smooth curve as lines and arcs: pairs of arcs, tangent to each other and to the curve, as few as a tolerance asks.

Between two points P and Q of the curve with unit tangents s and t a pair of arcs meets, tangent to both, at

    J = (P + Q + d (s - t)) / 2,    d = (v v) / (v b + sqrt((v b)^2 + 2 (1 - s t) v v)),    v = Q - P,  b = s + t

(the pair with equal arms d; Bolton, Computer-Aided Design 7, 1975; from memory). Its distance from the curve grows
with the cube of its length and with the change of curvature, so the points share out the cube root of that evenly.
"""

import math
from collections.abc import Callable
from typing import TypeAlias

import numpy as np

from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment
from plategen.ground.order import distinct
from plategen.rail.fit.model import Complexes, Floats

Curve: TypeAlias = Callable[[Floats], tuple[Floats, Floats]]
"""Offsets and slopes of a curve at stations."""

SAMPLES = 400
"""Places at which a curve is looked at: a millimetre apart or less on a usual trace."""

FLAT_SAGITTA_MM = 1e-4
"""An arc that bows by less is a line."""

GROWTH = 1.25
"""How many more pairs are tried when so many lie too far off."""


def fair(curve: Curve, first_mm: float, last_mm: float, tolerance_mm: float) -> list[Segment]:
    """Lines and arcs within a tolerance of a curve between two stations, each beginning where the last one ends."""
    x = np.linspace(first_mm, last_mm, SAMPLES)
    y, slope = curve(x)
    point, ahead = x + 1j * y, (1.0 + 1j * slope) / np.abs(1.0 + 1j * slope)
    change = np.abs(np.gradient(np.gradient(slope, x), x))
    share = np.cbrt(change + 1e-3 * change.max() + 1e-12)
    so_far = np.concatenate(([0.0], np.cumsum((share[1:] + share[:-1]) / 2.0)))
    most = max(int((last_mm - first_mm) / (4.0 * SHORTEST_EDGE_MM)), 1)
    pairs = 1
    while True:
        cut = np.searchsorted(so_far, np.linspace(0.0, so_far[-1], pairs + 1)).clip(0, SAMPLES - 1)
        cut = distinct(np.concatenate(([0], cut[1:-1], [SAMPLES - 1])))
        joined = _pairs(point[cut], ahead[cut])
        if pairs >= min(most, SAMPLES // 4) or _off(joined, point) <= tolerance_mm:
            return _edges(joined)
        pairs = math.ceil(pairs * GROWTH)


def _pairs(point: Complexes, ahead: Complexes) -> tuple[Complexes, Complexes]:
    """Where the arcs begin and end, and the tangents there."""
    chord = np.diff(point)
    begin, end = ahead[:-1], ahead[1:]
    square, along = np.abs(chord) ** 2, (chord.conj() * (begin + end)).real
    arm = square / (along + np.sqrt(along**2 + 2.0 * (1.0 - (begin.conj() * end).real) * square))
    joint = (point[:-1] + point[1:] + arm * (begin - end)) / 2.0
    reach = joint - point[:-1]
    at = np.stack([point[:-1], joint], axis=1).ravel()
    tangent = np.stack([begin, (reach / np.abs(reach)) ** 2 * begin.conj()], axis=1).ravel()
    return np.append(at, point[-1]), np.append(tangent, ahead[-1])


def _off(joined: tuple[Complexes, Complexes], point: Complexes) -> float:
    """The greatest distance of points, in order of their stations, from the arcs."""
    at, tangent = joined
    row = np.clip(np.searchsorted(at.real, point.real, side="right") - 1, 0, len(at) - 2)
    start, chord = at[row], at[row + 1] - at[row]
    bend = 2.0 * (tangent[row].conj() * chord).imag / np.abs(chord) ** 2
    local = (point - start) * tangent[row].conj()
    # the circle's equation over the length of its gradient: exact to first order, and so small is what is asked
    off = (local.imag - bend * np.abs(local) ** 2 / 2.0) / np.abs(1.0 + 1j * bend * local)
    return float(np.abs(off).max())


def _edges(joined: tuple[Complexes, Complexes]) -> list[Segment]:
    at, tangent = joined
    edges: list[Segment] = []
    for start, end, ahead in zip(at[:-1].tolist(), at[1:].tolist(), tangent[:-1].tolist(), strict=True):
        chord = (end - start) * complex(ahead).conjugate()
        bulge = math.tan(math.atan2(chord.imag, chord.real) / 2.0)
        edges.append(
            Arc(start, end, bulge) if abs(bulge) * abs(end - start) > 2.0 * FLAT_SAGITTA_MM else Line(start, end)
        )
    return edges
