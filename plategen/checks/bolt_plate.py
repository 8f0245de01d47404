"""The plates' steel at their bolts: bearing and tear-out of every hole, and the block that a pattern could tear out."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from itertools import pairwise
from typing import TypeAlias

from plategen.bracket.model import Hole, Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, first_worst, part, ratio
from plategen.checks.load_path import bolt_holes
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.flat.inside import inside
from plategen.flat.segment import Segment
from plategen.ground.cure import Cure, advise
from plategen.ground.message import Message
from plategen.rules import bolt as rule
from plategen.rules.material import BoltGrade, Steel
from plategen.rules.plate_section import Edges, reaches
from plategen.rules.safety import AISC, EN_JOINTS, RUPTURE

BOLT = partial(Check, subject="bolt", unit="N", needs="bolts")
BEARING = BOLT(
    "bolt bearing and tear-out", source=f"{AISC} J3.11 (J3.10 in 360-16)", en_source=f"{EN_JOINTS} Table 3.4"
)
BLOCK = BOLT("block shear", source=f"{AISC} J4.3 with B4.3b", en_source=f"{EN_JOINTS} 3.10.2")
CHECKS = (BEARING, BLOCK)
"""The checks of this file."""

NET_WIDER_MM = 2.0
"""So much wider than it is counts a hole in a net area, for the steel that drilling harms (AISC 360 B4.3b)."""

EVEN = 1e-6
"""Bolts that share a force to so much of it share it evenly."""

Slots: TypeAlias = dict[str, tuple[complex, complex]]
"""Of the bolts that sit in slots the centres of their slots' ends."""

Pushes: TypeAlias = list[tuple[Message, tuple[complex, ...]]]
"""For every load case its name and the force on each bolt in the plate's plane, N."""


@dataclass(frozen=True, slots=True)
class Ahead:
    """A force on one hole, N, and the steel before and beside it, mm."""

    force: float  # The force.
    case: Message  # The load case that it comes from.
    hole: float  # The hole's diameter.
    clear: float  # Clear steel along the force to the next edge or hole.
    e1: float  # From the hole's centre along the force to the plate's edge,
    e2: float  # and across it, from the centre or the slot's end.
    p1: float  # From centre to centre to the next hole along the force; infinite where there is none,
    p2: float  # and across it, from slot's end to slot's end.
    one_row: bool  # No hole before or behind it.


@dataclass(frozen=True, slots=True)
class Block:
    """A block of steel that a pattern could tear out: the whole force, its case, and the areas that hold it, mm^2."""

    force: float
    case: Message
    gross_shear: float
    net_shear: float
    net_tension: float
    shear_per_mm: float  # What the net areas lose for every mm that the holes are wider, mm,
    tension_per_mm: float  # in shear and in tension.
    even: bool  # No moment loads some bolts more than others, so that the end is pulled alike all along.


def check_plate_at_bolts(
    setting: Setting, plate: Plate, holes: tuple[Hole, ...], pushes: Pushes, grade: BoltGrade
) -> Iterator[Finding]:
    """Findings about one plate of a bolted joint, at the holes that the bolts go through."""
    steel = setting.steels[plate.name]
    ahead = _ahead(plate, holes, pushes)
    t, d, slotted = plate.thickness_mm, holes[0].bolt_mm, bool(plate.slots)

    def strength(of: Ahead, view: View) -> float:
        if view.en:
            lengths, fub = (of.e1, of.e2, of.p1, of.p2), grade.tensile_mpa
            return rule.en_bearing_n(steel.fu_mpa, fub, d, of.hole, t, *lengths, slotted=slotted, one_row=of.one_row)
        return RUPTURE.available(rule.bearing_nominal_n(steel.fu_mpa, d, t, of.clear, slotted=slotted), view.rules)

    held = "steel along and across the force to the next edge or hole; the hole's stretch matters"
    for view in setting if ahead else ():
        yield _in_plate(setting, view, BEARING, plate, [(strength(of, view), of) for of in ahead], held)
    torn = blocks(plate, holes, pushes)
    around = (
        "the block between the outer bolts and the edge that the force points to; the end between them counts half "
        "where a moment loads some bolts more than others"
    )
    for view in setting if torn else ():
        yield _in_plate(setting, view, BLOCK, plate, [(block_strength(view, steel, of), of) for of in torn], around)


def blocks(plate: Plate, holes: tuple[Hole, ...], pushes: Pushes) -> list[Block]:
    """The block in the direction of every case's force: the outer rows shear, the end between them pulls."""
    if len(holes) < 2:
        return []
    edges = Edges.of(edges_beside(plate, holes), [])
    t, slots = plate.thickness_mm, {slot.name: slot.length_mm for slot in plate.slots}
    sizes = [2.0 * hole.circle.radius for hole in holes]  # a hole that is there already may be wider than the others
    d0, lengths = max(sizes), [max(size, slots.get(hole.name, 0.0)) for size, hole in zip(sizes, holes, strict=True)]
    of_all = [(sum(forces), case, forces) for case, forces in pushes if abs(sum(forces)) > 1e-9]
    ways = [force / abs(force) for force, _, _ in of_all]
    if not ways:
        return []
    centres = [hole.circle.centre for hole in holes]
    far = [reaches(edges, centre, ways)[0].tolist() for centre in centres]
    torn = []
    for k, ((force, case, forces), way) in enumerate(zip(of_all, ways, strict=True)):
        along = [(centre * way.conjugate()).real for centre in centres]
        across = [(centre * way.conjugate()).imag for centre in centres]
        wide = max(across) - min(across)
        rows = [[i for i, c in enumerate(across) if c <= min(across) + d0]]
        if wide > d0:
            rows.append([i for i, c in enumerate(across) if c >= max(across) - d0])
        gross = net = planes = 0.0
        for row in rows:
            first = min(row, key=along.__getitem__)
            length = far[first][k]
            gross += length * t
            net += max(0.0, length - sum(sizes[i] for i in row) + sizes[first] / 2.0) * t
            planes += (len(row) - 0.5) * t
        levels = _levels(across, lengths, d0)
        end = max(0.0, wide - sum(levels) + (levels[0] + levels[-1]) / 2.0) * t
        even = all(abs(len(forces) * each - force) < EVEN * abs(force) for each in forces)
        torn.append(Block(abs(force), case, gross, net, end, planes, (len(levels) - 1) * t, even))
    return torn


def _levels(places: Sequence[float], wide: Sequence[float], apart: float) -> list[float]:
    """How wide the widest hole is in every row that the holes lie in, rows more than so much apart."""
    ordered = sorted(zip(places, wide, strict=True))
    levels = [ordered[0][1]]
    for (one, _), (other, size) in pairwise(ordered):
        if other - one > apart:
            levels.append(size)
        else:
            levels[-1] = max(levels[-1], size)
    return levels


def block_strength(view: View, steel: Steel, block: Block) -> float:
    """What a block may carry: AISC 360 J4.3 with B4.3b, or EN 1993-1-8 3.10.2.

    Where bolts are loaded unevenly the end counts half: Ubs of the one, 3.10.2(3) of the other.
    """
    if view.en:
        net = block.net_tension, block.net_shear
        return rule.en_block_shear_n(steel.fy_mpa, steel.fu_mpa, *net, eccentric=not block.even)
    net_shear = max(0.0, block.net_shear - NET_WIDER_MM * block.shear_per_mm)
    net_tension = max(0.0, block.net_tension - NET_WIDER_MM * block.tension_per_mm)
    areas = block.gross_shear, net_shear, net_tension
    nominal = rule.block_shear_nominal_n(steel.fy_mpa, steel.fu_mpa, *areas, ubs=1.0 if block.even else 0.5)
    return RUPTURE.available(nominal, view.rules)


def edges_beside(plate: Plate, holes: tuple[Hole, ...]) -> list[Segment]:
    """The plate's edges but for those of the slots that its bolts sit in."""
    centres = [hole.circle.centre for hole in holes]
    beside = [opening for opening in plate.openings if not any(inside(opening, p) for p in centres)]
    return [*plate.outline, *(segment for opening in beside for segment in opening)]


def _in_plate(
    setting: Setting,
    view: View,
    check: Check,
    plate: Plate,
    strengths: Sequence[tuple[float, Ahead | Block]],
    held: str,
) -> Finding:
    """A finding about a plate's steel at its bolts, the worst of all; its strength goes with the thickness."""
    hardest_first = sorted(strengths, key=lambda pair: -pair[1].force)  # of those used alike, whatever their numbers
    capacity, of = first_worst(hardest_first, lambda pair: ratio(pair[1].force, pair[0]))
    demand = of.force * view.factor

    def thicker() -> Cure:
        if plate.role == "wall":
            return advise("more bolts, or bolts further apart: the rail's wall is what it is")
        key, wanted_mm = larger.thickness_key(setting, plate.name), plate.thickness_mm * ratio(demand, capacity)
        return larger.raise_to(setting, key, wanted_mm, "thickness to {}", "bolts farther from the edge")

    return view.strength(check, part(plate.name), demand, capacity, assumed=held, case=of.case, cure=thicker)


def _ahead(plate: Plate, holes: tuple[Hole, ...], pushes: Pushes) -> list[Ahead]:
    """What lies before and beside every hole, for every force on it: the plate's edges, and its other bolt holes."""
    bolts = bolt_holes(plate)
    edges = Edges.of(edges_beside(plate, holes), [hole.circle for hole in plate.holes if hole.purpose != "bolt"])
    slots: Slots = {slot.name: slot.ends for slot in plate.slots}
    pushes_ahead = []
    for index, hole in enumerate(holes):
        own = [(case, forces[index]) for case, forces in pushes if abs(forces[index]) > 1e-9]
        if not own:
            continue
        others = [other for other in bolts if abs(other.circle.centre - hole.circle.centre) > 1e-6]
        ways = [force / abs(force) * turn for _, force in own for turn in (1, 1j, -1j)]
        far = reaches(edges, hole.circle.centre, ways)[0].tolist()
        for k, (case, force) in enumerate(own):
            way, *sides = ways[3 * k : 3 * k + 3]
            e1, *across = far[3 * k : 3 * k + 3]
            e2 = min(e - _to_slot_end(slots, hole, side) for e, side in zip(across, sides, strict=True))
            p1, p2, hole_ahead, one_row = _next_holes(slots, hole, others, way)
            pushes_ahead.append(
                Ahead(
                    force=abs(force),
                    case=case,
                    hole=2.0 * hole.circle.radius,
                    clear=min(e1, hole_ahead) - hole.circle.radius,
                    e1=e1,
                    e2=e2,
                    p1=p1,
                    p2=p2,
                    one_row=one_row,
                )
            )
    return pushes_ahead


def _next_holes(slots: Slots, hole: Hole, others: list[Hole], way: complex) -> tuple[float, float, float, bool]:
    """Centre distances to the next hole before and beside one under a force, how far its ray goes to a hole's rim, and
    whether there is none before or behind it.

    A hole within 45 degrees of the force's direction lies before it, one within 45 degrees of square to it beside it.
    """
    p1 = p2 = rim = math.inf
    one_row = True
    for other in others:
        to = (other.circle.centre - hole.circle.centre) * way.conjugate()
        if abs(to.imag) > abs(to.real):
            side = way * (1j if to.imag > 0.0 else -1j)
            p2 = min(p2, abs(to) - _to_slot_end(slots, hole, side) - _to_slot_end(slots, other, -side))
        else:
            one_row = False
            if to.real > 0.0:
                p1 = min(p1, abs(to))
        if to.real > 0.0 and abs(to.imag) < other.circle.radius:
            rim = min(rim, to.real - math.sqrt(other.circle.radius**2 - to.imag**2))
    return p1, p2, rim, one_row


def _to_slot_end(slots: Slots, hole: Hole, way: complex) -> float:
    """How far a bolt's slot reaches in a direction, from where the bolt sits to the centre of its end; 0 for a hole."""
    if hole.name not in slots:
        return 0.0
    return max(((end - hole.circle.centre) * way.conjugate()).real for end in slots[hole.name])
