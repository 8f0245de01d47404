"""Every check can say stop, and can say it alone among the checks of its subject.

Three checks can never be alone by their nature, and are their own subject for that reason: tearing beyond the pin hole
follows tension beside it (AISC D5.2 lets no more than 3/4 of the steel beyond count beside), and the two advisory
checks never say more than caution.
"""

import pytest

from plategen.checks.judge import judge
from plategen.strength.finding import Finding
from plategen.strength.loads import load_cases
from tests.checks.bench import Bench
from tests.checks.cases import CASES, EN, FOUR, SUBJECT, SUBJECTS, box

ADVISORY = {"play of the pin", "greatest leg"}
TOOLS = {"socket beside the bead", "socket beside the next nut", "head beside the eye", "heads between the ears"}
"""Room for tools at bolts, tried with the bolted brackets themselves."""

LIFTING_RULE = {
    "tension through the pin hole",
    "splitting beyond the pin hole",
    "shear beyond the pin hole",
    "bearing on the pin, lifting rule",
}


@pytest.mark.parametrize("trial", CASES)
def test_one_check_stops_and_no_other_of_its_subject(trial: str) -> None:
    check, bench = CASES[trial]
    stopped = {name for name in bench.stops() if SUBJECT.get(name) == SUBJECT[check]}
    assert stopped == {check}


@pytest.mark.parametrize("trial", CASES)
def test_what_stops_names_its_cure(trial: str) -> None:
    check, bench = CASES[trial]
    stopped = [f for f in bench.findings() if f.check == check and f.verdict == "stop"]
    assert stopped
    assert all(f.cure for f in stopped)


def test_nothing_stops_on_a_bracket_with_room_to_spare() -> None:
    for rules in ({}, EN, {"set": "aisc-lrfd"}):
        assert Bench(rules=rules).stops() == set()
        assert Bench(rules=rules, tie=True).stops() == set()
        assert Bench(rules=rules, bolts=FOUR, nose=80.0).stops() & set(SUBJECT) == set()


def _all_checks() -> set[str]:
    found: set[str] = set()
    for _, bench in CASES.values():
        found |= {f.check for f in bench.findings()}
    return found


def test_no_check_is_left_without_a_trial() -> None:
    tried = {check for check, _ in CASES.values()}
    assert tried == set(SUBJECT)
    assert _all_checks() - TOOLS == tried | ADVISORY | LIFTING_RULE
    assert sum(map(len, SUBJECTS.values())) == len(SUBJECT)


def _of(findings: tuple[Finding, ...], check: str) -> Finding:
    return max((f for f in findings if f.check == check), key=lambda f: f.ratio)


@pytest.mark.parametrize(
    ("check", "bench"),
    [
        ("tension through the pin hole", Bench(nose=60.0, openings=(box(-10.0, 14.0, 10.0, 24.0),), pressure=30.0)),
        ("splitting beyond the pin hole", Bench(nose=19.0, pressure=35.0)),
        ("shear beyond the pin hole", Bench(pin=80.0, hole=80.5, nose=44.0, thickness=4.0, pressure=25.0)),
        ("bearing on the pin, lifting rule", Bench(pin=10.0, hole=10.5, thickness=6.0, pressure=12.0)),
    ],
)
def test_the_lifting_rule_can_stop_as_a_second_opinion_and_decides_nothing(check: str, bench: Bench) -> None:
    finding = _of(bench.findings(), check)
    assert finding.verdict == "stop"
    assert finding.opinion


@pytest.mark.parametrize(("check", "bench"), [("play of the pin", Bench(hole=27.0)), ("greatest leg", Bench(leg=12.0))])
def test_advice_says_caution_and_never_stop(check: str, bench: Bench) -> None:
    finding = _of(bench.findings(), check)
    assert finding.ratio > 1.0
    assert finding.verdict == "caution"


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
    wanted = _of(bench.findings(), "tension beside the pin hole").cure
    radius = float(wanted.removeprefix("nose radius to ").removesuffix(" mm"))
    given = {name: getattr(bench, name) for name in ("pin", "hole", "thickness", "pressure")}
    assert "tension beside the pin hole" not in Bench(nose=radius, **given).stops()
    assert "tension beside the pin hole" in Bench(nose=radius - 1.5, **given).stops()


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
        if a.case and a.check != "pin shear with bending":
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
    cases = load_cases(job)
    judge(job, bracket, cases)
    times = []
    for _ in range(40):
        start = time.thread_time_ns()
        judge(job, bracket, cases)
        times.append((time.thread_time_ns() - start) / 1e6)
    assert min(times) < 4.0  # 1.3 ms on an idle core; the bound leaves room for a busy machine
