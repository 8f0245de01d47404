"""The edge of a plate that lies along the pin and is fitted to the rail where it crosses it.

Seen in the plate's own plane the rail is a line across the pin that may slant, kink at a traced plane, or bow; over the
plate's thickness the edge keeps below the lowest of it, as a square-cut edge must.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plategen.bracket.meeting import Meeting, motions, pressing
from plategen.bracket.model import Fit
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal
from plategen.rail.doubt import blocks_of, doubt
from plategen.rail.surface import Rail

STEPS = 12
"""Sections taken over the plate's width, traced planes apart: between two of them the rail is all but straight."""

FLAT_MM = 0.01
"""The edge follows the rail across the pin this closely; half of what may overlap."""

_RUN_OUT_MM = 25.0

Strip = tuple[float, float]
"""From where to where along the rail the plate lies, in the frame of its root; negative is behind it."""


@dataclass(frozen=True, slots=True)
class Root:
    """Where a plate that lies along the pin stands on the rail."""

    at: complex  # Where its inner face meets the rail, in the plate frame's (u, v), at the middle of its width.
    along: complex  # Unit tangent of the rail there, the metal on its left.
    outward: int  # -1 when its outer face looks back along that, +1 when it looks on.
    middle_w_mm: float  # Middle of its width along the pin.

    @property
    def placement(self) -> Placement:
        """The plate's plane: its outline is the inner face, its body lies outward of it."""
        up = self.along * 1j
        across = -float(self.outward)
        return Placement((self.at.real, self.at.imag, self.middle_w_mm), (0.0, 0.0, across), (up.real, up.imag, 0.0))

    def seen(self, section: Chain) -> Chain:
        """A section of the rail in the frame of the root: the real axis along the rail, the imaginary into it."""
        turn = self.along.conjugate()
        return section.moved(turn, -self.at * turn)

    def w_mm(self, x_mm: float) -> float:
        """Place along the pin of a place across the plate."""
        return self.middle_w_mm - self.outward * x_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedEdge:
    """An edge and how it meets the rail."""

    path: Chain  # In the plate's plane, x across its width and y towards the rail; the rail on its left.
    # Rise of the rail along it, per mm, at both ends and the middle of the outline's other face.
    slopes: tuple[float, ...]
    rail: Rail
    root: Root
    outer_mm: float  # Where the outline's other face lies along the rail, in the frame of the root.
    # Places across the plate, the edge's height there, and the rail's section over the plate's thickness.
    places: tuple[tuple[float, float, Chain], ...]

    def fit(self) -> Fit:
        """Gaps at the outline's face and at the other one, and how the edge meets the rail within its spread.

        Takes longer than the edge itself: to be asked of a plate that has its room.
        """
        return Fit(
            gap_near_mm=max(_height(section, 0.0) - y for _, y, section in self.places),
            gap_far_mm=max(_height(section, self.outer_mm) - y for _, y, section in self.places),
            overlap_mm=max(0.0, *(y - _lowest(section) for _, y, section in self.places)),
            meeting=_meeting(self.rail, self.root, self.path, self.places),
        )


def fitted_edge(rail: Rail, root: Root, half_width_mm: float, thickness_mm: float, gap_mm: float) -> FittedEdge:
    """The edge of a plate, from its left end to its right end as its outline's face is seen.

    Raises:
        Refusal: If the rail was not traced there.
    """
    outer = root.outward * thickness_mm
    strip = (min(0.0, outer), max(0.0, outer))
    xs = _places(rail, root, half_width_mm)
    seen = [_section(rail, root, x, strip) for x in xs]
    lowest = [_lowest(section) for section in seen]
    knots = _simplified(list(zip(xs, lowest, strict=True)), FLAT_MM)
    over = max(_on(knots, x) - low for x, low in zip(xs, lowest, strict=True))
    knots = [(x, y - over - gap_mm) for x, y in knots]
    return FittedEdge(
        path=Chain(tuple(Line(complex(*p), complex(*q)) for p, q in pairwise(knots))),
        slopes=tuple(_slope(seen[k], outer) for k in (0, len(seen) // 2, -1)),
        rail=rail,
        root=root,
        outer_mm=outer,
        places=tuple((x, _on(knots, x), section) for x, section in zip(xs, seen, strict=True)),
    )


def _meeting(rail: Rail, root: Root, path: Chain, places: Iterable[tuple[float, float, Chain]]) -> Meeting:
    """How the edge meets the rail within its spread; ``places`` across it, its height there, the section."""
    points, gaps, looked = [], [], []
    for x, height, section in places:
        ends = np.array([section.start, section.end])
        looked.append((root.w_mm(x), root.at + ends * root.along))
        points += [x, x]
        gaps += list(ends.imag - height)
    near, ways = doubt(rail, looked), np.array([1j])
    upright = (near.away * (1j * root.along).conjugate()).real
    return Meeting(
        gap_mm=np.array(gaps),
        modes_mm=near.modes_mm / upright[:, None],
        blocks=blocks_of(rail),
        closer=motions(np.array(points, dtype=complex), np.full(len(points), 1j), ways),
        press=pressing((path,), ways),
        ways=ways,
    )


def _places(rail: Rail, root: Root, half_mm: float) -> list[float]:
    """Places across the plate at which the rail is looked at, traced planes among them."""
    if not rail.varies:
        return [-half_mm, half_mm]
    planes = (-(fitted.trace.plane_mm - root.middle_w_mm) * root.outward for fitted in rail.traces)
    steps = (half_mm * (2.0 * k / STEPS - 1.0) for k in range(STEPS + 1))
    return sorted({*steps, *(x for x in planes if abs(x) < half_mm - 0.1)})


def _section(rail: Rail, root: Root, x_mm: float, strip: Strip) -> Chain:
    """The rail's section over the plate's thickness at one place across it."""
    section = rail.section(root.w_mm(x_mm))
    try:
        return between(root.seen(section), *strip)
    except Refusal:
        raise Refusal(
            "a closing plate reaches beyond the trace, or stands where the rail turns away from under it; move it with "
            "its inset",
            "closing",
        ) from None


def _lowest(section: Chain) -> float:
    """Least height of a section, which is where the plate must keep below; exact on arcs."""
    heights = [section.end.imag]
    for edge in section:
        heights.append(edge.start.imag)
        if isinstance(edge, Arc):
            below = edge.centre - 1j * edge.radius
            heights.append(edge.point(edge.nearest(below)).imag)
    return min(heights)


def _height(section: Chain, at_mm: float) -> float:
    """Height of a section at one of its ends."""
    start, end = section.start, section.end
    return (start if abs(start.real - at_mm) <= abs(end.real - at_mm) else end).imag


def _slope(section: Chain, at_mm: float) -> float:
    """Rise of a section per mm at one of its ends."""
    at_start = abs(section.start.real - at_mm) <= abs(section.end.real - at_mm)
    along = section.segments[0].start_tangent if at_start else section.segments[-1].end_tangent
    return along.imag / along.real


def _simplified(points: list[tuple[float, float]], within_mm: float) -> list[tuple[float, float]]:
    """The fewest of the points whose joining lines pass all the others this closely (Douglas and Peucker)."""
    first, last = points[0], points[-1]
    off = [abs(y - _on([first, last], x)) for x, y in points]
    worst = max(range(len(points)), key=off.__getitem__)
    if off[worst] <= within_mm:
        return [first, last]
    return _simplified(points[: worst + 1], within_mm)[:-1] + _simplified(points[worst:], within_mm)


def _on(knots: list[tuple[float, float]], x: float) -> float:
    """Height at x of the line through knots."""
    for (x0, y0), (x1, y1) in pairwise(knots):
        if x <= x1 + 1e-12:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return knots[-1][1]
