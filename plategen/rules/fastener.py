"""What to buy and how to tighten it: a bolt's length from its grip, its thread, its torque; a pin's end and wear."""

import math
from dataclasses import dataclass
from functools import cache

from plategen.rules import table
from plategen.rules.bolt import pretension_n
from plategen.rules.bolt_grade import BoltGrade
from plategen.rules.hole_size import row_of_size, stress_area_mm2
from plategen.rules.safety import PRACTICE

WASHER_OVER_BOLT, THIN_WASHER_MM = 0.21, 1.65
"""Thickness of a plain washer over the bolt, and that of the smallest: no plain washer of ISO 7089 is thicker."""

HARD_WASHER_MM = 25.4 * 5.0 / 32.0
"""What a structural bolt's length allows for each hardened washer, whatever its size (bolting council, 2020, Table
C-2.2)."""

NUT_OVER_BOLT = 1.0
"""Height of a nut over the bolt: no nut of ISO 4032 or ASME B18.2.2 is higher."""

OF_PROOF = 0.75
"""Share of the proof load to which a bolt is tightened that is not to be pretensioned (common practice, no source)."""

NUT_FACTORS = (0.15, 0.20)
"""K of T = K d F: thread and nut oiled, and dry as delivered; a fastener data sheet prints ranges
of 0.10 to 0.26 and 0.18 to 0.27."""

WORN_OVER_PIN = 0.03
"""Share of its diameter that a pin may lose (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class BoltLength:
    """A bolt's length under its head and how far its thread runs from its end, mm; the rule."""

    length_mm: float
    thread_mm: float
    source: str

    @property
    def shank_mm(self) -> float:
        """What of the length has no thread."""
        return max(0.0, self.length_mm - self.thread_mm)


def washer_mm(bolt_mm: float, *, structural: bool = False) -> float:
    """The thickness that a washer is counted with.

    >>> washer_mm(20.0), washer_mm(6.0), round(washer_mm(12.7, structural=True), 2)
    (4.2, 1.65, 3.97)
    """
    return HARD_WASHER_MM if structural else max(THIN_WASHER_MM, WASHER_OVER_BOLT * bolt_mm)


@cache
def bolt_length(bolt_mm: float, packed_mm: float, *, structural: bool) -> BoltLength:
    """The shortest length made that holds a grip with its washers.

    Args:
        bolt_mm: Diameter.
        packed_mm: Grip and washers.
        structural: A structural bolt of AISC 360 Table J3.1, with its short thread; else ISO 4014, ASME B18.2.1.

    >>> bolt_length(22.225, 19.7, structural=True).length_mm / 25.4, bolt_length(12.0, 29.0, structural=False).length_mm
    (2.0, 45.0)

    Raises:
        Refusal: The size is not in the table.
    """
    row = row_of_size("threads", bolt_mm, "coarse thread")
    pitch, metric = table.length_mm(row, "pitch"), row["unit"] == "mm"
    if structural and row["allowance"]:
        length = _made(packed_mm + table.length_mm(row, "allowance"), metric)
        source = "ASME B18.2.6; bolting council, 2020, Table C-2.2"
        return BoltLength(length, table.length_mm(row, "structural_thread"), source)
    length = _made(packed_mm + NUT_OVER_BOLT * bolt_mm + 2.0 * pitch, metric)
    more = (
        (6.0 if length <= 125.0 else 12.0 if length <= 200.0 else 25.0)
        if metric
        else 25.4 / (4 if length <= 152.4 else 2)
    )
    return BoltLength(
        length, min(length, 2.0 * bolt_mm + more), f"ISO 4014, ASME B18.2.1, from memory; {PRACTICE}: 2 pitches"
    )


def _made(least_mm: float, metric: bool) -> float:
    """The next length made: every 5 mm to 70, 10 to 160, 20 beyond (ISO 888), or 1/4 in to 6, 1/2 beyond."""
    if metric:
        step = 5.0 if least_mm <= 70.0 else 10.0 if least_mm <= 160.0 else 20.0
    else:
        step = 6.35 if least_mm <= 152.4 else 12.7
    return math.ceil(least_mm / step - 1e-9) * step


def tightened_n(grade: BoltGrade, bolt_mm: float, *, pretensioned: bool) -> float:
    """The tension to tighten a bolt to, N: its pretension, or 0.75 of its proof load; 0 where its grade has no proof.

    >>> from plategen.rules.bolt_grade import bolt_grade
    >>> round(tightened_n(bolt_grade("Grade 5", 9.525), 9.525, pretensioned=False) / 4.44822)
    4941
    """
    area = stress_area_mm2(bolt_mm)
    return pretension_n(grade.tensile_mpa, area) if pretensioned else OF_PROOF * grade.proof_mpa * area


def torques_nmm(bolt_mm: float, tension_n: float) -> tuple[float, float]:
    """Torque oiled and dry that gives about a tension: T = K d F with :data:`NUT_FACTORS`.

    >>> [round(t / 112.985 / 12, 1) for t in torques_nmm(9.525, 4940 * 4.44822)]
    [23.2, 30.9]
    """
    oiled, dry = (k * bolt_mm * tension_n for k in NUT_FACTORS)
    return oiled, dry


def turn_of_nut(length_mm: float, bolt_mm: float) -> str:
    """Turn of the nut from snug to pretension, both faces square to the bolt (bolting council; from memory).

    >>> turn_of_nut(90.0, 20.0)
    '1/2'
    """
    over = length_mm / bolt_mm
    return "1/3" if over <= 4.0 else "1/2" if over <= 8.0 else "2/3"


@dataclass(frozen=True, slots=True)
class PinEnd:
    """A pin's head and split pin, and what its length has over what it holds, mm; the rule."""

    head_mm: float
    split_pin_mm: float
    over_mm: float  # From the washer's outer face to the pin's end.
    source: str


@cache
def pin_end(pin_mm: float) -> PinEnd | None:
    """The end of a headed pin with a split pin: that of the next size made; None over the largest.

    The inch table ends at 1 in; a thicker pin takes the end of the next metric one.

    >>> pin_end(25.4).split_pin_mm / 25.4, pin_end(18.0).split_pin_mm, pin_end(31.75).split_pin_mm
    (0.15625, 5.0, 8.0)
    """
    unit = table.unit_of_size(pin_mm)
    rows = sorted(table.read("pins"), key=lambda row: row["unit"] != unit)
    row = next((row for row in rows if table.length_mm(row, "diameter") >= pin_mm - 1e-6), None)
    if row is None:
        return None
    split = table.length_mm(row, "split_pin")
    return PinEnd(table.length_mm(row, "head"), split, split / 2.0 + table.length_mm(row, "hole_to_end"), row["source"])
