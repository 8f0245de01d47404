"""What the fitted trace promises: a proper chain over the traced length, honest standard errors, any size of trace."""

import cmath
import subprocess
import sys
import time
from itertools import pairwise

import numpy as np
import pytest

from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.rail.fit import fit_trace
from tests.rail.fit_rails import FLATS, STEP_MM, a_rail, along, letters, read, trace_of


@pytest.mark.parametrize("kind", FLATS)
def test_chain_is_proper(kind: str) -> None:
    rng = np.random.default_rng(14)
    for _ in range(10):
        points = read(a_rail(kind, rng), rng)
        fitted = fit_trace(trace_of(points))
        assert fitted.chain.start.real < fitted.chain.end.real
        assert abs(fitted.chain.start - points[0]) == pytest.approx(abs(fitted.residuals_mm[0]), abs=1e-9)
        assert abs(fitted.chain.end - points[-1]) == pytest.approx(abs(fitted.residuals_mm[-1]), abs=1e-9)
        for point, residual in zip(points, fitted.residuals_mm, strict=True):
            assert fitted.chain.distance(complex(point)) == pytest.approx(abs(residual), abs=1e-9)
        assert fitted.spread.places_mm[[0, -1]] == pytest.approx([0.0, fitted.chain.length])
        assert all(edge.length >= SHORTEST_EDGE_MM for edge in fitted.chain)
        for before, after in pairwise(fitted.chain):
            assert before.end == after.start
            turn = abs(cmath.phase(after.start_tangent / before.end_tangent))
            tangent = "A" in letters(fitted.chain)[fitted.chain.segments.index(before) :][:2]
            assert turn < 1e-9 if tangent else turn > 0.01


def test_residuals_are_positive_towards_the_rail() -> None:
    points = np.arange(10) * STEP_MM + 30j
    points[4] += 1j
    assert fit_trace(trace_of(points)).residuals_mm[4] > 0.5


def test_same_readings_same_fit() -> None:
    rng = np.random.default_rng(15)
    points = read(a_rail("two bends", rng), rng)
    assert fit_trace(trace_of(points)) == fit_trace(trace_of(points))


def test_moving_the_rail_away_moves_the_chain_and_nothing_else() -> None:
    rng = np.random.default_rng(16)
    points = read(a_rail("bend", rng), rng, mark_mm=1e-6)
    here, there = fit_trace(trace_of(points)), fit_trace(trace_of(points + 200j))
    assert letters(here.chain) == letters(there.chain)
    assert np.abs(along(here.chain) + 200j - along(there.chain)).max() < 1e-5


def test_three_readings_make_a_line_unless_they_cannot() -> None:
    nearly = np.array([0, 100, 200]) + 1j * np.array([30.0, 30.8, 30.2])
    assert letters(fit_trace(trace_of(nearly)).chain) == "L"
    bowed = np.array([0, 100, 200]) + 1j * np.array([30.0, 36.0, 30.0])
    assert letters(fit_trace(trace_of(bowed)).chain) == "A"


def test_repeats_tell_the_reading_error_and_pull_as_many() -> None:
    rng = np.random.default_rng(17)
    stations = np.repeat(np.arange(8) * 25.0, 6)
    for error in (0.1, 1.0):
        points = stations + 1j * (30.0 + 0.05 * stations + rng.normal(0, error, len(stations)))
        fitted = fit_trace(trace_of(points))
        assert letters(fitted.chain) == "L"
        assert fitted.read_error_mm == pytest.approx(error, rel=0.3)
    points = np.array([0, 50, 100, 100, 100]) + 1j * np.array([30.0, 30.0, 30.6, 29.4, 30.0])
    assert abs(fit_trace(trace_of(points)).chain.end.imag - 30.0) < 0.01


def test_standard_error_of_a_line_is_the_textbooks() -> None:
    """s sqrt(1/n + (x - mean)^2 / Sxx): Draper and Smith, Applied Regression Analysis, 1.4 (from memory)."""
    rng = np.random.default_rng(18)
    x = np.arange(25) * STEP_MM
    fitted = fit_trace(trace_of(x + 1j * rng.normal(30, 0.5, 25), read_error_mm=0.5))
    spread = np.sum((x - x.mean()) ** 2)
    expected = [0.5 * np.sqrt(1 / 25 + (at - x.mean()) ** 2 / spread) for at in (x[0], x.mean(), x[-1])]
    of_line = np.linalg.norm(fitted.spread.modes_mm[:, :2], axis=1)  # what other shapes would make of it comes after
    assert of_line[::2] == pytest.approx(expected, rel=1e-3)
    assert np.all(fitted.spread.error_mm >= of_line)
    assert fitted.spread.freedom == np.inf


@pytest.mark.slow
def test_standard_errors_are_what_repeating_the_trace_shows() -> None:
    rng = np.random.default_rng(19)
    rail = a_rail("corner", rng, span_mm=330.0)
    ends, claimed = [], []
    for _ in range(150):
        fitted = fit_trace(trace_of(read(rail, rng, mark_mm=1e-6), read_error_mm=0.5))
        ends.append(rail.off(np.array([fitted.chain.start])))
        claimed.append(fitted.spread.error_mm[0])
    assert np.sqrt(np.mean(np.square(ends))) == pytest.approx(float(np.median(claimed)), rel=0.25)


@pytest.mark.parametrize("count", [250, 999, 10_000, 100_000])
@pytest.mark.quiet
def test_a_scanners_trace(count: int) -> None:
    rng = np.random.default_rng(21)
    rail = a_rail("bend", rng)
    stations = np.linspace(0, rail.span_mm, count)
    points = stations + 1j * (rail.offsets(stations) + rng.normal(0, 0.3, count))
    wild = rng.choice(count, count // 50, replace=False)
    points[wild] += 1j * rng.uniform(5, 20, len(wild))
    began = time.process_time()
    fitted = fit_trace(trace_of(points))
    assert time.process_time() - began < 2.0
    assert letters(fitted.chain).count("L") == 2
    assert rail.off(along(fitted.chain)) < (0.3 if count < 5000 else 0.05)
    assert set(wild) <= set(fitted.doubtful)
    assert len(fitted.doubtful) <= len(wild) + count // 1000
    assert fitted.read_error_mm == pytest.approx(0.3, rel=0.15 if count > 500 else 0.25)
    assert len(fitted.residuals_mm) == count


def test_fitting_loads_neither_scipy_nor_the_solid_kernel() -> None:
    code = "import sys, plategen.rail.fit; print(sorted(m for m in sys.modules if m in ('scipy', 'OCP', 'cadquery')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
