"""How good the fit is, over many readings of known rails of each kind."""

import os
from itertools import pairwise

import numpy as np
import pytest

from plategen.rail.fit import fit_trace
from tests.rail.fit_rails import FLATS, a_rail, along, letters, read, told_the_pieces, trace_of

TRIALS = int(os.environ.get("PLATEGEN_CASES", "50"))


@pytest.mark.slow
@pytest.mark.parametrize("kind", FLATS)
def test_fit_is_nearly_as_good_as_one_that_is_told_the_pieces(kind: str) -> None:
    rng = np.random.default_rng(20)
    errors, flats, alarms = [], 0, 0
    for _ in range(TRIALS):
        rail = a_rail(kind, rng)
        points = read(rail, rng)
        fitted = fit_trace(trace_of(points))
        between = np.concatenate([a + (b - a) * np.linspace(0, 1, 6) for a, b in pairwise(points)])
        worst = [rail.off(path) for path in (along(fitted.chain), told_the_pieces(rail, points), between)]
        errors.append(worst)
        flats += letters(fitted.chain).count("L") == FLATS[kind]
        alarms += bool(fitted.doubtful)
    fit, told, raw = np.array(errors).T
    # both ways of taking the median: of the ratios, trial by trial, and the ratio of the medians
    assert np.median(fit / told) <= 1.15
    assert np.median(fit) / np.median(told) <= 1.15
    assert np.median(fit / raw) <= 0.65
    assert flats >= 0.9 * TRIALS
    assert alarms < 0.02 * TRIALS
