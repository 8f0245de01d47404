"""Every check can say stop, and can say it alone among the checks of its subject.

The checks are those of the registry, so that a new one without a trial fails here, and no finding is made by a check
that does not stand in it. The rule for lifting devices, the instantaneous centre and the finite elements are second
opinions always: they stop alone among their own. What only ever advises is listed with the reason, and says caution in
its trial.
"""

import pytest

from plategen.checks.elements import check_elements, solve_ears
from plategen.checks.finding import VERDICTS, Finding
from plategen.checks.judge import every_check, judge
from plategen.checks.setting import Setting
from plategen.ground.message import Quantity
from tests.checks.bench import Bench
from tests.checks.cases import CASES, EN, FOUR, OPINIONS
from tests.checks.cases_of_examples import ADVICE, STOPS
from tests.checks.edited import Edited

ROWS = {check.name: check for check in every_check()}
ELEMENTS = {"finite elements, body of the plate", "finite elements, rim of the pin hole"}

TRIALS: dict[str, tuple[str, Bench | Edited]] = {**CASES, **STOPS}


@pytest.mark.parametrize("trial", TRIALS)
def test_one_check_stops_and_no_other_of_its_subject(trial: str) -> None:
    check, job = TRIALS[trial]
    stopped = {f.of.row for f in job.findings() if f.verdict == "stop" and f.decides}
    assert {row for row in stopped if ROWS[row].subject == ROWS[check].subject} == {check}


@pytest.mark.parametrize("trial", TRIALS)
def test_what_stops_names_its_cure(trial: str) -> None:
    check, job = TRIALS[trial]
    stopped = [f for f in job.findings() if f.of.row == check and f.verdict == "stop"]
    assert stopped
    assert all(f.cure for f in stopped)


@pytest.mark.parametrize("trial", STOPS)
def test_a_cure_that_sets_a_key_cures_the_trial(trial: str) -> None:
    check, job = STOPS[trial]
    for stopped in (f for f in job.findings() if f.of.row == check and f.verdict == "stop" and f.decides):
        if stopped.cure is not None and stopped.cure.changes:
            again = (
                f for f in job.findings(stopped.cure.changes) if (f.check, f.part) == (stopped.check, stopped.part)
            )
            assert all(f.verdict != "stop" for f in again if f.decides), str(stopped.cure.advice)


def test_the_cures_of_the_trials_set_these_keys() -> None:
    cures = [f.cure for check, job in STOPS.values() for f in job.findings() if f.of.row == check and f.cure]
    assert {change.key for cure in cures for change in cure.changes} >= {
        "rules.pretensioned",
        "seat.clamp.bolt",
        "seat.clamp.thickness",
        "cylinder.stroke",
        "steering.rod[0].diameter",
        "steering.circuit.line[0].inside",
        "driven.diameter",
        "mount.pin",
    }


def test_no_check_is_left_without_a_trial() -> None:
    names = set(ROWS)
    assert len(names) == len(list(every_check()))
    stops = {check for check, _ in TRIALS.values()}
    opinions = {check for check, _ in OPINIONS.values()}
    assert names == stops | opinions | ELEMENTS | set(ADVICE)
    assert not (stops | opinions) & set(ADVICE)
    # the registry agrees on what advises, and on what never decides
    assert {row.name for row in ROWS.values() if row.most == "caution" and row.name not in ELEMENTS} == set(ADVICE)
    assert {row.name for row in ROWS.values() if row.opinion} == ELEMENTS | opinions


def test_every_finding_is_of_a_row_of_the_registry_and_says_no_more_than_it() -> None:
    for _, job in TRIALS.values():
        for f in job.findings():
            row = ROWS[f.of.row]
            assert f.check == row.name or all(words in f.check for words in row.name.split("*"))
            assert (f.of.subject, f.of.limit) == (row.subject, row.limit)
            assert VERDICTS.index(f.of.most) <= VERDICTS.index(row.most)
            assert f.opinion or not row.opinion


def test_every_row_says_where_its_rule_comes_from() -> None:
    assert all(row.source and row.subject and row.unit for row in ROWS.values())


@pytest.mark.parametrize("trial", OPINIONS)
def test_a_second_opinion_stops_alone_and_decides_nothing(trial: str) -> None:
    check, bench = OPINIONS[trial]
    own = {check for check, _ in OPINIONS.values()}
    findings = [f for f in bench.findings() if f.check in own]
    assert {f.check for f in findings if f.verdict == "stop"} == {check}
    assert all(f.opinion for f in findings)


def test_finite_elements_stop_in_the_body_and_only_warn_at_the_rim() -> None:
    # a rim may yield locally, the pin-plate rules allow for it
    pytest.importorskip("skfem")
    bench = Bench(thickness=6.0, pressure=25.0, nose=34.0, foot=60.0)
    setting = Setting(bench.design(), bench.bracket(), None)
    found = list(check_elements(setting, solve_ears(setting)))
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
    return max((f for f in findings if f.of.row == check and not f.opinion), key=lambda f: f.ratio)


def _asked(finding: Finding, key: str) -> float:
    """The one number that a cure sets, a whole millimetre."""
    assert finding.cure is not None
    (change,) = finding.cure.changes
    assert change.key == key
    assert isinstance(change.to, Quantity)
    assert change.to.unit == "mm"
    assert change.to.value == round(change.to.value)
    return change.to.value


def test_a_cure_cures() -> None:
    # the small fillet's cure is a whole millimetre leg: with it the throat holds, with a millimetre less it does not
    bench = CASES["small fillet"][1]
    leg = _asked(_of(bench.findings(), "weld throat stress"), "weld.leg")
    given = {name: getattr(bench, name) for name in ("foot", "pressure")}
    assert "weld throat stress" not in Bench(leg=leg, **given).stops()
    assert "weld throat stress" in Bench(leg=leg - 1.0, **given).stops()


def test_a_nose_radius_cures_the_nose() -> None:
    bench = CASES["narrow nose"][1]
    radius = _asked(_of(bench.findings(), "steel about the pin hole"), "bracket.nose_radius")
    given = {name: getattr(bench, name) for name in ("pin", "hole", "thickness", "pressure")}
    assert "steel about the pin hole" not in Bench(nose=radius, **given).stops()
    assert "steel about the pin hole" in Bench(nose=radius - 1.5, **given).stops()


def test_the_same_job_in_inches_and_millimetres_gives_the_same_findings() -> None:
    # the rules' tables differ by their rounding, so a job that is written anew says which it goes by
    mm = {"tables": "mm"}
    for bench in (
        Bench(rules=mm),
        Bench(bolts=FOUR, nose=80.0, rules=mm),
        Bench(thickness=9.525, leg=4.7625, pin=19.05, hole=19.8, rules={"tables": "in"}),
    ):
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
        elif a.check == "contact stress in service":  # Hertz: with the root of the force
            assert b.demand == pytest.approx(2.0**0.5 * a.demand, rel=1e-9)
        elif a.case and a.check != "pin shear with bending":
            assert b.demand == pytest.approx(2.0 * a.demand, rel=1e-9), a.check


def test_a_tie_between_the_ears_takes_the_side_force_off_them() -> None:
    free = _of(Bench(thickness=8.0).findings(), "plate section")
    tied = _of(Bench(thickness=8.0, tie=True).findings(), "plate section")
    assert tied.demand < 0.8 * free.demand
    assert "not tied" in str(free.assumed)
    assert "not tied" not in str(tied.assumed)


@pytest.mark.quiet
def test_judging_is_fast_enough_for_thousands_of_variants() -> None:
    import time

    times = []
    for step in range(41):  # no two alike, or what is remembered of the one before would be all that is timed
        bench = Bench(thickness=15.0 + step / 100.0)
        design, bracket = bench.design(), bench.bracket()
        start = time.thread_time_ns()
        judge(design, bracket, None)
        times.append((time.thread_time_ns() - start) / 1e6)
    assert min(times) < 9.0  # 5 ms with 150 findings; the bound leaves room for a busy machine
