"""The styles a bracket can have, as far as a job file goes: what each stands on and holds, which table is its own."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

StyleName: TypeAlias = Literal["ears", "split", "seat"]
"""How a bracket is built; the builder of a style is the file of its name in :mod:`plategen.bracket`."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StyleEntry:
    """What a job of a style holds.

    Args:
        table: The table that only this style has; "" for none.
        stands_on: A rail that is traced, or a tube that is known by its size and needs no trace.
        holds: Which end of the cylinder it holds.
    """

    table: str = ""
    stands_on: Literal["rail", "tube"] = "rail"
    holds: Literal["fixed pin", "moving pin"] = "fixed pin"


STYLES: Mapping[StyleName, StyleEntry] = {
    "ears": StyleEntry(table="closing"),
    "split": StyleEntry(table="split"),
    "seat": StyleEntry(table="seat", stands_on="tube", holds="moving pin"),
}
"""Every style."""

assert set(STYLES) == set(get_args(StyleName))
