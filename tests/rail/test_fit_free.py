"""A rail that is no chain of flats and bends: the edge follows its readings, smoothly. All rails here are invented."""

import shutil
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner
from scipy.linalg import cho_factor, cho_solve
from scipy.stats import multivariate_normal

from plategen.cli import main
from plategen.flat.chain import Chain
from plategen.flat.segment import Line
from plategen.rail.fit import fit_trace
from plategen.rail.fit.curve_spread import covariance
from plategen.rail.fit.fair import fair
from plategen.rail.fit.free import FREE_COST, HEIGHTS_MM, Free, free_of
from plategen.rail.fit.groups import sampled
from plategen.rail.fit.score import Noise
from plategen.rail.fit.waves import FALL, JOGGLE, functions
from plategen.rail.trace import FittedTrace
from tests.rail.fit_rails import ERROR_MM, MARK_MM, along, trace_of

PROFILES = Path(__file__).parents[2] / "profiles"
SPAN_MM = 350.0


def dent(x: np.ndarray) -> np.ndarray:
    return 40.0 + 0.02 * x + 7.0 * np.exp(-0.5 * ((x - 160.0) / 35.0) ** 2)


def sweep_and_step(x: np.ndarray) -> np.ndarray:
    return 40.0 + 9.0 * np.sin(x / 110.0) + 8.0 * (x > 231.0)


def read(curve: Callable[[np.ndarray], np.ndarray], count: int, seed: int) -> np.ndarray:
    stations = np.linspace(0.0, SPAN_MM, count)
    offsets = curve(stations) + np.random.default_rng(seed).normal(0.0, ERROR_MM, count)
    return stations + 1j * np.round(offsets / MARK_MM) * MARK_MM


def off_mm(fitted: FittedTrace, curve: Callable[[np.ndarray], np.ndarray]) -> np.ndarray:
    path = along(fitted.chain, 10)
    return path.imag - curve(path.real)


def test_a_dent_is_followed_and_no_reading_of_it_is_doubted() -> None:
    # once a chain of corners, 2 mm off beside the dent
    fitted = fit_trace(trace_of(read(dent, 25, 3)))
    assert fitted.model == "free"
    assert fitted.lead > 0.0
    assert fitted.doubtful == ()
    assert np.sqrt(np.mean(off_mm(fitted, dent) ** 2)) < ERROR_MM
    assert all(edge.length > 0.3 for edge in fitted.chain)


def test_arcs_of_a_free_edge_are_tangent_and_run_from_foot_to_foot() -> None:
    points = read(dent, 25, 4)
    fitted = fit_trace(trace_of(points))
    edges = fitted.chain.segments
    assert max(abs(a.end_tangent - b.start_tangent) for a, b in pairwise(edges)) < 1e-3
    assert abs(fitted.chain.start - points[0]) == pytest.approx(abs(fitted.residuals_mm[0]), abs=1e-6)
    assert abs(fitted.chain.end - points[-1]) == pytest.approx(abs(fitted.residuals_mm[-1]), abs=1e-6)
    for point, residual in zip(points, fitted.residuals_mm, strict=True):
        assert fitted.chain.distance(complex(point)) == pytest.approx(abs(residual), abs=0.06)


def test_a_sweep_with_a_step_has_the_step() -> None:
    fitted = fit_trace(trace_of(read(sweep_and_step, 40, 5)))
    assert fitted.model == "free"
    (riser,) = fitted.risers
    assert riser.between_mm[0] < 231.0 < riser.between_mm[1]
    assert riser.height_mm == pytest.approx(8.0, abs=1.0)
    assert isinstance(fitted.chain.segments[riser.edge], Line)


def test_a_misreading_beside_a_dent_is_named() -> None:
    points = read(dent, 30, 6)
    points[22] += 14j
    fitted = fit_trace(trace_of(points))
    assert fitted.model == "free"
    assert fitted.doubtful == (22,)


def test_the_standard_error_is_honest() -> None:
    beyond = []
    for seed in range(12):
        fitted = fit_trace(trace_of(read(dent, 25, 100 + seed)))
        places = np.linspace(5.0, fitted.chain.length - 5.0, 60)
        off = np.array([fitted.chain.point(s) for s in places.tolist()])
        error = np.linalg.norm(fitted.spread.at(places), axis=1)
        beyond.append(np.mean(np.abs(off.imag - dent(off.real)) > 2.0 * error))
    assert np.mean(beyond) < 0.12


def test_a_dense_trace_of_a_wave_is_followed() -> None:
    fitted = fit_trace(trace_of(read(lambda x: 40.0 + 4.0 * np.sin(x / 30.0), 3000, 7)))
    assert fitted.model == "free"
    assert np.abs(off_mm(fitted, lambda x: 40.0 + 4.0 * np.sin(x / 30.0))).max() < 0.4


def test_flats_and_bends_stay_a_chain() -> None:
    points = read(lambda x: 40.0 + 0.3 * np.maximum(x - 170.0, 0.0), 25, 8)
    assert fit_trace(trace_of(points)).model == "chain"


def test_the_evidence_is_that_of_the_readings_as_one_normal_vector() -> None:
    # against scipy's density, with the line's values drawn from so wide a normal that it is flat
    points = read(dent, 12, 9)
    sample = replace(sampled(points, trace_of(points)), noise=Noise.known(0.6))
    free = free_of(sample, np.ones(12, bool), ())
    length, height, wide = 3, 9, np.array([1e3, 10.0])
    x, y = points.real, points.imag
    apart = x[:, None] - x
    (modes,) = free.modes
    high, length_mm = modes.waves.high[length] * HEIGHTS_MM[height], modes.waves.length_mm[length]
    covariance = 0.36 * np.eye(12) + high**2 * np.exp(-0.5 * (apart / length_mm) ** 2)
    columns = np.stack([np.ones(12), x - x[0]], axis=1)
    told = -2.0 * multivariate_normal(np.zeros(12), covariance + (columns * wide**2) @ columns.T).logpdf(y)
    told += 2.0 * np.log(SPAN_MM) - 2.0 * np.log(wide).sum()
    found = free._costs[length, 0, height] - 2.0 * np.log(len(HEIGHTS_MM)) - modes.cost[length]
    assert found == pytest.approx(told, abs=1e-2)
    assert free.score > free._costs.min() - 2.0 * np.log(free._costs.size) + FREE_COST


def test_curve_and_doubt_are_those_of_kriging() -> None:
    # against the textbook's equations (Rasmussen and Williams 2006, 2.41 and 2.42; from memory) by scipy's solver
    points = read(dent, 12, 9)
    sample = replace(sampled(points, trace_of(points)), noise=Noise.known(0.6))

    class One(Free):
        """With all the evidence at one length and height."""

        @property
        def _shares(self) -> np.ndarray:
            shares = np.zeros_like(self._costs)
            shares[3, 0, 9] = 1.0
            return shares

    free = One(*(getattr(free_of(sample, np.ones(12, bool), ()), f) for f in Free.__dataclass_fields__))
    x, y, to = points.real, points.imag, np.array([3.0, 150.0, 349.0])
    waves = free.modes[0].waves
    high, length = waves.high[3] * HEIGHTS_MM[9], waves.length_mm[3]
    like = lambda a, b: high**2 * np.exp(-0.5 * ((a[:, None] - b) / length) ** 2)  # noqa: E731
    columns, there = (np.stack([np.ones(len(at)), at], axis=1) for at in (x, to))
    factor = cho_factor(like(x, x) + 0.36 * np.eye(12))
    normal = columns.T @ cho_solve(factor, columns)
    line = np.linalg.solve(normal, columns.T @ cho_solve(factor, y))
    mean = there @ line + like(to, x) @ cho_solve(factor, y - columns @ line)
    rest = there - like(to, x) @ cho_solve(factor, columns)
    spread = like(to, to) - like(to, x) @ cho_solve(factor, like(x, to)) + rest @ np.linalg.solve(normal, rest.T)
    assert free.at(to)[0] == pytest.approx(mean, abs=1e-6)
    assert free.at(to)[1] == pytest.approx((free.at(to + 1e-4)[0] - free.at(to - 1e-4)[0]) / 2e-4, abs=1e-6)
    assert covariance(free, to) == pytest.approx(spread, abs=1e-6)


def test_a_few_functions_carry_curvature_about_one_place() -> None:
    # against Mehler's kernel: their second derivatives' covariance is that of a smooth process in a window, the corner
    # (k = 0) aside; r = FALL makes what the functions beyond the last add less than a fiftieth
    t, r, h = np.linspace(-2.0, 2.0, 9), FALL, 0.05
    curved = (functions(t + h, JOGGLE) - 2.0 * functions(t, JOGGLE) + functions(t - h, JOGGLE)) / h**2
    both, window = np.add.outer(t**2, t**2), np.exp(-0.5 * np.add.outer(t**2, t**2))
    mehler = np.exp(-(r**2 * both - 2.0 * r * np.outer(t, t)) / (2.0 * (1.0 - r**2))) / np.sqrt(1.0 - r**2)
    assert r * curved @ curved.T == pytest.approx((mehler - 1.0) * window, abs=0.02)


def test_flats_beside_a_dent_stay_straight() -> None:
    def bell(x: np.ndarray) -> np.ndarray:  # not of the functions' own form
        return 43.0 + 0.02 * x + 3.0 * np.cos(np.pi * np.clip((x - 160.0) / 50.0, -1.0, 1.0))

    turned = []
    for seed in range(4):
        fitted = fit_trace(trace_of(read(bell, 60, 20 + seed)))
        assert np.sqrt(np.mean(off_mm(fitted, bell) ** 2)) < 0.5 * ERROR_MM
        turned.append(sum(abs(np.angle(e.end_tangent / e.start_tangent)) for e in fitted.chain if e.start.real > 250.0))
    assert np.median(turned) < 0.01


def test_arcs_keep_to_a_curve_within_the_tolerance() -> None:
    curve = lambda x: (8.0 * np.sin(x / 25.0), 8.0 / 25.0 * np.cos(x / 25.0))  # noqa: E731
    for tolerance in (0.05, 0.01):
        chain = Chain(tuple(fair(curve, 0.0, 300.0, tolerance)))
        path = along(chain, 30)
        assert np.abs(path.imag - curve(path.real)[0]).max() < 1.1 * tolerance
        assert len(chain) < 90


def test_marks_are_heeded() -> None:
    points = np.linspace(0.0, SPAN_MM, 26) + 40j
    points[10:12] -= 4j
    points[24:] += 30j
    trace = trace_of(points)
    marks = {10: "bead", 11: "bead", 23: "edge"}
    readings = tuple(replace(r, mark=marks.get(i, "")) for i, r in enumerate(trace.readings))
    fitted = fit_trace(replace(trace, readings=readings))
    assert fitted.doubtful == ()
    assert fitted.unheeded == (10, 11, 24, 25)
    assert len(fitted.chain) == 1
    assert fitted.chain.end == pytest.approx(points[23], abs=1e-6)
    assert fitted.residuals_mm[10] == pytest.approx(-4.0, abs=1e-6)
    assert fitted.rms_mm < 1e-6


def test_a_free_edge_is_said_by_make_and_on_the_sheet(tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(PROFILES / "quarry-straight-rail", job)
    rows = "".join(f"{p.real:.1f},{p.imag:.2f}\n" for p in read(dent, 40, 3)[:33])
    (job / "rail.csv").write_text("station,offset\n" + rows, encoding="utf-8")
    shown = CliRunner().invoke(main, ["make", str(job), "--no-solid", "--out", str(tmp_path / "out")])
    assert "the rail here is neither flat nor bent to one radius" in shown.output
    assert "neither flat nor bent to one radius" in (tmp_path / "out" / "sheet.html").read_text(encoding="utf-8")


def test_readings_that_stand_out_together_are_cleared_and_named() -> None:
    # once the plate was cut straight through an unmarked bead
    points = read(lambda x: 40.0 + 0.02 * x, 60, 11)
    points[30:33] -= 4j
    fitted = fit_trace(trace_of(points))
    assert fitted.doubtful == (30, 31, 32)
    (bead,) = fitted.beads
    assert bead.height_mm == pytest.approx(4.0, abs=1.0)
    assert bead.between_mm[0] < points[30].real < points[32].real < bead.between_mm[1]
    assert fitted.chain.distance(complex(points[31])) < 0.8
    assert abs(fitted.residuals_mm[31]) > 3.0
    plain = fit_trace(trace_of(np.delete(points, slice(30, 33))))
    assert fitted.chain.start == pytest.approx(plain.chain.start, abs=1e-9)
    assert fitted.chain.end == pytest.approx(plain.chain.end, abs=1e-9)
    assert fitted.spread.places_mm[-1] == pytest.approx(fitted.chain.length, abs=1e-6)


def test_a_misreading_away_from_the_user_or_too_far_out_makes_no_dip() -> None:
    for off in (5j, -14j):
        points = read(lambda x: 40.0 + 0.02 * x, 40, 12)
        points[20] += off
        fitted = fit_trace(trace_of(points))
        assert fitted.doubtful == (20,)
        assert fitted.beads == ()
        assert len(fitted.chain) == 1


def test_a_step_in_a_wide_gap_is_crossed_straight() -> None:
    points = read(lambda x: 40.0 + 10.0 * (x > 150.0), 9, 13)
    fitted = fit_trace(trace_of(points))
    (riser,) = fitted.risers
    edge = fitted.chain.segments[riser.edge]
    assert (edge.start.real, edge.end.real) == pytest.approx(riser.between_mm)
    assert riser.height_mm == pytest.approx(10.0, abs=2.0)  # twice its standard error, from nine readings
    assert fitted.spread.error_mm.max() > 4.0
    assert fitted.spread.places_mm[-1] == pytest.approx(fitted.chain.length, abs=1e-6)


def test_a_step_that_is_marked_is_found_though_it_is_low() -> None:
    points = read(lambda x: 40.0 + 1.8 * (x > 150.0), 25, 18)
    trace = trace_of(points)
    at = int(np.searchsorted(points.real, 150.0))
    marked = tuple(replace(r, mark="step" if i == at else "") for i, r in enumerate(trace.readings))
    assert fit_trace(trace).risers == ()
    (riser,) = fit_trace(replace(trace, readings=marked)).risers
    assert riser.height_mm == pytest.approx(1.8, abs=0.8)


def test_a_wave_of_one_period_is_followed_as_one() -> None:
    # once by waves at random: 1.59 times the error of a fit that is told the formula, at 200 readings
    wave = lambda x: 40.0 + 0.02 * x + 3.0 * np.sin(2.0 * np.pi * x / 150.0 + 1.0)  # noqa: E731
    ratios = []
    for seed in range(5):
        points = read(wave, 60, 40 + seed)
        fitted = fit_trace(trace_of(points))
        columns = lambda x: np.stack(  # noqa: E731
            [np.ones(len(x)), x, np.sin(2.0 * np.pi * x / 150.0), np.cos(2.0 * np.pi * x / 150.0)], axis=1
        )
        told = np.linalg.lstsq(columns(points.real), points.imag, rcond=None)[0]
        x = along(fitted.chain, 10).real
        ratios.append(np.sqrt(np.mean(off_mm(fitted, wave) ** 2) / np.mean((columns(x) @ told - wave(x)) ** 2)))
    assert np.median(ratios) < 1.35


def test_a_slow_sweep_of_changing_curvature_is_no_one_arc() -> None:
    # once one arc: 1.41 times the error of a cubic, in the middle case of 200 readings
    x = np.linspace(-1.0, 1.0, 200)
    sweep = lambda at: 40.0 + 8.0 * (at / SPAN_MM - 0.5) ** 2 + 8.0 * (at / SPAN_MM - 0.5) ** 3  # noqa: E731
    ratios = []
    for seed in range(4):
        points = read(sweep, 200, 60 + seed)
        cubic = np.polynomial.Polynomial.fit(points.real, points.imag, 3)
        at = (x + 1.0) * SPAN_MM / 2.0
        fitted = fit_trace(trace_of(points))
        ratios.append(np.sqrt(np.mean(off_mm(fitted, sweep) ** 2) / np.mean((cubic(at) - sweep(at)) ** 2)))
    assert np.median(ratios) < 1.35
