"""Wild readings are found and named, others are left in peace, and a trace that mostly disagrees is refused."""

import math
import os

import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_trace
from tests.rail.fit_rails import ERROR_MM, MARK_MM, STEP_MM, a_rail, along, chain_of, read, trace_of

TRIALS = int(os.environ.get("PLATEGEN_CASES", "50"))
"""Rails of a kind."""


@pytest.mark.slow
@pytest.mark.parametrize("kind", ["line", "corner", "bend", "arc"])
def test_one_misread_of_ten_is_found(kind: str) -> None:
    rng = np.random.default_rng(3)
    found = alarms = 0
    for _ in range(TRIALS):
        points = read(a_rail(kind, rng, span_mm=9.5 * STEP_MM), rng)
        assert len(points) == 10
        alarms += bool(fit_trace(trace_of(points)).doubtful)
        wild = int(rng.integers(10))
        points[wild] += 1j * float(rng.choice([-1, 1])) * MARK_MM * int(rng.integers(16, 33))
        found += wild in fit_trace(trace_of(points)).doubtful
    assert found >= 0.95 * TRIALS
    assert alarms < 0.02 * TRIALS


def test_a_misread_leaves_the_chain_where_it_was() -> None:
    rng = np.random.default_rng(4)
    rail = a_rail("bend", rng)
    points = read(rail, rng)
    wild = points.copy()
    wild[9] += 25.4j
    fitted = fit_trace(trace_of(wild))
    assert fitted.doubtful == (9,)
    assert len(fitted.residuals_mm) == len(points)
    assert fitted.residuals_mm[9] == pytest.approx(25.4, abs=2.0)
    without = fit_trace(trace_of(np.delete(points, 9)))
    assert abs(fitted.chain.start - without.chain.start) < 1e-6
    assert abs(fitted.chain.end - without.chain.end) < 1e-6


@pytest.mark.parametrize("wild", [(0, 17), (4, 5), (3, 11, 20)])
def test_several_misreads(wild: tuple[int, ...]) -> None:
    rng = np.random.default_rng(6)
    points = read(a_rail("bend", rng, span_mm=24.5 * STEP_MM), rng)
    points[list(wild)] += 16j
    assert fit_trace(trace_of(points)).doubtful == wild


def test_the_last_reading_alone_makes_no_bend() -> None:
    points = np.arange(10) * STEP_MM + 30j
    points[-1] += 12.7j
    assert fit_trace(trace_of(points)).doubtful == (9,)


def test_three_readings_past_a_bend_make_one() -> None:
    points = np.arange(10) * STEP_MM + 30j
    points[7:] += 1j * 0.3 * STEP_MM * np.arange(1, 4)
    fitted = fit_trace(trace_of(points))
    assert not fitted.doubtful
    assert len(fitted.chain) >= 2


def test_a_reading_on_the_next_mark_is_not_wild() -> None:
    points = np.arange(10) * STEP_MM + 1j * 44 * MARK_MM
    points[6] += 1j * MARK_MM
    fitted = fit_trace(trace_of(points))
    assert not fitted.doubtful
    assert fitted.read_error_mm >= MARK_MM / 12**0.5


def test_the_users_word_on_the_error_is_taken() -> None:
    rng = np.random.default_rng(7)
    points = np.arange(20) * STEP_MM + 1j * rng.normal(30, 0.3, 20)
    points[5] += 3j
    assert fit_trace(trace_of(points, read_error_mm=0.3)).doubtful == (5,)
    assert fit_trace(trace_of(points, read_error_mm=0.3)).read_error_mm == 0.3
    assert not fit_trace(trace_of(points, read_error_mm=1.5)).doubtful


def test_refuses_readings_that_agree_on_nothing() -> None:
    rng = np.random.default_rng(9)
    points = np.arange(20) * STEP_MM + 1j * rng.uniform(0, 80, 20)
    with pytest.raises(Refusal, match=r"rail.csv: no run of flats and bends fits \d+ of 20 readings"):
        fit_trace(trace_of(points))


@pytest.mark.parametrize("stations", [[], [0.0], [0.0, 0.0, 0.0], [0.0, 10.0], [0.0, 10.0, 10.0, 0.0]])
def test_refuses_fewer_than_three_stations(stations: list[float]) -> None:
    with pytest.raises(Refusal, match="read the rail at 3 or more"):
        fit_trace(trace_of(np.sort(np.array(stations)) + 5j))


def test_five_readings_round_a_corner_leave_no_other_shape_likely() -> None:
    # once a flat with two of the five misread, or an arc right round with one, was so likely that a bind of 45 mm was
    # to be expected
    for seed in range(8):
        rng = np.random.default_rng(seed)
        turn = math.radians(rng.uniform(80.0, 100.0))
        rail = chain_of(40j, rng.uniform(-0.1, 0.1), (150.0, 0.0), (8.0 * turn, turn), (95.0, 0.0))
        exact = np.array([rail.point(float(s)) for s in np.linspace(0.0, rail.length, 5)])
        off = rng.normal(0.0, ERROR_MM, (2, 5))
        points = np.round((exact + off[0] + 1j * off[1]) / MARK_MM) * MARK_MM
        fitted = fit_trace(trace_of(points, round_corner=True))
        assert not fitted.doubtful
        assert fitted.spread.error_mm.max() < 4.0
        # of an unread bend of 8 mm the corner lies 3.3 mm outside
        assert np.abs([rail.distance(complex(p)) for p in along(fitted.chain)]).max() < 6.0
