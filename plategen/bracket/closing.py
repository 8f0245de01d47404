"""Closing plates: they stand on the rail between the ears and make a box of the bracket.

Each stands square to the rail at one end of the foot, its upper edge fitted to the rail, its upper corners cut off so
that it passes over the ears' own beads, and its lower edge short of the ears' flanks so that a bead can lie there. It
is welded outside: to the rail, and to both ears. With slots, tabs on its sides go through the ears and locate it.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from plategen.bracket.closing_plate import (
    BESIDE_BEAD_MM,
    ClosingPlate,
    closing_plate,
    free_depth,
    kept_clear_mm,
    slotted,
)
from plategen.bracket.fitted_edge import Root
from plategen.bracket.model import Plate, WeldRun, fillet
from plategen.design.design import Design
from plategen.flat.chain import Chain
from plategen.flat.placement import Placement
from plategen.flat.segment import Line
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.closing import Closing
from plategen.rail.surface import Rail

Which = Literal["back", "bottom"]
"""Behind the ears, or below them."""

INSET_LEGS = 2.0
"""The outer face stands this many legs in from the foot's end: a bead, and as much again (common practice)."""

GOOD_SIDE_LEGS = 8.0
"""How deep a rule makes the sides: twice the least, so that the stops of the beads are not most of them."""

SLOTTED_SIDE = 4.0
"""How deep it makes slotted sides, over the ears' thickness: a slot in the middle with steel all round."""

MOST_INSETS = 40
"""Insets tried before the corner is given up."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """Ears, with slots where they have them, the plates between them with their runs, and what a rule chose."""

    ears: tuple[Plate, ...]
    plates: tuple[Plate, ...]
    welds: tuple[WeldRun, ...]
    chosen: tuple[Message, ...]


def close(design: Design, closing: Closing, rail: Rail, ears: tuple[Plate, ...]) -> Closed:
    """The plates that close a pair of ears.

    Args:
        design: The design.
        closing: Its ``[closing]`` table.
        rail: The rail they stand on.
        ears: Both ears, the near one first.

    Raises:
        Refusal: If there is one plate alone, no room for a closing plate, or a slot breaks an ear.
    """
    if len(ears) != 2:
        raise Refusal("there is nothing to close with one plate alone; leave the table out", "closing")
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    chosen: list[Message] = []
    wanted: list[Which] = [which for which in ("back", "bottom") if getattr(closing, which)]
    for which in wanted:
        root, why = _root(design.job, closing, rail, ears, which)
        chosen += [why] if why else []
        built = closing_plate(design, closing, rail, root, ears, which)
        if built.by_swing:
            kept = mm(kept_clear_mm(design.job))
            depth = "{} plate's depth from the cylinder's swing, {} kept clear, on the next shop size down"
            chosen.append(message(depth, which, kept))
        plates.append(built.plate)
        welds += _runs(design.job, closing, built, root, ears)
        if built.tabs is not None:
            ears = tuple(slotted(ear, built, root, closing) for ear in ears)
    return Closed(ears=ears, plates=tuple(plates), welds=tuple(welds), chosen=tuple(chosen))


def _root(job: Job, closing: Closing, rail: Rail, ears: tuple[Plate, ...], which: Which) -> tuple[Root, Message]:
    """Where a closing plate stands, and the rule that chose its inset.

    Left out, the inset is the least that has room for the outer beads and gives sides of eight legs, or the deepest.
    """
    given = closing.back_inset_mm if which == "back" else closing.bottom_inset_mm
    thickness = closing.thickness_mm or job.bracket.thickness_mm
    if given is not None:
        return _standing(rail, ears, which, given, thickness), NOTHING
    leg = closing.leg_mm or job.weld.leg_mm
    least = PLATE_SIZES.up(INSET_LEGS * leg, job.units)
    sides = GOOD_SIDE_LEGS * leg
    rule = f"sides of {GOOD_SIDE_LEGS:g} x weld leg"
    if closing.joint == "slots" and SLOTTED_SIDE * job.bracket.thickness_mm > sides:
        sides, rule = SLOTTED_SIDE * job.bracket.thickness_mm, f"sides of {SLOTTED_SIDE:g} x the ears' thickness"
    best: tuple[float, Root] | None = None
    for k in range(MOST_INSETS):
        root = _standing(rail, ears, which, least + k * PLATE_SIZES.up(leg, job.units), thickness)
        depth = free_depth(root, ears, thickness, leg)
        if best is None or depth > best[0]:
            best = depth, root
        if depth - job.weld.leg_mm - BESIDE_BEAD_MM >= sides:
            break
    assert best is not None
    inset = "{} plate's inset: the least that leaves {} x weld leg outside and {} (common practice, no source)"
    return best[1], message(inset, which, f"{INSET_LEGS:g}", rule)


def _standing(rail: Rail, ears: tuple[Plate, ...], which: Which, inset_mm: float, thickness_mm: float) -> Root:
    """The root of a plate at an inset from the foot's end, from the mean of both ears' notches."""
    notches = [ear.notch for ear in ears if ear.notch is not None]
    at_start = (notches[0].start.real <= notches[0].end.real) == (which == "back")
    depth = inset_mm + thickness_mm
    places = [notch.at(depth if at_start else notch.length - depth) for notch in notches]
    middle = sum(notch.segments[i].point(t) for notch, (i, t) in zip(notches, places, strict=True)) / 2
    middle_w = (ears[0].placement.origin[2] + ears[0].thickness_mm + ears[1].placement.origin[2]) / 2
    section = rail.section(middle_w)
    index, t = section.nearest(middle)
    edge = section.segments[index]
    return Root(edge.point(t), edge.tangent(t), -1 if at_start else 1, middle_w)


def _runs(job: Job, closing: Closing, built: ClosingPlate, root: Root, ears: tuple[Plate, ...]) -> Iterator[WeldRun]:
    """To the rail along the upper edge, and to each ear up the side, all on the outer face."""
    place = built.plate.placement
    outer = Placement(place.point(0j, built.plate.thickness_mm), place.u, place.v)
    notch = built.plate.notch
    assert notch is not None
    angles = [math.pi / 2 + root.outward * math.atan(slope) for slope in built.edge.slopes]
    # the outline's left lies towards the near ear when its u looks along the pin
    left, right = ears if place.u[2] > 0.0 else ears[::-1]
    # beside a tab the ear begins beyond the slot's own room
    beside = closing.fit_mm * (math.sqrt(2.0) if built.tabs is not None else 1.0)
    name, leg = built.plate.name, closing.leg_mm or job.weld.leg_mm
    angle, gap = (min(angles), max(angles)), built.edge.fit.gap_far_mm
    yield fillet(job, name, "rail", "rail", notch, outer, leg_mm=leg, angle_rad=angle, gap_mm=gap)
    for ear, x, top in zip((left, right), (-built.half_mm, built.half_mm), built.tops_mm, strict=True):
        up = Chain((Line(complex(x, built.low_mm), complex(x, top)),))
        yield fillet(job, name, "tie", ear.name, up, outer, leg_mm=leg, gap_mm=beside)
