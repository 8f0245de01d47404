"""How far a hole must stay from an edge and from its neighbour.

Two ways of measuring are in use and must not be mixed: AISC 360 Table J3.4 and EN 1993-1-8 Table 3.3 measure from the
hole's CENTRE; the pin-plate rules (AISC 360 D5, ASME BTH-1 3-3.3, EN 1993-1-8 3.13) measure from the hole's EDGE.
Everything in this file is from the centre.
"""

import math
from dataclasses import dataclass
from functools import cache

from plategen.ground.unit import Units
from plategen.rules import table
from plategen.rules.safety import PRACTICE

PRACTICE_FACTOR = 1.25
"""Least edge distance over diameter beyond the table's last row, and in practice below its first."""

EN_LEAST = {"e1": 1.2, "e2": 1.2, "p1": 2.2, "p2": 2.4, "e3": 1.5, "e4": 1.5}
"""Least distances over the hole diameter d0 (EN 1993-1-8:2005 Table 3.3).

The letters: e ends and edges, p spacings, e3 and e4 slots. Along the force are e1 and p1, across it e2 and p2.
"""

_SAME_MM = 0.02  # a size given as 19.05 or 0.75 in is the 3/4 in row; neighbouring sizes differ by 1 mm and more


@dataclass(frozen=True, slots=True)
class Distance:
    """A distance that a rule asks for, or a diameter that a table gives, mm, and where it is from."""

    mm: float
    source: str


@cache
def least_edge_distance(diameter_mm: float, tables: Units) -> Distance:
    """Least distance from a hole's centre to an edge for a bolt or pin of this diameter.

    AISC 360-16/22 Table J3.4 (inch sizes) or J3.4M (metric sizes); an exact size is looked for in both, the wanted
    table first. A size between two rows of that table, as a worn pin's, takes the larger one's distance. Over the last
    row the tables say 1.25 d; under the first (1/2 in, M16) they are silent and 1.25 d stands as common practice.

    >>> least_edge_distance(19.05, "mm").mm / 25.4, least_edge_distance(0.999 * 25.4, "in").mm / 25.4
    (1.0, 1.25)
    """
    rows = _edge_rows()
    for unit in (tables, "mm" if tables == "in" else "in"):
        for size_mm, edge_mm, source in rows[unit]:
            if abs(diameter_mm - size_mm) <= _SAME_MM:
                return Distance(edge_mm, source)
    first_mm, last_mm, source = rows[tables][0][0], rows[tables][-1][0], rows[tables][0][2]
    if diameter_mm < first_mm:
        return Distance(PRACTICE_FACTOR * diameter_mm, f"{PRACTICE}: 1.25 d")
    if diameter_mm > last_mm:
        return Distance(PRACTICE_FACTOR * diameter_mm, f"{source}, over its last row: 1.25 d")
    size_mm, edge_mm, source = next(row for row in rows[tables] if row[0] > diameter_mm)
    return Distance(edge_mm, source)


@dataclass(frozen=True, slots=True)
class Growing:
    """A distance that grows with a diameter or a thickness, mm: a factor times it and something more, up to a most."""

    factor: float
    source: str
    plus_mm: float = 0.0
    most_mm: float = math.inf

    def __call__(self, size_mm: float) -> Distance:
        """The distance for a size.

        >>> most_edge_distance_en(10.0).mm, most_spacing(10.0).mm, most_spacing(20.0).mm
        (80.0, 240.0, 300.0)
        """
        return Distance(min(self.factor * size_mm + self.plus_mm, self.most_mm), self.source)


_SPACING = "AISC 360-22 J3.4 (J3.3 in 360-16)"
_MOST = "AISC 360-22 J3.6{} (J3.5 in 360-16): {} t, {} mm ({} in)"

least_spacing = Growing(8.0 / 3.0, f"{_SPACING}: 2 2/3 d")
least_clear_between_holes = Growing(1.0, f"{_SPACING}: clear distance d")
"""Least spacing of bolt centres, 3 d preferred, and least clear steel between two holes, over the bolt's diameter."""

most_edge_distance = Growing(12.0, _MOST.format("", 12, 150, 6), most_mm=150.0)
most_spacing = Growing(24.0, _MOST.format("(a)", 24, 300, 12), most_mm=300.0)
"""Greatest distance of a bolt's centre from the nearest edge of plates in contact, and greatest spacing of bolts in
painted or dry ones, over the thinner plate's thickness. The metric limits, 2.4 and 4.8 mm less, stand for both units.
"""

most_edge_distance_en = Growing(4.0, "EN 1993-1-8:2005 Table 3.3: e1, e2 <= 4 t + 40 mm", plus_mm=40.0)
most_spacing_en = Growing(14.0, "EN 1993-1-8:2005 Table 3.3: p1, p2 <= 14 t, 200 mm", most_mm=200.0)
"""Greatest e1 and e2 of steel exposed to the weather, greatest p1 and p2, over the thinner plate's thickness."""


def least_distance_en(symbol: str, hole_mm: float) -> Distance:
    """Least e1, e2, p1, p2, e3 or e4 for a hole of diameter d0 (EN 1993-1-8:2005 Table 3.3).

    >>> least_distance_en("e1", 22.0).mm
    26.4
    """
    return Distance(EN_LEAST[symbol] * hole_mm, f"EN 1993-1-8:2005 Table 3.3: {symbol} >= {EN_LEAST[symbol]:g} d0")


@cache
def _edge_rows() -> dict[str, tuple[tuple[float, float, str], ...]]:
    """Size, edge distance and source of each row, mm, by unit, in order of size."""
    rows = table.read("edge_distance")
    return {
        unit: tuple(
            (table.length_mm(row, "diameter"), table.length_mm(row, "distance"), row["source"])
            for row in rows
            if row["unit"] == unit
        )
        for unit in ("in", "mm")
    }
