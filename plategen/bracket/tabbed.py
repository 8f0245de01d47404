"""Tabs on a plate's sides and the slots in its neighbours that they go through."""

import math
from dataclasses import dataclass

from plategen.flat.fillet import rounded
from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line, Segment

SHOULDER_MM = 1.5
"""Radius of the relief at a tab's shoulders and of a slot's corners: a torch leaves about its half kerf round there."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tabs:
    """One tab on each side of a plate.

    Args:
        low_mm: Where they begin, in the plate's v.
        high_mm: Where they end.
        reach_mm: How far from the plate's middle they reach, across it.
    """

    low_mm: float
    high_mm: float
    reach_mm: float


def side_edges(x_mm: float, low_mm: float, high_mm: float, tabs: Tabs | None) -> list[Segment]:
    """The right side of a plate, walked upwards, with its tab."""
    low, high = complex(x_mm, low_mm), complex(x_mm, high_mm)
    if tabs is None:
        return [Line(low, high)]
    a, b = complex(x_mm, tabs.low_mm), complex(x_mm, tabs.high_mm)
    c, d = complex(tabs.reach_mm, tabs.low_mm), complex(tabs.reach_mm, tabs.high_mm)
    across = 2.0 * SHOULDER_MM
    return [Line(low, a), *_shoulder(a, a + across), Line(a + across, c), Line(c, d), Line(d, b + across),
            *_shoulder(b + across, b), Line(b, high)]  # fmt: skip


def mirrored_side(side: list[Segment]) -> list[Segment]:
    """The left side, walked downwards, from the right one."""
    return [_mirrored(edge) for edge in reversed(side)]


def slot(middle: complex, along: complex, half_length_mm: float, half_width_mm: float) -> Loop:
    """A slot with rounded corners, lengthened by their radius so that a square tab of the length goes in."""
    r = min(SHOULDER_MM, half_width_mm / 2)
    one, other = along * (half_length_mm + r), along * 1j * half_width_mm
    corners = (middle - one - other, middle + one - other, middle + one + other, middle - one + other)
    edges = tuple(Line(p, q) for p, q in zip(corners, (*corners[1:], corners[0]), strict=True))
    return rounded(Loop(edges), [r] * 4)


def _shoulder(begin: complex, end: complex) -> tuple[Arc, Arc]:
    """Half a hole sunk into the tab beside its root, clockwise through the plate, in two arcs.

    It meets the side at a tangent, so that the side is whole from end to end for the bead.
    """
    middle = (begin + end) / 2 + (end - begin) / 2 * 1j
    quarter = -math.tan(math.pi / 8)
    return Arc(begin, middle, quarter), Arc(middle, end, quarter)


def _mirrored(edge: Segment) -> Segment:
    start, end = complex(-edge.end.real, edge.end.imag), complex(-edge.start.real, edge.start.imag)
    # mirroring turns an arc over and walking it backwards turns it back
    return Arc(start, end, edge.bulge) if isinstance(edge, Arc) else Line(start, end)
