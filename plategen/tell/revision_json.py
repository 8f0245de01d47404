"""What ``revise --json`` prints, typed: lengths in mm, times in minutes, words in the new job's units."""

import math

import msgspec

from plategen.checks.finding import Finding, Verdict
from plategen.ground.show import Show
from plategen.revision.compare import Comparison
from plategen.revision.keep import Kept
from plategen.revision.plate_change import PlateKind
from plategen.revision.same import SAME_MM
from plategen.revision.weld_change import RunChange
from plategen.tell.revision import way_advice


class HoleMoved(msgspec.Struct, frozen=True, kw_only=True):
    """A hole of the same name, and how far it moved on the rail."""

    name: str
    by_mm: float


class PlateJson(msgspec.Struct, frozen=True, kw_only=True):
    """What becomes of a plate."""

    name: str
    kind: PlateKind
    why: str
    notch_kept: bool
    holes_moved: tuple[HoleMoved, ...]


class FindingJson(msgspec.Struct, frozen=True, kw_only=True):
    """A check that is better or worse now; null where it was not, or is not, asked, or where nothing carries it."""

    check: str
    part: str
    was: Verdict | None
    now: Verdict | None
    was_ratio: float | None
    now_ratio: float | None


class WayJson(msgspec.Struct, frozen=True, kw_only=True):
    """A way to keep the welds."""

    change: str
    holds: bool
    advice: str = msgspec.field(name="told")


class StopJson(msgspec.Struct, frozen=True, kw_only=True):
    """A check that stops."""

    check: str
    part: str


class KeptJson(msgspec.Struct, frozen=True, kw_only=True):
    """The ways to keep the welds, what stops in the new job itself, and what must be cut."""

    ways: tuple[WayJson, ...]
    job_stops: tuple[StopJson, ...]
    must_cut: tuple[str, ...]


class ComparisonJson(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What changed from one job to the next."""

    format: int
    same_within_mm: float
    inputs: tuple[str, ...]
    plates: tuple[PlateJson, ...]
    welds: tuple[RunChange, ...]
    minutes: float
    findings: tuple[FindingJson, ...]
    keep_welds: KeptJson | None = None


def comparison_json(change: Comparison, show: Show, kept: Kept | None = None) -> ComparisonJson:
    """A comparison, and the ways to keep the welds where they were asked for."""
    return ComparisonJson(
        format=1,
        same_within_mm=SAME_MM,
        inputs=tuple(map(show.text, change.inputs)),
        plates=tuple(
            PlateJson(
                name=p.name,
                kind=p.kind,
                why=show.text(p.why),
                notch_kept=p.notch_kept,
                holes_moved=tuple(HoleMoved(name=name, by_mm=far) for name, far in p.holes),
            )
            for p in change.plates
        ),
        welds=change.runs,
        minutes=change.minutes,
        findings=tuple(
            FindingJson(
                check=f.check,
                part=f.part,
                was=f.was.verdict if f.was else None,
                now=f.now.verdict if f.now else None,
                was_ratio=_ratio(f.was),
                now_ratio=_ratio(f.now),
            )
            for f in change.findings
        ),
        keep_welds=None if kept is None else _kept(kept, show),
    )


def stops_json(stops: tuple[Finding, ...]) -> tuple[StopJson, ...]:
    """Checks that stop, by name and part."""
    return tuple(StopJson(check=f.check, part=f.part) for f in stops)


def _kept(kept: Kept, show: Show) -> KeptJson:
    return KeptJson(
        ways=tuple(WayJson(change=w.change, holds=w.holds, advice=way_advice(kept, w, show)) for w in kept.ways),
        job_stops=stops_json(kept.job_stops),
        must_cut=tuple(map(show.text, kept.must_cut)),
    )


def _ratio(finding: Finding | None) -> float | None:
    return finding.ratio if finding is not None and math.isfinite(finding.ratio) else None
