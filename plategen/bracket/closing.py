"""Closing plates: they stand on the rail between the ears and make a box of the bracket.

Each stands square to the rail at one end of the foot, its upper edge fitted to the rail, its upper corners cut off so
that it passes over the ears' own beads, and its lower edge short of the ears' flanks so that a bead can lie there. It
is welded outside: to the rail, and to both ears. With slots, tabs on its sides go through the ears and locate it.
"""

from dataclasses import replace

from plategen.bracket.closing_plate import BESIDE_BEAD_MM, Box, closing_plate, free_depth, slotted
from plategen.bracket.fitted_edge import Root
from plategen.bracket.model import Bracket, Plate
from plategen.design.design import Design
from plategen.ground.message import NOTHING, Message, message
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.style_tables import Closing
from plategen.rail.surface import Rail

INSET_LEGS = 2.0
"""The outer face stands this many legs in from the foot's end: a bead, and as much again (common practice)."""

GOOD_SIDE_LEGS = 8.0
"""How deep a rule makes the sides: twice the least, so that the stops of the beads are not most of them."""

SLOTTED_SIDE = 4.0
"""How deep it makes slotted sides, over the ears' thickness: a slot in the middle with steel all round."""

MOST_INSETS = 40
"""Insets tried before the corner is given up."""


def close(design: Design, closing: Closing, rail: Rail, bracket: Bracket) -> Bracket:
    """The bracket with the plates that close its pair of ears, behind them and below as the job asks.

    Raises:
        Refusal: If there is one plate alone, no room for a closing plate, or a slot breaks an ear.
    """
    if len(bracket.plates) != 2:
        raise Refusal("there is nothing to close with one plate alone; leave the table out", "closing")
    ears: tuple[Plate, ...] = bracket.plates
    plates, welds, chosen = [], [*bracket.welds], [*bracket.chosen]
    for which in (which for which in ("back", "bottom") if getattr(closing, which)):
        box = Box(design, closing, rail, ears)
        root, why = _root(box, which)
        built = closing_plate(box, root, which)
        plates.append(built.plate)
        welds += built.runs
        chosen += [reason for reason in (why, built.why) if reason]
        if built.tabs_mm is not None:
            ears = tuple(slotted(ear, built.plate, built.tabs_mm, root, closing.fit_mm) for ear in ears)
    return replace(bracket, plates=(*ears, *plates), welds=tuple(welds), chosen=tuple(chosen))


def _root(box: Box, which: str) -> tuple[Root, Message]:
    """Where a closing plate stands, and the rule that chose its inset.

    Left out, the inset is the least that has room for the outer beads and gives sides of eight legs, or the deepest.
    """
    job, closing = box.design.job, box.closing
    given = closing.back_inset_mm if which == "back" else closing.bottom_inset_mm
    if given is not None:
        return _standing(box, which, given), NOTHING
    least = PLATE_SIZES.up(INSET_LEGS * box.leg_mm, job.units)
    sides, rule = GOOD_SIDE_LEGS * box.leg_mm, f"sides of {GOOD_SIDE_LEGS:g} x weld leg"
    if closing.joint == "slots" and SLOTTED_SIDE * job.bracket.thickness_mm > sides:
        sides, rule = SLOTTED_SIDE * job.bracket.thickness_mm, f"sides of {SLOTTED_SIDE:g} x the ears' thickness"
    deepest, best = -1.0, None
    for k in range(MOST_INSETS):
        root = _standing(box, which, least + k * PLATE_SIZES.up(box.leg_mm, job.units))
        depth = free_depth(box, root)
        if depth > deepest:
            deepest, best = depth, root
        if depth - job.weld.leg_mm - BESIDE_BEAD_MM >= sides:
            break
    assert best is not None
    inset = "{} plate's inset: the least that leaves {} x weld leg outside and {} (common practice, no source)"
    return best, message(inset, which, f"{INSET_LEGS:g}", rule)


def _standing(box: Box, which: str, inset_mm: float) -> Root:
    """The root of a plate at an inset from the foot's end, from the mean of both ears' notches."""
    near, far = box.ears
    notches = [ear.notch for ear in box.ears if ear.notch is not None]
    at_start = (notches[0].start.real <= notches[0].end.real) == (which == "back")
    depth = inset_mm + box.thickness_mm
    places = [notch.at(depth if at_start else notch.length - depth) for notch in notches]
    middle = sum(notch.segments[i].point(t) for notch, (i, t) in zip(notches, places, strict=True)) / 2
    middle_w = (near.placement.origin[2] + near.thickness_mm + far.placement.origin[2]) / 2
    section = box.rail.section(middle_w)
    index, t = section.nearest(middle)
    edge = section.segments[index]
    return Root(edge.point(t), edge.tangent(t), -1 if at_start else 1, middle_w)
