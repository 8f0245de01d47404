"""A job on a rail that is known exactly, along one face or round its corner."""

import math

from plategen.flat.chain import Chain
from plategen.flat.segment import Line
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd, Swing
from plategen.job.rail import RailEntry, TraceEntry
from plategen.rail.surface import Rail
from tests.support.corners import corner_profile, exact_rail

INLINE_MM = 90.0
PLANES_MM = (0.0, 120.0)


def corner_rail(radius_mm: float, flare: float, run_off: float, lean_deg: float) -> Rail:
    """A rail's lower corner at station 300, its underside 20 mm from the straightedge, its side flared and leaning."""
    near = corner_profile(320.0, 220.0, math.radians(88.0), radius_mm, math.radians(-1.0), at=300 + 20j)
    far = corner_profile(320.0, 220.0, math.radians(88.0 + lean_deg), radius_mm, math.radians(-1.0), at=300 + 20j)
    return exact_rail(
        ((PLANES_MM[0], near), (PLANES_MM[1], far.moved(shift=120.0 * complex(run_off, flare)))), INLINE_MM
    )


def flat_rail(flare: float, run_off: float) -> Rail:
    """A rail of one face, kicked at station 220."""
    corner = 220 + 20j
    near = Chain((Line(-40 + 20j, corner), Line(corner, 480 + 60j)))
    return exact_rail(
        ((PLANES_MM[0], near), (PLANES_MM[1], near.moved(shift=120.0 * complex(run_off, flare)))), INLINE_MM
    )


def corner_job(round_corner: bool, eye_width_mm: float = 50.0, swing_rad: float = 0.1) -> Job:
    """A job for either."""
    foot = {"foot_mm": (110.0,), "foot_rise_mm": 140.0} if round_corner else {"foot_mm": (90.0, 400.0)}
    return Job(
        title="test",
        units="mm",
        rail=RailEntry(
            wall_mm=8.0, steel="S355", trace=tuple(TraceEntry(file=f"w{w:g}.csv", plane_mm=w) for w in PLANES_MM)
        ),
        cylinder=Cylinder(
            bore_mm=63.0,
            rod_mm=36.0,
            stroke_mm=300.0,
            closed_length_mm=520.0,
            body_diameter_mm=76.0,
            pressure_mpa=16.0,
            base=CylinderEnd(pin_mm=40.0, eye_width_mm=eye_width_mm, eye_radius_mm=42.0),
        ),
        mount=Mount(inline_offset_mm=INLINE_MM, pin_station_mm=340.0 if round_corner else 250.0, **foot),  # type: ignore[arg-type]
        bracket=BracketEntry(plane_mm=15.0, thickness_mm=15.0, steel="S355", side_play_mm=1.0),
        weld=Weld(leg_mm=8.0),
        swing=Swing(low_rad=-swing_rad, high_rad=swing_rad, barrel_start_mm=80.0),
    )  # fmt: skip
