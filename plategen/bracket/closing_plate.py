"""The shape of a closing plate, as deep as ears and cylinder let it; its tabs, and the slots in the ears for them."""

import math
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from plategen.bracket.envelope import cylinder_bodies, in_cylinder, nearest
from plategen.bracket.fitted_edge import FittedEdge, Root, fitted_edge
from plategen.bracket.model import Plate
from plategen.design.design import Design
from plategen.flat.clip import between
from plategen.flat.distance import chain_distance, reach
from plategen.flat.inside import inside
from plategen.flat.loop import Loop, polygon
from plategen.flat.segment import Arc, Line, Segment
from plategen.flat.tangent import rounded
from plategen.ground.cure import set_to
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.closing import Closing
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


@dataclass(frozen=True, slots=True, kw_only=True)
class Tabs:
    """One tab on each side of a plate.

    Args:
        low_mm: Where they begin, in the plate's v.
        high_mm: Where they end.
        reach_mm: How far from the plate's middle they reach, across it.
    """

    low_mm: float
    high_mm: float
    reach_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ClosingPlate:
    """A closing plate, its fitted edge and its tabs.

    Args:
        plate: The plate.
        edge: Its edge on the rail.
        tabs: Its tabs, of a joint with slots.
        half_mm: Half its width.
        low_mm: Where it ends below.
        tops_mm: Where the sides end, at the left and the right of the outline.
        by_swing: Whether the cylinder's swing ends it, rather than the ears' edges.
    """

    plate: Plate
    edge: FittedEdge
    tabs: Tabs | None
    half_mm: float
    low_mm: float
    tops_mm: tuple[float, float]
    by_swing: bool


def closing_plate(
    design: Design, closing: Closing, rail: Rail, root: Root, ears: tuple[Plate, ...], which: str
) -> ClosingPlate:
    """A closing plate that stands at a place of the rail.

    Raises:
        Refusal: If there is no room for it.
    """
    job = design.job
    where = f"closing.{which}"
    leg, thickness = closing.leg_mm or job.weld.leg_mm, closing.thickness_mm or job.bracket.thickness_mm
    apart = ears[1].placement.origin[2] - ears[0].placement.origin[2] - ears[0].thickness_mm
    half = apart / 2 - closing.fit_mm
    snipe = job.weld.leg_mm + BESIDE_BEAD_MM  # the ears' own beads pass there
    if half - snipe < leg:
        words = (
            "the ears stand {} apart: between them there is no room for a closing plate with its beads; leave it out, "
            "or take a wider eye or a smaller leg"
        )
        raise Refusal(message(words, mm(apart)), where)
    edge = fitted_edge(rail, root, half, thickness, job.bracket.root_gap_mm)
    depth, by_swing = _depth(design, root, ears, thickness, leg)
    tops = (edge.path.start.imag - snipe, edge.path.end.imag - snipe)
    least = LEAST_SIDE_LEGS * leg
    if min(tops) + depth < least:
        words = (
            "between the rail and the ears' edge or the cylinder's swing the {} plate would have sides of {}; {} make "
            "it worth its welds: leave it out, or move it with its inset"
        )
        raise Refusal(message(words, which, mm(max(0.0, min(tops) + depth)), mm(least, "up")), where)
    tabs = _tabs(job, closing, ears, -depth, min(tops), apart) if closing.joint == "slots" else None
    notch = between(edge.path, -half + snipe, half - snipe)
    right = _side_edges(half, -depth, tops[1], tabs)
    # the left side, walked downwards, mirrors the right one
    left = [
        edge.mirrored().moved(-1 + 0j, 0j).reversed() for edge in reversed(_side_edges(half, -depth, tops[0], tabs))
    ]
    outline = Loop(
        (
            Line(complex(-half, -depth), complex(half, -depth)),
            *right,
            Line(complex(half, tops[1]), notch.end),
            *notch.reversed(),
            Line(notch.start, complex(-half, tops[0])),
            *left,
        )
    )
    plate = Plate(
        name=f"closing_{which}",
        role="closing",
        outline=outline,
        thickness_mm=thickness,
        steel=closing.steel or job.bracket.steel,
        placement=root.placement,
        notch=notch,
        fit=edge.fit,
    )
    return ClosingPlate(plate=plate, edge=edge, tabs=tabs, half_mm=half, low_mm=-depth, tops_mm=tops, by_swing=by_swing)


def _depth(
    design: Design, root: Root, ears: tuple[Plate, ...], thickness_mm: float, leg_mm: float
) -> tuple[float, bool]:
    """How deep the plate goes, on a shop size, and whether it ends there for the cylinder's swing.

    It ends short of the ears' edges, and clear of the swing.
    """
    free = free_depth(root, ears, thickness_mm, leg_mm)
    room = _depth_with_room(design, root, thickness_mm, free)
    return PLATE_SIZES.down(room, design.job.units), room < free


def free_depth(root: Root, ears: tuple[Plate, ...], thickness_mm: float, leg_mm: float) -> float:
    """How deep the plate may go for the ears: a bead short of their edges; 0 where they have no steel."""
    down, back = -1j * root.along, root.along * root.outward * thickness_mm
    beside = leg_mm + BESIDE_BEAD_MM
    free = math.inf
    for ear in ears:
        for foot in (root.at, root.at + back):
            # an ear's notch lies a little off the rail's middle; look from a bead below it
            begin = foot + down * beside
            free = min(free, reach(ear.outline, begin, down) if inside(ear.outline, begin) else 0.0)
    return free


def _depth_with_room(design: Design, root: Root, thickness_mm: float, depth_mm: float) -> float:
    """The depth, or as much of it as keeps the asked clearance over the whole swing; 0 when none does.

    Where the job does not say where the barrel begins, it is taken to begin at the eye.
    """
    asked = kept_clear_mm(design.job) + BETWEEN_MM
    if _room(design, root, thickness_mm, depth_mm) >= asked:
        return depth_mm
    low, high = 0.0, depth_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _room(design, root, thickness_mm, middle) >= asked else (low, middle)
    return low


def kept_clear_mm(job: Job) -> float:
    """Room to the cylinder that is asked."""
    return job.swing.least_mm if job.swing else KEPT_CLEAR_MM


def _room(design: Design, root: Root, thickness_mm: float, depth_mm: float) -> float:
    """Least distance of the plate's section to the cylinder over its swing."""
    job = design.job
    start = job.swing.barrel_start_mm if job.swing else None
    bodies = cylinder_bodies(job, start if start is not None else job.cylinder.base.eye_radius_mm)
    up, back = root.along * 1j, root.along * root.outward * thickness_mm
    corners = (root.at, root.at - up * depth_mm, root.at + back - up * depth_mm, root.at + back)
    share = np.linspace(0.0, 1.0, POINTS)
    flat = np.concatenate([p + (q - p) * share for p, q in pairwise(corners)])
    points = np.array([flat.real, flat.imag, np.zeros(len(flat))])
    pin = (design.pin.station_mm, 0.0, 0.0)
    angles = np.linspace(*design.motion.swing_rad, ANGLES)
    swung = np.concatenate([in_cylinder(points, pin, float(a)) for a in angles], axis=1)
    return nearest(bodies, swung)[0]


def _tabs(job: Job, closing: Closing, ears: tuple[Plate, ...], low_mm: float, top_mm: float, apart_mm: float) -> Tabs:
    """A tab in the middle of each side, as long as asked or a third of the side, flush with the ears' outer faces."""
    side = top_mm - low_mm
    third = max(PLATE_SIZES.step_mm(job.units), PLATE_SIZES.down(side / 3, job.units))
    length = closing.tab_mm if closing.tab_mm is not None else third
    least, most = 6.0 * SHOULDER_MM, side - 4.0 * SHOULDER_MM
    low, high = PLATE_SIZES.up(least, job.units), PLATE_SIZES.down(most, job.units)
    possible = low <= high
    if length < least:
        raise Refusal(
            message("a tab of {} is all shoulders; {} or more is right", mm(length), mm(least, "up")),
            "closing.tab",
            cure=set_to("closing.tab", size(low), "tab to {}") if possible else None,
        )
    if length > most:
        words = "a tab of {} does not go on a side of {}; {} or less is right"
        raise Refusal(
            message(words, mm(length), mm(side), mm(most, "down")),
            "closing.tab",
            cure=set_to("closing.tab", size(high), "tab to {}") if possible else None,
        )
    middle = (low_mm + top_mm) / 2
    reach_mm = apart_mm / 2 + min(ear.thickness_mm for ear in ears)
    return Tabs(low_mm=middle - length / 2, high_mm=middle + length / 2, reach_mm=reach_mm)


def _side_edges(x_mm: float, low_mm: float, high_mm: float, tabs: Tabs | None) -> list[Segment]:
    """The right side of a plate, walked upwards, with its tab."""
    low, high = complex(x_mm, low_mm), complex(x_mm, high_mm)
    if tabs is None:
        return [Line(low, high)]
    a, b = complex(x_mm, tabs.low_mm), complex(x_mm, tabs.high_mm)
    c, d = complex(tabs.reach_mm, tabs.low_mm), complex(tabs.reach_mm, tabs.high_mm)
    across = 2.0 * SHOULDER_MM
    return [Line(low, a), *_shoulder(a, a + across), Line(a + across, c), Line(c, d), Line(d, b + across),
            *_shoulder(b + across, b), Line(b, high)]  # fmt: skip


def slotted(ear: Plate, built: ClosingPlate, root: Root, closing: Closing) -> Plate:
    """The ear with the slot for a closing plate's tab."""
    assert built.tabs is not None
    up = root.along * 1j
    half_width = built.plate.thickness_mm / 2
    middle = root.at + up * (built.tabs.low_mm + built.tabs.high_mm) / 2 + root.along * root.outward * half_width
    half_length = (built.tabs.high_mm - built.tabs.low_mm) / 2 + closing.fit_mm
    opening = _slot(middle, up, half_length, half_width + closing.fit_mm)
    least = STEEL_ROUND_SLOT * ear.thickness_mm
    rooms = [chain_distance(opening, ear.outline)] if inside(ear.outline, middle) else [0.0]
    rooms += [chain_distance(opening, other) for other in ear.openings]
    rooms += [opening.distance(hole.circle.centre) - hole.circle.radius for hole in ear.holes]
    if min(rooms) < least:
        words = (
            "the slot for {} leaves {} of {} beside it; {}, its thickness, is right: a shorter tab, another inset, or "
            'joint = "butt"'
        )
        raise Refusal(message(words, built.plate.name, mm(min(rooms)), ear.name, mm(least)), "closing.tab")
    return replace(ear, openings=(*ear.openings, opening))


def _slot(middle: complex, along: complex, half_length_mm: float, half_width_mm: float) -> Loop:
    """A slot with rounded corners, lengthened by their radius so that a square tab of the length goes in."""
    r = min(SHOULDER_MM, half_width_mm / 2)
    one, other = along * (half_length_mm + r), along * 1j * half_width_mm
    corners = (middle - one - other, middle + one - other, middle + one + other, middle - one + other)
    return rounded(polygon(corners), [r] * 4)


def _shoulder(begin: complex, end: complex) -> tuple[Arc, Arc]:
    """Half a hole sunk into the tab beside its root, clockwise through the plate, in two arcs.

    It meets the side at a tangent, so that the side is whole from end to end for the bead.
    """
    middle = (begin + end) / 2 + (end - begin) / 2 * 1j
    quarter = -math.tan(math.pi / 8)
    return Arc(begin, middle, quarter), Arc(middle, end, quarter)
