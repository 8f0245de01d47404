"""What a fit leaves open is said with its place, and the readings it asks for settle it. All rails are invented."""

import math
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from plategen.rail.fit import fit_trace
from plategen.rail.fit.between import FAR_MM, PLACES, Rival, Say, curve_modes, further, said
from plategen.rail.fit.free_search import best_free
from plategen.rail.fit.trace import sample_of
from plategen.rail.question import Question
from plategen.rail.spread import Spread
from plategen.rail.trace import FittedTrace
from tests.rail.fit_rails import a_rail, trace_of

SPAN_MM = 350.0


def flat(count: int, error_mm: float = 0.4, seed: int = 3) -> np.ndarray:
    stations = np.linspace(0.0, SPAN_MM, count)
    return stations + 1j * (40.0 + 0.02 * stations + np.random.default_rng(seed).normal(0.0, error_mm, count))


def heard(points: np.ndarray, read_error_mm: float | None = None) -> dict[str, Question]:
    questions = fit_trace(trace_of(points, read_error_mm=read_error_mm)).questions
    return {question.cause: question for question in questions if question.heard}


@pytest.mark.parametrize("seed", range(8))
@pytest.mark.parametrize("count", [5, 13, 29, 60])
def test_a_flat_read_by_hand_leaves_nothing_open(count: int, seed: int) -> None:
    assert heard(flat(count, seed=seed)) == {}


def test_a_step_between_two_far_apart_readings_is_open_between_them_and_asks_for_its_place() -> None:
    points = flat(9)
    points[5:] += 8j
    step = heard(points)["step"]
    assert (step.stretch[0].real, step.stretch[1].real) == pytest.approx((points[4].real, points[5].real))
    assert step.readings == (5, 6)
    assert step.off_mm == pytest.approx(8.0, abs=1.0)
    assert points[4].real < step.read_at[0].real < points[5].real
    # and once both edges are read closely it is a step like any other, said but no caution
    close = np.sort_complex(np.concatenate([points, 43.6j + 180.0 + np.array([0.0, 1.5 + 8j])]))
    fitted = fit_trace(trace_of(close))
    assert [question.heard for question in fitted.questions if question.cause == "step"] == [False]


def test_readings_left_out_in_a_row_are_one_question_that_names_them() -> None:
    points = flat(29)
    points[12:14] -= 6j
    left_out = heard(points)["left out"]
    assert left_out.readings == (13, 14)
    assert "lines 14 to 15" in str(left_out.words)
    assert left_out.off_mm == pytest.approx(6.0, abs=1.0)


def test_a_weld_bead_over_a_few_readings_stands_to_one_side() -> None:
    points = flat(60, 0.3)
    points[30:36] -= 1.1j * np.sin(np.linspace(0.3, 2.8, 6))
    question = next(q for q in heard(points).values() if q.cause in ("apart", "left out", "step", "open"))
    low, high = sorted(point.real for point in question.stretch)
    assert low - 12.0 <= points[33].real <= high + 12.0


def test_residuals_larger_than_the_error_that_was_said_are_a_caution() -> None:
    assert "scatter" in heard(flat(29), 0.15)
    assert "scatter" not in heard(flat(29), 0.4)


def test_a_bend_seen_by_few_readings_asks_for_more_and_they_settle_it() -> None:
    asked = 0
    for seed in range(12):
        rng = np.random.default_rng(seed)
        rail = a_rail("bend", rng, SPAN_MM)
        stations = np.linspace(0.0, SPAN_MM, 6)
        for _ in range(6):
            points = stations + 1j * (rail.offsets(stations) + rng.normal(0.0, 0.3, len(stations)))
            question = heard(points).get("open")
            if question is None:
                break
            asked += 1
            assert question.read_at
            assert f"read it at {len(question.read_at)} more place" in str(question.ask)
            stations = np.sort(np.concatenate([stations, [point.real for point in question.read_at]]))
        assert question is None, seed
    assert asked >= 5


def test_the_first_reading_asked_for_lowers_the_variance_most() -> None:
    rng = np.random.default_rng(2)
    fitted = fit_trace(trace_of(flat(7)))
    modes = np.cumsum(rng.normal(0.0, 0.6, (PLACES, 5)), axis=0) / 4.0
    covariance = modes @ modes.T
    say = _say_of(fitted, covariance)
    first, last = 40, 140
    (asked,) = further(fitted, say, first, last, most=1)
    # by hand: the Gaussian conditioned on one more reading at each place in turn
    error = fitted.read_error_mm
    left = [
        np.trace(
            (covariance - np.outer(c := covariance[:, at], c) / (covariance[at, at] + error**2))[
                first : last + 1, first : last + 1
            ]
        )
        for at in range(PLACES)
    ]
    read = np.array([reading.point for reading in fitted.trace.readings])
    free = np.abs(say.points[:, None] - read).min(axis=1) >= 2.0
    best = int(np.flatnonzero(free)[np.argmin(np.array(left)[free])])
    assert asked == pytest.approx(complex(say.points[best]))


def test_the_chance_of_a_rail_far_off_is_that_of_the_two_models_together() -> None:
    # against the normal distribution's own tails: three rails of ten lie about 2 mm beside the fit
    fitted = fit_trace(trace_of(flat(7)))
    ends = np.array([0.0, fitted.chain.length])
    fitted = replace(fitted, spread=Spread(ends, np.full((2, 1), 0.5), math.inf))
    aside = Rival(
        dearer=2.0 * math.log(7.0 / 3.0),
        off=lambda points, _: np.full(len(points), 2.0),
        modes=lambda points, _: np.full((len(points), 1), 0.8),
    )
    say = said(fitted, [aside])
    own, other = NormalDist(0.0, 0.5), NormalDist(2.0, 0.8)
    exact = 0.7 * 2.0 * own.cdf(-FAR_MM) + 0.3 * (1.0 - other.cdf(FAR_MM) + other.cdf(-FAR_MM))
    assert say.far_at()[80] == pytest.approx(exact, abs=0.02)
    passed = say.passed(say.farthest_mm(), 0.1)
    assert (say.farthest_mm() > passed) @ say.shares == pytest.approx(0.1, abs=0.005)
    assert say.covariance[3, 90] == pytest.approx(0.7 * 0.25 + 0.3 * (4.0 + 0.64), rel=0.05)


def test_a_bead_that_many_readings_lie_on_is_named_though_the_edge_follows_it() -> None:
    # once an edge followed it smoothly, up to 2.4 mm off its steep sides, and asked nothing
    for seed in range(3):
        points = flat(70, 0.4, seed)
        bead = np.sqrt(np.maximum(0.0, 1.0 - ((points.real - 180.0) / 9.0) ** 2))
        questions = heard(points - 4.5j * bead)
        assert any(question.touches(171.0, 189.0) for question in questions.values())


@pytest.mark.parametrize("kind", ["corner", "bend", "two bends"])
def test_no_corner_or_bend_stands_out_as_a_bead(kind: str) -> None:
    for seed in range(4):
        rng = np.random.default_rng(seed)
        rail = a_rail(kind, rng, SPAN_MM)
        stations = np.linspace(0.0, SPAN_MM, 60)
        points = stations + 1j * (rail.offsets(stations) + rng.normal(0.0, 0.4, len(stations)))
        assert heard(points) == {}


def test_beside_a_step_a_joggle_in_its_place_is_no_question_of_its_own() -> None:
    # once 6 of 14 steps that were fitted to 0.7 mm asked for readings beside the step as well as at it
    for seed in range(4):
        points = flat(25, 0.5, seed)
        points[12:] += 7j
        assert set(heard(points)) == {"step"}


def _say_of(fitted: FittedTrace, covariance: np.ndarray) -> Say:
    along = np.linspace(0.0, fitted.chain.length, PLACES)
    points = np.array([fitted.chain.point(float(s)) for s in along])
    normals = np.full(PLACES, 1j)
    squares, turned = np.linalg.eigh(covariance)
    drawn_mm = turned * np.sqrt(PLACES * np.maximum(squares, 0.0))
    return Say(points, normals, drawn_mm, np.full(PLACES, 1.0 / PLACES), np.ones(PLACES, bool))


def test_a_mode_of_a_smooth_curve_is_the_same_way_round_wherever_station_0_lies() -> None:
    """What a rival may be off by is drawn, and a mode of it the other way round would be another rail."""
    for seed in (1, 5, 9):
        rng = np.random.default_rng(seed)
        rail = a_rail("bend", rng)
        stations = np.linspace(0.0, rail.span_mm, 26)
        points = stations + 1j * (rail.offsets(stations) + rng.normal(0.0, 0.3, 26))
        here, *elsewhere = (_curve_modes(points + by) for by in (0.0, 1270.0, -40.0))
        assert elsewhere == [pytest.approx(here, abs=1e-6)] * 2


def _curve_modes(points: np.ndarray) -> np.ndarray:
    free = best_free(sample_of(trace_of(points)), np.ones(len(points), bool))
    assert free
    return curve_modes(free)(points, np.full(len(points), 1j))
