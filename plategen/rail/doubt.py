"""Where the true rail may lie beside the fitted surface, at places of a section: the traces' spreads, ruled across.

Beside these a rail waves a little everywhere, which no chain of a few pieces says. Its waves run on from trace to
trace, as those of a rolled flat do, so two traces do not average them away.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.rail.draws import Block
from plategen.rail.fit.model import Complexes, Floats, feet, placed, walk_of
from plategen.rail.spread import WAVE_MM
from plategen.rail.surface import Rail

Indices: TypeAlias = NDArray[np.intp]
"""Numbers of things in an array."""

_INSIDE = 1e-7
"""Share of an edge by which a place at its end is looked at within it: at a corner the next edge moves otherwise."""


WAVE_LENGTHS_MM = (300.0, 150.0)
"""Lengths of a rail's waves."""


@dataclass(frozen=True, slots=True, eq=False)
class Doubt:
    """How far the true rail may lie off a section of the fitted one, at N places, along unit vectors into the metal."""

    away: Complexes  # Those vectors, in the plate frame.
    modes_mm: Floats  # N x M, the modes of all traces side by side, then the waves'.


def _as_drawn(rail: Rail) -> list[int]:
    """The traces in the order in which random numbers are given to them: the best known first.

    Not by their places along the pin, or the mirror image of a job would draw other rails than the job.
    """
    spreads = [fitted.spread for fitted in rail.traces]
    squares = [float((spread.modes_mm**2).sum()) for spread in spreads]
    return sorted(range(len(spreads)), key=lambda i: (spreads[i].modes_mm.shape[1], spreads[i].freedom, squares[i]))


def blocks_of(rail: Rail) -> tuple[Block, ...]:
    """The modes of each trace and then of the rail's waves, as they are to be drawn."""
    spreads = [rail.traces[index].spread for index in _as_drawn(rail)]
    traces = (Block(s.modes_mm.shape[1] - len(s.chances), s.freedom, s.chances) for s in spreads)
    return (*traces, Block(2 * len(WAVE_LENGTHS_MM), math.inf))


def doubt(rail: Rail, places: Sequence[tuple[float, Complexes]]) -> Doubt:
    """How the true rail may lie off some of its sections, where they are nearest to some points of the plate frame.

    A place of the surface moves as the places of the traces that its ruling joins, each by its share. Beyond the
    outermost traces the shares carry on, and the doubt grows.

    Args:
        rail: The rail.
        places: Where each section lies along the pin, mm, and its points. N is the number of all points together, and
            the answer has them in this order.
    """
    # all sections at once, one edge after the other: one by one numpy's calls take longer than the sums
    ruled = [
        (section, number, edge)
        for section, (w_mm, _) in enumerate(places)
        for number, edge in enumerate(rail.ruled_edges(w_mm))
        if not isinstance(edge, complex)
    ]
    sections, numbers = np.array([(section, number) for section, number, _ in ruled]).T
    points = np.concatenate([points for _, points in places])
    of = np.repeat(np.arange(len(places)), [len(points) for _, points in places])
    walk = walk_of([edge for _, _, edge in ruled])
    foot = feet(walk, points - 1j * rail.inline_offset_mm, sections[:, None] == of)
    within = np.clip(foot.along / walk.high[foot.row], _INSIDE, 1.0 - _INSIDE)
    begins = np.cumsum(walk.high) - walk.high
    begins -= begins[np.searchsorted(sections, sections)]
    shares, along = _on_traces(rail, [w_mm for w_mm, _ in places], numbers[foot.row], within, of)
    columns = [shares[trace][:, None] * rail.traces[trace].spread.at(along[trace]) for trace in _as_drawn(rail)]
    waves = _waves(begins[foot.row] + foot.along)
    return Doubt(placed(walk, foot.row, foot.along)[1], np.hstack((*columns, waves)))


def _on_traces(
    rail: Rail, sections_mm: Sequence[float], numbers: Indices, within: Floats, of: Indices
) -> tuple[Floats, Floats]:
    """By trace, how far points of the surface move with it, and how far along it the place is that moves them, mm.

    Of each point its section is told (``of``), the number of its edge there, and the share of that edge before it.
    """
    shares, along = np.zeros((2, len(rail.traces), len(of)))
    for section, w_mm in enumerate(sections_mm):
        mine = of == section
        for trace, share, edges in rail.ruled_from(w_mm):
            length = np.array([0.0 if isinstance(e, complex) else e.length for e in edges])
            shares[trace, mine] = share
            along[trace, mine] = (np.cumsum(length) - length)[numbers[mine]] + within[mine] * length[numbers[mine]]
    return shares, along


def _waves(along_mm: Floats) -> Floats:
    """Sine and cosine of waves of every length at distances along a section, by their standard deviations."""
    turns = 2.0 * np.pi * along_mm[:, None] / np.array(WAVE_LENGTHS_MM)
    return WAVE_MM / math.sqrt(len(WAVE_LENGTHS_MM)) * np.hstack((np.cos(turns), np.sin(turns)))
