"""The shape of a closing plate, as deep as ears and cylinder let it; its tabs, and the slots in the ears for them."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from plategen.bracket.envelope import cylinder_bodies, in_cylinder, nearest
from plategen.bracket.fitted_edge import Root, fitted_edge
from plategen.bracket.model import Plate, WeldRun, fillet
from plategen.design.design import Design
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.distance import chain_distance, reach
from plategen.flat.inside import inside
from plategen.flat.loop import Loop, polygon
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line, Segment
from plategen.flat.tangent import rounded
from plategen.ground.cure import set_to
from plategen.ground.message import NOTHING, Message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.style_tables import Closing
from plategen.rail.surface import Rail

BESIDE_BEAD_MM = 2.0
"""Room between a bead and the next edge or bead (common practice, no source)."""

LEAST_SIDE_LEGS = 4.0
"""A side bead counts with its full leg from 4 w of length (AISC 360 J2.2b); less is not worth its welds."""

STEEL_ROUND_SLOT = 1.0
"""Steel between a slot and an edge or hole, over the ear's thickness (common practice, no source)."""

SHOULDER_MM = 1.5
"""Radius of the relief at a tab's shoulders and of a slot's corners: a torch leaves about its half kerf round there."""

ANGLES = 25
HALVINGS = 16
POINTS = 33
"""Angles of the swing looked at, halvings of the depth, and points along each side of the section."""

BETWEEN_MM = 0.05
"""What the distance may be less between two of those angles and points."""

KEPT_CLEAR_MM = 3.0
"""Room to the cylinder when the job asks for none."""


@dataclass(frozen=True, slots=True)
class Box:
    """A pair of ears on their rail, the near one first, and the table of the plates that close them to a box."""

    design: Design
    closing: Closing
    rail: Rail
    ears: tuple[Plate, ...]

    @property
    def leg_mm(self) -> float:
        """Weld leg of the closing plates."""
        return self.closing.leg_mm or self.design.job.weld.leg_mm

    @property
    def thickness_mm(self) -> float:
        """Thickness of the closing plates."""
        return self.closing.thickness_mm or self.design.job.bracket.thickness_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingPlate:
    """A closing plate with its runs, from where to where in its v its tabs go, and why it is as deep as it is.

    It has no tabs where its joint has no slots, and no reason where the ears' edges end it.
    """

    plate: Plate
    runs: tuple[WeldRun, ...]
    tabs_mm: tuple[float, float] | None
    why: Message


def closing_plate(box: Box, root: Root, which: str) -> ClosingPlate:
    """A closing plate that stands at a place of the rail.

    Raises:
        Refusal: If there is no room for it.
    """
    job, closing, where = box.design.job, box.closing, f"closing.{which}"
    near, far = box.ears
    apart = far.placement.origin[2] - near.placement.origin[2] - near.thickness_mm
    half = apart / 2 - closing.fit_mm
    snipe = job.weld.leg_mm + BESIDE_BEAD_MM  # the ears' own beads pass there
    if half - snipe < box.leg_mm:
        words = (
            "the ears stand {} apart: between them there is no room for a closing plate with its beads; leave it out, "
            "or take a wider eye or a smaller leg"
        )
        raise Refusal(message(words, mm(apart)), where)
    edge = fitted_edge(box.rail, root, half, box.thickness_mm, job.bracket.root_gap_mm)
    depth, why = _depth(box, root, which)
    left_top, right_top = edge.path.start.imag - snipe, edge.path.end.imag - snipe
    top, least = min(left_top, right_top), LEAST_SIDE_LEGS * box.leg_mm
    if top + depth < least:
        words = (
            "between the rail and the ears' edge or the cylinder's swing the {} plate would have sides of {}; {} make "
            "it worth its welds: leave it out, or move it with its inset"
        )
        raise Refusal(message(words, which, mm(max(0.0, top + depth)), mm(least, "up")), where)
    tabs = _tabs(box, -depth, top) if closing.joint == "slots" else None
    flush = apart / 2 + min(near.thickness_mm, far.thickness_mm)
    notch = between(edge.path, -half + snipe, half - snipe)
    # the left side, walked downwards, mirrors one walked upwards on the right
    left = [side.mirrored().moved(-1 + 0j, 0j).reversed() for side in _side(half, -depth, left_top, tabs, flush)[::-1]]
    outline = Loop(
        (
            Line(complex(-half, -depth), complex(half, -depth)),
            *_side(half, -depth, right_top, tabs, flush),
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
        fit=edge.fit,
    )
    angles = [math.pi / 2 + root.outward * math.atan(slope) for slope in edge.slopes]
    sides = [
        Chain((Line(complex(x, -depth), complex(x, side_top)),))
        for x, side_top in ((-half, left_top), (half, right_top))
    ]
    runs = tuple(_runs(box, plate, (min(angles), max(angles)), sides))
    return ClosingPlate(plate=plate, runs=runs, tabs_mm=tabs, why=why)


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


def _depth(box: Box, root: Root, which: str) -> tuple[float, Message]:
    """How deep a plate goes, on a shop size: short of the ears' edges and clear of the swing; why, if by that."""
    job, low = box.design.job, 0.0
    free = high = free_depth(box, root)
    kept = job.swing.least_mm if job.swing else KEPT_CLEAR_MM
    if _room(box, root, free) >= kept + BETWEEN_MM:
        return PLATE_SIZES.down(free, job.units), NOTHING
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _room(box, root, middle) >= kept + BETWEEN_MM else (low, middle)
    words = "{} plate's depth from the cylinder's swing, {} kept clear, on the next shop size down"
    return PLATE_SIZES.down(low, job.units), message(words, which, mm(kept))


def free_depth(box: Box, root: Root) -> float:
    """How deep a plate may go for the ears: a bead short of their edges; 0 where they have no steel."""
    down, back = -1j * root.along, root.along * root.outward * box.thickness_mm
    # an ear's notch lies a little off the rail's middle; look from a bead below it
    begins = [foot + down * (box.leg_mm + BESIDE_BEAD_MM) for foot in (root.at, root.at + back)]
    return min(
        reach(ear.outline, begin, down) if inside(ear.outline, begin) else 0.0 for ear in box.ears for begin in begins
    )


def _room(box: Box, root: Root, depth_mm: float) -> float:
    """Least distance of a plate's section to the cylinder over its swing."""
    design, job = box.design, box.design.job
    bodies = cylinder_bodies(job, job.swing.barrel_start_mm if job.swing else None)
    up, back = root.along * 1j, root.along * root.outward * box.thickness_mm
    corners = (root.at, root.at - up * depth_mm, root.at + back - up * depth_mm, root.at + back)
    share = np.linspace(0.0, 1.0, POINTS)
    flat = np.concatenate([p + (q - p) * share for p, q in pairwise(corners)])
    points = np.array([flat.real, flat.imag, np.zeros(len(flat))])
    pin = (design.pin.station_mm, 0.0, 0.0)
    angles = np.linspace(*design.motion.swing_rad, ANGLES)
    swung = np.concatenate([in_cylinder(points, pin, float(a)) for a in angles], axis=1)
    return nearest(bodies, swung)[0]


def _tabs(box: Box, low_mm: float, top_mm: float) -> tuple[float, float]:
    """From where to where a tab goes in the middle of each side, as long as asked or a third of the side."""
    units, side, middle = box.design.job.units, top_mm - low_mm, (low_mm + top_mm) / 2
    third = max(PLATE_SIZES.step_mm(units), PLATE_SIZES.down(side / 3, units))
    length = box.closing.tab_mm if box.closing.tab_mm is not None else third
    least, most = 6.0 * SHOULDER_MM, side - 4.0 * SHOULDER_MM
    low, high = PLATE_SIZES.up(least, units), PLATE_SIZES.down(most, units)
    if least <= length <= most:
        return middle - length / 2, middle + length / 2
    if length < least:
        to, what = low, message("a tab of {} is all shoulders; {} or more is right", mm(length), mm(least, "up"))
    else:
        words = "a tab of {} does not go on a side of {}; {} or less is right"
        to, what = high, message(words, mm(length), mm(side), mm(most, "down"))
    raise Refusal(what, "closing.tab", cure=set_to("closing.tab", size(to), "tab to {}") if low <= high else None)


def _side(
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


def slotted(ear: Plate, plate: Plate, tabs_mm: tuple[float, float], root: Root, fit_mm: float) -> Plate:
    """The ear with the slot for a closing plate's tab."""
    along, half_width = root.along * 1j, plate.thickness_mm / 2
    middle = root.at + along * sum(tabs_mm) / 2 + root.along * root.outward * half_width
    # a slot with rounded corners is lengthened by their radius, so that a square tab of the length goes in
    radius = min(SHOULDER_MM, (half_width + fit_mm) / 2)
    one, other = along * ((tabs_mm[1] - tabs_mm[0]) / 2 + fit_mm + radius), along * 1j * (half_width + fit_mm)
    corners = (middle - one - other, middle + one - other, middle + one + other, middle - one + other)
    opening = rounded(polygon(corners), [radius] * 4)
    least = STEEL_ROUND_SLOT * ear.thickness_mm
    rooms = [chain_distance(opening, ear.outline)] if inside(ear.outline, middle) else [0.0]
    rooms += [chain_distance(opening, cut) for cut in ear.openings]
    rooms += [opening.distance(hole.circle.centre) - hole.circle.radius for hole in ear.holes]
    if min(rooms) < least:
        words = (
            "the slot for {} leaves {} of {} beside it; {}, its thickness, is right: a shorter tab, another inset, or "
            'joint = "butt"'
        )
        raise Refusal(message(words, plate.name, mm(min(rooms)), ear.name, mm(least)), "closing.tab")
    return replace(ear, openings=(*ear.openings, opening))


def _shoulder(begin: complex, end: complex) -> tuple[Arc, Arc]:
    """Half a hole sunk into the tab beside its root, clockwise through the plate, in two arcs.

    It meets the side at a tangent, so that the side is whole from end to end for the bead.
    """
    middle = (begin + end) / 2 + (end - begin) / 2 * 1j
    quarter = -math.tan(math.pi / 8)
    return Arc(begin, middle, quarter), Arc(middle, end, quarter)
