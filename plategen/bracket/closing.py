"""Closing plates: they stand on the rail between the ears and make a box of the bracket.

Each stands square to the rail at one end of the foot, its upper edge fitted to the rail, its upper corners cut off so
that it passes over the ears' own beads, and its lower edge short of the ears' flanks so that a bead can lie there. It
is welded outside: to the rail, and to both ears. With slots, tabs on its sides go through the ears and locate it.
"""

import math
from dataclasses import dataclass, replace
from typing import Literal

from plategen.bracket.closing_room import depth_with_room, kept_clear_mm
from plategen.bracket.fitted_edge import FittedEdge, Root, fitted_edge
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.tabbed import SHOULDER_MM, Tabs, mirrored_side, side_edges, slot
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.distance import chain_distance
from plategen.flat.inside import inside
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.reach import reach
from plategen.flat.segment import Line
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.show import Show
from plategen.job import Job
from plategen.job.closing import Closing
from plategen.rail.surface import Rail

Which = Literal["back", "bottom"]
"""Behind the ears, or below them."""

BESIDE_BEAD_MM = 2.0
"""Room between a bead and the next edge or bead (common practice, no source)."""

INSET_LEGS = 2.0
"""The outer face stands this many legs in from the foot's end: a bead, and as much again (common practice)."""

LEAST_SIDE_LEGS = 4.0
"""A side bead counts with its full leg from 4 w of length (AISC 360 J2.2b); less is not worth its welds."""

STEEL_ROUND_SLOT = 1.0
"""Steel between a slot and an edge or hole, over the ear's thickness (common practice, no source)."""

GOOD_SIDE_LEGS = 8.0
"""How deep a rule makes the sides: twice the least, so that the stops of the beads are not most of them."""

SLOTTED_SIDE = 4.0
"""How deep it makes slotted sides, over the ears' thickness: a slot in the middle with steel all round."""

MOST_INSETS = 40
"""Insets tried before the corner is given up."""

_SHORT = "{} plate's depth from the cylinder's swing, {} kept clear, on the next shop size down"


@dataclass(frozen=True, slots=True, kw_only=True)
class Closed:
    """Ears, with slots where they have them, the plates between them with their runs, and what a rule chose."""

    ears: tuple[Plate, ...]
    plates: tuple[Plate, ...]
    welds: tuple[WeldRun, ...]
    chosen: tuple[str, ...]


def close(job: Job, closing: Closing, rail: Rail, ears: tuple[Plate, ...], first_number: int) -> Closed:
    """The plates that close a pair of ears.

    Args:
        job: The job.
        closing: Its ``[closing]`` table.
        rail: The rail they stand on.
        ears: Both ears, the near one first.
        first_number: Number of the first run.

    Raises:
        Refusal: If there is one plate alone, no room for a closing plate, or a slot breaks an ear.
    """
    if len(ears) != 2:
        raise Refusal("there is nothing to close with one plate alone; leave the table out", "closing")
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    chosen: list[str] = []
    wanted: list[Which] = [which for which in ("back", "bottom") if getattr(closing, which)]
    for which in wanted:
        root, why = _root(job, closing, rail, ears, which)
        chosen += [why] if why else []
        built = _built(job, closing, rail, root, ears, which)
        chosen += [_SHORT.format(which, Show(job.units).length(kept_clear_mm(job)))] if built.by_swing else []
        plates.append(built.plate)
        welds += _runs(job, closing, built, root, ears, first_number + len(welds))
        if built.tabs is not None:
            ears = tuple(_slotted(ear, built, root, closing) for ear in ears)
    return Closed(ears=ears, plates=tuple(plates), welds=tuple(welds), chosen=tuple(chosen))


@dataclass(frozen=True, slots=True, kw_only=True)
class _Built:
    plate: Plate
    edge: FittedEdge
    tabs: Tabs | None
    half_mm: float
    low_mm: float
    tops_mm: tuple[float, float]
    """Where the sides end, at the left and the right of the outline."""
    by_swing: bool
    """Whether the cylinder's swing ends it, rather than the ears' edges."""


def _root(job: Job, closing: Closing, rail: Rail, ears: tuple[Plate, ...], which: Which) -> tuple[Root, str]:
    """Where a closing plate stands, and the rule that chose its inset.

    Left out, the inset is the least that has room for the outer beads and gives sides of eight legs, or the deepest.
    """
    given = closing.back_inset_mm if which == "back" else closing.bottom_inset_mm
    thickness = closing.thickness_mm or job.bracket.thickness_mm
    if given is not None:
        return _standing(rail, ears, which, given, thickness), ""
    leg = closing.leg_mm or job.weld.leg_mm
    least = PLATE_SIZES.up(INSET_LEGS * leg, job.units)
    sides = GOOD_SIDE_LEGS * leg
    rule = f"sides of {GOOD_SIDE_LEGS:g} x weld leg"
    if closing.joint == "slots" and SLOTTED_SIDE * job.bracket.thickness_mm > sides:
        sides, rule = SLOTTED_SIDE * job.bracket.thickness_mm, f"sides of {SLOTTED_SIDE:g} x the ears' thickness"
    best: tuple[float, Root] | None = None
    for k in range(MOST_INSETS):
        root = _standing(rail, ears, which, least + k * PLATE_SIZES.up(leg, job.units), thickness)
        depth = _free_depth(root, ears, thickness, leg)
        if best is None or depth > best[0]:
            best = depth, root
        if depth - job.weld.leg_mm - BESIDE_BEAD_MM >= sides:
            break
    assert best is not None
    return best[1], (
        f"{which} plate's inset: the least that leaves {INSET_LEGS:g} x weld leg outside and {rule} (common practice, "
        "no source)"
    )


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


def _built(job: Job, closing: Closing, rail: Rail, root: Root, ears: tuple[Plate, ...], which: Which) -> _Built:
    where = f"closing.{which}"
    leg, thickness = closing.leg_mm or job.weld.leg_mm, closing.thickness_mm or job.bracket.thickness_mm
    apart = ears[1].placement.origin[2] - ears[0].placement.origin[2] - ears[0].thickness_mm
    half = apart / 2 - closing.fit_mm
    snipe = job.weld.leg_mm + BESIDE_BEAD_MM  # the ears' own beads pass there
    if half - snipe < leg:
        raise Refusal(
            f"the ears stand {apart:.4g} mm apart: between them there is no room for a closing plate with its beads; "
            "leave it out, or take a wider eye or a smaller leg",
            where,
        )
    edge = fitted_edge(rail, root, half, thickness, job.bracket.root_gap_mm)
    depth, by_swing = _depth(job, root, ears, thickness, leg)
    tops = (edge.path.start.imag - snipe, edge.path.end.imag - snipe)
    least = LEAST_SIDE_LEGS * leg
    if min(tops) + depth < least:
        raise Refusal(
            f"between the rail and the ears' edge or the cylinder's swing the {which} plate would have sides of "
            f"{max(0.0, min(tops) + depth):.4g} mm; {least:.4g} mm make it worth its welds: leave it out, or move it "
            "with its inset",
            where,
        )
    tabs = _tabs(job, closing, ears, -depth, min(tops), apart) if closing.joint == "slots" else None
    notch = between(edge.path, -half + snipe, half - snipe)
    right = side_edges(half, -depth, tops[1], tabs)
    left = mirrored_side(side_edges(half, -depth, tops[0], tabs))
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
        outline=outline,
        thickness_mm=thickness,
        steel=closing.steel or job.bracket.steel,
        placement=root.placement,
        notch=notch,
        fit=edge.fit,
    )
    return _Built(plate=plate, edge=edge, tabs=tabs, half_mm=half, low_mm=-depth, tops_mm=tops, by_swing=by_swing)


def _depth(job: Job, root: Root, ears: tuple[Plate, ...], thickness_mm: float, leg_mm: float) -> tuple[float, bool]:
    """How deep the plate goes, on a shop size, and whether it ends there for the cylinder's swing.

    It ends short of the ears' edges, and clear of the swing.
    """
    free = _free_depth(root, ears, thickness_mm, leg_mm)
    room = depth_with_room(job, root, thickness_mm, free)
    return PLATE_SIZES.down(room, job.units), room < free


def _free_depth(root: Root, ears: tuple[Plate, ...], thickness_mm: float, leg_mm: float) -> float:
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


def _tabs(job: Job, closing: Closing, ears: tuple[Plate, ...], low_mm: float, top_mm: float, apart_mm: float) -> Tabs:
    """A tab in the middle of each side, as long as asked or a third of the side, flush with the ears' outer faces."""
    side = top_mm - low_mm
    third = max(PLATE_SIZES.step_mm(job.units), PLATE_SIZES.down(side / 3, job.units))
    length = closing.tab_mm if closing.tab_mm is not None else third
    most = side - 4.0 * SHOULDER_MM
    if length < 6.0 * SHOULDER_MM:
        raise Refusal(
            f"a tab of {length:.4g} mm is all shoulders; {6.0 * SHOULDER_MM:.4g} mm or more is right", "closing.tab"
        )
    if length > most:
        raise Refusal(
            f"a tab of {length:.4g} mm does not go on a side of {side:.4g} mm; {most:.4g} mm or less is right",
            "closing.tab",
        )
    middle = (low_mm + top_mm) / 2
    reach_mm = apart_mm / 2 + min(ear.thickness_mm for ear in ears)
    return Tabs(low_mm=middle - length / 2, high_mm=middle + length / 2, reach_mm=reach_mm)


def _slotted(ear: Plate, built: _Built, root: Root, closing: Closing) -> Plate:
    """The ear with the slot for a closing plate's tab."""
    assert built.tabs is not None
    up = root.along * 1j
    half_width = built.plate.thickness_mm / 2
    middle = root.at + up * (built.tabs.low_mm + built.tabs.high_mm) / 2 + root.along * root.outward * half_width
    half_length = (built.tabs.high_mm - built.tabs.low_mm) / 2 + closing.fit_mm
    opening = slot(middle, up, half_length, half_width + closing.fit_mm)
    least = STEEL_ROUND_SLOT * ear.thickness_mm
    rooms = [chain_distance(opening, ear.outline)] if inside(ear.outline, middle) else [0.0]
    rooms += [chain_distance(opening, other) for other in ear.openings]
    rooms += [opening.distance(hole.circle.centre) - hole.circle.radius for hole in ear.holes]
    if min(rooms) < least:
        raise Refusal(
            f"the slot for {built.plate.name} leaves {min(rooms):.4g} mm of {ear.name} beside it; {least:.4g} mm, its "
            'thickness, is right: a shorter tab, another inset, or joint = "butt"',
            "closing.tab",
        )
    return replace(ear, openings=(*ear.openings, opening))


def _runs(
    job: Job, closing: Closing, built: _Built, root: Root, ears: tuple[Plate, ...], first_number: int
) -> list[WeldRun]:
    """To the rail along the upper edge, and to each ear up the side, all on the outer face."""
    place = built.plate.placement
    outer = Placement(place.point(0j, built.plate.thickness_mm), place.u, place.v)
    notch = built.plate.notch
    assert notch is not None
    angles = [math.pi / 2 + root.outward * math.atan(slope) for slope in built.edge.slopes]
    # the outline's left lies towards the near ear when its u looks along the pin
    left, right = ears if place.u[2] > 0.0 else ears[::-1]
    square = (math.pi / 2, math.pi / 2)
    # beside a tab the ear begins beyond the slot's own room
    beside = closing.fit_mm * (math.sqrt(2.0) if built.tabs is not None else 1.0)
    sides = [
        (ear.name, Chain((Line(complex(x, built.low_mm), complex(x, top)),)), square, beside)
        for ear, x, top in zip((left, right), (-built.half_mm, built.half_mm), built.tops_mm, strict=True)
    ]
    rail = ("rail", notch, (min(angles), max(angles)), built.edge.fit.gap_far_mm)
    return [
        WeldRun(
            name=f"W{number}",
            plate=built.plate.name,
            other=other,
            side="outside",
            path=path,
            placement=outer,
            leg_mm=closing.leg_mm or job.weld.leg_mm,
            joint_angle_rad=angle,
            gap_mm=gap,
            electrode=job.weld.electrode,
        )
        for number, (other, path, angle, gap) in enumerate((rail, *sides), start=first_number)
    ]
