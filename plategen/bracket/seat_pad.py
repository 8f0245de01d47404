"""A saddle pad between tabs and tube: it spreads the load and keeps the tabs' welds off the tube's wall.

On a round tube it is a rectangular blank rolled to the tube; on a square one it stays flat. It is welded along the
tube only, by the runs at its two long edges.
"""

import math

from plategen.bracket.ears import EarPlace
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.seat_foot import foot_of
from plategen.flat.chain import Chain
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Line
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.job.seat import Pad
from plategen.rail.tube import Tube

MOST_WRAP_RAD = math.radians(160.0)
"""A pad that wraps further cannot be laid on the tube (half a turn would have to snap over it)."""


def saddle_pad(
    job: Job, pad: Pad, tube: Tube, places: tuple[EarPlace, EarPlace]
) -> tuple[tuple[Plate, ...], tuple[WeldRun, ...]]:
    """The pad and its two runs.

    Raises:
        Refusal: If the pad wraps too far, reaches over the tube's flat, or is too narrow for the tabs on it.
    """
    first, last = occupied(job, tube, places)
    first, last = first - pad.beyond_mm, last + pad.beyond_mm
    placement = tube.facing(tube.across_mm / 2)
    half = pad.width_mm / 2
    _refuse_narrow(job, pad, tube, places)
    if tube.round:
        wrap = half / (tube.across_mm / 2 + pad.thickness_mm / 2)
        if 2.0 * wrap > MOST_WRAP_RAD:
            raise Refusal(
                f"a pad {pad.width_mm:.4g} mm wide wraps {math.degrees(2 * wrap):.3g} degrees of the tube; up to "
                f"{math.degrees(MOST_WRAP_RAD):.3g} degrees can be laid on",
                "seat.pad.width",
            )
        edges = [_rolled_edge(tube, placement, side * wrap) for side in (-1.0, 1.0)]
    else:
        flat = tube.across_mm / 2 - tube.corner_mm
        if half > flat:
            raise Refusal(
                f"a pad {pad.width_mm:.4g} mm wide is wider than the tube's flat; up to {2 * flat:.4g} mm is right",
                "seat.pad.width",
            )
        edges = [_moved(placement, side * half) for side in (-1.0, 1.0)]
    plate = Plate(
        name="pad",
        outline=rectangle(first, last, half),
        thickness_mm=pad.thickness_mm,
        steel=job.bracket.steel,
        placement=placement,
        rolled_mm=tube.across_mm / 2 if tube.round else 0.0,
    )
    runs = tuple(
        WeldRun(
            name="",
            plate="pad",
            other="tube",
            side="outside",
            path=Chain((Line(complex(first), complex(last)),)),
            placement=edge,
            leg_mm=min(job.weld.leg_mm, pad.thickness_mm),
            joint_angle_rad=(math.pi / 2, math.pi / 2),
            gap_mm=0.0,
            electrode=job.weld.electrode,
        )
        for edge in edges
    )
    return (plate,), runs


def occupied(job: Job, tube: Tube, places: tuple[EarPlace, EarPlace]) -> tuple[float, float]:
    """From where to where along the tube's axis the tabs stand; along the pin, their beads included."""
    if tube.along_pin:
        leg = job.weld.leg_mm
        return places[0].faces_mm[0] - leg, places[1].faces_mm[1] + leg
    c, s = math.cos(tube.lean_rad), math.sin(tube.lean_rad)
    station = tube.axis.real
    # the foot's stations are taken on the surface, which lies square below the axis: by R sin(lean) further along
    reach = tube.across_mm / 2 * s
    first, last = ((u - station - reach) / c for u in foot_of(job))
    return first, last


def across_tabs(job: Job, tube: Tube, places: tuple[EarPlace, EarPlace]) -> float:
    """How far the tabs and their beads reach beside the tube's axis."""
    if tube.along_pin:
        return max(abs(u - tube.axis.real) for u in foot_of(job))
    leg = job.weld.leg_mm
    return max(abs(places[0].faces_mm[0] - leg - tube.axis_w_mm), abs(places[1].faces_mm[1] + leg - tube.axis_w_mm))


def rectangle(first_mm: float, last_mm: float, half_mm: float) -> Loop:
    """A blank along u, anticlockwise."""
    corners = [complex(first_mm, -half_mm), complex(last_mm, -half_mm), complex(last_mm, half_mm)]
    corners.append(complex(first_mm, half_mm))
    return Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)))


def _refuse_narrow(job: Job, pad: Pad, tube: Tube, places: tuple[EarPlace, EarPlace]) -> None:
    beside = across_tabs(job, tube, places)
    if tube.round:
        outer = tube.across_mm / 2 + pad.thickness_mm
        wrap = min(pad.width_mm / 2 / (outer - pad.thickness_mm / 2), math.pi / 2)
        reaches = outer * math.sin(wrap)
    else:
        reaches = pad.width_mm / 2
    if beside > reaches:
        raise Refusal(
            f"the tabs with their beads reach {beside:.4g} mm beside the tube's axis, the pad only {reaches:.4g} mm; "
            "a wider pad is right",
            "seat.pad.width",
        )


def _rolled_edge(tube: Tube, crown: Placement, at_rad: float) -> Placement:
    """The plane along the tube through a long edge of a rolled pad, where it meets the tube: its u along the tube."""
    radius = tube.across_mm / 2
    beside, below = radius * math.sin(at_rad), radius * (math.cos(at_rad) - 1.0)
    v, n = crown.v, crown.normal
    c, s = math.cos(at_rad), math.sin(at_rad)
    along: Vector = tuple(c * a - s * b for a, b in zip(v, n, strict=True))  # type: ignore[assignment]
    return Placement(_shifted(crown.origin, (v, beside), (n, below)), crown.u, along)


def _moved(placement: Placement, by_mm: float) -> Placement:
    return Placement(_shifted(placement.origin, (placement.v, by_mm)), placement.u, placement.v)


def _shifted(origin: Vector, *by: tuple[Vector, float]) -> Vector:
    x, y, z = origin
    for direction, mm in by:
        x, y, z = x + mm * direction[0], y + mm * direction[1], z + mm * direction[2]
    return x, y, z
