"""Where the torch pierces and how it comes to the contour and leaves it: arcs from the scrap, tangent to the cut.

Contours run the way the torch goes, the part to its right; see :func:`plategen.cut.part.travelled`.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plategen.cut.part import Cut, CutPart, travelled
from plategen.flat.chain import Chain
from plategen.flat.distance import chain_distance
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc, Segment
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal

SHRINK = (1.0, 0.75, 0.5, 0.35, 0.2)
"""Shares of the wished lead radius that are tried, the largest first."""

OUT_SHARE = 0.5
"""Radius of the way out against that of the way in: it only has to leave the edge."""

SMALL_HOLE = 2.5
"""A hole of up to this many lead radii is pierced at its centre."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LeadRule:
    """What leads are wanted."""

    radius_mm: float  # Radius of the quarter turn that leads in.
    pierce_clear_mm: float  # Least distance from the pierce point to any finished edge: a pierce splashes.
    corner_clear_mm: float  # Least distance from where the lead meets the cut to a corner of it.


def led(part: CutPart, rule: LeadRule, keep_off: Chain | None = None) -> CutPart:
    """The part with a way in and a way out for every contour.

    Its contours may be at finished size or compensated for kerf. Beside ``keep_off``, the notch, no lead meets the cut:
    where it starts and stops a cut has a flaw.

    Raises:
        Refusal: A contour has no place for a lead.
    """
    inside = []
    for cut in part.inside:
        others = [other.contour for other in part.inside if other is not cut]
        inside.append(_led(part.name, cut.contour, rule, None, others, hole=True))
    outside = _led(part.name, part.outside.contour, rule, keep_off, [], hole=False)
    return replace(part, inside=tuple(inside), outside=outside)


def pierce(cut: Cut) -> complex:
    """Where the torch goes through the plate: the start of the way in, or a point of the contour itself."""
    return cut.lead_in.start if cut.lead_in else cut.contour.segments[0].start


def _led(
    name: str, contour: Contour, rule: LeadRule, keep_off: Chain | None, others: Sequence[Contour], *, hole: bool
) -> Cut:
    if isinstance(contour, Circle) and contour.radius <= SMALL_HOLE * rule.radius_mm:
        return _from_the_centre(contour)
    run = travelled(contour, hole=hole)
    for share in SHRINK:
        radius = rule.radius_mm * share
        clear = rule.pierce_clear_mm * share
        for loop in _begun(run, rule.corner_clear_mm * share, keep_off):
            lead_in, lead_out = _leads(loop, radius)
            if _free(loop, lead_in, lead_out, clear, others, hole=hole):
                return Cut(contour if isinstance(contour, Circle) else loop, lead_in, lead_out)
    what = "opening" if hole else "outline"
    raise Refusal(
        message("{}: no room for a lead of {} at the {}; a smaller lead is right", name, mm(rule.radius_mm), what),
        "cutting.lead",
    )


def _begun(loop: Loop, corner_clear_mm: float, keep_off: Chain | None) -> Iterator[Loop]:
    """The loop begun at the middle of each edge that is long enough, straight and long edges first."""
    order = sorted(range(len(loop)), key=lambda i: (isinstance(loop.segments[i], Arc), -loop.segments[i].length))
    for i in order:
        edge = loop.segments[i]
        middle = edge.point(0.5)
        if edge.length / 2 < corner_clear_mm:
            continue
        if keep_off is not None and keep_off.distance(middle) < corner_clear_mm:
            continue
        yield Loop((edge.part(0.5, 1.0), *loop.segments[i + 1 :], *loop.segments[:i], edge.part(0.0, 0.5)))


def _leads(loop: Loop, radius_mm: float) -> tuple[Chain, Chain]:
    """Quarter turns to the left, in to the loop's start and out of it, both on the scrap's side."""
    at, ahead = loop.segments[0].start, loop.segments[0].start_tangent
    bulge = math.tan(math.pi / 8)
    out = radius_mm * OUT_SHARE
    lead_in = Arc(at + radius_mm * (1j - 1) * ahead, at, bulge)
    lead_out = Arc(at, at + out * (1j + 1) * ahead, bulge)
    return Chain((lead_in,)), Chain((lead_out,))


def _free(
    loop: Loop, lead_in: Chain, lead_out: Chain, clear_mm: float, others: Sequence[Contour], *, hole: bool
) -> bool:
    """True when the leads stay in the scrap and the pierce point keeps its distance from every edge."""
    start = lead_in.start
    if inside(loop, start) != hole or inside(loop, lead_out.end) != hole:
        return False
    if loop.distance(start) < clear_mm:
        return False
    # 36 degrees away from where they meet the cut they are a fifth of their radius off it, and no other edge is nearer
    away: list[Segment] = [lead_in.segments[0].part(0.0, 0.6), lead_out.segments[0].part(0.4, 1.0)]
    for piece in away:
        if isinstance(piece, Arc) and chain_distance([piece], loop.segments) < 0.15 * piece.radius:
            return False
    return all(chain_distance(away, other.segments) > clear_mm and not inside(other, start) for other in others)


def _from_the_centre(circle: Circle) -> Cut:
    """For a small hole: half a turn from its centre to its edge, the furthest a pierce can keep off."""
    half = circle.radius / 2
    lead_in = Arc.about(circle.centre + half, half, math.pi, math.pi)
    lead_out = Arc.about(circle.centre + half, half, 0.0, math.pi / 2)
    return Cut(circle, Chain((lead_in,)), Chain((lead_out,)))
