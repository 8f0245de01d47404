"""How near to the drawing a thermal cut (ISO 9013) and a welded part (ISO 13920) can be expected to come.

The figures lie in tables beside this file with their source in the last column. ISO 9013 counts thickness "over, up
to and including" and nominal size "from, up to, not including"; ISO 13920 counts "over, up to and including".
"""

import math
from dataclasses import dataclass
from pathlib import Path
from typing import Literal

from plategen.ground.message import message, mm
from plategen.ground.printed import Row, rows
from plategen.ground.refusal import Refusal

TABLES = Path(__file__).parent / "tables"
"""Where the standards' tables lie."""

WeldedClass = Literal["A", "B", "C", "D"]
"""Classes of ISO 13920 for lengths and angles."""


@dataclass(frozen=True, slots=True)
class Tolerance:
    """A tolerance, plus or minus, in mm, or in rad for angles, and the standard and table where it is printed."""

    value: float
    source: str


@dataclass(frozen=True, slots=True)
class CutEdge:
    """What the edge of a cut is allowed to be."""

    # Perpendicularity or angularity tolerance ``u``: how far the edge may lean or bulge over the depth that is judged,
    # which is the thickness less a margin at each face.
    lean_mm: float
    lean_rad: float  # The angle of that lean, ``atan(u / depth)``.
    roughness_um: float | None  # Mean height of profile Rz5; None where the standard gives none.
    source: str  # Standard and table.


def cut_size(thickness_mm: float, nominal_mm: float, tolerance_class: Literal[1, 2] = 2) -> Tolerance:
    """Limit deviation of a cut dimension without a tolerance of its own, ISO 9013.

    >>> cut_size(12.0, 200.0).value
    1.9

    Raises:
        Refusal: The standard gives none for that thickness or size.
    """
    for row in table("iso_9013_size"):
        if int(row["class"]) == tolerance_class and float(row["over"]) < thickness_mm <= float(row["upto"]):
            bounds = [float(key) for key in row if key.replace(".", "").isdigit()]
            fits = [low for low in bounds if low <= nominal_mm]
            cell = row[f"{fits[-1]:g}"] if fits and nominal_mm < 4000.0 else ""
            if cell:
                return Tolerance(float(cell), row["source"])
            break
    words = "ISO 9013 gives no limit deviation in class {} for {} cut from {} plate"
    raise Refusal(message(words, tolerance_class, mm(nominal_mm), mm(thickness_mm)))


def cut_edge(thickness_mm: float, quality_range: int) -> CutEdge:
    """Lean and roughness of a cut edge, ISO 9013; ``quality_range`` 1 is the best, 5 the coarsest.

    ``u = a + b t`` mm over the depth ``t - 2 m``, m the margin at a face; ``Rz5 = c + d t`` micrometres.

    >>> round(cut_edge(10.0, 4).lean_mm, 3), round(math.degrees(cut_edge(10.0, 4).lean_rad), 2)
    (1.0, 6.48)

    Raises:
        Refusal: The standard has no such range, or the plate is outside 0.5 to 100 mm here.
    """
    if not 0.5 <= thickness_mm <= 100.0:
        words = "edge quality by ISO 9013 is tabulated here for {} to {}, not {}"
        raise Refusal(message(words, mm(0.5), mm(100.0, "down"), mm(thickness_mm)))
    for row in table("iso_9013_edge"):
        if int(row["range"]) == quality_range:
            lean = float(row["a_mm"]) + float(row["b"]) * thickness_mm
            depth = thickness_mm - 2.0 * edge_margin_mm(thickness_mm)
            rough = float(row["rz5_um"]) + float(row["rz5_per_mm"]) * thickness_mm if row["rz5_um"] else None
            return CutEdge(lean, math.atan2(lean, depth), rough, row["source"])
    raise Refusal(f"ISO 9013 has quality ranges 1 to 5, not {quality_range}")


def edge_margin_mm(thickness_mm: float) -> float:
    """Depth beside each face, upper and lower, over which a cut edge is not judged, ISO 9013."""
    for row in table("iso_9013_margin"):
        if thickness_mm <= float(row["upto"]):
            return float(row["fixed_mm"]) if row["fixed_mm"] else float(row["share"]) * thickness_mm
    raise Refusal(
        message("ISO 9013's margins are tabulated here up to {}, not {}", mm(100.0, "down"), mm(thickness_mm))
    )


def welded_length(nominal_mm: float, tolerance_class: WeldedClass = "B") -> Tolerance:
    """Tolerance of a length of a welded part without one of its own, ISO 13920.

    >>> welded_length(250.0, "B").value
    2.0
    """
    return _by_band("iso_13920_length", tolerance_class, nominal_mm)


def welded_angle(shorter_leg_mm: float, tolerance_class: WeldedClass = "B") -> Tolerance:
    """Tolerance of an angle of a welded part in rad, by the length of its shorter leg, ISO 13920."""
    minutes = _by_band("iso_13920_angle", tolerance_class, shorter_leg_mm)
    return Tolerance(math.radians(minutes.value / 60.0), minutes.source)


def table(name: str) -> tuple[Row, ...]:
    """The rows of a table beside this file."""
    return rows(TABLES / f"{name}.csv")


def _by_band(name: str, tolerance_class: str, size_mm: float) -> Tolerance:
    """The cell of the band that holds a size: over its column's head, up to and including the next one's."""
    for row in table(name):
        if row["class"] == tolerance_class:
            lows = [float(key) for key in row if key.isdigit()]
            top = float(row.get("upto", "inf"))
            # the very first band includes its lower bound
            fits = [low for low in lows if low < size_mm or (low == lows[0] and low == size_mm)]
            if fits and size_mm <= top:
                return Tolerance(float(row[f"{fits[-1]:g}"]), row["source"])
            raise Refusal(message("ISO 13920 gives no tolerance in class {} for {}", tolerance_class, mm(size_mm)))
    raise Refusal(f'ISO 13920 has no class "{tolerance_class}" for this')
