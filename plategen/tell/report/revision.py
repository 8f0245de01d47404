"""What ``revise --json`` and ``trim --json`` print: what becomes of plates, welds and checks, the ways to keep welds,
and how an existing plate sits best.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Annotated, Literal

import msgspec
from msgspec import UNSET, UnsetType

from plategen.checks.finding import Finding, Verdict
from plategen.ground.message import Message
from plategen.ground.show import Show
from plategen.revision.change import SAME_MM, PlateChange, PlateKind, RunChange
from plategen.revision.compare import Comparison, FindingChange
from plategen.revision.keep import Kept
from plategen.revision.rail_hole import RailHole
from plategen.revision.trim import Short, Trimmed
from plategen.revision.trim import Verdict as TrimVerdict
from plategen.tell.report.cost import CostReport, cost_report
from plategen.tell.report.encode import Level, about, finite, mirrored
from plategen.tell.revision import way_advice


class HoleMovedReport(Level, frozen=True, kw_only=True):
    """A hole of the same name, and how far it moved on the rail."""

    name: str
    by_mm: float


class PlateChangeReport(Level, frozen=True, kw_only=True):
    """What becomes of a plate."""

    name: str
    kind: PlateKind
    why: str
    notch_kept: bool
    holes_moved: tuple[HoleMovedReport, ...]


class FindingChangeReport(Level, frozen=True, kw_only=True):
    """A check that is better or worse now; null where it was not, or is not, asked, or where nothing carries it."""

    check: str
    part: str
    was: Verdict | None
    now: Verdict | None
    was_ratio: float | None
    now_ratio: float | None


class WayReport(Level, frozen=True, kw_only=True):
    """A way to keep welds or holes."""

    change: str
    holds: bool
    advice: str = msgspec.field(name="told")


class StopReport(Level, frozen=True, kw_only=True):
    """A check that stops."""

    check: str
    part: str


class KeptReport(Level, frozen=True, kw_only=True):
    """The ways to keep welds or holes, what stops in the new job itself, and what must be cut or drilled."""

    ways: tuple[WayReport, ...]
    job_stops: tuple[StopReport, ...]
    must_cut: tuple[str, ...]


class CostChangeReport(Level, frozen=True, kw_only=True):
    """What the bracket cost, costs now, and what the change takes, by the new job's rates."""

    was: CostReport
    now: CostReport
    change: CostReport


class ComparisonReport(Level, frozen=True, kw_only=True):
    """What changed from one job to the next; lengths in mm, times in minutes, words in the new job's units."""

    format: Literal[1]
    same_within_mm: float
    inputs: tuple[str, ...]
    plates: tuple[PlateChangeReport, ...]
    welds: tuple[RunChange, ...]
    rail_holes: tuple[RailHole, ...]
    minutes: float
    findings: tuple[FindingChangeReport, ...]
    cost: CostChangeReport | None
    keep_welds: KeptReport | UnsetType = UNSET
    keep_holes: KeptReport | UnsetType = UNSET


def comparison_report(change: Comparison, show: Show, *kept: Kept) -> ComparisonReport:
    """A comparison, and the ways to keep welds and holes where they were asked for."""
    ways = {each.what: _kept(each, show) for each in kept}
    return mirrored(
        ComparisonReport,
        change,
        format=1,
        same_within_mm=SAME_MM,
        inputs=tuple(map(show.text, change.inputs)),
        plates=tuple(_plate(plate, show) for plate in change.plates),
        welds=change.runs,
        findings=tuple(map(_finding, change.findings)),
        cost=_costs(change, show),
        keep_welds=ways.get("welds", UNSET),
        keep_holes=ways.get("holes", UNSET),
    )


def _costs(change: Comparison, show: Show) -> CostChangeReport | None:
    if change.costs is None:
        return None
    was, now, doing = (cost_report(cost, show) for cost in change.costs)
    return CostChangeReport(was=was, now=now, change=doing)


def stop_reports(stops: tuple[Finding, ...]) -> tuple[StopReport, ...]:
    """Checks that stop, by name and part."""
    return tuple(StopReport(check=f.check, part=f.part.words) for f in stops)


def _plate(plate: PlateChange, show: Show) -> PlateChangeReport:
    holes = tuple(HoleMovedReport(name=name, by_mm=far) for name, far in plate.holes)
    return mirrored(PlateChangeReport, plate, why=show.text(plate.why), holes_moved=holes)


def _finding(change: FindingChange) -> FindingChangeReport:
    was, now = change.was, change.now
    return FindingChangeReport(
        check=change.check,
        part=change.part,
        was=was.verdict if was else None,
        now=now.verdict if now else None,
        was_ratio=finite(was.ratio) if was else None,
        now_ratio=finite(now.ratio) if now else None,
    )


def _kept(kept: Kept, show: Show) -> KeptReport:
    return KeptReport(
        ways=tuple(WayReport(change=w.change, holds=w.holds, advice=way_advice(kept, w, show)) for w in kept.ways),
        job_stops=stop_reports(kept.job_stops),
        must_cut=tuple(map(show.text, kept.must_cut)),
    )


class TrimReport(Level, frozen=True, kw_only=True):
    """The answer; lengths mm, angles rad, words in the job's units."""

    format: Literal[1]
    plate: str
    verdict: TrimVerdict
    turn_rad: float
    slide_mm: float
    turned_over: bool
    gap_mm: float
    proud_mm: float
    removed_mm2: float
    leg_mm: float
    short: tuple[Short, ...]
    weld_mm: float
    weld_asked_mm: float
    edge_mm: float
    edge_required_mm: float
    job_stops: Annotated[tuple[StopReport, ...], about("What stops in the job itself.")]
    stops: Annotated[tuple[StopReport, ...], about("What stops with this plate and not with a new one.")]
    reasons: tuple[str, ...]
    read: Annotated[tuple[str, ...], about("How the drawing was read.")]


def trim_report(answer: Trimmed, notes: Iterable[Message], show: Show) -> TrimReport:
    """The answer, with what the user should know of how the drawing was read."""
    return mirrored(
        TrimReport,
        answer,
        answer.seat,
        format=1,
        plate=answer.place.plate.name,
        turned_over=answer.seat.over,
        job_stops=stop_reports(answer.job_stops),
        stops=stop_reports(answer.stops),
        reasons=tuple(map(show.text, answer.reasons)),
        read=tuple(map(show.text, notes)),
    )
