"""The example that was photographed: its trace is what the photograph gives, and its rail as it was drawn."""

from pathlib import Path

import numpy as np
import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.job.load import load_trace
from tests.profiles.photographed import FOLDER
from tests.profiles.truth import PHOTOGRAPHED, offset_at


def test_its_trace_is_what_is_read_off_its_photograph(tmp_path: Path) -> None:
    out = tmp_path / "front.csv"
    words = ["pattern", str(FOLDER / "front.jpg"), "--thickness", "1/8", "--bar", "4", "-o", str(out)]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 0, done.output
    made, kept = (load_trace(path).trace for path in (out, FOLDER / "front.csv"))
    points = [np.array([reading.point for reading in trace.readings]) for trace in (made, kept)]
    assert np.abs(points[0] - points[1]).max() < 0.03  # the libraries' last digits
    assert made.read_error_mm == pytest.approx(kept.read_error_mm, rel=0.05)


def test_its_readings_lie_on_its_rail_to_what_they_say() -> None:
    trace = load_trace(FOLDER / "front.csv").trace
    off = np.array([reading.point.imag - offset_at(PHOTOGRAPHED, reading.point.real) for reading in trace.readings])
    assert trace.read_error_mm is not None
    assert np.sqrt((off**2).mean()) < 1.2 * trace.read_error_mm
    assert np.abs(off).max() < 3.0 * trace.read_error_mm


def test_its_photograph_is_small() -> None:
    assert (FOLDER / "front.jpg").stat().st_size < 1_000_000
