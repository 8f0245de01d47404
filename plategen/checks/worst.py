"""The worst of a table of cases and places."""

from plategen.checks.finding import ALIKE
from plategen.rules.plate_section import Floats


def worst_of(values: Floats) -> tuple[float, tuple[int, int]]:
    """The largest of values by case and place, with both; of those that rounding alone tells apart the first."""
    # asked of a few numbers thousands of times: the array's own methods take a third of numpy's functions
    alike = values >= values.item(values.argmax()) * (1.0 - ALIKE)
    index = int(alike.argmax())  # the first of those alike
    case, cut = divmod(index, values.shape[1])
    return values.item(index), (case, cut)
