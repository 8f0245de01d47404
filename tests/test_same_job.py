"""One job told in two ways gives the same findings: in the other unit, and as its mirror image; on random jobs."""

import math
import os
import random
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

import pytest

from plategen.checks.finding import Finding
from plategen.ground.shop_size import ShopSizes
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.parse import parse_table
from plategen.job.rail_feature import FeatureEntry
from plategen.job.rules import Rules
from plategen.rail.trace import Trace
from plategen.work import Work
from tests.support.fitted import carried
from tests.support.random_jobs import RandomJob, built, example
from tests.support.web_jobs import bolted_job, set_and_sleeved
from tests.support.web_rail import traced
from tests.support.written import written

CASES = int(os.environ.get("PLATEGEN_CASES", "6"))
"""Random jobs; 500 before a release."""

WITHIN = 1e-6
"""To so much of a figure the least squares of a trace are settled, and a clearance over the swing is found."""

BIND_WITHIN = 1e-3
"""A notch is fitted from its near face on, to a few hundredths of a thousandth of a millimetre."""

ON_RAIL_WITHIN = 1e-4
"""Bodies that lie almost level with each other are brought together by turns, which ends a little before the least: a
brake hose and a socket beside it half a thousandth of a millimetre before."""

DRAWN_WITHIN = 1e-2
"""Two thousand drawn rails tell a figure to so much, and rounding may draw others where modes are alike."""

IN_OTHER_UNIT = {
    "plate to what is on the rail": ON_RAIL_WITHIN,
    "socket beside what is on the rail": ON_RAIL_WITHIN,
    "rail as traced, between readings": DRAWN_WITHIN,
}
NEARLY = {**IN_OTHER_UNIT, "bind to expect": BIND_WITHIN}

NOTHING_LEFT = 1e9
"""A share of what there is, or more, that differs by rounding alone: two bodies that just touch."""

OTHER_SIDE = {"near": "far", "far": "near"}


def assert_the_same(one: Work, other: Work, style: str, within: dict[str, float]) -> None:
    """Every finding of the one is among those of the other, whatever the parts are called."""
    first, second = _by_check(one), _by_check(other)
    assert first.keys() == second.keys(), style
    for key, findings in first.items():
        assert len(findings) == len(second[key]), (style, key)
        for a, b in zip(findings, second[key], strict=True):
            near = within.get(key[0], WITHIN)
            assert a.verdict == b.verdict or abs(a.ratio - b.ratio) < near, (style, key)
            if math.isinf(a.ratio):  # nothing is left there, and of several such parts any may be named
                continue
            assert a.demand == pytest.approx(b.demand, rel=near, abs=near), (style, key, a.part.words)
            assert a.capacity == pytest.approx(b.capacity, rel=near, abs=near), (style, key, a.part.words)


def _by_check(work: Work) -> dict[tuple[str, str, bool], list[Finding]]:
    found = defaultdict(list)
    for finding in work.findings:
        found[finding.check, finding.source, finding.opinion].append(finding)

    # by what is asked first: shares that are alike but for rounding may stand either way round
    def order(finding: Finding) -> tuple[float, float]:
        return round(finding.demand, 1), min(finding.ratio, NOTHING_LEFT)

    return {key: sorted(group, key=order) for key, group in found.items()}


def _told(trace: Trace, units: Units) -> Trace:
    """A trace as its file would be read in these units."""
    by = 25.4 if units == "in" else 1.0

    def told(point: complex) -> complex:
        return complex(point.real / by * by, point.imag / by * by)

    readings = tuple(replace(reading, point=told(reading.point)) for reading in trace.readings)
    return replace(trace, readings=readings, plane_mm=trace.plane_mm / by * by)


@pytest.fixture(autouse=True)
def no_cures(monkeypatch: pytest.MonkeyPatch) -> None:
    """A cure is no part of what is held alike here, and trying it takes longer than all else."""
    monkeypatch.setattr("plategen.checks.finding._cure", lambda _: None)


def test_the_same_job_in_the_other_unit_gives_the_same_findings(monkeypatch: pytest.MonkeyPatch) -> None:
    in_steps_of_one_unit(monkeypatch)
    count = 0
    for given, _ in built(41, CASES):
        assert_in_either_unit(given)
        count += 1
    assert count == CASES


def test_a_socket_beside_a_brake_hose_has_the_same_room_in_the_other_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    # told half a thousandth of a millimetre apart
    in_steps_of_one_unit(monkeypatch)
    assert_in_either_unit(example("forestry-bolted-channel", random.Random(51)))


def in_steps_of_one_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    # what a rule chooses goes to the next size that a shop calls for, which is another in the other unit
    monkeypatch.setattr(ShopSizes, "step_mm", lambda sizes, _: sizes.metric_step_mm)


def assert_in_either_unit(given: RandomJob) -> None:
    job = given.job.replaced(rules=(given.job.rules or Rules()).replaced(tables=given.job.units))
    inches, millimetres = (
        carried(
            parse_table(Job, {**written(job, units), "units": units}, units),
            tuple(_told(trace, units) for trace in given.traces),
        )
        for units in ("in", "mm")
    )
    assert_the_same(inches, millimetres, given.style, IN_OTHER_UNIT)


def mirrored(given: RandomJob) -> Job:
    """The job seen from the other side of the rail: every place along the pin with the other sign."""
    job = given.job
    rail, bracket = job.rail, job.bracket
    far_mm = bracket.plane_mm + job.cylinder.base.between_mm + 2.0 * bracket.side_play_mm
    sides = {}
    if rail.plates_lie == "along" and rail.face_from_mm is not None and rail.face_to_mm is not None:
        sides = {"face_from_mm": -rail.face_from_mm, "face_to_mm": -rail.face_to_mm}
    traced = tuple(entry.replaced(plane_mm=-entry.plane_mm) for entry in rail.trace)
    there = tuple(entry.replaced(plane_mm=-entry.plane_mm) for entry in rail.feature)
    swing = job.swing
    if swing is not None:
        ports = (port.replaced(towards=OTHER_SIDE.get(port.towards, port.towards)) for port in swing.port)
        swing = swing.replaced(port=tuple(ports))
    return job.replaced(
        bracket=bracket.replaced(plane_mm=-far_mm),
        rail=rail.replaced(trace=traced, feature=there, tilt_rad=-rail.tilt_rad, turn_rad=-rail.turn_rad, **sides),
        swing=swing,
    )


def with_two_sides(seed: int, count: int) -> Iterator[tuple[RandomJob, Work]]:
    """Random jobs whose mirror image is told by signs alone: no steering, no fit notes, an eye between two plates."""
    found = 0
    for given, work in built(seed, 3 * count):
        if given.job.steering or given.job.revision or given.job.cylinder.base.kind == "fork":
            continue
        yield given, work
        found += 1
        if found == count:
            return


def test_the_mirror_image_of_a_job_gives_the_same_findings() -> None:
    count = 0
    for given, work in with_two_sides(43, CASES):
        assert_mirrored(given, work)
        count += 1
    assert count == CASES


@pytest.mark.parametrize("seed", [22, 61], ids=["holes that are there are wider", "two bolts fitted of a rectangle"])
def test_it_does_whichever_bolt_is_called_the_first(seed: int) -> None:
    rng = random.Random(seed)
    traces, job = traced(rng), set_and_sleeved(bolted_job(rng), rng)
    assert_mirrored(RandomJob("bolted", job, traces), carried(job, traces))


def assert_mirrored(given: RandomJob, work: Work) -> None:
    traces = (replace(trace, plane_mm=-trace.plane_mm, drift=-trace.drift) for trace in given.traces)
    assert_the_same(work, carried(mirrored(given), tuple(traces)), given.style, NEARLY)


def test_a_hole_moves_the_same_way_off_a_row_of_rivets_in_the_mirror_image() -> None:
    rng = random.Random(12)
    traces, job = traced(rng), bolted_job(rng)
    assert job.bolted is not None
    job = job.replaced(rail=job.rail.replaced(feature=()), bolted=job.bolted.replaced(pattern="ends"))
    bolt = carried(job, traces).design.base.bolts[0]
    rivets = tuple(
        FeatureEntry(
            kind="rivet", station_mm=bolt.station_mm + aside_mm, plane_mm=bolt.plane_mm, size_mm=8.0, height_mm=9.0
        )
        for aside_mm in (-30.0, 0.0, 30.0)
    )
    given = RandomJob("bolted", job.replaced(rail=job.rail.replaced(feature=rivets)), traces)
    work = carried(given.job, traces)
    assert work.design.base.moved
    assert_mirrored(given, work)
