"""A finished job built by hand, so that the paper is tested on figures known here and not on the program's own.

Two ears on a rail that runs straight, bends 12 degrees on a 40 mm radius and runs straight again.
"""

import cmath
import math

from plategen.bracket.meeting import as_drawn
from plategen.bracket.model import Bracket, Fit, Hole, Mark, Pin, Plate, WeldRun
from plategen.checks.finding import Check, part
from plategen.design.design import Chosen, Design
from plategen.design.foot import ChosenFoot, Foot
from plategen.design.motion import motion_of
from plategen.design.places import written_place
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import Arc, Line
from plategen.ground.cure import advise
from plategen.ground.message import message
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail import RailEntry, TraceEntry
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Reading, Trace
from plategen.work import Work
from tests.support.corners import shifted

IN = 25.4
INLINE_MM, PIN_U_MM, NOSE_MM, HOLE_MM = 3.75 * IN, 6.5 * IN, 1.25 * IN, 0.75 * IN
FOOT_MM = (2 * IN, 11 * IN)
TOE_MM, THICKNESS_MM = 0.75 * IN, 0.375 * IN


def rail_chain(shift_mm: float = 0.0) -> Chain:
    """Flat, 12 degree bend of radius 40, flat, in the straightedge's frame."""
    start, bend_at, radius, kick = 0 + 35j + shift_mm * 1j, 7 * IN, 40.0, math.radians(12)
    first = Line(start, start + bend_at)
    bend = Arc.about(first.end + radius * 1j, radius, -math.pi / 2, kick)
    second = Line(bend.end, bend.end + cmath.rect(150.0, kick))
    return Chain((first, bend, second))


def fitted(plane_mm: float = 0.0, shift_mm: float = 0.0) -> FittedTrace:
    """Readings every inch off the chain, one of them an inch wrong."""
    chain = rail_chain(shift_mm)
    noise = (0.3, -0.4, 0.1, 0.5, -0.2, -0.5, 0.2, 0.4, -0.3, 0.1, -0.1, 0.4, -0.2)
    readings, residuals = [], []
    for i, wobble in enumerate(noise):
        u = min(i * IN, chain.end.real)
        v = next(p.imag for s in chain for k in range(2001) if abs((p := s.point(k / 2000)).real - u) < 0.1) + (
            IN if i == 4 else wobble
        )
        readings.append(Reading(complex(u, v), i + 2, "beside the weld" if i == 4 else ""))
        index, t = chain.nearest(complex(u, v))
        near = chain.segments[index]
        residuals.append(((complex(u, v) - near.point(t)) * near.tangent(t).conjugate()).imag)
    trace = Trace(file="front.csv" if plane_mm == 0 else "rear.csv", plane_mm=plane_mm, readings=tuple(readings))
    return FittedTrace(
        trace=trace,
        chain=chain,
        doubtful=(4,),
        residuals_mm=tuple(residuals),
        read_error_mm=0.5,
        spread=shifted(chain.length, 0.3),
    )


def tangent_point(centre: complex, radius: float, outside: complex, side: int) -> complex:
    """Where the tangent from a point outside touches the circle; ``side`` +1 left of the way to the centre."""
    way = centre - outside
    return centre - cmath.rect(radius, cmath.phase(way) + side * -(math.pi / 2 - math.asin(radius / abs(way))))


def ear(name: str, w_mm: float, shift_mm: float = 0.0, *, scale: float = 1.0) -> Plate:
    """An ear: notch, end faces square to the rail, tangents, nose."""
    rail = rail_chain(shift_mm).moved(shift=INLINE_MM * 1j)
    first, bend, second = rail.segments
    left = complex(FOOT_MM[0], first.start.imag)
    right = second.start + second.start_tangent * (FOOT_MM[1] - second.start.real) / second.start_tangent.real
    notch = Chain((Line(right, second.start), bend.reversed(), Line(bend.start, left)))
    pin = complex(PIN_U_MM, 0)
    left_toe, right_toe = left - TOE_MM * 1j, right - second.start_tangent * 1j * TOE_MM
    a, b = tangent_point(pin, NOSE_MM, left_toe, -1), tangent_point(pin, NOSE_MM, right_toe, 1)
    turn = (cmath.phase(b - pin) - cmath.phase(a - pin)) % (2 * math.pi)
    nose = Arc(a, b, math.tan(turn / 4))
    outline = Loop(
        (*notch.segments, Line(left, left_toe), Line(left_toe, a), nose, Line(b, right_toe), Line(right_toe, right))
    )
    hole = Hole(
        purpose="pin",
        name="pin",
        circle=Circle(pin, HOLE_MM / 2),
        bolt_mm=HOLE_MM,
        made="cut",
        edge_required_mm=IN,
        edge_source="AISC 360-16 Table J3.4",
    )
    if scale != 1.0:
        outline = Loop(tuple(_scaled(s, scale) for s in outline))
        notch = Chain(tuple(_scaled(s, scale) for s in notch))
        hole = Hole(
            purpose="pin",
            name="pin",
            circle=Circle(pin * scale, HOLE_MM / 2),
            bolt_mm=HOLE_MM,
            made="cut",
            edge_required_mm=IN,
            edge_source="AISC 360-16 Table J3.4",
        )
    return Plate(
        role="ear",
        name=name,
        outline=outline,
        thickness_mm=THICKNESS_MM,
        steel="A36",
        placement=across_pin(w_mm),
        holes=(hole,),
        notch=notch,
        fit=Fit(gap_near_mm=0.2, gap_far_mm=0.9, overlap_mm=0.0, meeting=as_drawn((notch,), (1.4,))),
        marks=(Mark(name="weld end", path=Chain((Line(left, left - 8j),))),),
    )


def _scaled(segment: Line | Arc, by: float) -> Line | Arc:
    if isinstance(segment, Arc):
        return Arc(segment.start * by, segment.end * by, segment.bulge)
    return Line(segment.start * by, segment.end * by)


def example_job(units: Units = "in", title: str = "Sprayer steering cylinder, left rail") -> Job:
    """The job that such a bracket would come from."""
    return Job(
        title=title,
        units=units,
        rail=RailEntry(wall_mm=0.25 * IN, steel="A36", trace=(TraceEntry(file="front.csv", plane_mm=0.0),)),
        cylinder=Cylinder(
            bore_mm=2 * IN,
            rod_mm=1.25 * IN,
            stroke_mm=8 * IN,
            closed_length_mm=15.25 * IN,
            body_diameter_mm=2.375 * IN,
            pressure_mpa=10.3,
            base=CylinderEnd(pin_mm=HOLE_MM, eye_width_mm=1.25 * IN, eye_radius_mm=IN),
        ),
        mount=Mount(inline_offset_mm=INLINE_MM, pin_station_mm=PIN_U_MM, foot_mm=FOOT_MM),
        bracket=BracketEntry(plane_mm=0.0, thickness_mm=THICKNESS_MM, steel="A36"),
        weld=Weld(leg_mm=0.25 * IN),
    )


def _design(job: Job) -> Design:
    """What is drawn here, as the program would have decided it."""
    return Design(
        job=job,
        study=None,
        pin=written_place(job),
        motion=motion_of(job, None),
        nose=Chosen(NOSE_MM),
        toe=Chosen(TOE_MM),
        relief=Chosen(0.0),
        foot=ChosenFoot(foot=Foot(*FOOT_MM)),
    )


def example_work(units: Units = "in", *, scale: float = 1.0) -> Work:
    """The whole of it."""
    gap = 1.25 * IN + 2 * IN / 32
    plates = (ear("ear_near", -THICKNESS_MM, scale=scale), ear("ear_far", gap, 2.0, scale=scale))
    welds = tuple(
        WeldRun(
            joint="rail",
            name=f"W{2 * i + k + 1}",
            plate=plate.name,
            other="rail",
            side=side,
            path=plate.notch,
            placement=plate.placement
            if (side == "outside") == (i == 0)
            else across_pin(plate.placement.origin[2] + THICKNESS_MM),
            leg_mm=0.25 * IN,
            joint_angle_rad=(math.radians(88), math.radians(94)),
            gap_mm=0.9,
            electrode="E70",
        )
        for i, plate in enumerate(plates)
        for k, side in enumerate(("outside", "inside"))
        if plate.notch
    )
    pin = Pin(
        centre=(PIN_U_MM * scale, 0.0, gap / 2),
        diameter_mm=HOLE_MM,
        eye_width_mm=1.25 * IN,
        eye_radius_mm=IN,
        gap_mm=IN / 32,
    )
    findings = (
        Check(name="weld throat stress", subject="weld", unit="MPa", source="AISC 360-22 J2.4").strength(
            part("ear_near"),
            demand=61.0,
            capacity=144.8,
            assumed="Push and pull, whole swing; vector sum on the throat.",
            case="push, cylinder at +6 deg",
        ),
        Check(name="pin hole edge distance", subject="hole", unit="mm", limit="at least").at_least(
            part("ear_near pin"), least=25.4, there=31.75, source="AISC 360-16 Table J3.4"
        ),
        Check(name="plate bearing", subject="pin plate", unit="N", source="AISC 360-22 J7").strength(
            part("ear_far pin"), demand=21000.0, capacity=22000.0
        ),
        Check(name="fit-up gap", subject="weld", unit="mm", limit="at most", source="AWS D1.1 5.21").at_most(
            part("ear_far"),
            most=4.76,
            there=6.0,
            cure=lambda: advise("Turn the plate so that its slant follows the rail, or bevel the notch."),
        ),
    )
    return Work(
        design=_design(example_job(units)),
        rail=Rail(traces=(fitted(0.0), fitted(63.5, 2.0)), inline_offset_mm=INLINE_MM),
        bracket=Bracket(
            style="ears",
            plates=plates,
            welds=welds,
            pin=pin,
            chosen=(
                message("Nose radius 1 1/4 in: the least edge distance of a 3/4 in pin, 1 in, with 1/4 in to spare."),
            ),
            cautions=(
                message("The ears stand across the rail's web: keep welds off flange edges of a heat-treated rail."),
            ),
        ),
        findings=findings,
        cautions=("One reading of front.csv was left out of the fit: station 4, 2 3/8 in.",),
    )
