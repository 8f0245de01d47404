"""What a seat's tabs stand on: the tube itself, a saddle pad on it, or a clamp about it.

A saddle pad spreads the load and keeps the tabs' welds off the tube's wall. On a round tube it is a rectangular blank
rolled to the tube; on a square one it stays flat. It is welded along the tube only, by the runs at its two long edges.

A clamp is for a tube that must not be welded: two halves, each a plate square to the tabs with four bolts beside the
tube. On a square tube the plates lie on its flats; on a round one two cradles a half, hollowed to the tube over 120
degrees, stand between plate and tube in line with the bolts. The halves never meet, so the bolts pull on the tube
alone. The near half carries the tabs.
"""

import math
from dataclasses import dataclass, replace

from plategen.bracket.holes import bolt_holes
from plategen.bracket.model import Joint, Plate, WeldRun, fillet
from plategen.design.bolts import steel_round
from plategen.design.design import Design
from plategen.design.on_tube import seat_places
from plategen.flat.chain import Chain
from plategen.flat.loop import Loop, polygon
from plategen.flat.placement import Placement
from plategen.flat.segment import SAME_POINT_MM, SHORTEST_EDGE_MM, Arc, Line
from plategen.flat.tangent import rounded
from plategen.ground.cure import advise, set_to
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import GAP_SIZES, PART_SIZES, PLATE_SIZES
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.job.style_tables import Clamp, Pad, Seat
from plategen.rail.tube import Tube
from plategen.rules.hole_size import bolt_hole_size
from plategen.rules.table import unit_of_size
from plategen.rules.wrench import tool_room

MOST_WRAP_RAD = math.radians(160.0)
"""A pad that wraps further cannot be laid on the tube (half a turn would have to snap over it)."""

HUG_RAD = math.radians(60.0)
"""Half of the turn over which a cradle bears on a round tube: enough to centre it, and it still slips on."""

BESIDE_TUBE_MM = 2.0
"""Room between a bolt's hole and tube or cradle (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnderTabs:
    """What the tabs stand on."""

    surface: Tube  # Its surface.
    name: str  # The plate, or the tube.
    joint: Joint = "tie"  # Which of these that is.
    plates: tuple[Plate, ...] = ()  # The plates that it is made of.
    runs: tuple[WeldRun, ...] = ()  # The runs that hold them.


def under_tabs(design: Design, seat: Seat, tube: Tube) -> UnderTabs:
    """What the tabs of a seat stand on.

    Raises:
        Refusal: If a pad wraps too far, reaches over the tube's flat, or is too narrow for the tabs on it; no hole or
            hexagon is tabled for a clamp's bolt.
    """
    if seat.hold == "clamp" and seat.clamp is not None:
        return _clamp(design, seat.clamp, tube)
    if seat.pad is not None:
        return _saddle_pad(design, seat.pad, tube)
    return UnderTabs(surface=tube, name="tube", joint="tube")


def _saddle_pad(design: Design, pad: Pad, tube: Tube) -> UnderTabs:
    job = design.job
    first, last, beside = _footprint(design, tube)
    first, last = first - pad.beyond_mm, last + pad.beyond_mm
    placement = tube.facing(tube.across_mm / 2)
    half = pad.width_mm / 2
    _refuse_width(job, pad, tube, beside)
    if tube.round:
        wrap = half / (tube.across_mm / 2 + pad.thickness_mm / 2)
        edges = [_rolled_edge(tube, placement, side * wrap) for side in (-1.0, 1.0)]
    else:
        edges = [replace(placement, origin=placement.point(complex(0.0, side))) for side in (-half, half)]
    plate = Plate(
        name="pad",
        role="pad",
        outline=_rectangle(first, last, half),
        thickness_mm=pad.thickness_mm,
        steel=job.bracket.steel,
        placement=placement,
        rolled_mm=tube.across_mm / 2 if tube.round else 0.0,
    )
    along, leg = Chain((Line(complex(first), complex(last)),)), min(job.weld.leg_mm, pad.thickness_mm)
    runs = tuple(fillet(job, "pad", "tube", "tube", along, edge, leg_mm=leg) for edge in edges)
    surface = tube.grown(pad.thickness_mm, 0.0 if tube.round else pad.width_mm / 2)
    return UnderTabs(surface=surface, name=plate.name, plates=(plate,), runs=runs)


def _footprint(design: Design, tube: Tube) -> tuple[float, float, float]:
    """From where to where along a tube's axis the tabs stand, and how far beside it; beads count along the pin."""
    (near, far), leg = seat_places(design.job, design.pin), design.job.weld.leg_mm
    low, high, stations = near.faces_mm[0] - leg, far.faces_mm[1] + leg, design.foot.foot.stations
    if tube.along_pin:
        return low, high, max(abs(u - tube.axis.real) for u in stations)
    c, s = math.cos(tube.lean_rad), math.sin(tube.lean_rad)
    # the foot's stations are taken on the surface, which lies square below the axis: by R sin(lean) further along
    reach = tube.across_mm / 2 * s
    first, last = ((u - tube.axis.real - reach) / c for u in stations)
    return first, last, max(abs(low - tube.axis_w_mm), abs(high - tube.axis_w_mm))


def _rectangle(first_mm: float, last_mm: float, half_mm: float) -> Loop:
    corners = ((first_mm, -half_mm), (last_mm, -half_mm), (last_mm, half_mm), (first_mm, half_mm))
    return polygon([complex(u, v) for u, v in corners])


def _refuse_width(job: Job, pad: Pad, tube: Tube, beside: float) -> None:
    """Refuse a pad that the tabs reach over, and one that goes too far round or reaches over a square tube's flat."""
    outer, middle = tube.across_mm / 2 + pad.thickness_mm, tube.across_mm / 2 + pad.thickness_mm / 2
    most_mm = MOST_WRAP_RAD * middle if tube.round else 2.0 * (tube.across_mm / 2 - tube.corner_mm)
    least_mm = 2.0 * (middle * math.asin(min(beside / outer, 1.0)) if tube.round else beside)
    wide_enough = least_mm - SAME_POINT_MM <= pad.width_mm
    if beside < outer and wide_enough and pad.width_mm <= most_mm + SAME_POINT_MM:
        return
    steps = (PLATE_SIZES, PART_SIZES, GAP_SIZES)  # the coarsest of which one fits
    fit = (each.down(most_mm, job.units) if wide_enough else each.up(least_mm, job.units) for each in steps)
    right_mm = next((width for width in fit if least_mm <= width <= most_mm), None)
    if beside >= outer or right_mm is None:
        carried_mm = outer * math.sin(most_mm / 2 / middle) if tube.round else most_mm / 2
        words = (
            "the tube is too small for these tabs: with their beads they reach {} beside its middle, and a pad {} "
            "thick on it carries up to {}; right is: {}"
        )
        other = advise('thinner tabs, a smaller leg, a thicker pad or hold = "clamp"')
        what = message(words, mm(beside), size(pad.thickness_mm), mm(carried_mm, "down"), other.advice)
        raise Refusal(what, "seat.pad.width", cure=other)
    if wide_enough:
        over = "goes too far round the tube" if tube.round else "is wider than the tube's flat"
        what = message("a pad {} wide {}; {} wide or less is right", mm(pad.width_mm), over, size(right_mm))
    else:
        words = "the tabs with their beads reach {} beside the tube's middle, further than this pad; {} wide is right"
        what = message(words, mm(beside), size(right_mm))
    raise Refusal(what, "seat.pad.width", cure=set_to("seat.pad.width", size(right_mm), "pad width to {}"))


def _rolled_edge(tube: Tube, crown: Placement, at_rad: float) -> Placement:
    """The plane along the tube through a long edge of a rolled pad, where it meets the tube: its u along the tube."""
    radius = tube.across_mm / 2
    beside, below = radius * math.sin(at_rad), radius * (math.cos(at_rad) - 1.0)
    v, n = crown.v, crown.normal
    c, s = math.cos(at_rad), math.sin(at_rad)
    along: Vector = tuple(c * a - s * b for a, b in zip(v, n, strict=True))  # type: ignore[assignment]
    return Placement(crown.point(complex(0.0, beside), below), crown.u, along)


def _clamp(design: Design, wanted: Clamp, tube: Tube) -> UnderTabs:
    """Both halves of a clamp; the tabs stand on the near one."""
    job = design.job
    thick, radius = wanted.thickness_mm, tube.across_mm / 2
    crown = (wanted.crown_mm or thick) if tube.round else 0.0
    hole_mm = bolt_hole_size(wanted.bolt_mm).mm
    edge = steel_round(wanted.bolt_mm, hole_mm)
    steps = unit_of_size(wanted.bolt_mm)  # what is laid out about bolts goes by their unit, not the job's
    # bolts lie beyond the tabs along the tube, where a socket clears the beads, and beside the tube across it
    clear = tool_room(wanted.bolt_mm, power=job.rules is not None and job.rules.pretensioned).mm + job.weld.leg_mm
    first, last, under = _footprint(design, tube)
    first, last = first - clear, last + clear
    beside = PLATE_SIZES.up(radius + hole_mm / 2 + BESIDE_TUBE_MM, steps)
    half = max(beside + edge, PLATE_SIZES.up(under + job.weld.leg_mm, steps))
    bolts = [complex(u, v) for u in (first, last) for v in (-beside, beside)]
    corner = min(job.bracket.corner_radius_mm, edge)
    blank = _rectangle(first - edge, last + edge, half)
    outline = rounded(blank, [corner] * 4) if corner >= SHORTEST_EDGE_MM else blank
    plates: list[Plate] = []
    runs: list[WeldRun] = []
    for which, far in (("near", False), ("far", True)):
        plate = Plate(
            name=f"clamp_{which}",
            role="clamp",
            outline=outline,
            thickness_mm=thick,
            steel=wanted.steel or job.bracket.steel,
            placement=tube.facing(radius + crown, far=far),
            holes=bolt_holes(job, bolts, wanted.bolt_mm, thick),
            welded=False,
        )
        plates.append(plate)
        for k, at in enumerate((first, last) if tube.round else (), start=1):
            across = tube.across(at - thick / 2)
            plane = across if far else Placement(across.origin, _minus(across.u), _minus(across.v))
            cradle, its_runs = _cradle(job, wanted, tube, plane, f"cradle_{which}_{k}", plate)
            plates.append(cradle)
            runs.extend(its_runs)
    surface = tube.grown(radius + crown + thick - tube.across_mm / 2, half)
    return UnderTabs(surface=surface, name="clamp_near", plates=tuple(plates), runs=tuple(runs))


def _cradle(
    job: Job, wanted: Clamp, tube: Tube, plane: Placement, name: str, clamp: Plate
) -> tuple[Plate, list[WeldRun]]:
    """A cradle in a plane whose (0, 0) is the tube's axis and whose v points to its clamp plate, and its two runs."""
    radius, thick = tube.across_mm / 2, wanted.thickness_mm
    low, side, top = radius * math.cos(HUG_RAD), radius * math.sin(HUG_RAD), radius + (wanted.crown_mm or thick)
    begin, arc = complex(-radius, low), Arc(complex(-side, low), complex(side, low), math.tan(-HUG_RAD / 2))
    back = Line(complex(radius, top), complex(-radius, top))
    right = complex(radius, low)
    edges = (Line(begin, arc.start), arc, Line(arc.end, right), Line(right, back.start), back, Line(back.end, begin))
    cradle = Plate(
        name=name,
        role="cradle",
        outline=Loop(edges),
        thickness_mm=thick,
        steel=clamp.steel,
        placement=plane,
        welded=False,
    )
    faces = (("outside", plane), ("inside", replace(plane, origin=plane.point(0j, thick))))
    root, leg = Chain((back,)), min(job.weld.leg_mm, thick)
    runs = [fillet(job, name, "tie", clamp.name, root, face, side=side, leg_mm=leg) for side, face in faces]
    return cradle, runs


def _minus(a: Vector) -> Vector:
    return -a[0], -a[1], -a[2]
