"""Whatever the readings, the fit answers or refuses in one line: no warning, no traceback, no endless search."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_trace
from plategen.rail.trace import FittedTrace, Trace
from tests.rail.fit_rails import trace_of

offsets = st.lists(st.integers(-64, 64), min_size=3, max_size=14)


def fit_or_refusal(trace: Trace) -> FittedTrace | str:
    try:
        return fit_trace(trace)
    except Refusal as refusal:
        return str(refusal)


@settings(max_examples=60, deadline=None, derandomize=True)
@given(offsets, st.sampled_from([1.0, 12.7, 100.0]), st.sampled_from([0.01, 0.79375, 3.0]))
def test_any_offsets(marks: list[int], step: float, mark: float) -> None:
    points = np.arange(len(marks)) * step + 1j * np.array(marks) * mark
    fitted = fit_or_refusal(trace_of(points))
    if isinstance(fitted, str):
        assert "\n" not in fitted
        return
    assert all(np.isfinite(fitted.residuals_mm))
    assert all(np.isfinite(fitted.spread.error_mm))
    assert len(fitted.doubtful) <= len(points) / 4
    assert all(edge.length >= SHORTEST_EDGE_MM for edge in fitted.chain)


@settings(max_examples=40, deadline=None, derandomize=True)
@given(st.lists(st.tuples(st.floats(-200, 200), st.floats(-200, 200)), min_size=3, max_size=12, unique=True))
def test_any_points(pairs: list[tuple[float, float]]) -> None:
    points = np.array([complex(*pair) for pair in pairs])
    fitted = fit_or_refusal(trace_of(points, round_corner=True))
    if isinstance(fitted, str):
        assert "\n" not in fitted
        return
    assert all(np.isfinite(fitted.residuals_mm))


@pytest.mark.parametrize("scale", [0.2, 1.0, 30.0])
def test_all_readings_alike(scale: float) -> None:
    fitted = fit_trace(trace_of(np.arange(12) * scale + 20j))
    assert len(fitted.chain) == 1
    assert max(map(abs, fitted.residuals_mm)) < 1e-9


def test_repeats_alone_make_no_groups_of_nothing() -> None:
    points = np.repeat(np.arange(5) * 10.0, 100) + 5j
    assert fit_trace(trace_of(points)).chain.length == pytest.approx(40.0, abs=1e-6)
