"""A step across a trace, where a splice plate or a doubler ends, is found as a step. All rails here are invented."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.rail.fit import fit_trace
from plategen.rail.fit.trace import sample_of
from plategen.rail.trace import FittedTrace
from tests.rail.fit_rails import ERROR_MM, MARK_MM, letters, trace_of

PROFILES = Path(__file__).parents[2] / "profiles"
SPAN_MM = 350.0


def read_step(rng: np.random.Generator, count: int, height_mm: float, at_mm: float, lean: float) -> np.ndarray:
    """Readings of a flat that steps up by a height, by hand and to the rule's marks, and their stations."""
    stations = np.linspace(0.0, SPAN_MM, count)
    offsets = 40.0 + lean * stations + height_mm * (stations > at_mm) + rng.normal(0.0, ERROR_MM, count)
    return stations + 1j * np.round(offsets / MARK_MM) * MARK_MM


def rms_mm(fitted: FittedTrace, height_mm: float, at_mm: float, lean: float) -> float:
    """How far the fit lies from the truth, away from the stretch between two readings that nobody looked at."""
    before, after = fitted.risers[0].between_mm if fitted.risers else (at_mm, at_mm)
    path = np.array([edge.point(t) for edge in fitted.chain for t in np.linspace(0.0, 1.0, 200)])
    path = path[(path.real < before) | (path.real > after)]
    truth = 40.0 + lean * path.real + height_mm * (path.real > at_mm)
    return float(np.sqrt(np.mean((path.imag - truth) ** 2)))


def told_rms_mm(points: np.ndarray, height_mm: float, at_mm: float, lean: float) -> float:
    """The same of a least-squares fit that is told where the step is."""
    up = points.real > at_mm
    columns = np.stack([np.ones(len(points)), points.real, up], axis=1)
    found = np.linalg.lstsq(columns, points.imag, rcond=None)[0]
    stations = np.linspace(0.0, SPAN_MM, 400)
    off = found[0] - 40.0 + (found[1] - lean) * stations + (found[2] - height_mm) * (stations > at_mm)
    return float(np.sqrt(np.mean(off**2)))


def test_a_splice_plate_in_mid_foot_is_a_step_and_no_leaning_flat() -> None:
    # once fitted as one flat at 2.3 degrees, 4 mm off at the step, and no word of it
    points = read_step(np.random.default_rng(5), 60, 8.0, 171.0, 0.01)
    fitted = fit_trace(trace_of(points))
    assert letters(fitted.chain) == "LLL"
    (riser,) = fitted.risers
    assert riser.edge == 1
    assert riser.height_mm == pytest.approx(8.0, abs=0.6)
    assert riser.between_mm[0] < 171.0 < riser.between_mm[1]
    assert fitted.doubtful == ()
    assert max(map(abs, fitted.residuals_mm)) < 4.0 * ERROR_MM


def test_a_step_down_is_told_from_a_step_up() -> None:
    fitted = fit_trace(trace_of(read_step(np.random.default_rng(6), 40, -6.0, 120.0, 0.0)))
    assert fitted.risers[0].height_mm == pytest.approx(-6.0, abs=0.8)


@pytest.mark.parametrize("count", [12, 60])
def test_a_step_whose_both_edges_were_read_stands_there_and_nowhere_else(count: int) -> None:
    # once led slanting on to the next reading, 6.5 mm off the rail, or with the lower edge left out as misread
    rng = np.random.default_rng(4)
    for _ in range(20):
        at, stations = rng.uniform(130.0, 170.0), rng.uniform(0.0, 300.0, count)
        stations = np.sort(np.append(stations, [at, at]))
        height = 8.0 * (np.arange(len(stations)) > np.searchsorted(stations, at))
        offsets = 40.0 + 0.02 * stations + height + rng.normal(0.0, 0.6 * ERROR_MM, len(stations))
        fitted = fit_trace(trace_of(stations + 1j * np.round(offsets / MARK_MM) * MARK_MM))
        (riser,) = fitted.risers
        assert riser.between_mm == pytest.approx((at, at), abs=1e-6)
        edge = fitted.chain.segments[riser.edge]
        for end, rise in ((edge.start, 0.0), (edge.end, 8.0)):
            assert abs(end - complex(at, 40.0 + 0.02 * at + rise)) < 1.2


def test_a_face_beyond_a_corner_is_no_row_of_steps() -> None:
    # once every two readings up a face that hardly leans were taken for both edges of a step
    along = [complex(12.0 * k, 40.0) for k in range(12)]
    up = [complex(140.0 + 0.8 * k, 44.0 + 12.0 * k) for k in range(12)]
    assert sample_of(trace_of(np.array([*along, *up]), round_corner=True)).steps_mm == ()


@pytest.mark.slow
@pytest.mark.parametrize("count", [9, 25, 60])
def test_steps_are_fitted_nearly_as_well_as_by_one_that_is_told_where_they_are(count: int) -> None:
    rng = np.random.default_rng(17)
    ratios, missed = [], 0
    for _ in range(30):
        height, at, lean = (
            rng.choice([-1, 1]) * rng.uniform(3, 12),
            rng.uniform(0.35, 0.65) * SPAN_MM,
            rng.normal(0, 0.05),
        )
        points = read_step(rng, count, height, at, lean)
        fitted = fit_trace(trace_of(points))
        missed += not fitted.risers
        ratios.append(rms_mm(fitted, height, at, lean) / told_rms_mm(points, height, at, lean))
    assert np.median(ratios) <= 1.35
    assert missed <= 3


def test_a_step_is_said_with_its_place_and_asks_for_its_edges(tmp_path: Path) -> None:
    job = tmp_path / "job"
    shutil.copytree(PROFILES / "quarry-straight-rail", job)
    points = read_step(np.random.default_rng(5), 60, -8.0, 160.0, 0.01)[:52]
    rows = "".join(f"{p.real:.1f},{p.imag:.2f}\n" for p in points)
    (job / "rail.csv").write_text("station,offset\n" + rows, encoding="utf-8")
    shown = CliRunner().invoke(main, ["make", str(job), "--no-solid", "--out", str(tmp_path / "out")])
    assert "rail.csv: a step of" in shown.output
    assert "towards you, between stations" in shown.output
    assert "Read the trace at both its edges" in (tmp_path / "out" / "sheet.html").read_text(encoding="utf-8")
