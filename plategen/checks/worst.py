"""The worst of a table of cases and places."""

import numpy as np

from plategen.checks.finding import ALIKE
from plategen.rules.plate_section import Floats


def worst_of(values: Floats) -> tuple[float, tuple[int, int]]:
    """The largest of values by case and place, with both; of those that rounding alone tells apart the first."""
    index = int(np.argmax(values >= values.max() * (1.0 - ALIKE)))  # the first of those alike
    case, cut = divmod(index, values.shape[1])
    return float(values[case, cut]), (case, cut)
