"""The report of a whole job: ``report.json``, and what ``judge --json`` prints.

``format`` is 1: since then keys were added, and none has changed its meaning.
"""

from collections.abc import Iterable
from typing import Annotated, Literal

from msgspec import UNSET, UnsetType

from plategen.bracket.envelope import barrel_start_mm
from plategen.cause import Cause
from plategen.checks.caution import not_covered
from plategen.checks.headline import headline
from plategen.checks.loss import losses
from plategen.cost import cost_of
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.tell.report.cause import CauseReport, cause_reports
from plategen.tell.report.cost import CostReport, cost_report
from plategen.tell.report.cutting import CuttingReport
from plategen.tell.report.encode import Level, Pair, about, degrees, mirrored
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.hardware import HardwareReport, hardware_report
from plategen.tell.report.plate import PlateReport, WeldReport, plate_report, weld_order, weld_report
from plategen.tell.report.steering import SteeringReport, steering_report
from plategen.tell.report.trace import CorrectionReport, TraceReport, correction_report, trace_report
from plategen.work import Work


class PinReport(Level, frozen=True, kw_only=True):
    """The pin that the bracket holds."""

    diameter_mm: Annotated[float, about("Its diameter.")]
    station_mm: Annotated[float, about("Where it stands along the straightedge.")]
    inline_offset_mm: Annotated[float, about("From its centre to the straightedge.")]
    between_mm: Annotated[float, about("Clear width between the plates that hold it.")]


class RoomReport(Level, frozen=True, kw_only=True):
    """The smallest room between a part of the cylinder and something it passes over its swing."""

    of: Annotated[str, about("Level of the cylinder.")]
    to: Annotated[str, about("What it passes.")]
    gap_mm: Annotated[float, about("The room; 0 or less when they meet.")]
    angle_deg: Annotated[float, about("At which angle of the cylinder.")]


class ClearanceReport(Level, frozen=True, kw_only=True):
    """Two bodies, measured on the solids."""

    part: Annotated[str, about("The one.")]
    other: Annotated[str, about("The other.")]
    gap_mm: Annotated[float, about("Shortest distance between them, 0 when they touch or overlap.")]
    overlap_mm3: Annotated[float, about("Volume they have in common.")]


class OnRailReport(Level, frozen=True, kw_only=True):
    """Something that is on the rail already."""

    name: Annotated[str, about("What it is called.")]
    kind: Annotated[str, about("What it is: hole, rivet, bead, hose, bracket or step.")]
    station_mm: Annotated[float, about("Station of its middle.")]
    plane_mm: Annotated[float, about("Place of its middle along the pin.")]
    size_mm: Annotated[float, about("Its diameter, or its length along the rail.")]
    height_mm: Annotated[float, about("How far it stands out of the face.")]
    clear_mm: Annotated[float, about("How near anything may come to it.")]


class DrillReport(Level, frozen=True, kw_only=True):
    """A hole in the rail for a bolt of the base."""

    name: Annotated[str, about("Its bolt.")]
    station_mm: Annotated[float, about("Station of its middle.")]
    plane_mm: Annotated[float, about("Place of its middle along the pin.")]
    hole_mm: Annotated[float, about("Its diameter once drilled.")]
    existing: Annotated[str, about("Name of the hole that is there already; empty for a new one.")]
    steps_mm: Annotated[tuple[float, ...], about("Drills, one after the other; none where the hole is there.")]
    by: Annotated[str, about("Name of the hole that it is measured from; empty for station 0 and the pin's middle.")]
    by_mm: Annotated[Pair, about("How far from that along the rail, and along the pin.")]


class ShimReport(Level, frozen=True, kw_only=True):
    """The packing about a bolt of the base."""

    name: Annotated[str, about("Its bolt.")]
    side_mm: Annotated[float, about("Side of its square.")]
    thickness_mm: Annotated[float, about("Its thickness at the bolt.")]
    within_mm: Annotated[float, about("How far that may be off, either way, for 95 bases of 100.")]
    corners_mm: Annotated[
        tuple[float, float, float, float],
        about("At its corners: least station and place along the pin, then round by the larger station."),
    ]


class RevisionReport(Level, frozen=True, kw_only=True):
    """The revision delivered."""

    letter: Annotated[str, about("Its letter.")]
    fingerprint: Annotated[str, about("What its inputs come to.")]


class LossReport(Level, frozen=True, kw_only=True):
    """A single part, and what is lost with it."""

    part: Annotated[str, about("The part.")]
    takes: Annotated[str, about("`the steering`, `the assist`, or `the assist or the steering` where no box is known.")]
    how: Annotated[str, about("In words.")]


class JobReport(Level, frozen=True, kw_only=True):
    """Every number of a job. Lengths mm, forces N, stresses MPa, angles degrees."""

    format: Annotated[Literal[1], about("Version of these keys; raised when one of them changes its meaning.")]
    title: Annotated[str, about("Title of the job.")]
    units: Annotated[Units, about("Units of the job's own lengths, and of the words below.")]
    style: Annotated[str, about("Style of the bracket.")]
    pin: Annotated[PinReport, about("The pin that it holds.")]
    on_rail: Annotated[tuple[OnRailReport, ...], about("What the job says is on the rail already.")]
    drilling: Annotated[tuple[DrillReport, ...], about("Holes in the rail for the bolts of a base.")]
    shims: Annotated[tuple[ShimReport, ...], about("Packing between the base and the rail.")]
    swing_deg: Annotated[Pair, about("Least and greatest angle of the cylinder against its drawn line.")]
    traces: Annotated[tuple[TraceReport, ...], about("The traces, as read and as fitted.")]
    corrections: Annotated[tuple[CorrectionReport, ...], about("What fit notes changed in them.")]
    plates: Annotated[tuple[PlateReport, ...], about("Every plate that is cut.")]
    welds: Annotated[tuple[WeldReport, ...], about("Every weld run.")]
    weld_length_mm: Annotated[float, about("Length of all runs.")]
    headline: Annotated[str, about("What all checks come to, in one line.")]
    not_covered: Annotated[tuple[str, ...], about("What they do not cover.")]
    hardware: Annotated[HardwareReport, about("Bolts, nuts, washers and the pin.")]
    losses: Annotated[tuple[LossReport, ...], about("What the loss of one part alone takes away.")]
    findings: Annotated[tuple[FindingReport, ...], about("Every check.")]
    causes: Annotated[
        tuple[CauseReport, ...] | UnsetType, about("What several of the stops follow from, most first.")
    ] = UNSET
    cautions: Annotated[tuple[str, ...], about("What to take care of.")]
    chosen: Annotated[tuple[str, ...], about("What a rule chose because the job left it out.")]
    rooms: Annotated[tuple[RoomReport, ...], about("Room about the cylinder over its swing.")]
    barrel_from_pin_mm: Annotated[float, about("Where the cylinder's barrel may begin, from the pin's centre.")]
    cost: Annotated[CostReport | None, about("What it costs by the shop's own rates; null without rates.")]
    steering: Annotated[SteeringReport | None, about("The steering study; null without one.")]
    cutting: Annotated[CuttingReport | UnsetType, about("The cutting table's work; in `report.json` alone.")] = UNSET
    clearances: Annotated[
        tuple[ClearanceReport, ...] | UnsetType,
        about("Room between the parts, measured on the solids; in `report.json` alone."),
    ] = UNSET
    rod_end: Annotated[
        "JobReport | UnsetType",
        about("The seat at the rod's end by itself; its plates and findings stand above too. Only where there is one."),
    ] = UNSET
    revision: Annotated[RevisionReport | UnsetType, about("The revision delivered; in `report.json` alone.")] = UNSET


def job_report(work: Work, found: Iterable[Cause] | None = None) -> JobReport:
    """The report of a finished job; ``cutting`` and ``clearances`` are for a delivery to put in.

    ``found`` are the causes of its stops; None where they are not asked for, since they are found by building anew.
    """
    show, bracket, cost = Show(work.job.units), work.bracket, cost_of(work)
    order, (drilling, shims) = weld_order(bracket.welds), _to_drill(work)
    return JobReport(
        format=1,
        title=work.job.title,
        units=work.job.units,
        style=bracket.style,
        pin=_pin(work),
        on_rail=tuple(mirrored(OnRailReport, each) for each in work.features),
        drilling=drilling,
        shims=shims,
        swing_deg=degrees(work.design.motion.swing_rad),
        traces=tuple(map(trace_report, work.rail.traces)),
        corrections=tuple(correction_report(correction, work.rail.traces) for correction in work.corrections),
        plates=tuple(plate_report(work.of(plate), plate) for plate in work.cut_plates),
        welds=tuple(weld_report(run, order[run.name]) for run in bracket.welds),
        weld_length_mm=sum(run.length_mm for run in bracket.welds),
        headline=headline(work.findings),
        not_covered=not_covered(work.findings),
        hardware=hardware_report(work, show),
        losses=tuple(mirrored(LossReport, loss, how=show.text(loss.how)) for loss in losses(work.design, work.bracket)),
        findings=tuple(finding_report(finding, show) for finding in work.findings),
        causes=UNSET if found is None else cause_reports(found, show),
        cautions=tuple(map(show.text, work.cautions)),
        chosen=tuple(map(show.text, bracket.chosen)),
        rooms=tuple(mirrored(RoomReport, room, gap_mm=room.mm) for room in work.rooms),
        barrel_from_pin_mm=barrel_start_mm(bracket, work.job.cylinder.body_diameter_mm),
        cost=None if cost is None else cost_report(cost, show),
        steering=None if work.steering is None else steering_report(work.steering),
        rod_end=UNSET if work.rod_end is None else job_report(work.rod_end),
        revision=mirrored(RevisionReport, work.stamp) if work.stamp else UNSET,
    )


def _to_drill(work: Work) -> tuple[tuple[DrillReport, ...], tuple[ShimReport, ...]]:
    """The holes of a base and the packing under it; others need not load what lists them."""
    if work.design.base is None:
        return (), ()
    from plategen.bracket.drill_list import drill_list, shim_list

    drills, shims = drill_list(work.design, work.features), shim_list(work.design)
    return tuple(mirrored(DrillReport, each) for each in drills), tuple(mirrored(ShimReport, each) for each in shims)


def _pin(work: Work) -> PinReport:
    pin = work.bracket.pin
    return PinReport(
        diameter_mm=pin.diameter_mm,
        station_mm=work.job.mount.pin_station_mm,
        inline_offset_mm=work.rail.inline_offset_mm,
        between_mm=pin.eye_width_mm + 2 * pin.gap_mm,
    )
