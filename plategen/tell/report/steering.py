"""The steering study in the report, and alone for ``steer --json``."""

from typing import TYPE_CHECKING, Annotated, Literal

import msgspec

from plategen.checks.caution import not_covered
from plategen.checks.headline import headline
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.tell.report import circuit, cylinder, equipment, linkage, team
from plategen.tell.report.axle import AxleReport, axle_report
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.hands import HandsReport, hands_report

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy


class SteeringReport(Level, frozen=True, kw_only=True):
    """Every number of a steering study; null, or empty, where the job does not give enough for it."""

    sweep: Annotated[linkage.SweepReport | None, about("The linkage from lock to lock.")]
    rods: Annotated[tuple[linkage.RodReport, ...], about("Every rod.")]
    travel: Annotated[tuple[linkage.TravelReport, ...], about("Every ball joint and named point.")]
    stroke: Annotated[cylinder.StrokeReport | None, about("Stroke, spacers and fixed pin.")]
    in_line: Annotated[cylinder.InLineReport | None, about("How the cylinder lies.")]
    axle: Annotated[AxleReport | None, about("With the axle moved; null where the job does not ask.")]
    oil: Annotated[equipment.OilReport | None, about("Force and oil.")]
    hands: Annotated[HandsReport | None, about("The driver's hands; null where the job tells nothing of them.")]
    helpers: Annotated[
        tuple[team.HelperReport, ...], about("Every cylinder and box, where there is more than one of either.")
    ]
    sizing: Annotated[equipment.SizingReport | None, about("What cylinder to ask for.")]
    ports: Annotated[tuple[equipment.PortReport, ...], about("The cylinder's ports.")]
    stops: Annotated[equipment.StopsReport | None, about("The stops.")]
    stop_loads: Annotated[tuple[equipment.StopLoadReport, ...], about("What the wheels' stops carry.")]
    tyre_clearance: Annotated[tuple[equipment.TyreClearanceReport, ...], about("Tyres against bars.")]
    marks: Annotated[tuple[equipment.MarkReport, ...], about("What a mark is worth.")]
    marks_apart: Annotated[equipment.MarksApartReport | None, about("How far apart the two lines on the hub come out.")]
    circuit: Annotated[circuit.CircuitReport | None, about("The oil circuit.")]
    what_if: Annotated[tuple[linkage.WhatIfReport, ...], about("What small changes do.")]
    attachments: Annotated[tuple[linkage.AttachmentReport, ...], about("Where the cylinder could push.")]


class SteerReport(SteeringReport, frozen=True, kw_only=True):
    """A steering study alone, with its findings."""

    format: Literal[1]
    title: str
    units: Units
    headline: str
    not_covered: tuple[str, ...]
    findings: tuple[FindingReport, ...]


def steering_report(study: "SteeringStudy") -> SteeringReport:
    """Every number of a study."""
    return SteeringReport(
        sweep=None if study.sweep is None else linkage.sweep_report(study.sweep),
        rods=linkage.rod_reports(study),
        travel=tuple(mirrored(linkage.TravelReport, travel, point=point) for point, travel in study.travels),
        stroke=cylinder.stroke_report(study),
        in_line=cylinder.in_line_report(study),
        axle=axle_report(study),
        oil=equipment.oil_report(study),
        hands=hands_report(study),
        helpers=team.helper_reports(study),
        sizing=equipment.sizing_report(study),
        ports=tuple(mirrored(equipment.PortReport, port, clearance_mm=dict(port.clearance_mm)) for port in study.ports),
        stops=None if study.stops is None else equipment.stops_report(study.stops, study.read_to),
        stop_loads=equipment.stop_load_reports(study),
        tyre_clearance=tuple(map(equipment.tyre_report, study.clearances)),
        marks=tuple(mirrored(equipment.MarkReport, mark) for mark in study.marks),
        marks_apart=equipment.marks_apart_report(study),
        circuit=circuit.circuit_report(study),
        what_if=tuple(map(linkage.what_if_report, study.sensitivities)),
        attachments=tuple(map(linkage.attachment_report, study.attachments)),
    )


def steer_report(study: "SteeringStudy") -> SteerReport:
    """A study alone, with its findings, which a job has among its bracket's: its report need not load what judges."""
    from plategen.checks.steering import findings

    show, judged = Show(study.units), findings(study)
    return SteerReport(
        **msgspec.structs.asdict(steering_report(study)),
        format=1,
        title=study.title,
        units=study.units,
        headline=headline(judged),
        not_covered=not_covered(judged),
        findings=tuple(finding_report(finding, show) for finding in judged),
    )
