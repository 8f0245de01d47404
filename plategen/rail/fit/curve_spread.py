"""How well a smooth curve is known from its readings: its covariance, and the modes that move it.

Of the line and the jumps, of waves, and of the kinds of waves themselves: with the shares of all kinds, reading errors
and heights the covariance is the mean of each one's own and that of their means.
"""

import math

import numpy as np

from plategen.flat.segment import Segment
from plategen.rail.fit.free import Free
from plategen.rail.fit.model import Floats
from plategen.rail.fit.spread import PRIOR_FREEDOM
from plategen.rail.spread import Spread, signed

PLACES = 41
"""Places of each stretch between jumps at which the curve is looked at: between them it is all but straight."""

NO_MODE = 1e-6
"""A mode with a smaller share of the greatest one's variance moves nothing."""


def covariance(free: Free, x: Floats) -> Floats:
    """Covariance of the curve at stations, mm^2: of what the readings leave open, length and height among it."""
    by = free.columns(x) @ free.solver
    covariance = free.error_variance_mm2 * (by / free.weights) @ by.T
    mean, both = np.zeros(len(x)), np.concatenate((x, free.x))
    for each in free.weighed:
        modes, high = each.modes, each.shares * each.high
        alike = modes.waves.alike(both, both)
        here, read, across = alike[:, : len(x), : len(x)], alike[:, len(x) :, len(x) :], alike[:, : len(x), len(x) :]
        much = high.sum(axis=1)
        mixed = np.tensordot(much, across, 1) @ by.T
        covariance += np.tensordot(much, here, 1) - mixed - mixed.T + by @ np.tensordot(much, read, 1) @ by.T
        reach = ((across - by @ read) * free.root) @ modes.vectors
        curves = each.high[:, None] / each.v * modes.pull[:, None]
        moved = curves.transpose(0, 2, 1) @ (each.shares[:, :, None] * curves)
        held = ((high * each.high)[:, None] @ (1.0 / each.v))[:, 0]
        covariance += ((reach @ moved - reach * held[:, None]) @ reach.transpose(0, 2, 1)).sum(axis=0)
        mean += (reach @ (each.shares[:, None] @ curves)[:, 0, :, None]).sum(axis=0)[:, 0]
    return np.asarray(covariance - np.outer(mean, mean))


def modes_at(free: Free, stations: Floats) -> Floats:
    """The modes that move the curve at N stations, N x M, mm."""
    stretch = np.searchsorted(free.jumps_mm, stations)
    begins = [float(stations.min()), *(math.nextafter(at, math.inf) for at in free.jumps_mm)]
    ends = [*free.jumps_mm, float(stations.max())]
    places = [np.linspace(low, high, PLACES) for low, high in zip(begins, ends, strict=True)]
    variance, turned = np.linalg.eigh(covariance(free, np.concatenate(places)))
    real = variance > NO_MODE * variance[-1]
    modes = turned[:, real] * np.sqrt(variance[real])
    found = np.empty((len(stations), modes.shape[1]))
    for k, x in enumerate(places):
        own = modes[k * PLACES : (k + 1) * PLACES].T
        found[stretch == k] = np.array([np.interp(stations[stretch == k], x, mode) for mode in own]).T
    return found


def curve_spread(free: Free, edges: list[Segment], jumped: dict[int, float]) -> Spread:
    """Where the rail may lie beside the arcs of a smooth curve: the curve's own modes, and the place of each riser.

    Args:
        free: The curve.
        edges: Its arcs and risers.
        jumped: Which edges are risers, at which station.
    """
    share = np.array([0.0, 0.5, 1.0])
    begin = np.cumsum([0.0, *(edge.length for edge in edges[:-1])])
    places = np.concatenate([low + edge.length * share for low, edge in zip(begin, edges, strict=True)])
    smooth = np.repeat([k not in jumped for k in range(len(edges))], len(share))
    stations = np.array([[edge.start.real, edge.point(0.5).real, edge.end.real] for edge in edges]).ravel()
    across = np.array([edge.tangent(t).real for edge in edges for t in share.tolist()])
    beside: list[Floats] = [signed(modes_at(free, stations) * (across * smooth)[:, None])]
    for edge, at in jumped.items():
        before, after = free.around(at)
        moved = np.repeat(np.arange(len(edges)) == edge, len(share)) * (after - before) / math.sqrt(12.0)
        beside.append(moved[:, None])
    freedom = math.inf if free.told else free.spare + PRIOR_FREEDOM
    return Spread(places, np.hstack(beside), freedom)
