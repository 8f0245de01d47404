"""What stops have in common: a number is named as their cause only where changing it alone takes them away."""

import json
from functools import cache

import msgspec
import pytest

from plategen import cause as causing
from plategen.cause import KINDS, Cause, causes
from plategen.checks.finding import must_stop, stops
from plategen.ground.cure import Change, JobValue
from plategen.ground.message import mpa, size
from plategen.ground.show import Show
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.load import load_job
from plategen.make import carry_through, rebuilt
from plategen.tell.cause import besides, cause_lines, kinds_of
from plategen.tell.report.encode import json_text, schema
from plategen.tell.report.job import JobReport, job_report
from plategen.tell.screen import findings_lines, stop_lines
from plategen.tell.sheet.sheet import sheet_html
from plategen.work import Work
from tests.support.every_example import EXAMPLES, PROFILES, work_of

INCH = 25.4
IN = Show("in")

WRONG: dict[str, tuple[dict[str, JobValue], str, str | None]] = {
    "a short foot": ({"mount.foot": (size(10 * INCH), size(12 * INCH))}, "the foot of 2 in", "mount.foot"),
    "the pin far off": ({"mount.pin_station": size(300 * INCH)}, "the pin's station of 300 in", None),
    "the cylinder far off": ({"mount.inline_offset": size(60 * INCH)}, "the in-line offset of 60 in", None),
    "a thin plate": ({"bracket.thickness": size(INCH / 16)}, "the plates' thickness of 1/16 in", "bracket.thickness"),
    "pressure": ({"cylinder.pressure": mpa(15000 * 0.006894757293168361)}, "the pressure of 15000 psi", None),
}
"""One number each that is wrong: what it is set to, what the cause is called, and the key that its cure writes."""


@cache
def wrong(name: str) -> tuple[Work, tuple[Cause, ...]]:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    job = changed(loaded.job, [Change(key, to) for key, to in WRONG[name][0].items()])
    work = carry_through(job, loaded.traces)
    return work, causes(work)


@pytest.mark.parametrize("name", WRONG)
def test_the_number_that_is_wrong_is_named_and_no_other(name: str) -> None:
    _, what, key = WRONG[name]
    work, found = wrong(name)
    assert [IN.text(cause.what).startswith(what) for cause in found] == [True]
    assert [change.key for change in found[0].cure.changes] == ([key] if key else [])
    assert len(found[0].followers) == len(stops(work.findings)), "one number is wrong, so all stops follow from it"


@pytest.mark.parametrize("name", [name for name, (_, _, key) in WRONG.items() if key])
def test_what_is_said_to_follow_is_gone_when_the_cause_is(name: str) -> None:
    work, found = wrong(name)
    after = rebuilt(work, changed(work.job, found[0].cure.changes))
    still = {(f.check, f.part.words) for f in stops(after.findings)}
    assert still.isdisjoint({(f.check, f.part.words) for f in found[0].followers})


def test_a_stop_that_stays_is_not_said_to_follow() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    foot = Change("mount.foot", (size(10 * INCH), size(12 * INCH)))
    # a pin too thin for its load besides: no foot makes it thicker
    work = carry_through(changed(loaded.job, (foot, Change("cylinder.base.pin", size(INCH / 2)))), loaded.traces)
    (found,) = causes(work)
    assert "the foot of 2 in" in IN.text(found.what)
    left = {f.check for f in stops(besides(work.findings, (found,)))}
    assert "pin bending" in left
    assert {f.key for f in found.followers}.isdisjoint({f.key for f in besides(work.findings, (found,)) if f.decides})
    lines = stop_lines(work.findings, IN, (found,))
    assert len(lines) == len(left)
    assert f"{len(stops(besides(work.findings, (found,))))} stop" in cause_lines((found,), work.findings, IN)[-1]


def test_few_brackets_are_built_and_none_for_a_job_that_holds(monkeypatch: pytest.MonkeyPatch) -> None:
    built: list[Job] = []

    def counting(work: Work, job: Job) -> Work:
        built.append(job)
        return rebuilt(work, job)

    monkeypatch.setattr(causing, "rebuilt", counting)
    for name in WRONG:
        built.clear()
        causes(wrong(name)[0])
        assert 1 <= len(built) <= 6
    built.clear()
    for name in EXAMPLES:
        work = work_of(name)
        if len({f.check for f in stops(work.findings)}) < KINDS:
            assert causes(work) == ()
    assert built == []


def test_a_table_folds_what_follows_and_gives_it_no_cure_of_its_own() -> None:
    work, found = wrong("a short foot")
    lines = findings_lines(work.findings, IN, found)
    kinds = kinds_of(found[0].followers)
    assert sum(line.startswith("STOP") for line in lines) == len(kinds) < len(found[0].followers) / 2
    assert not any("thickness to" in line for line in lines)


def test_the_sheet_folds_what_follows_under_its_cause() -> None:
    html = sheet_html(wrong("a short foot")[0])
    summary = "23 checks stop because of the foot of 2 in; take `foot` out of [mount]"
    assert f'<details class="fold"><summary>{summary}' in html
    assert "because of" not in sheet_html(work_of("sprayer-kicked-rail"))


def test_rebuilding_an_unchanged_job_judges_it_the_same() -> None:
    for name in ("sprayer-kicked-rail", "orchard-sprayer-rolling-rod"):
        work = work_of(name)
        again = rebuilt(work, work.job)
        assert [(f.key, f.ratio) for f in again.findings] == [(f.key, f.ratio) for f in work.findings if f.decides]
        assert must_stop(again.findings) == work.stopped


@pytest.mark.parametrize("name", WRONG)
def test_the_report_has_each_cause_with_its_keys_and_followers(name: str) -> None:
    work, found = wrong(name)
    report = job_report(work, found)
    assert msgspec.json.decode(json_text(report), type=JobReport).causes == report.causes
    (told,) = report.causes
    (cause,) = found
    assert IN.text(cause.what) == told.what
    assert [change.key for change in told.changes] == [change.key for change in cause.cure.changes]
    assert told.misread == cause.misread
    stopping = {(f.check, f.part, f.source) for f in report.findings if f.verdict == "stop" and not f.opinion}
    assert {(each.check, each.part, each.source) for each in told.followers} <= stopping
    jsonschema = pytest.importorskip("jsonschema")
    jsonschema.Draft202012Validator(schema(JobReport)).validate(json.loads(json_text(report)))


def test_a_report_that_was_not_asked_for_causes_looks_for_none() -> None:
    work, _ = wrong("a short foot")
    assert "causes" not in json.loads(json_text(job_report(work)))
