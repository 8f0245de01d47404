"""The outline of a tab: the notch, two toes square to the rail, and a string drawn from toe to toe round the bolts."""

from collections.abc import Sequence

from plategen.bracket.hull import between, string
from plategen.bracket.notch import toes
from plategen.bracket.standing import refuse_unfit
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SHORTEST_EDGE_MM, Line, Segment, angle, cross
from plategen.flat.tangent import largest_radius, round_corner, rounds
from plategen.ground.ended import ended
from plategen.ground.in_words import in_words
from plategen.ground.message import message, mm


def tab_outline(
    notch: Chain, steel: Sequence[Circle], toe_mm: float, corner_radius_mm: float, beside: Sequence[Circle] = ()
) -> Loop:
    """The outline, anticlockwise, beginning with the toe at the notch's beginning and ending with the notch.

    It goes round the circles of ``steel`` about the bolt holes, and of that ``beside`` a notch with the rail's metal on
    its left. The toes' outer corners are rounded by the radius, or by a smaller one where it does not fit.

    Raises:
        Refusal: If the bolts reach beyond the foot or into the rail, or the outline crosses itself.
    """
    for circle in steel:
        if -offset_from(notch, circle.centre) <= 0.0:
            raise ended("a bolt lies on or beyond the rail", "split.height", "bolts nearer to the cylinder")
    first, last = toes(notch, toe_mm)
    below = between(string([Circle(first, 0.0), Circle(last, 0.0), *steel], beside), first, last)
    if below is None:
        raise ended(
            "the steel about the bolts reaches beyond the toes of the tab",
            "split.row_spacing",
            "a wider foot, a shorter toe, or bolts closer together",
        )
    edges = _rounded([Line(notch.start, first), *below, Line(last, notch.end)], corner_radius_mm)
    outline = Loop((*edges, *notch.reversed()))
    refuse_unfit(outline, "mount.foot")
    return outline


def refuse_broken(outline: Loop, name: str, circles: Sequence[tuple[str, Circle]], where: str) -> None:
    """Refuse a hole that breaks the plate's edge or another hole; ``circles`` are holes and the ends of slots."""
    for index, (hole, circle) in enumerate(circles):
        room = outline.distance(circle.centre) - circle.radius
        if room <= 0.0 or not inside(outline, circle.centre):
            off_mm = SHORTEST_EDGE_MM - (room if inside(outline, circle.centre) else -room - 2.0 * circle.radius)
            right = message("{} moved {} or more away from the edge", hole, mm(off_mm, "up"))
            raise ended(f"{hole} breaks the edge of {in_words(name)}", where, right)
        for other, circle_of_other in circles[:index]:
            apart_mm, least_mm = abs(circle.centre - circle_of_other.centre), circle.radius + circle_of_other.radius
            if other != hole and apart_mm <= least_mm:
                right = message("{} or more further apart", mm(least_mm - apart_mm + SHORTEST_EDGE_MM, "up"))
                raise ended(f"{hole} and {other} of {in_words(name)} break into one another", where, right)


def _rounded(edges: list[Segment], radius_mm: float) -> list[Segment]:
    """The edges with the corner at each toe rounded as far as it fits."""
    for index in (len(edges) - 2, 0):
        before, after = edges[index], edges[index + 1]
        if abs(cross(before.end_tangent, after.start_tangent)) < 1e-6:
            continue
        # a little less than the most that fits, so that neither edge is used up
        fits = rounds(before, after, radius_mm / 0.9)
        radius = radius_mm if fits else min(radius_mm, 0.9 * largest_radius(before, after))
        # a corner all but straight is left as it is: its arc would be too short to cut
        if radius * min(1.0, abs(angle(after.start_tangent / before.end_tangent))) < SHORTEST_EDGE_MM:
            continue
        edges[index : index + 2] = round_corner(before, after, radius)
    return edges
