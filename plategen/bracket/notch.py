"""The notch: the edge of a plate that meets the rail.

A torch cuts square to the plate, so over the plate's thickness the notch is one line while the rail may slant. The
notch is therefore the boundary of what is free of metal at every depth: the envelope of the rail's sections from
one face of the plate to the other. One face then touches, the other stands off by about thickness x tan(slant).
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from plategen.bracket.model import Fit
from plategen.flat.chain import Chain
from plategen.flat.clip import between, extended
from plategen.flat.envelope import free_side
from plategen.flat.offset import offset_chain
from plategen.flat.side import offset_from
from plategen.flat.sliver import without_slivers
from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.rail.surface import Rail
from plategen.refusal import Refusal

OVERLAP_ALLOWED_MM = 0.01
"""How deep a notch may go into the rail before it is cut deeper: half of what a good fit may hide."""

EXPECTED_SIGMAS = 2.0
"""A gap is expected within this many standard deviations of the fitted rail: 95 brackets of 100."""

_RUN_OUT_MM = 25.0  # sections are carried on straight by this much, so that every one of them spans the foot
_DEPTHS = (0.125, 0.25, 0.375, 0.5, 0.625, 0.75, 0.875)
_MOST_CUTS = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A plate's welded edge, found in the plate frame.

    Args:
        path: From the foot's beginning to its end; the rail's metal on its left.
        fit: How it meets the rail at both faces.
        slope: Tangent of the rail's slant at the two faces, smallest and largest along the notch, positive where
            the rail recedes towards larger w.
    """

    path: Chain
    fit: Fit
    slope: tuple[tuple[float, float], tuple[float, float]]


def fit_notch(rail: Rail, faces_mm: tuple[float, float], foot_mm: tuple[float, float], root_gap_mm: float) -> Notch:
    """The notch of a plate that lies across the pin between two places along it.

    Args:
        rail: The rail's surface.
        faces_mm: w of the plate's two faces, the lower first.
        foot_mm: Stations (u) at which the notch begins and ends.
        root_gap_mm: Standing gap asked between notch and rail.

    Raises:
        Refusal: If the foot reaches beyond the trace.
    """
    _refuse_off_trace(rail, foot_mm)
    sections = {w: extended(rail.section(w), _RUN_OUT_MM, _RUN_OUT_MM) for w in faces_mm}
    path = free_side([sections[w] for w in faces_mm])
    path = _cut_to_every_depth(path, rail, faces_mm, foot_mm)
    path = without_slivers(path, SHORTEST_EDGE_MM)
    if root_gap_mm > 0.0:
        path = offset_chain(path, -root_gap_mm)
    path = between(path, *foot_mm)
    return Notch(
        path=path,
        fit=_measure(path, rail, faces_mm, sections),
        slope=tuple(_slope_range(rail, w, path) for w in faces_mm),  # type: ignore[arg-type]
    )


def joint_angle(slope: tuple[float, float], towards: int) -> tuple[float, float]:
    """Dihedral angle between a plate's face and the rail on that face's side, smallest and largest, rad.

    ``towards`` is +1 for the face that looks along the pin's direction and -1 for the other. A rail square to the
    plate gives a quarter turn; one that recedes on the face's side opens the angle: pi/2 + atan(slope).
    """
    a, b = (math.pi / 2 + towards * math.atan(s) for s in slope)
    return min(a, b), max(a, b)


def _refuse_off_trace(rail: Rail, foot_mm: tuple[float, float]) -> None:
    for fitted in rail.traces:
        stations = [r.point.real for r in fitted.trace.readings]
        first, last = min(stations), max(stations)
        if foot_mm[0] < first - 1e-6 or foot_mm[1] > last + 1e-6:
            raise Refusal(
                f"the foot runs from station {foot_mm[0]:.4g} to {foot_mm[1]:.4g} mm but {fitted.trace.file} was read "
                f"only from {first:.4g} to {last:.4g} mm; shorten the foot or read further along the rail",
                "mount.foot",
            )


def _cut_to_every_depth(
    path: Chain, rail: Rail, faces_mm: tuple[float, float], foot_mm: tuple[float, float]
) -> Chain:
    """The notch cut down until the rail is nowhere inside it at any depth of the plate.

    The two faces settle it on a rail that only slants. Where a bend also wanders along the plate's thickness the
    rail can come nearer in between: those sections are cut in as well, the worst first.
    """
    low, high = faces_mm
    if len(rail.traces) == 1:
        return path
    inner = [extended(rail.section(low + (high - low) * d), _RUN_OUT_MM, _RUN_OUT_MM) for d in _DEPTHS]
    for _ in range(_MOST_CUTS):
        deepest, section = max(((_overlap(path, s, foot_mm), s) for s in inner), key=lambda pair: pair[0])
        if deepest <= OVERLAP_ALLOWED_MM / 2:
            return path
        path = free_side([path, section])
    deepest = max(_overlap(path, s, foot_mm) for s in inner)
    return offset_chain(path, -deepest) if deepest > 0.0 else path


def _overlap(path: Chain, section: Chain, foot_mm: tuple[float, float]) -> float:
    """Deepest that the plate, below ``path``, goes into the rail, above ``section``, within the foot."""
    deepest = 0.0
    for p in _places(path):
        if foot_mm[0] <= p.real <= foot_mm[1]:
            deepest = max(deepest, offset_from(section, p))
    for edge in section:
        if foot_mm[0] <= edge.start.real <= foot_mm[1]:
            deepest = max(deepest, -offset_from(path, edge.start))
    return deepest


def _places(path: Chain) -> list[complex]:
    """Ends, quarters and middle of every edge: where a distance between lines and arcs is largest, or near it."""
    return [edge.point(t) for edge in path for t in (0.0, 0.25, 0.5, 0.75)] + [path.end]


def _measure(path: Chain, rail: Rail, faces_mm: tuple[float, float], sections: dict[float, Chain]) -> Fit:
    """Gaps at the two faces, overlap over the thickness, and the gap to expect with the reading error added."""
    foot = (min(path.start.real, path.end.real), max(path.start.real, path.end.real))
    near, far = (max(-offset_from(sections[w], p) for p in _places(path)) for w in faces_mm)
    overlap = max(_overlap(path, sections[w], foot) for w in faces_mm)
    low, high = faces_mm
    if len(rail.traces) > 1:
        for depth in _DEPTHS:
            overlap = max(overlap, _overlap(path, rail.section(low + (high - low) * depth), foot))
    spread = max(rail.standard_error_mm(w) for w in faces_mm)
    return Fit(
        gap_near_mm=max(0.0, near),
        gap_far_mm=max(0.0, far),
        overlap_mm=max(0.0, overlap),
        expected_gap_mm=max(0.0, near, far) + EXPECTED_SIGMAS * spread,
    )


def _slope_range(rail: Rail, w_mm: float, path: Chain) -> tuple[float, float]:
    slopes = list(rail.slopes(w_mm, path.start, path.end))
    return min(slopes), max(slopes)


def end_lines(path: Chain) -> tuple[complex, complex]:
    """Unit vectors from the notch's two ends to the free side, square to the rail there."""
    return path.segments[0].start_tangent * -1j, path.segments[-1].end_tangent * -1j


def length_between(path: Chain, from_u_mm: float, to_u_mm: float) -> float:
    """Length of the notch between two stations."""
    return between(path, from_u_mm, to_u_mm).length


def joints(path: Chain) -> list[complex]:
    """The places where one edge of the notch gives way to the next."""
    return [after.start for _, after in pairwise(path.segments)]
