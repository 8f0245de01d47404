"""Closing plates: they stand on the rail between the ears and make a box of the bracket.

Each stands square to the rail at one end of the foot, its upper edge fitted to the rail, its upper corners cut off so
that it passes over the ears' own beads, and its lower edge short of the ears' flanks so that a bead can lie there. It
is welded outside: to the rail, and to both ears. With slots, tabs on its sides go through the ears and locate it.
"""

import math
from collections.abc import Iterator
from dataclasses import replace
from operator import itemgetter

from plategen.bracket.closing_plate import LEAST_LEG_MM, ClosingPlate, closing_plate, refuse_narrow, worth_mm
from plategen.bracket.closing_room import BESIDE_BEAD_MM, Box, rough_depths
from plategen.bracket.closing_slot import slotted
from plategen.bracket.fitted_edge import Root
from plategen.bracket.model import Bracket, Plate
from plategen.design.design import Design
from plategen.ground.message import NOTHING, Message, message, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES, PLATE_SIZES
from plategen.job.style_tables import Closing
from plategen.rail.surface import Rail

INSET_LEGS = 2.0
"""The outer face stands this many legs in from the foot's end: a bead, and as much again (common practice)."""

GOOD_SIDE_LEGS = 8.0
"""How deep a rule makes the sides: twice the least, so that the stops of the beads are not most of them."""

SLOTTED_SIDE = 4.0
"""How deep it makes slotted sides, over the ears' thickness: a slot in the middle with steel all round."""

ROUGH_MM = 2.0
"""What a rough look at a side may miss besides its steps: the gap, and how far the rail bows between the ears."""

AT_ONCE = 4
"""Places of a closing plate that are looked at together: often the first will do."""

SMALLER_LEG = "{} plate's leg {}: the largest for which there is room (common practice, no source)"
"""A choice by rule, told in the sheet."""


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
        built, ears, reasons = _chosen(design, closing, rail, ears, which)
        plates.append(built.plate)
        welds += built.runs
        chosen += [reason for reason in reasons if reason]
    return replace(bracket, plates=(*ears, *plates), welds=tuple(welds), chosen=tuple(chosen))


def _chosen(
    design: Design, closing: Closing, rail: Rail, ears: tuple[Plate, ...], which: str
) -> tuple[ClosingPlate, tuple[Plate, ...], tuple[Message, ...]]:
    """A closing plate with the ears that it stands between, and why its leg, inset and depth are what they are.

    Left out, the leg is the ears' own or the largest below it for which there is room, and the inset the least that
    has room for the outer beads and gives good sides, or the one with the deepest.
    """
    usual = closing.leg_mm or design.job.weld.leg_mm
    legs = (usual,) if closing.leg_mm else (usual, *PART_SIZES.below(usual, design.job.units, LEAST_LEG_MM))
    refused: Refusal | None = None
    for leg_mm in legs:
        box, refused = Box(design, closing, rail, ears, leg_mm), None
        try:
            refuse_narrow(box, which)
        except Refusal as refusal:
            refused = refusal
            continue
        for root, why in _roots(box, which):
            try:
                built = closing_plate(box, root, which)
            except Refusal as refusal:
                refused = refused or refusal  # of the best place for the smallest leg
                continue
            if built.slot is not None:
                ears = tuple(slotted(ear, built.slot) for ear in ears)
            leg = message(SMALLER_LEG, which, size(leg_mm)) if leg_mm < usual else NOTHING
            return built, ears, (leg, why, built.why)
    raise refused or Refusal("the foot is too short for a closing plate; a longer one is right", "mount.foot")


def _roots(box: Box, which: str) -> Iterator[tuple[Root, Message]]:
    """Where a closing plate may stand, the best first, and the rule that chose its inset."""
    job, closing = box.design.job, box.closing
    given = closing.back_inset_mm if which == "back" else closing.bottom_inset_mm
    if given is not None:
        yield _standing(box, which, given), NOTHING
        return
    sides, rule = GOOD_SIDE_LEGS * box.leg_mm, f"sides of {GOOD_SIDE_LEGS:g} x weld leg"
    if closing.joint == "slots" and SLOTTED_SIDE * job.bracket.thickness_mm > sides:
        sides, rule = SLOTTED_SIDE * job.bracket.thickness_mm, f"sides of {SLOTTED_SIDE:g} x the ears' thickness"
    why = message(
        "{} plate's inset: the least that leaves {} x weld leg outside and {} (common practice, no source)",
        which, f"{INSET_LEGS:g}", rule,
    )  # fmt: skip
    inset_mm, step_mm = PLATE_SIZES.up(INSET_LEGS * box.leg_mm, job.units), PLATE_SIZES.up(box.leg_mm, job.units)
    # each on its own half of the foot: beyond it the one behind would stand under the cylinder, or the other behind it
    most_mm = min(ear.notch.length for ear in box.ears if ear.notch is not None) / 2 - box.thickness_mm
    insets = [inset_mm + k * step_mm for k in range(max(0, math.ceil((most_mm - inset_mm) / step_mm)))]
    shallow: list[tuple[float, float, Root]] = []
    for some in (insets[k : k + AT_ONCE] for k in range(0, len(insets), AT_ONCE)):
        roots = [_standing(box, which, mm) for mm in some]
        for (depth_mm, missed_mm), root in zip(rough_depths(box, roots), roots, strict=True):
            side_mm = depth_mm - job.weld.leg_mm - BESIDE_BEAD_MM
            if side_mm >= sides:
                yield root, why
            else:
                shallow.append((side_mm, missed_mm + ROUGH_MM, root))
    for rank, (side_mm, missed_mm, root) in enumerate(sorted(shallow, key=itemgetter(0), reverse=True)):
        # the deepest is tried in any case, and says why no other would do
        if rank == 0 or side_mm + missed_mm >= worth_mm(box):
            yield root, why


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
