"""The same job written in inches and in millimetres: every finding the same to 1e-8, judged by the whole way.

Sizes that a rule chooses go to the next shop size, an eighth of an inch or a millimetre: a job that leaves them to the
rule is not the same job in the other unit, so here each is given; and so is the system of the rules' tables, whose
inches and millimetres differ by their rounding.
"""

from pathlib import Path

import pytest

from plategen.checks.finding import Finding
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.load import load_job
from plategen.job.parse import parse_table
from plategen.job.rules import Rules
from plategen.make import carry_through
from plategen.rail.reading import read_trace
from plategen.rail.trace import Trace
from plategen.rules.bolt_grade import to_pretension
from tests.support.written import written

PROFILES = Path(__file__).parents[2] / "profiles"
STRAIGHT = ("sprayer-kicked-rail", "quarry-straight-rail", "forwarder-rolled-channel", "forwarder-split-mount")
SOLVED = 1e-8
"""What a fit is off is solved for in steps, which end within a few 1e-9 of each other in the two units."""

SEATS = ("vineyard-drag-link-seat", "quarry-clamped-seat")


def _read(trace: Trace, units: Units) -> Trace:
    by = 25.4 if units == "in" else 1.0
    rows = [f"{r.point.real / by!r},{r.point.imag / by!r}" for r in trace.readings]
    return read_trace("\n".join(["station,offset", *rows]), trace.file, units, trace.plane_mm, trace.read_error_mm)


def _findings(job: Job, traces: tuple[Trace, ...], units: Units) -> tuple[Finding, ...]:
    told = {**written(job, units), "units": units}
    return carry_through(parse_table(Job, told, units), tuple(_read(trace, units) for trace in traces)).findings


def _all_given(job: Job, pin_mm: float) -> Job:
    """The job with what rules would choose given, and a pin of a size that no table lists."""
    base = job.cylinder.base.replaced(pin_mm=pin_mm)
    given = {"nose_radius_mm": 1.8 * pin_mm, "toe_mm": 19.0, "relief_mm": 0.0}
    if job.bracket.style == "seat":
        given["toe_mm"] = 15.0
    return job.replaced(cylinder=job.cylinder.replaced(base=base), bracket=job.bracket.replaced(**given))


@pytest.mark.parametrize("rules", ["aisc-asd", "en-1993"])
@pytest.mark.parametrize("name", [*STRAIGHT, *SEATS])
def test_the_same_job_in_inches_and_millimetres_gives_the_same_findings(name: str, rules: str) -> None:
    loaded = load_job(PROFILES / name)
    for pin_mm in (18.0, 20.0):
        job = _all_given(loaded.job, pin_mm)
        own = (job.rules or Rules()).replaced(set=rules, tables=job.units)
        if own.pretensioned:
            own = own.replaced(bolt_grade=to_pretension(own.bolt_grade, 16.0, own.set))
        job = job.replaced(rules=own)
        one, two = (_findings(job, loaded.traces, units) for units in ("in", "mm"))
        assert len(one) == len(two) > 20
        for a, b in zip(one, two, strict=True):
            assert (a.check, a.part, a.unit, a.verdict, a.opinion, a.case, a.source) == (
                b.check,
                b.part,
                b.unit,
                b.verdict,
                b.opinion,
                b.case,
                b.source,
            )
            assert a.demand == pytest.approx(b.demand, rel=SOLVED, abs=SOLVED)
            assert a.capacity == pytest.approx(b.capacity, rel=SOLVED, abs=SOLVED)
