"""The tabs of a closing plate, and the slots in the ears that they go through."""

import math
from bisect import bisect_left
from dataclasses import replace
from operator import itemgetter

from plategen.bracket.closing_room import Box
from plategen.bracket.fitted_edge import Root
from plategen.bracket.model import Plate
from plategen.flat.distance import chain_distance, keep_off
from plategen.flat.inside import inside
from plategen.flat.loop import Loop, polygon
from plategen.flat.segment import Arc, Line, Segment
from plategen.flat.tangent import rounded
from plategen.ground.cure import Change, Cure, set_to
from plategen.ground.in_words import in_words
from plategen.ground.message import as_message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES

STEEL_ROUND_SLOT = 1.0
"""Steel between a slot and an edge or hole, over the ear's thickness (common practice, no source)."""

SHOULDER_MM = 1.5
"""Radius of the relief at a tab's shoulders and of a slot's corners: a torch leaves about its half kerf round there."""

Tab = tuple[float, float]
"""From where to where a tab goes, in the plate's v."""


def shortest_tab_mm(box: Box) -> float:
    """The shortest tab that is more than its shoulders, on a shop size."""
    return PLATE_SIZES.up(6.0 * SHOULDER_MM, box.design.job.units)


def least_side_mm(box: Box) -> float:
    """The shortest side that takes a tab."""
    return shortest_tab_mm(box) + 4.0 * SHOULDER_MM


def tabs_of(box: Box, root: Root, low_mm: float, top_mm: float) -> tuple[Tab, Loop]:
    """Where a tab goes in the middle of each side, and the slot for it in both ears.

    It is as long as asked; else a third of the side, or less where there is no steel beside a slot for that.

    Raises:
        Refusal: There is no room for a tab, or for the one that is asked.
    """
    units, side, middle, given = box.design.job.units, top_mm - low_mm, (low_mm + top_mm) / 2, box.closing.tab_mm
    if given is not None:
        _refuse_tab(box, given, side)
    shortest = shortest_tab_mm(box)
    first = max(shortest, PLATE_SIZES.down(side / 3, units)) if given is None else given
    slot = _slot(box, root, middle, first)
    if all(_in_steel(slot, ear) for ear in box.ears):
        return (middle - first / 2, middle + first / 2), slot
    # a shorter slot lies within a longer one: where the shortest has no steel none has
    sizes = list(PLATE_SIZES.below(first, units, shortest))

    def fits(tab_mm: float) -> bool:
        return all(_in_steel(_slot(box, root, middle, tab_mm), ear) for ear in box.ears)

    length = sizes[bisect_left(sizes, True, key=fits)] if sizes and fits(sizes[-1]) else None
    if length is None:
        cure = Cure(as_message('joint = "butt"'), (Change("closing.joint", "butt"),))
    elif given is None:
        return (middle - length / 2, middle + length / 2), _slot(box, root, middle, length)
    else:
        cure = set_to("closing.tab", size(length), "a tab of {}")
    over, ear = min(((_over_steel(slot, ear), ear) for ear in box.ears), key=itemgetter(0))
    words = "a slot for a tab of {} leaves {} of {} beside it where its thickness, {}, is right; {} is right"
    steel = STEEL_ROUND_SLOT * ear.thickness_mm
    beside_mm, named = max(0.0, steel + over), in_words(ear.name)
    there = message(words, mm(first), mm(beside_mm), named, mm(steel), cure.advice)
    raise Refusal(there, "closing.tab", cure=cure)


def _refuse_tab(box: Box, tab_mm: float, side_mm: float) -> None:
    """Refuse a tab that is all shoulders, or does not go on its side."""
    units, least, most = box.design.job.units, 6.0 * SHOULDER_MM, side_mm - 4.0 * SHOULDER_MM
    low, high = shortest_tab_mm(box), PLATE_SIZES.down(most, units)
    if tab_mm < least:
        words = "a tab of {} is used up by its shoulders; {} or more is right"
        to, what = low, message(words, mm(tab_mm), mm(least, "up"))
    elif tab_mm > most:
        words = "a tab of {} does not go on a side of {}; {} or less is right"
        to, what = high, message(words, mm(tab_mm), mm(side_mm), mm(most, "down"))
    else:
        return
    raise Refusal(what, "closing.tab", cure=set_to("closing.tab", size(to), "tab to {}") if low <= high else None)


def _slot(box: Box, root: Root, middle_mm: float, tab_mm: float) -> Loop:
    """The slot in an ear for a tab of a length about a place of the side."""
    along, half_width, fit = root.along * 1j, box.thickness_mm / 2, box.closing.fit_mm
    middle = root.at + along * middle_mm + root.along * root.outward * half_width
    # a slot with rounded corners is lengthened by their radius, so that a square tab of the length goes in
    radius = min(SHOULDER_MM, (half_width + fit) / 2)
    one, other = along * (tab_mm / 2 + fit + radius), along * 1j * (half_width + fit)
    corners = (middle - one - other, middle + one - other, middle + one + other, middle - one + other)
    return rounded(polygon(corners), [radius] * 4)


def _in_steel(slot: Loop, ear: Plate) -> bool:
    """True if an ear has the steel beside a slot that is asked: what :func:`_over_steel` says is not negative."""
    steel_mm = STEEL_ROUND_SLOT * ear.thickness_mm
    return (
        inside(ear.outline, slot.start)
        and all(slot.distance(hole.circle.centre) - hole.circle.radius >= steel_mm for hole in ear.holes)
        and all(keep_off(slot, edge, steel_mm) for edge in (ear.outline, *ear.openings))
    )


def _over_steel(slot: Loop, ear: Plate) -> float:
    """The steel that an ear has beside a slot, over what is asked; negative by what is missing."""
    rooms = [chain_distance(slot, ear.outline)] if inside(ear.outline, slot.start) else [0.0]
    rooms += [chain_distance(slot, cut) for cut in ear.openings]
    rooms += [slot.distance(hole.circle.centre) - hole.circle.radius for hole in ear.holes]
    return min(rooms) - STEEL_ROUND_SLOT * ear.thickness_mm


def slotted(ear: Plate, slot: Loop) -> Plate:
    """The ear with a slot for a closing plate's tab."""
    return replace(ear, openings=(*ear.openings, slot))


def side_with(
    x_mm: float, low_mm: float, high_mm: float, tabs_mm: tuple[float, float] | None, flush_mm: float
) -> list[Segment]:
    """The right side of a plate, walked upwards, with its tab that ends flush with the ears' outer faces."""
    low, high = complex(x_mm, low_mm), complex(x_mm, high_mm)
    if tabs_mm is None:
        return [Line(low, high)]
    a, b = (complex(x_mm, v) for v in tabs_mm)
    c, d = (complex(flush_mm, v) for v in tabs_mm)
    across = 2.0 * SHOULDER_MM
    return [Line(low, a), *_shoulder(a, a + across), Line(a + across, c), Line(c, d), Line(d, b + across),
            *_shoulder(b + across, b), Line(b, high)]  # fmt: skip


def _shoulder(begin: complex, end: complex) -> tuple[Arc, Arc]:
    """Half a hole sunk into the tab beside its root, clockwise through the plate, in two arcs.

    It meets the side at a tangent, so that the side is whole from end to end for the bead.
    """
    middle = (begin + end) / 2 + (end - begin) / 2 * 1j
    quarter = -math.tan(math.pi / 8)
    return Arc(begin, middle, quarter), Arc(middle, end, quarter)
