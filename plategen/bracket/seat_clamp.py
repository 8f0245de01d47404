"""Two half clamps about a tube that must not be welded: flat plates, and on a round tube cradles cut to it.

Each half is a plate square to the tabs with four bolts beside the tube. On a square tube the plates lie on its flats;
on a round one two cradles a half, hollowed to the tube over 120 degrees, stand between plate and tube in line with the
bolts. The halves never meet, so the bolts pull on the tube alone. The near half carries the tabs.
"""

import math
from dataclasses import dataclass

from plategen.bracket.bolt_pattern import bolt_hole, bolt_hole_size, steel_round
from plategen.bracket.ears import EarPlace
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.seat_pad import across_tabs, occupied, rectangle
from plategen.flat.chain import Chain
from plategen.flat.fillet import rounded
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.seat import Clamp
from plategen.rail.tube import Tube
from plategen.rules.table import unit_of_size
from plategen.rules.tool_room import tool_room

HUG_RAD = math.radians(60.0)
"""Half of the turn over which a cradle bears on a round tube: enough to centre it, and it still slips on."""

BESIDE_TUBE_MM = 2.0
"""Room between a bolt's hole and tube or cradle (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Clamping:
    """The parts of both halves and the face that the tabs stand on.

    Args:
        plates: Clamp plates and cradles.
        runs: The runs that hold the cradles to their plates.
        face_mm: From the tube's axis to the near plate's face towards the cylinder.
        half_width_mm: Half the plates' width across the tube.
    """

    plates: tuple[Plate, ...]
    runs: tuple[WeldRun, ...]
    face_mm: float
    half_width_mm: float


def clamp(job: Job, wanted: Clamp, tube: Tube, places: tuple[EarPlace, EarPlace]) -> Clamping:
    """Both halves.

    Raises:
        Refusal: No hole or hexagon is tabled for the bolt.
    """
    thick, radius = wanted.thickness_mm, tube.across_mm / 2
    crown = (wanted.crown_mm or thick) if tube.round else 0.0
    hole_mm = bolt_hole_size(wanted.bolt_mm).mm
    edge = steel_round(wanted.bolt_mm, hole_mm)
    steps = unit_of_size(wanted.bolt_mm)  # what is laid out about bolts goes by their unit, not the job's
    # bolts lie beyond the tabs along the tube, where a socket clears the beads, and beside the tube across it
    clear = tool_room(wanted.bolt_mm, power=job.rules is not None and job.rules.pretensioned).mm + job.weld.leg_mm
    first, last = occupied(job, tube, places)
    first, last = first - clear, last + clear
    beside = PLATE_SIZES.up(radius + hole_mm / 2 + BESIDE_TUBE_MM, steps)
    half = max(beside + edge, PLATE_SIZES.up(across_tabs(job, tube, places) + job.weld.leg_mm, steps))
    bolts = [complex(u, v) for u in (first, last) for v in (-beside, beside)]
    corner = min(job.bracket.corner_radius_mm, edge)
    blank = rectangle(first - edge, last + edge, half)
    outline = rounded(blank, [corner] * 4) if corner >= SHORTEST_EDGE_MM else blank
    plates: list[Plate] = []
    runs: list[WeldRun] = []
    for name, far in (("clamp_near", False), ("clamp_far", True)):
        plates.append(
            Plate(
                name=name,
                outline=outline,
                thickness_mm=thick,
                steel=wanted.steel or job.bracket.steel,
                placement=tube.facing(radius + crown, far=far),
                holes=tuple(
                    bolt_hole(k, p, wanted.bolt_mm, thick, job.cutting.smallest_hole)
                    for k, p in enumerate(bolts, start=1)
                ),
                welded=False,
            )
        )
        if tube.round:
            for k, at in enumerate((first, last), start=1):
                cradle = _cradle(job, wanted, tube, crown, at, far, f"cradle_{name[6:]}_{k}")
                plates.append(cradle)
                runs.extend(_cradle_runs(job, cradle, name, radius, crown))
    return Clamping(plates=tuple(plates), runs=tuple(runs), face_mm=radius + crown + thick, half_width_mm=half)


def _cradle(job: Job, wanted: Clamp, tube: Tube, crown: float, at_mm: float, far: bool, name: str) -> Plate:
    """A cradle across the tube, in a plane whose (0, 0) is the tube's axis and whose v points to its clamp plate."""
    radius, half = tube.across_mm / 2, wanted.thickness_mm / 2
    low, side = radius * math.cos(HUG_RAD), radius * math.sin(HUG_RAD)
    arc = Arc(complex(-side, low), complex(side, low), math.tan(-HUG_RAD / 2))
    top = radius + crown
    outline = Loop(
        (
            Line(complex(-radius, low), arc.start),
            arc,
            Line(arc.end, complex(radius, low)),
            Line(complex(radius, low), complex(radius, top)),
            Line(complex(radius, top), complex(-radius, top)),
            Line(complex(-radius, top), complex(-radius, low)),
        )
    )
    plane = tube.across(at_mm - half)
    towards = plane.v if far else _minus(plane.v)
    across = plane.u if far else _minus(plane.u)
    return Plate(
        name=name,
        outline=outline,
        thickness_mm=wanted.thickness_mm,
        steel=wanted.steel or job.bracket.steel,
        placement=Placement(plane.origin, across, towards),
        welded=False,
    )


def _cradle_runs(job: Job, cradle: Plate, other: str, radius: float, crown: float) -> tuple[WeldRun, WeldRun]:
    top = radius + crown
    root = Chain((Line(complex(radius, top), complex(-radius, top)),))
    near = cradle.placement
    runs = []
    for side, depth in (("outside", 0.0), ("inside", cradle.thickness_mm)):
        runs.append(
            WeldRun(
                name="",
                plate=cradle.name,
                other=other,
                side=side,
                path=root,
                placement=Placement(near.point(0j, depth), near.u, near.v),
                leg_mm=min(job.weld.leg_mm, cradle.thickness_mm),
                joint_angle_rad=(math.pi / 2, math.pi / 2),
                gap_mm=0.0,
                electrode=job.weld.electrode,
            )
        )
    return runs[0], runs[1]


def _minus(a: tuple[float, float, float]) -> tuple[float, float, float]:
    return -a[0], -a[1], -a[2]
