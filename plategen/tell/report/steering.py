"""The steering study in the report, and alone for ``steer --json``."""

from typing import Annotated, Literal

import msgspec

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.steering.study import SteeringStudy
from plategen.tell.report.cylinder import InLineReport, StrokeReport, in_line_report, stroke_report
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.report.equipment import (
    CircuitReport,
    MarkReport,
    MarksApartReport,
    OilReport,
    PortReport,
    SizingReport,
    StopsReport,
    TyreClearanceReport,
    circuit_report,
    marks_apart_report,
    oil_report,
    sizing_report,
    stops_report,
    tyre_report,
)
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.linkage import (
    AttachmentReport,
    RodReport,
    SweepReport,
    TravelReport,
    WhatIfReport,
    attachment_report,
    rod_reports,
    sweep_report,
    what_if_report,
)


class SteeringReport(Level, frozen=True, kw_only=True):
    """Every number of a steering study; null, or empty, where the job does not give enough for it."""

    sweep: Annotated[SweepReport | None, about("The linkage from lock to lock.")]
    rods: Annotated[tuple[RodReport, ...], about("Every rod.")]
    travel: Annotated[tuple[TravelReport, ...], about("Every ball joint and named point.")]
    stroke: Annotated[StrokeReport | None, about("Stroke, spacers and fixed pin.")]
    in_line: Annotated[InLineReport | None, about("How the cylinder lies.")]
    oil: Annotated[OilReport | None, about("Force and oil.")]
    sizing: Annotated[SizingReport | None, about("What cylinder to ask for.")]
    ports: Annotated[tuple[PortReport, ...], about("The cylinder's ports.")]
    stops: Annotated[StopsReport | None, about("The stops.")]
    tyre_clearance: Annotated[tuple[TyreClearanceReport, ...], about("Tyres against bars.")]
    marks: Annotated[tuple[MarkReport, ...], about("What a mark is worth.")]
    marks_apart: Annotated[MarksApartReport | None, about("How far apart the two lines on the hub come out.")]
    circuit: Annotated[CircuitReport | None, about("The oil circuit.")]
    what_if: Annotated[tuple[WhatIfReport, ...], about("What small changes do.")]
    attachments: Annotated[tuple[AttachmentReport, ...], about("Where the cylinder could push.")]


class SteerReport(SteeringReport, frozen=True, kw_only=True):
    """A steering study alone, with its findings."""

    format: Literal[1]
    title: str
    units: Units
    findings: tuple[FindingReport, ...]


def steering_report(study: SteeringStudy) -> SteeringReport:
    """Every number of a study."""
    return SteeringReport(
        sweep=None if study.sweep is None else sweep_report(study.sweep),
        rods=rod_reports(study),
        travel=tuple(mirrored(TravelReport, travel, point=point) for point, travel in study.travels),
        stroke=stroke_report(study),
        in_line=in_line_report(study),
        oil=oil_report(study),
        sizing=sizing_report(study),
        ports=tuple(mirrored(PortReport, port, clearance_mm=dict(port.clearance_mm)) for port in study.ports),
        stops=None if study.stops is None else stops_report(study.stops),
        tyre_clearance=tuple(map(tyre_report, study.clearances)),
        marks=tuple(mirrored(MarkReport, mark) for mark in study.marks),
        marks_apart=marks_apart_report(study),
        circuit=circuit_report(study),
        what_if=tuple(map(what_if_report, study.sensitivities)),
        attachments=tuple(map(attachment_report, study.attachments)),
    )


def steer_report(study: SteeringStudy) -> SteerReport:
    """A study alone, with its findings."""
    show = Show(study.units)
    return SteerReport(
        **msgspec.structs.asdict(steering_report(study)),
        format=1,
        title=study.title,
        units=study.units,
        findings=tuple(finding_report(finding, show) for finding in findings(study)),
    )
