"""Jobs of the styles ``split`` and ``seat`` with every number free, and what must hold of the brackets they give."""

import math
import os
from typing import Any

from plategen.bracket.model import Bracket, Plate
from plategen.bracket.style import build_bracket, design_on
from plategen.checks.judge import judge
from plategen.flat.inside import inside, simple
from plategen.flat.loop import Circle
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail import RailEntry, TraceEntry
from plategen.job.rules import Rules
from plategen.job.style_tables import Clamp, Pad, Seat, Split
from plategen.rail.tube import Surface
from plategen.solid.bodies import plate_bodies
from plategen.solid.clearance import clearances
from plategen.solid.kernel import Body
from plategen.work import Work

CASES = int(os.environ.get("PLATEGEN_CASES", "16"))
"""Random jobs a property is tried on; thousands when asked for."""

TRACE = (TraceEntry(file="rail.csv", plane_mm=0.0),)


def job(style: str, **given: Any) -> Job:
    """A job in millimetres; ``given`` goes to the tables by the names of their fields."""
    bracket = BracketEntry(
        style=style,  # type: ignore[arg-type]
        plane_mm=given.get("plane_mm", 0.0),
        thickness_mm=given.get("thickness_mm", 12.0),
        steel="S355",
        side_play_mm=0.5,
        root_gap_mm=given.get("root_gap_mm", 0.0),
        toe_mm=given.get("toe_mm"),
        corner_radius_mm=given.get("corner_radius_mm", 6.0),
    )
    return Job(
        title="A job to try",
        units=given.get("units", "mm"),
        rail=RailEntry(wall_mm=given.get("wall_mm", 8.0), steel="S355", trace=() if style == "seat" else TRACE),
        cylinder=Cylinder(
            bore_mm=50.0,
            rod_mm=28.0,
            stroke_mm=200.0,
            closed_length_mm=400.0,
            body_diameter_mm=60.0,
            pressure_mpa=12.0,
            base=CylinderEnd(pin_mm=25.0, eye_width_mm=given.get("eye_width_mm", 30.0), eye_radius_mm=28.0),
        ),
        mount=Mount(
            inline_offset_mm=given.get("inline_offset_mm", 100.0),
            pin_station_mm=given.get("pin_station_mm", 150.0),
            foot_mm=given.get("foot_mm", (50.0, 250.0)),
        ),
        bracket=bracket,
        split=given.get("split"),
        seat=given.get("seat"),
        weld=Weld(leg_mm=given.get("leg_mm", 6.0), electrode="G42"),
        rules=Rules(set="en-1993", bolt_grade="8.8", pretensioned=True),
    )


def split(**given: Any) -> Split:
    """A ``[split]`` table: two bolts of 16 mm, 100 mm apart, made for an in-line offset of 100 mm."""
    usual: dict[str, Any] = {"bolt_mm": 16.0, "row_spacing_mm": 100.0, "height_mm": 62.0, "built_for_mm": 100.0}
    return Split(**{**usual, **given})


def seat(**given: Any) -> Seat:
    """A ``[seat]`` table: a plain round tube of 80 mm."""
    return Seat(**{"tube": "round", "across_mm": 80.0, "made": "plain", **given})


def pad(thickness_mm: float = 8.0, width_mm: float = 110.0, beyond_mm: float = 15.0) -> Pad:
    """A ``[seat.pad]`` table."""
    return Pad(thickness_mm=thickness_mm, width_mm=width_mm, beyond_mm=beyond_mm)


def clamp(bolt_mm: float = 16.0, thickness_mm: float = 20.0) -> Clamp:
    """A ``[seat.clamp]`` table."""
    return Clamp(bolt_mm=bolt_mm, thickness_mm=thickness_mm)


def carried(wanted: Job, on: Surface) -> Work:
    """A job built and judged on its rail or tube."""
    design = design_on(wanted, on)
    bracket = build_bracket(design, on)
    return Work(design=design, rail=on, bracket=bracket, findings=judge(design, bracket, on))


def assert_sound(bracket: Bracket) -> None:
    """No outline crosses itself, runs clockwise or is cut by a hole; every run lies on its plate."""
    for plate in bracket.plates:
        assert simple(plate.outline) is None, plate.name
        assert plate.outline.area > 0.0
        circles = [hole.circle for hole in plate.holes]
        circles += [Circle(end, slot.width_mm / 2) for slot in plate.slots for end in slot.ends]
        for circle in circles:
            assert inside(plate.outline, circle.centre)
            assert plate.outline.distance(circle.centre) > circle.radius
    plates = {plate.name: plate for plate in bracket.plates}
    assert len(plates) == len(bracket.plates)
    for run in bracket.welds:
        assert run.length_mm > 0.0
        if not plates[run.plate].rolled_mm:
            assert off_plate(plates[run.plate], run) < 0.05


def off_plate(plate: Plate, run: Any) -> float:
    """How far a run lies off its plate's edge, mm, the largest of points along it."""
    worst = 0.0
    n, o = plate.placement.normal, plate.placement.origin
    for edge in run.path:
        for k in range(9):
            q = run.placement.point(edge.point(k / 8))
            depth = sum((a - b) * c for a, b, c in zip(q, o, n, strict=True))
            beside = plate.outline.distance(plate.placement.flat(q))
            over = max(0.0, -depth, depth - plate.thickness_mm)
            worst = max(worst, math.hypot(beside, over))
    return worst


def overlaps(bodies: list[Body]) -> list[tuple[str, str, float]]:
    """Pairs of bodies that share more than a touch, and the volume they share, mm^3, by the solid kernel."""
    return [(c.one, c.other, c.overlap_mm3) for c in clearances(bodies) if c.overlap_mm3 > 0.5]


def plates_of(bracket: Bracket) -> list[Body]:
    """The plates as bodies."""
    return list(plate_bodies(bracket))
