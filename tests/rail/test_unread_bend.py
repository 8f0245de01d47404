"""The bend of a corner between two straightedges: told by a gauge, a point of it, the next trace, or not at all."""

import cmath
import math
import random
from dataclasses import replace

import pytest

from plategen.delivery.record import RecordedTrace
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.ground.refusal import Refusal
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.rail.fit import fit_together, fit_trace
from plategen.rail.reading import with_second_straightedge
from plategen.rail.trace import Reading, Trace
from tests.checks.edited import PROFILES
from tests.support.corners import corner_profile

TURN = math.radians(86.0)
CORNER = 298 + 30j
BESIDE = 345 + 20j
"""The second straightedge's station 0, upright."""


def two_straightedges(radius_mm: float, seed: int = 3, **told: float | complex) -> tuple[Chain, Trace]:
    """A corner of a rail, and readings of both its faces from 60 mm off the corner on, 0.3 mm a standard deviation."""
    whole = corner_profile(330.0, 260.0, TURN, radius_mm, -0.017, CORNER)
    rng = random.Random(seed)
    under, side = whole.segments[0], whole.segments[-1]
    below = [under.point((k + 1) / 22) for k in range(20) if abs(under.point((k + 1) / 22) - CORNER) > 60.0]
    beside = [side.point((k + 1) / 18) for k in range(17) if abs(side.point((k + 1) / 18) - CORNER) > 60.0]
    first = Trace(file="under.csv", plane_mm=0.0, readings=tuple(_read(below, rng)))
    second = Trace(file="side.csv", plane_mm=0.0, readings=tuple(_read([(p - BESIDE) * -1j for p in beside], rng)))
    return whole, with_second_straightedge(first, second, BESIDE, 1j, **told)  # type: ignore[arg-type]


def _read(points: list[complex], rng: random.Random) -> list[Reading]:
    return [Reading(p + 1j * rng.gauss(0.0, 0.3), line) for line, p in enumerate(points, 2)]


def off_mm(truth: Chain, chain: Chain) -> float:
    """How far the worst point of a chain lies from the true one."""
    return max(abs(offset_from(truth, chain.point(chain.length * k / 200))) for k in range(10, 191))


@pytest.mark.parametrize("radius", [10.0, 25.0, 40.0])
def test_a_told_radius_is_followed(radius: float) -> None:
    truth, trace = two_straightedges(radius, bend_radius_mm=radius)
    fitted = fit_trace(trace)
    assert fitted.chain.segments[1].length / TURN == pytest.approx(radius, rel=0.03)
    assert off_mm(truth, fitted.chain) < 1.0
    # without it the corner sticks out of the bend by R (1 / cos(t/2) - 1)
    sharp = fit_trace(replace(trace, bend=replace(trace.bend, radius_mm=None)))
    assert off_mm(truth, sharp.chain) == pytest.approx(radius * (1.0 / math.cos(TURN / 2) - 1.0), abs=1.0)


@pytest.mark.parametrize("radius", [12.0, 30.0])
def test_one_point_of_the_bend_tells_it(radius: float) -> None:
    truth, _ = two_straightedges(radius)
    bend = truth.segments[1]
    for share in (0.35, 0.5, 0.65):
        _, trace = two_straightedges(radius, bend_point_mm=bend.point(share))
        chain = fit_trace(trace).chain
        assert chain.segments[1].length / TURN == pytest.approx(radius, abs=2.0)
        assert off_mm(truth, chain) < 1.0


def test_a_point_where_the_faces_meet_says_that_the_corner_is_sharp() -> None:
    _, trace = two_straightedges(0.0, bend_point_mm=CORNER + 0.3)
    assert len(fit_trace(trace).chain) == 2


@pytest.mark.parametrize("point", [CORNER + 10, CORNER - 10j, CORNER - 40 + 50j * cmath.exp(1j)])
def test_a_point_that_no_bend_goes_through_is_refused(point: complex) -> None:
    _, trace = two_straightedges(10.0, bend_point_mm=point)
    with pytest.raises(Refusal, match=r"no bend goes through the point|speak against a bend"):
        fit_trace(trace)


def test_the_next_trace_knows_the_bend() -> None:
    truth, told = two_straightedges(20.0, bend_radius_mm=20.0)
    _, silent = two_straightedges(20.0, seed=8)
    first, second = fit_together([fit_trace(told), fit_trace(replace(silent, plane_mm=80.0))])
    assert second.chain.segments[1].length / TURN == pytest.approx(20.0, rel=0.1)
    assert off_mm(truth, second.chain) < 1.0
    assert first == fit_trace(told)


@pytest.mark.parametrize("told", [{}, {"bend_radius_mm": 7.0}, {"bend_point_mm": 296 + 33j}])
def test_the_record_holds_what_was_told(told: dict[str, float]) -> None:
    _, trace = two_straightedges(10.0, **told)
    assert RecordedTrace.of(trace).trace == trace


def test_the_example_is_told_and_without_it_a_caution_says_what_gap_a_bend_leaves() -> None:
    loaded = load_job(PROFILES / "quarry-screen-corner")
    told = carry_through(loaded.job, loaded.traces)
    assert not [f for f in told.findings if f.check == "bend between straightedges"]
    silent = tuple(replace(t, bend=replace(t.bend, radius_mm=None)) for t in loaded.traces)  # type: ignore[type-var]
    found = [f for f in carry_through(loaded.job, silent).findings if f.check == "bend between straightedges"]
    # the wall is 8 mm, the relief 16 mm: of a bend of 24 mm that turns by 85.4 degrees 6.2 mm reach past the relief
    within = 24.0 * math.tan(math.radians(85.4) / 2) - 16.0
    assert found[0].verdict == "caution"
    assert found[0].demand == pytest.approx(24.0 - math.sqrt(24.0**2 - within**2), abs=0.15)
    bare = loaded.job.replaced(bracket=loaded.job.bracket.replaced(relief_mm=0.0))
    wide = [f for f in carry_through(bare, silent).findings if f.check == "bend between straightedges"]
    assert wide[0].demand == pytest.approx(24.0 * (1.0 / math.cos(math.radians(85.4) / 2) - 1.0), abs=0.2)
