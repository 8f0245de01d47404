"""Load cases, and who carries them; the findings checked against hand sums that do not use the judge."""

import math

import pytest

from plategen.checks.access import weld_notes
from plategen.checks.load_path import assemblies, bolt_joints, carriers
from plategen.checks.weld import piece
from plategen.design.motion import load_cases, motion_of
from plategen.rules.pin_plate import near_ear_share
from plategen.rules.weld_group import WeldGroup
from tests.checks.bench import Bench, pull_n, push_n
from tests.checks.cases import FOUR


def test_push_pull_and_shock() -> None:
    bench = Bench(rules={"shock_factor": 2.0, "swing_rad": 0.0, "skew_rad": 0.0})
    push, pull = motion_of(bench.job(), None).cases
    assert push.force_n == pytest.approx((-2.0 * push_n(10.0, 50.0), 0.0, 0.0))
    assert pull.force_n == pytest.approx((2.0 * pull_n(10.0, 50.0, 30.0), 0.0, 0.0))
    assert push.push
    assert not pull.push


def test_a_rod_through_both_ends_pushes_no_more_than_it_pulls() -> None:
    bench = Bench(rules={"shock_factor": 1.0, "swing_rad": 0.0, "skew_rad": 0.0})
    job = bench.job()
    push, pull = motion_of(job.replaced(cylinder=job.cylinder.replaced(double_rod=True)), None).cases
    assert push.size_n == pull.size_n == pytest.approx(pull_n(10.0, 50.0, 30.0))


def test_swing_and_skew_turn_the_force_and_keep_its_size() -> None:
    cases = motion_of(Bench().job(), None).cases
    assert len(cases) == 12
    assert len({case.name for case in cases}) == 12
    for case in cases:
        whole = push_n(10.0, 50.0) if case.push else pull_n(10.0, 50.0, 30.0)
        assert case.size_n == pytest.approx(1.5 * whole)
    side = max(abs(case.force_n[2]) for case in cases)
    assert side == pytest.approx(1.5 * push_n(10.0, 50.0) * math.sin(math.radians(2.0)))


def test_known_motion_replaces_the_usual_angles() -> None:
    cases = load_cases(Bench().job(), swing_rad=(0.1, 0.2), skew_rad=(0.0,))
    assert {round(math.atan2(-c.force_n[1], -c.force_n[0]), 9) for c in cases if c.push} == {0.1, 0.2}


def test_each_ear_takes_half_when_centred_and_more_when_the_eye_leans_on_it() -> None:
    assert near_ear_share(25.0, 15.0, 0.0) == 0.5
    assert near_ear_share(25.0, 15.0, 0.5) == pytest.approx(0.5 + 0.5 / 41.0)


def test_ears_stand_alone_and_a_tie_makes_them_one() -> None:
    def groups(bench: Bench) -> list[tuple[int, float]]:
        bracket = bench.bracket()
        held, joints = carriers(bracket), bolt_joints(bracket)
        return [(len(a.plates), a.share) for a in assemblies(bracket, held, joints)]

    assert groups(Bench()) == [(1, pytest.approx(0.5122, abs=1e-4))] * 2
    assert groups(Bench(tie=True)) == [(3, 1.0)]
    assert groups(Bench(bolts=FOUR, nose=80.0)) == [(2, pytest.approx(0.5122, abs=1e-4))] * 2


def test_bolts_join_only_plates_that_touch() -> None:
    joints = bolt_joints(Bench(bolts=FOUR, nose=80.0).bracket())
    assert [(j.upper.name, j.lower.name) for j in joints] == [("ear_near", "foot_near"), ("ear_far", "foot_far")]
    assert all(len(j.upper_holes) == 4 for j in joints)


def test_one_bolt_alone_cannot_hold_an_ear_upright() -> None:
    findings = Bench(bolts=(60j,), nose=30.0).findings()
    pulled = [f for f in findings if f.check == "bolt tension with shear"]
    assert pulled
    assert all(f.verdict == "stop" and math.isinf(f.ratio) for f in pulled)


def test_throat_stress_of_two_runs_by_hand() -> None:
    # one ear, two straight runs 2 L long a thickness apart, a force F along them at height h: bending F h across the
    # pair and direct shear F; the pair's modulus about the w axis is 2 (2L)^2/6 and the force acts mid-way between them
    bench = Bench(rules={"swing_rad": 0.0, "skew_rad": 0.0})
    finding = next(f for f in bench.findings() if f.check == "weld throat stress" and not f.opinion)
    force = 1.5 * push_n(10.0, 50.0) * near_ear_share(25.0, 15.0, 0.5)
    run = 220.0
    line = math.hypot(force / (2 * run), force * 90.0 / (2 * run**2 / 6))
    assert finding.demand == pytest.approx(line / (8.0 / math.sqrt(2.0)), rel=1e-9)


def test_a_run_is_as_long_on_the_sheet_as_in_its_strength_and_on_the_plate() -> None:
    for foot in (110.0, 80.0):
        runs = Bench(foot=foot).bracket().welds
        group = WeldGroup([[piece(segment, run.placement) for segment in run.path] for run in runs])
        assert sum(run.length_mm for run in runs) == pytest.approx(group.length) == 4 * 2 * foot


def test_section_stress_at_the_weld_by_hand() -> None:
    bench = Bench(rules={"swing_rad": 0.0, "skew_rad": 0.0}, nose=20.0, foot=21.0, toe=89.0, height=160.0, hole=1.0)
    finding = next(f for f in bench.findings() if f.check == "plate section" and not f.opinion)
    force = 1.5 * push_n(10.0, 50.0) * near_ear_share(25.0, 15.0, 0.5)
    # a bar 42 mm wide at the weld, 160 mm from the pin; F11: Lb d/t^2 = 29.9 is under 0.08 E/Fy = 45.1, so it may yield
    assert finding.demand == pytest.approx(force * 160.0 / (15.0 * 42.0**2 / 6.0) / (355.0 / 1.67), rel=1e-3)


def test_notes_name_runs_that_meet_and_those_between_the_plates() -> None:
    notes = [str(note) for note in weld_notes(Bench().bracket())]
    (ends,) = [note for note in notes if "W1 and W2 end together" in note]
    assert "lay both to the very end" in ends
    assert "by 16.0 mm at least" in ends
    assert "short" not in " ".join(notes)
    assert any(note.startswith("W2, W3 lie between the plates, 26.0 mm apart") for note in notes)
