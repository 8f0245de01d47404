"""Readings without error, three on every piece: the rail comes back."""

import math

import numpy as np
import pytest

from plategen.flat.chain import Chain
from plategen.rail.fit import fit_trace
from tests.rail.fit_rails import along, chain_of, letters, trace_of

START = complex(-3.0, 40.0)


def pieces(kind: str, rng: np.random.Generator) -> list[tuple[float, float]]:
    def flat() -> tuple[float, float]:
        return rng.uniform(60, 150), 0.0

    def kick() -> float:
        return math.radians(rng.uniform(8, 25)) * float(rng.choice([-1, 1]))

    def bend() -> tuple[float, float]:
        turn = kick()
        return rng.uniform(15, 80) * abs(turn), turn

    def rolled(length: float, low: float, high: float) -> tuple[float, float]:
        return length, float(rng.choice([-1, 1])) * length / rng.uniform(low, high)

    return {
        "L": lambda: [flat()],
        "A": lambda: [rolled(300, 400, 2000)],
        "LL": lambda: [flat(), (0.0, kick()), flat()],
        "LAL": lambda: [flat(), bend(), flat()],
        "LALAL": lambda: [flat(), bend(), flat(), bend(), flat()],
        "LA": lambda: [flat(), rolled(120, 150, 400)],
        "AL": lambda: [rolled(120, 150, 400), flat()],
        "LLAL": lambda: [flat(), (0.0, kick()), flat(), bend(), flat()],
    }[kind]()


def three_each(chain: Chain) -> np.ndarray:
    return np.array([edge.point(t) for edge in chain for t in (0.1, 0.5, 0.9)])


@pytest.mark.parametrize("kind", ["L", "A", "LL", "LAL", "LALAL", "LA", "AL", "LLAL"])
def test_three_exact_readings_on_every_piece_give_the_rail_back(kind: str) -> None:
    rng = np.random.default_rng(5)
    for _ in range(25):
        truth = chain_of(START, rng.uniform(-0.1, 0.1), *pieces(kind, rng))
        fitted = fit_trace(trace_of(three_each(truth)))
        assert letters(fitted.chain) == kind
        assert not fitted.doubtful
        assert max(truth.distance(complex(p)) for p in along(fitted.chain)) < 0.02
        assert fitted.rms_mm < 0.005


@pytest.mark.parametrize("radius", [8.0, 15.0, 30.0])
@pytest.mark.parametrize("lean_deg", [80.0, 90.0, 100.0])
def test_round_lower_corner_of_a_rail(radius: float, lean_deg: float) -> None:
    turn = math.radians(lean_deg)
    truth = chain_of(0j, 0.05, (60.0, 0.0), (radius * turn, turn), (80.0, 0.0))
    points = np.array([edge.point(t) for edge in truth for t in np.linspace(0.05, 0.95, 6)])
    fitted = fit_trace(trace_of(points, round_corner=True))
    assert letters(fitted.chain) == "LAL"
    assert fitted.chain.segments[1].radius == pytest.approx(radius, abs=0.01)
    assert max(truth.distance(complex(p)) for p in along(fitted.chain)) < 0.02


def test_round_corner_read_with_error() -> None:
    rng = np.random.default_rng(8)
    turn = math.radians(95.0)
    truth = chain_of(0j, 0.0, (80.0, 0.0), (20.0 * turn, turn), (90.0, 0.0))
    for _ in range(20):
        points = np.array([truth.point(s) for s in np.arange(3.0, truth.length, 8.0)])
        points = points + rng.normal(0, 0.4, len(points)) + 1j * rng.normal(0, 0.4, len(points))
        fitted = fit_trace(trace_of(points, round_corner=True))
        assert letters(fitted.chain) == "LAL"
        assert max(truth.distance(complex(p)) for p in along(fitted.chain)) < 1.2


def test_points_written_from_the_far_end_give_the_same_chain() -> None:
    turn = math.radians(60.0)
    truth = chain_of(0j, 0.05, (60.0, 0.0), (15.0 * turn, turn), (60.0, 0.0))
    points = np.array([edge.point(t) for edge in truth for t in np.linspace(0.05, 0.95, 5)])
    points[2] += 9j
    there, back = (fit_trace(trace_of(p, round_corner=True)) for p in (points, points[::-1]))
    assert back.chain == there.chain
    assert back.residuals_mm == there.residuals_mm[::-1]
    assert there.doubtful == (2,)
    assert back.doubtful == (len(points) - 3,)
