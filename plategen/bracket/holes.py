"""The pin, and the holes for it and for bolts: how large they are finished, how they are made, their edge distance."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Literal

from plategen.bracket.model import Hole, Made, Pin, Purpose, Slot
from plategen.design.design import Design
from plategen.design.motion import tables_of
from plategen.design.places import PlatePlace, middle_mm
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.cutting import Cutting
from plategen.rules.edge_distance import least_edge_distance
from plategen.rules.hole_size import bolt_hole_size, clearance_hole
from plategen.rules.table import unit_of_size

OVER_PIN_MM = 25.4 / 32
"""Clearance of a pin that no table lists: 1/32 in, the most that AISC 360 D5.2 allows a pin-connected plate."""


@lru_cache(maxsize=64)
def pin_hole_diameter(pin_mm: float, fit: str) -> float:
    """Finished diameter of the hole for a pin, mm.

    ``close``, ``normal`` and ``loose`` are the general clearance holes (ASME B18.2.8, ISO 273); a size that neither
    lists takes 1/32 in over the pin. ``ream`` is drilled and reamed to the pin itself.
    """
    if fit == "ream":
        return pin_mm
    try:
        return clearance_hole(pin_mm, fit).mm
    except Refusal:
        return pin_mm + OVER_PIN_MM


def how_made(diameter_mm: float, thickness_mm: float, cutting: Cutting, fit: str = "") -> Literal["cut", "drill"]:
    """Whether a hole is cut or its centre only marked: small holes taper, a reamed one needs a drilled start, and no
    hand cuts a round hole.
    """
    small = diameter_mm < cutting.smallest_hole * thickness_mm - 1e-9
    return "drill" if cutting.by_hand or fit == "ream" or small else "cut"


def round_hole(
    name: str,
    purpose: Purpose,
    circle: Circle,
    bolt_mm: float,
    made: Made,
    tables: Units,
) -> Hole:
    """A hole for a pin or a bolt, with the edge distance that AISC 360 Table J3.4 asks of that.

    A pin is what the caliper reads, and goes by the job's tables; a bolt is bought, and goes by its own.
    """
    rule = least_edge_distance(bolt_mm, tables)
    return Hole(
        name=name,
        purpose=purpose,
        circle=circle,
        bolt_mm=bolt_mm,
        made=made,
        edge_required_mm=rule.mm,
        edge_source=rule.source,
    )


def pin_hole(design: Design) -> Hole:
    """The pin's hole in an ear, on the cylinder's line."""
    job = design.job
    pin_mm, fit = job.cylinder.base.pin_mm, job.bracket.pin_fit
    diameter_mm = pin_hole_diameter(pin_mm, fit)
    made = how_made(diameter_mm, job.bracket.thickness_mm, job.cutting, fit)
    circle = Circle(complex(design.pin.station_mm, 0.0), diameter_mm / 2)
    return round_hole("pin", "pin", circle, pin_mm, made, tables_of(job))


def held_pin(design: Design, places: Sequence[PlatePlace]) -> Pin:
    """The pin, mid-way between the ears, or in the middle of the one plate that stands in a fork."""
    bracket, base = design.job.bracket, design.job.cylinder.base
    fork = base.kind == "fork"
    beside = (base.eye_width_mm - bracket.thickness_mm) / 2 if fork else bracket.side_play_mm + base.spacer_mm
    return Pin(
        centre=(design.pin.station_mm, 0.0, middle_mm(places)),
        diameter_mm=base.pin_mm,
        eye_width_mm=base.width_mm if fork else base.eye_width_mm,
        eye_radius_mm=base.eye_radius_mm,
        gap_mm=beside,
        fork_gap_mm=base.eye_width_mm if fork else 0.0,
        head_width_mm=base.head_width_mm or 0.0,
    )


def bolt_holes(job: Job, centres: Sequence[complex], bolt_mm: float, thickness_mm: float) -> tuple[Hole, ...]:
    """The bolts' round holes in a plate, numbered in the order of their centres."""
    radius_mm = bolt_hole_size(bolt_mm).mm / 2
    made = how_made(2.0 * radius_mm, thickness_mm, job.cutting)
    tables = unit_of_size(bolt_mm)
    circles = (Circle(at, radius_mm) for at in centres)
    return tuple(round_hole(f"bolt {k}", "bolt", at, bolt_mm, made, tables) for k, at in enumerate(circles, start=1))


def bolt_slot(number: int, middle: complex, reach_mm: float, at: complex, bolt_mm: float) -> Slot:
    """A bolt's slot along v, in which its centre can move by ``reach_mm`` to each side of the middle.

    AISC 360 Table J3.4 holds where the bolt lies at the slot's very end, (d0 - d)/2 beyond the end's centre; that is
    what Table J3.5 adds for a slot, less the half difference to the longest slot (its note). EN 1993-1-8 Table 3.3 asks
    e3, e4 >= 1.5 d0 of the end's centre and the axis.
    """
    size = bolt_hole_size(bolt_mm)
    rule = least_edge_distance(bolt_mm, unit_of_size(bolt_mm))
    half = complex(0.0, reach_mm)
    return Slot(
        name=f"bolt {number}",
        ends=(middle - half, middle + half),
        width_mm=size.mm,
        bolt_mm=bolt_mm,
        at=at,
        edge_required_mm=rule.mm + (size.mm - bolt_mm) / 2,
        edge_source=f"{rule.source}, the bolt at the slot's end",
    )
