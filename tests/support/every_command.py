"""What each command judges of one job, by the same way as the command itself goes: the findings that decide."""

import math
from collections.abc import Mapping
from typing import TypeAlias

from plategen.checks.finding import Finding, Verdict
from plategen.checks.steering import findings
from plategen.cut.table.cutting import plate_dxf
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.parse import parse_steering
from plategen.page.draft import Draft, redraw
from plategen.rail.trace import Trace
from plategen.revision.dxf_open import open_plate
from plategen.revision.keep import keep_welds
from plategen.revision.trim import trim
from plategen.steering.study import study
from plategen.tell.report.job import job_report
from plategen.vary import judged, read_axes, sweep_of
from plategen.work import Work
from tests.support.fitted import carried

Row: TypeAlias = tuple[str, str, str, float, float, Verdict]
"""Check, part and source, demand and capacity, and how it ends."""

Rows: TypeAlias = tuple[Row, ...]


def rows(found: tuple[Finding, ...]) -> Rows:
    """The findings that decide, in their order."""
    return tuple((f.check, str(f.part), f.source, f.demand, f.capacity, f.verdict) for f in found if not f.opinion)


def stops(these: Rows) -> bool:
    """True when one says stop."""
    return any(row[-1] == "stop" for row in these)


def answers(job: Job, traces: tuple[Trace, ...], texts: tuple[str, Mapping[str, str]] | None = None) -> dict[str, Rows]:
    """What each command judges of a job, by the command's name; the page is asked where the job's texts are given.

    Raises:
        Refusal: The job cannot be built.
    """
    work = carried(job, traces)
    found = {"judge": rows(work.findings), "make": _reported(work), "revise --keep-welds": _kept(work, job, traces)}
    found |= {f"trim {name}": these for name, these in _trimmed(work)}
    if texts is not None:
        drawn = redraw(Draft(job=texts[0], files=dict(texts[1])))
        assert drawn.refusal is None, drawn.refusal
        assert drawn.work is not None
        found["page"] = rows(drawn.work.findings)
    return found


def steered(job: Job, text: str | None = None) -> Rows:
    """What ``steer`` judges of a job's steering, read from its text where that is given; nothing without one."""
    if job.steering is None:
        return ()
    return rows(findings(study(job if text is None else parse_steering(text))))


def varied(job: Job, traces: tuple[Trace, ...]) -> tuple[Verdict | str, Row | None]:
    """The verdict of ``judge --vary`` over one value, the job's own leg, and the finding that decides it."""
    leg = f"{job.weld.leg_mm!r} mm"
    sweep = sweep_of(job, traces, read_axes(job, [f"weld.leg={leg}:{leg}:1 mm"]))
    (variant,) = judged(sweep, range(len(sweep)))
    return variant.verdict, rows((variant.finding,))[0] if variant.finding else None


def _reported(work: Work) -> Rows:
    """What ``make`` writes into report.json; null stands there for what is infinite."""
    return tuple(
        (f.check, f.part, f.source, _number(f.demand), _number(f.capacity), f.verdict)
        for f in job_report(work).findings
        if not f.opinion
    )


def _number(reported: float | None) -> float:
    return math.inf if reported is None else reported


def _kept(work: Work, job: Job, traces: tuple[Trace, ...]) -> Rows:
    """The bracket as it stands, of a job that is left as it is."""
    again = carried(job, traces)
    kept = keep_welds(work, again)
    (way,) = kept.ways
    assert way.work is not None
    assert way.holds == (not stops(rows(again.findings)))
    assert (kept.best is way) == way.holds
    return rows(way.work.findings)


def _trimmed(work: Work) -> list[tuple[str, Rows]]:
    """Each plate that was cut for the rail and holds the pin, laid untouched to it again."""
    cutting, found = work.job.cutting, []
    for plate in work.bracket.plates:
        if plate.notch is None or plate.pin_hole is None or work.bracket.folded is not None:
            continue  # a bent plate is not trimmed
        drawn = plate_dxf(plate, work.job.units, work.bracket.welds, version=cutting.dxf, entities=cutting.entities)
        mm_per_unit = 25.4 if work.job.units == "in" else 1.0
        try:
            answer = trim(work, open_plate(drawn.encode(), mm_per_unit))
        except Refusal as refusal:
            raise AssertionError(f"{plate.name}: {refusal}") from refusal
        assert answer.verdict == "fits"
        assert answer.must_stop == stops(rows(work.findings))
        found.append((plate.name, rows(answer.work.findings)))
    return found
