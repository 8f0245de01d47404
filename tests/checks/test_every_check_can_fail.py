"""Every check can say stop, and can say it alone among the checks of its subject.

The checks are read off the program's source, so that a new one without a trial fails here. A subject is what one file
of checks looks at; the run's rules and its strengths are one, holes and slots are one. The rule for lifting devices and
the finite elements are second opinions always: they stop alone among their own. What only ever advises is listed with
the reason, and says caution in its trial.
"""

from fnmatch import fnmatch

import pytest

from plategen.checks.elements import check_elements, solve_ears
from plategen.checks.finding import Finding
from plategen.checks.judge import judge
from plategen.design.motion import motion_of
from tests.checks.bench import Bench
from tests.checks.cases import CASES, EN, FOUR, LIFTING
from tests.checks.cases_of_examples import ADVICE, STOPS
from tests.checks.edited import Edited
from tests.checks.source_names import Named, every_name

NAMES = every_name()
ELEMENTS = {"finite elements, body of the plate", "finite elements, rim of the pin hole"}
ALIKE = {"slot.py": "hole.py", "run.py": "weld.py", "judged_around.py": "judged.py"}
"""Files that look at one subject together."""

TRIALS: dict[str, tuple[str, Bench | Edited]] = {**CASES, **STOPS}


def _named(finding: Finding) -> Named:
    """The name of a finding as the source has it."""
    return next(n for n in NAMES if fnmatch(finding.check, n.name))


def _subjects(check: str) -> set[str]:
    """The files whose subject a check belongs to."""
    return {ALIKE.get(n.file, n.file) for n in NAMES if n.name == check}


@pytest.mark.parametrize("trial", TRIALS)
def test_one_check_stops_and_no_other_of_its_subject(trial: str) -> None:
    check, job = TRIALS[trial]
    stopped = {_named(f).name for f in job.findings() if f.verdict == "stop" and not f.opinion}
    assert {name for name in stopped if _subjects(name) & _subjects(check)} == {check}


@pytest.mark.parametrize("trial", TRIALS)
def test_what_stops_names_its_cure(trial: str) -> None:
    check, job = TRIALS[trial]
    stopped = [f for f in job.findings() if fnmatch(f.check, check) and f.verdict == "stop"]
    assert stopped
    assert all(f.cure for f in stopped)


def test_no_check_is_left_without_a_trial() -> None:
    names = {n.name for n in NAMES}
    stops = {check for check, _ in TRIALS.values()}
    lifting = {check for check, _ in LIFTING.values()}
    assert names == stops | lifting | ELEMENTS | set(ADVICE)
    assert not (stops | lifting) & set(ADVICE)
    # the source agrees on what advises, and on what never decides
    assert {n.name for n in NAMES if n.most == "caution" and n.name not in ELEMENTS} == set(ADVICE)
    assert {n.name for n in NAMES if n.opinion} == ELEMENTS


def test_no_finding_has_a_name_that_the_source_does_not_show() -> None:
    for _, job in TRIALS.values():
        assert all(any(fnmatch(f.check, n.name) for n in NAMES) for f in job.findings())


@pytest.mark.parametrize("trial", LIFTING)
def test_the_lifting_rule_stops_alone_as_a_second_opinion_and_decides_nothing(trial: str) -> None:
    check, bench = LIFTING[trial]
    own = {check for check, _ in LIFTING.values()}
    findings = [f for f in bench.findings() if f.check in own]
    assert {f.check for f in findings if f.verdict == "stop"} == {check}
    assert all(f.opinion for f in findings)


def test_finite_elements_stop_in_the_body_and_only_warn_at_the_rim() -> None:
    # a rim may yield locally, the pin-plate rules allow for it
    pytest.importorskip("skfem")
    bench = Bench(thickness=6.0, pressure=25.0, nose=34.0, foot=60.0)
    job, bracket = bench.job(), bench.bracket()
    found = list(check_elements(job, bracket, solve_ears(job, bracket, motion_of(job, None).cases)))
    assert {f.check for f in found} == ELEMENTS
    assert {f.check for f in found if f.verdict == "stop"} == {"finite elements, body of the plate"}
    assert all(f.verdict == "caution" and f.ratio > 1.0 for f in found if "rim" in f.check)
    assert all(f.opinion for f in found)
    assert all(f.cure for f in found if f.verdict == "stop")


@pytest.mark.parametrize("check", ADVICE)
def test_advice_says_caution_and_never_stop(check: str) -> None:
    reason, job = ADVICE[check]
    worst = _of(job.findings(), check)
    assert reason
    assert worst.ratio > 1.0
    assert worst.verdict == "caution"
    assert worst.cure


def test_nothing_stops_on_a_bracket_with_room_to_spare() -> None:
    for rules in ({}, EN, {"set": "aisc-lrfd"}):
        assert Bench(rules=rules).stops() == set()
        assert Bench(rules=rules, tie=True).stops() == set()
        assert Bench(rules=rules, bolts=FOUR, nose=80.0).stops() == set()


def _of(findings: tuple[Finding, ...], check: str) -> Finding:
    return max((f for f in findings if f.check == check and not f.opinion), key=lambda f: f.ratio)


def test_a_cure_cures() -> None:
    # the small fillet's cure is a whole millimetre leg: with it the throat holds, with a millimetre less it does not
    bench = CASES["small fillet"][1]
    wanted = _of(bench.findings(), "weld throat stress").cure
    leg = float(wanted.removeprefix("leg to ").removesuffix(" mm"))
    given = {name: getattr(bench, name) for name in ("foot", "pressure")}
    assert "weld throat stress" not in Bench(leg=leg, **given).stops()
    assert "weld throat stress" in Bench(leg=leg - 1.0, **given).stops()


def test_a_nose_radius_cures_the_nose() -> None:
    bench = CASES["narrow nose"][1]
    wanted = _of(bench.findings(), "steel about the pin hole").cure
    radius = float(wanted.removeprefix("nose radius to ").removesuffix(" mm"))
    given = {name: getattr(bench, name) for name in ("pin", "hole", "thickness", "pressure")}
    assert "steel about the pin hole" not in Bench(nose=radius, **given).stops()
    assert "steel about the pin hole" in Bench(nose=radius - 1.5, **given).stops()


def test_the_same_job_in_inches_and_millimetres_gives_the_same_findings() -> None:
    for bench in (Bench(), Bench(bolts=FOUR, nose=80.0), Bench(thickness=9.525, leg=4.7625, pin=19.05, hole=19.8)):
        given = {name: getattr(bench, name) for name in bench.__dataclass_fields__}
        other = Bench(**{**given, "units": "in"})
        one, two = bench.findings(), other.findings()
        assert len(one) == len(two)
        for a, b in zip(one, two, strict=True):
            assert (a.check, a.part, a.unit, a.verdict, a.opinion, a.case) == (
                b.check,
                b.part,
                b.unit,
                b.verdict,
                b.opinion,
                b.case,
            )
            assert a.demand == pytest.approx(b.demand, rel=1e-9)
            assert a.capacity == pytest.approx(b.capacity, rel=1e-9)


def test_doubling_the_pressure_doubles_every_demand_that_is_a_force() -> None:
    once, twice = Bench(pressure=5.0).findings(), Bench(pressure=10.0).findings()
    for a, b in zip(once, twice, strict=True):
        if a.case and a.check == "plate section":  # the compression bows it: a little more than twice
            assert 2.0 * a.demand < b.demand < 2.02 * a.demand
        elif a.case and a.check != "pin shear with bending":
            assert b.demand == pytest.approx(2.0 * a.demand, rel=1e-9), a.check


def test_a_tie_between_the_ears_takes_the_side_force_off_them() -> None:
    free = _of(Bench(thickness=8.0).findings(), "plate section")
    tied = _of(Bench(thickness=8.0, tie=True).findings(), "plate section")
    assert tied.demand < 0.8 * free.demand
    assert "not tied" in free.assumed
    assert "not tied" not in tied.assumed


def test_judging_is_fast_enough_for_thousands_of_variants() -> None:
    import time

    bench = Bench()
    job, bracket = bench.job(), bench.bracket()
    cases = motion_of(job, None).cases
    judge(job, bracket, cases)
    times = []
    for _ in range(40):
        start = time.thread_time_ns()
        judge(job, bracket, cases)
        times.append((time.thread_time_ns() - start) / 1e6)
    assert min(times) < 4.0  # 1.3 ms on an idle core; the bound leaves room for a busy machine
