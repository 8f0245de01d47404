"""The shape of a closing plate, as deep as ears and cylinder let it, and its weld runs."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.bracket.closing_room import BESIDE_BEAD_MM, Box, kept_mm, shop_depth
from plategen.bracket.closing_slot import least_side_mm, side_with, tabs_of
from plategen.bracket.fitted_edge import Root, fitted_edge
from plategen.bracket.model import Plate, WeldRun, fillet
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Line
from plategen.flat.sliver import without_slivers
from plategen.ground.cure import set_to
from plategen.ground.message import NOTHING, Message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES

LEAST_LEG_MM = 3.0
"""No rule makes a fillet smaller (AISC 360 Table J2.4M, its first row)."""

LEAST_SIDE_LEGS = 4.0
"""A side bead counts with its full leg from 4 w of length (AISC 360 J2.2b); less is not worth its welds."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingPlate:
    """A closing plate with its runs, the slot for its tab in both ears, and why it is as deep as it is.

    It has no slot where its joint has none, and no reason where the ears' edges end it.
    """

    plate: Plate
    runs: tuple[WeldRun, ...]
    slot: Loop | None
    why: Message


def closing_plate(box: Box, root: Root, which: str) -> ClosingPlate:
    """A closing plate that stands at a place of the rail.

    Raises:
        Refusal: If there is no room for it.
    """
    job, closing = box.design.job, box.closing
    near, far = box.ears
    apart = far.placement.origin[2] - near.placement.origin[2] - near.thickness_mm
    half = apart / 2 - closing.fit_mm
    snipe = job.weld.leg_mm + BESIDE_BEAD_MM  # the ears' own beads pass there
    edge = fitted_edge(box.rail, root, half, box.thickness_mm, job.bracket.root_gap_mm)
    depth, by_swing = shop_depth(box, root)
    left_top, right_top = edge.path.start.imag - snipe, edge.path.end.imag - snipe
    top = min(left_top, right_top)
    _refuse_shallow(box, which, top + depth, by_swing)
    tabs, slot = tabs_of(box, root, -depth, top) if closing.joint == "slots" else (None, None)
    flush = apart / 2 + min(near.thickness_mm, far.thickness_mm)
    notch = without_slivers(between(edge.path, -half + snipe, half - snipe))
    # the left side, walked downwards, mirrors one walked upwards on the right
    left = [
        side.mirrored().moved(-1 + 0j, 0j).reversed() for side in side_with(half, -depth, left_top, tabs, flush)[::-1]
    ]
    outline = Loop(
        (
            Line(complex(-half, -depth), complex(half, -depth)),
            *side_with(half, -depth, right_top, tabs, flush),
            Line(complex(half, right_top), notch.end),
            *notch.reversed(),
            Line(notch.start, complex(-half, left_top)),
            *left,
        )
    )
    plate = Plate(
        name=f"closing_{which}",
        role="closing",
        outline=outline,
        thickness_mm=box.thickness_mm,
        steel=closing.steel or job.bracket.steel,
        placement=root.placement,
        notch=notch,
        fit=edge.fit(),
    )
    angles = [math.pi / 2 + root.outward * math.atan(slope) for slope in edge.slopes]
    sides = [
        Chain((Line(complex(x, -depth), complex(x, side_top)),))
        for x, side_top in ((-half, left_top), (half, right_top))
    ]
    runs = tuple(_runs(box, plate, (min(angles), max(angles)), sides))
    words = "{} plate's depth from the cylinder's swing, {} kept clear, on the next shop size down"
    why = message(words, which, mm(kept_mm(box.design))) if by_swing else NOTHING
    return ClosingPlate(plate=plate, runs=runs, slot=slot, why=why)


def refuse_narrow(box: Box, which: str) -> None:
    """Refuse a plate between ears whose own beads leave it no room.

    Raises:
        Refusal: They do.
    """
    job, fit, (near, far) = box.design.job, box.closing.fit_mm, box.ears
    apart_mm = far.placement.origin[2] - near.placement.origin[2] - near.thickness_mm
    needed_mm = 2.0 * (job.weld.leg_mm + BESIDE_BEAD_MM + box.leg_mm + fit)
    if apart_mm >= needed_mm:
        return
    own_mm = box.closing.leg_mm or LEAST_LEG_MM
    ears_mm = PART_SIZES.down(apart_mm / 2 - fit - BESIDE_BEAD_MM - own_mm, job.units)
    cure = set_to("weld.leg", size(ears_mm), "a weld leg of {}") if ears_mm >= LEAST_LEG_MM else None
    words = "the ears stand {} apart, and a closing plate with its beads beside theirs takes {}; {} is right"
    right = cure.advice if cure else "leaving it out"
    raise Refusal(message(words, mm(apart_mm), mm(needed_mm, "up"), right), f"closing.{which}", cure=cure)


def worth_mm(box: Box) -> float:
    """The least side of a closing plate that is worth its welds, and takes a tab where it has one."""
    least_mm = LEAST_SIDE_LEGS * box.leg_mm
    return max(least_mm, least_side_mm(box)) if box.closing.joint == "slots" else least_mm


def _refuse_shallow(box: Box, which: str, side_mm: float, by_swing: bool) -> None:
    """Refuse a plate whose sides are not worth their welds, or take no tab, for the ears' edges or the swing."""
    least = worth_mm(box)
    if side_mm >= least:
        return
    what = "the cylinder's swing" if by_swing else "the ears' edge"
    words = "between the rail and {} the {} plate has sides of {}, and {} make it worth its welds"
    raise Refusal(message(words, what, which, mm(max(0.0, side_mm)), mm(least, "up")), f"closing.{which}")


def _runs(box: Box, plate: Plate, angle_rad: tuple[float, float], sides: list[Chain]) -> Iterator[WeldRun]:
    """To the rail along the upper edge, and to each ear up the side, all on the outer face."""
    job, place = box.design.job, plate.placement
    assert plate.notch is not None
    outer = Placement(place.point(0j, plate.thickness_mm), place.u, place.v)
    gap = 0.0 if plate.fit is None else plate.fit.gap_far_mm
    yield fillet(
        job, plate.name, "rail", "rail", plate.notch, outer, leg_mm=box.leg_mm, angle_rad=angle_rad, gap_mm=gap
    )
    # the outline's left lies towards the near ear when its u looks along the pin
    left_to_right = box.ears if place.u[2] > 0.0 else box.ears[::-1]
    # beside a tab the ear begins beyond the slot's own room
    beside = box.closing.fit_mm * (math.sqrt(2.0) if box.closing.joint == "slots" else 1.0)
    for ear, up in zip(left_to_right, sides, strict=True):
        yield fillet(job, plate.name, "tie", ear.name, up, outer, leg_mm=box.leg_mm, gap_mm=beside)
