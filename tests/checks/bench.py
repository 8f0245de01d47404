"""A bracket and its job made by hand, with every dimension free: the bench the checks are tried on.

Two ears on a straight rail at v = ``height``: a nose about the pin at (0, 0), straight flanks to the toes, a straight
notch. Nothing here comes from the bracket builders, so a fault of theirs cannot hide one of the checks.
"""

import cmath
import math
from dataclasses import dataclass, field
from typing import Any

from plategen.bracket.model import Bracket, Hole, Pin, Plate, WeldRun
from plategen.checks.finding import Finding
from plategen.checks.judge import judge
from plategen.design.design import Chosen, Design
from plategen.design.foot import ChosenFoot, Foot
from plategen.design.motion import motion_of, tables_of
from plategen.design.places import written_place
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import Placement, across_pin
from plategen.flat.segment import Arc, Line
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.rail import RailEntry, TraceEntry
from plategen.job.rules import Driven, Rules, Use
from plategen.rules.edge_distance import least_edge_distance

FLAT_RAIL = {"section": "flat"}
"""A rail that has no wall to bend."""


def push_n(pressure_mpa: float, bore_mm: float) -> float:
    """Push by hand: p pi D^2/4."""
    return pressure_mpa * math.pi * bore_mm**2 / 4.0


def pull_n(pressure_mpa: float, bore_mm: float, rod_mm: float) -> float:
    """Pull by hand: p pi (D^2 - d^2)/4."""
    return pressure_mpa * math.pi * (bore_mm**2 - rod_mm**2) / 4.0


@dataclass(frozen=True, kw_only=True)
class Bench:
    """Every number of the trial, mm, MPa; the defaults hold with room to spare."""

    pressure: float = 10.0
    bore: float = 50.0
    rod: float = 30.0
    stroke: float = 200.0
    closed: float = 400.0
    pin: float = 25.0
    hole: float = 25.5
    eye_width: float = 25.0
    gap: float = 0.5
    thickness: float = 15.0
    nose: float = 45.0
    height: float = 90.0
    foot: float = 110.0
    toe: float = 25.0
    steel: str = "S355"
    wall: float = 10.0
    wall_steel: str = "S355"
    leg: float = 8.0
    weld_gap: float = 0.0
    angles_deg: tuple[float, float] = (90.0, 90.0)
    electrode: str = "E70"
    run_from: float | None = None
    run_to: float | None = None
    units: str = "mm"
    bolts: tuple[complex, ...] = ()
    bolt: float = 20.0
    bolt_hole: float = 22.0
    tie: bool = False
    openings: tuple[Loop, ...] = ()
    driven: Driven | None = None
    use: Use | None = None
    rules: dict[str, Any] = field(default_factory=dict)
    rail: dict[str, Any] = field(default_factory=lambda: dict(FLAT_RAIL))

    def job(self) -> Job:
        """The job of the trial."""
        return Job(
            title="Trial on the bench",
            units=self.units,  # type: ignore[arg-type]
            rail=RailEntry(
                wall_mm=self.wall,
                steel=self.wall_steel,
                trace=(TraceEntry(file="rail.csv", plane_mm=0.0),),
                **self.rail,
            ),
            cylinder=Cylinder(
                bore_mm=self.bore,
                rod_mm=self.rod,
                stroke_mm=self.stroke,
                closed_length_mm=self.closed,
                body_diameter_mm=self.bore + 10.0,
                pressure_mpa=self.pressure,
                base=CylinderEnd(pin_mm=self.pin, eye_width_mm=self.eye_width, eye_radius_mm=self.pin),
            ),
            mount=Mount(inline_offset_mm=50.0, pin_station_mm=0.0, foot_mm=(-self.foot, self.foot)),
            bracket=BracketEntry(plane_mm=0.0, thickness_mm=self.thickness, steel=self.steel, side_play_mm=self.gap),
            weld=Weld(leg_mm=self.leg, electrode=self.electrode),
            rules=Rules(**{"pin_steel": "42CrMo4", **self.rules}),
            driven=self.driven,
            use=self.use,
        )

    def design(self) -> Design:
        """The job with what the bench decides itself, for no builder is asked."""
        job = self.job()
        return Design(
            job=job,
            study=None,
            pin=written_place(job),
            motion=motion_of(job, None),
            nose=Chosen(self.nose),
            toe=Chosen(self.toe),
            relief=Chosen(0.0),
            foot=ChosenFoot(foot=Foot(-self.foot, self.foot)),
        )

    def outline(self) -> Loop:
        """The ear, anticlockwise from the notch's right end: notch, left toe, nose, right toe."""
        right, left = complex(self.foot, self.height), complex(-self.foot, self.height)
        toe_right, toe_left = right - 1j * self.toe, left - 1j * self.toe
        far = abs(toe_right)
        half = math.acos(self.nose / far)
        on_right = cmath.rect(self.nose, cmath.phase(toe_right) - half)
        on_left = complex(-on_right.real, on_right.imag)
        sweep = (cmath.phase(on_right) - cmath.phase(on_left)) % (2 * math.pi)
        return Loop(
            (
                Line(right, left),
                Line(left, toe_left),
                Line(toe_left, on_left),
                Arc(on_left, on_right, math.tan(sweep / 4)),
                Line(on_right, toe_right),
                Line(toe_right, right),
            )
        )

    def bracket(self) -> Bracket:
        """The bracket of the trial."""
        inner = self.eye_width / 2 + self.gap
        outline = self.outline()
        edge = least_edge_distance(self.pin, tables_of(self.job()))
        holes = (
            Hole(
                purpose="pin",
                name="pin",
                circle=Circle(0j, self.hole / 2),
                bolt_mm=self.pin,
                made="cut",
                edge_required_mm=edge.mm,
                edge_source=edge.source,
            ),
            *self.bolt_holes(),
        )
        notch = Chain(outline.segments[:1])
        plates = [
            Plate(
                role="ear",
                name=name,
                outline=outline,
                thickness_mm=self.thickness,
                steel=self.steel,
                placement=across_pin(w),
                holes=holes,
                openings=self.openings,
                notch=None if self.bolts else notch,
                welded=not self.bolts,
            )
            for name, w in (("ear_near", -inner - self.thickness), ("ear_far", inner))
        ]
        welds = (
            []
            if self.bolts
            else [
                self.run(f"W{index}", plate, side, w)
                for index, (plate, side, w) in enumerate(
                    (
                        ("ear_near", "outside", -inner - self.thickness),
                        ("ear_near", "inside", -inner),
                        ("ear_far", "inside", inner),
                        ("ear_far", "outside", inner + self.thickness),
                    ),
                    start=1,
                )
            ]
        )
        if self.bolts:
            plates += self.feet(inner)
            welds += [
                self.run(f"W{index}", foot, side, w)
                for index, (foot, side, w) in enumerate(
                    (
                        ("foot_near", "outside", -inner - 2 * self.thickness),
                        ("foot_near", "inside", -inner - self.thickness),
                        ("foot_far", "inside", inner + self.thickness),
                        ("foot_far", "outside", inner + 2 * self.thickness),
                    ),
                    start=1,
                )
            ]
        if self.tie:
            plates.append(self.closing(inner))
            across = Placement((0.0, self.height - 40.0, -inner), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
            welds += [
                WeldRun(
                    joint="tie",
                    name=f"W{5 + index}",
                    plate="closing",
                    other=ear,
                    side="outside",
                    path=Chain((Line(complex(0, w), complex(40, w)),)),
                    placement=across,
                    leg_mm=self.leg,
                    joint_angle_rad=(math.pi / 2, math.pi / 2),
                    gap_mm=0.0,
                    electrode=self.electrode,
                )
                for index, (ear, w) in enumerate((("ear_near", 0.0), ("ear_far", 2 * inner)))
            ]
        return Bracket(
            style="ears",
            plates=tuple(plates),
            welds=tuple(welds),
            pin=Pin(
                centre=(0.0, 0.0, 0.0),
                diameter_mm=self.pin,
                eye_width_mm=self.eye_width,
                eye_radius_mm=self.pin,
                gap_mm=self.gap,
            ),
        )

    def bolt_holes(self) -> tuple[Hole, ...]:
        """The bolt holes of the ears and of the feet behind them."""
        edge = least_edge_distance(self.bolt, "mm")
        return tuple(
            Hole(
                purpose="bolt",
                name=f"bolt {index}",
                circle=Circle(at, self.bolt_hole / 2),
                bolt_mm=self.bolt,
                made="drill",
                edge_required_mm=edge.mm,
                edge_source=edge.source,
            )
            for index, at in enumerate(self.bolts, start=1)
        )

    def feet(self, inner: float) -> list[Plate]:
        """Two plates welded to the rail, behind the ears that are bolted to them."""
        low = self.nose + 10.0
        corners = [
            complex(x, y)
            for x, y in (
                (self.foot, self.height),
                (-self.foot, self.height),
                (-self.foot, -low),
                (self.foot, -low),
            )
        ]
        outline = Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)))
        return [
            Plate(
                role="tab",
                name=name,
                outline=outline,
                thickness_mm=self.thickness,
                steel=self.steel,
                placement=across_pin(w),
                holes=self.bolt_holes(),
                notch=Chain(outline.segments[:1]),
            )
            for name, w in (
                ("foot_near", -inner - 2 * self.thickness),
                ("foot_far", inner + self.thickness),
            )
        ]

    def closing(self, inner: float) -> Plate:
        """A plate across the two ears, near the rail."""
        width = 2 * inner
        corners = [0j, 40 + 0j, complex(40, width), complex(0, width)]
        return Plate(
            role="closing",
            name="closing",
            outline=Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1], strict=True))),
            thickness_mm=self.thickness,
            steel=self.steel,
            placement=Placement((0.0, self.height - 40.0, -inner), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)),
        )

    def run(self, name: str, plate: str, side: str, w: float) -> WeldRun:
        """One run along the notch, or the part of it from ``run_from`` to ``run_to``."""
        start = -self.foot if self.run_from is None else self.run_from
        end = self.foot if self.run_to is None else self.run_to
        low, high = self.angles_deg
        return WeldRun(
            joint="rail",
            name=name,
            plate=plate,
            other="rail",
            side=side,
            path=Chain((Line(complex(start, self.height), complex(end, self.height)),)),
            placement=across_pin(w),
            leg_mm=self.leg,
            joint_angle_rad=(math.radians(low), math.radians(high)),
            gap_mm=self.weld_gap,
            electrode=self.electrode,
        )

    def findings(self) -> tuple[Finding, ...]:
        """What the judge says."""
        return judge(self.design(), self.bracket(), None)

    def stops(self) -> set[str]:
        """The checks that decide and say stop."""
        return {f.check for f in self.findings() if f.verdict == "stop" and not f.opinion}
