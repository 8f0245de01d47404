"""Figures read off sorted numbers, beside numpy's own, to the last bit."""

import subprocess
import sys

import numpy as np
import pytest

from plategen.ground.order import distinct, median, quantile


@pytest.mark.parametrize("count", [1, 2, 3, 4, 10, 11, 2048])
def test_as_numpy_has_them(count: int) -> None:
    for seed in range(20):
        values = np.random.default_rng(seed).normal(size=count).round(seed % 3 + 1)
        assert median(values) == np.median(values)
        assert distinct(values).tolist() == np.unique(values).tolist()
        for share in (0.0, 0.25, 0.5, 0.95, 1.0):
            assert quantile(values, share) == np.quantile(values, share)


def test_they_load_no_masked_arrays() -> None:
    code = (
        "import sys; import numpy as np; from plategen.ground.order import distinct, median, quantile;"
        "values = np.arange(4.0); median(values), distinct(values), quantile(values, 0.95);"
        "assert 'numpy.ma' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True)
