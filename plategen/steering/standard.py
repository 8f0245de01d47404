"""Standard cylinder sizes, from tables that say where each number comes from."""

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Literal

from plategen.ground.message import message, mm
from plategen.ground.printed import rows
from plategen.ground.refusal import Refusal

Series = Literal["inch", "metric"]
"""In which units the sizes are whole."""


@dataclass(frozen=True, slots=True)
class Size:
    """One standard size in mm and its source."""

    size_mm: float
    source: str


@cache
def sizes(kind: Literal["bore", "rod", "stroke"], series: Series) -> tuple[Size, ...]:
    """The standard bores, rods or strokes of a series, smallest first."""
    table = rows(Path(__file__).parent / "tables" / f"{kind}s_mm.csv")
    listed = [Size(float(row[f"{kind}_mm"]), row["source"]) for row in table if row["series"] == series]
    return tuple(sorted(listed, key=lambda size: size.size_mm))


def covering(kind: Literal["bore", "rod", "stroke"], series: Series, at_least_mm: float) -> Size | None:
    """The smallest standard size that is not less than asked; None where the series ends below it."""
    return next((size for size in sizes(kind, series) if size.size_mm >= at_least_mm - 1e-9), None)


def next_size(kind: Literal["bore", "rod", "stroke"], series: Series, at_least_mm: float) -> Size:
    """The same, or a refusal that names the largest there is.

    Raises:
        Refusal: when the series ends below it.
    """
    if (size := covering(kind, series, at_least_mm)) is not None:
        return size
    largest = sizes(kind, series)[-1].size_mm
    words = (
        "a {} of {} is asked, and the largest {} standard one is {}; shorten the travel, raise the pressure or give "
        "the cylinder's own sizes"
    )
    raise Refusal(message(words, kind, mm(at_least_mm), series, mm(largest)), key="steering.cylinder_mount")


def nearest(kind: Literal["bore", "rod", "stroke"], series: Series, wanted_mm: float) -> Size:
    """The standard size nearest to a wanted one, of whichever side."""
    return min(sizes(kind, series), key=lambda size: abs(size.size_mm - wanted_mm))
