"""The bend of a corner between two straightedges, of which neither has a reading: it is told, not fitted.

Told by a gauge, it has that radius; told by one point of it, the radius with which a bend that is tangent to both
faces goes through the point. With the corner K of the faces, the turn t, k = 1 / cos(t/2), and the point p at x along
the bisector from K into the bend, the centre lies at K + R k along it, so that

    (k^2 - 1) R^2 - 2 x k R + |p - K|^2 = 0,

and of the two roots the larger has p on the near side of the circle.
"""

import math
from dataclasses import replace

import numpy as np

from plategen.flat.segment import dot, unit
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.fit.model import Shape, feet, frames, turns_of
from plategen.rail.fit.score import LEAST_WILD_MM, Candidate, Sample, settled, weigh
from plategen.rail.fit.search import curved, sharpened
from plategen.rail.fit.solve import USUAL_RADIUS
from plategen.rail.trace import Trace

TOLD_SPREAD = 0.01
"""How exactly a told radius is known: one standard deviation of its logarithm."""

AGAINST = 2.0 * math.log(1000.0)
"""Odds, as a score, at which the readings themselves refuse what is told."""


def with_told_bend(trace: Trace, sample: Sample, candidate: Candidate) -> Candidate:
    """The shape with the bend that the trace is told of, where its two straightedges meet.

    Raises:
        Refusal: No such bend joins the two faces, or the readings beside it speak against it.
    """
    shape = candidate.solved.shape
    index = _joint(trace, shape)
    if trace.bend is None or index is None:
        return candidate
    sharp = shape if shape.word[index] == "C" else sharpened(shape, index)
    radius = trace.bend.radius_mm
    if trace.bend.point is not None:
        radius = _radius_through(trace.bend.point, sharp, index)
    if not radius:
        return candidate
    bent = curved(sharp, index, radius * math.tan(abs(dict(turns_of(sharp))[index]) / 2.0))
    arcs = [piece for piece, _ in turns_of(bent) if bent.word[piece] == "A"]
    radii = tuple((radius, TOLD_SPREAD) if piece == index else USUAL_RADIUS for piece in arcs)
    found = weigh(replace(bent, radii=radii), candidate.kept, sample, candidate.error_mm)
    if found is None or found.score > candidate.score + AGAINST:
        words = "the readings beside the corner speak against a bend of {} between the straightedges; measure it again"
        raise Refusal(message(words, mm(radius)), "rail.trace.second", place=trace.file)
    return settled(found, sample)


def _joint(trace: Trace, shape: Shape) -> int | None:
    """Which piece of the shape, a corner or a bend, lies where the straightedges meet; the one that turns most."""
    if trace.bend is None:
        return None
    walk = frames(shape)
    first, last = sorted(walk.piece[row] for row in feet(walk, np.array(trace.bend.beside)).row)
    turns = {i: abs(turn) for i, turn in turns_of(shape) if first < i < last}
    return max(turns, key=turns.__getitem__, default=None)


def _radius_through(point: complex, sharp: Shape, index: int) -> float:
    """Radius of the bend through a point, in place of a shape's corner; 0 for a point on the corner.

    Raises:
        Refusal: The point lies on the free side of a face.
    """
    walk = frames(sharp)
    before, after = walk.piece.index(index - 1), walk.piece.index(index + 1)
    into = walk.heading[before] * np.exp(1j * walk.curvature[before] * walk.high[before])
    out, corner = complex(walk.heading[after]), complex(walk.start[after])
    k = 1.0 / math.cos(dict(turns_of(sharp))[index] / 2.0)
    x = dot(point - corner, unit(out - complex(into)))
    root = (x * k) ** 2 - (k * k - 1.0) * abs(point - corner) ** 2
    if abs(point - corner) <= LEAST_WILD_MM:
        return 0.0
    if x <= 0.0 or root < 0.0:
        words = (
            "no bend goes through the point, {} from where the faces meet; a point between them, of the bend, is right"
        )
        raise Refusal(message(words, mm(abs(point - corner))), "rail.trace.second.bend_point")
    return (x * k + math.sqrt(root)) / (k * k - 1.0)
