"""Hoses and pipes of the circuit: what each is rated for and sees, how it bends and reaches, what oil it holds."""

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import msgspec

from plategen.ground.message import joined, message, mm
from plategen.ground.printed import rows
from plategen.ground.refusal import Refusal
from plategen.job.steering import Steering
from plategen.job.steering_equipment import LineEntry, PortEntry
from plategen.steering.ports import PortAngle

BURST_OVER_RATED = 4.0
"""Least burst over working pressure of a hydraulic hose (SAE J517 and EN 853: 4 to 1)."""

SLACK_SHARE = 0.05
"""Share of its span that a hose keeps in hand: it shortens by up to 4 % under pressure, and its ends are not a point
(the 4 % from EN 854; the rest common practice, no source)."""

SIZE_WITHIN_MM = 0.55
"""An inside diameter as shops write it lies so near to the size in the table: 3/8 in is 10, 1/2 in 12.5."""


@dataclass(frozen=True, slots=True)
class Rating:
    """What a kind of hose of one size is rated for."""

    rated_mpa: float
    bend_mm: float
    source: str


@cache
def rating(hose: str, inside_mm: float) -> Rating:
    """The row of a kind of hose for an inside diameter.

    Raises:
        Refusal: no hose of that kind has this inside.

    Examples:
        >>> rating("2SN", 12.7).rated_mpa
        27.5
    """
    listed = [row for row in rows(Path(__file__).parent / "tables" / "hoses.csv") if row["hose"] == hose]
    row = min(listed, key=lambda row: abs(float(row["inside_mm"]) - inside_mm))
    if abs(float(row["inside_mm"]) - inside_mm) > SIZE_WITHIN_MM:
        words = (
            "no {} hose in the table is {} inside; the sizes there are {}: one of these is right, or the hose's own "
            "`rated` and `bend_radius` without `hose`"
        )
        sizes = joined(", ", [message("{}", mm(each)) for each in sorted({float(row["inside_mm"]) for row in listed})])
        raise Refusal(message(words, hose, mm(inside_mm), sizes), key="steering.circuit.line.inside")
    return Rating(float(row["rated_mpa"]), float(row["bend_mm"]), row["source"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Hose:
    """A line as it is to be bought and as it works."""

    name: str
    kind: str
    hose: str
    inside_mm: float
    length_mm: float
    ends: tuple[str, ...]
    clock_rad: float | None
    rated_mpa: float | None  # None when neither the job nor the table tells it.
    rated_by: str  # Where that comes from.
    burst_mpa: float | None
    seen_mpa: float | None  # The most that it is to carry: relief, or the return's own back-pressure; None for suction.
    least_bend_mm: float | None
    bend_mm: float | None  # How it bends at work, where it is slackest; None when it is not followed, or straight.
    span_mm: tuple[float, float] | None  # Least and greatest straight distance that it spans at work.
    oil_mm3: float

    @property
    def slack_mm(self) -> float | None:
        """Length over the greatest straight distance; None when it is not followed."""
        return None if self.span_mm is None else self.length_mm - self.span_mm[1]


def rated_of(line: LineEntry) -> tuple[float | None, float | None, str]:
    """Working pressure and least bend radius of a line, and where the pressure comes from."""
    if not line.hose:
        return line.rated_mpa, line.bend_radius_mm, "as printed on it" if line.rated_mpa is not None else ""
    by = rating(line.hose, line.inside_mm)
    rated = by.rated_mpa if line.rated_mpa is None else line.rated_mpa
    bend = by.bend_mm if line.bend_radius_mm is None else line.bend_radius_mm
    return rated, bend, by.source if line.rated_mpa is None else "as printed on it"


def ports_with_hoses(steering: Steering) -> tuple[PortEntry, ...]:
    """The cylinder's ports, each with the length and bend radius of the line that comes from it."""
    lines = () if steering.circuit is None else steering.circuit.line
    by_port = {line.port: line for line in lines if line.port}
    return tuple(
        port
        if (line := by_port.get(port.name)) is None
        else msgspec.structs.replace(port, hose_length_mm=line.length_mm, bend_radius_mm=rated_of(line)[1])
        for port in steering.port
    )


def hoses(
    lines: tuple[LineEntry, ...], ports: tuple[PortAngle, ...], relief_mpa: float, return_mpa: float
) -> tuple[Hose, ...]:
    """Every line with what it sees: relief in a pressure line, the whole return's back-pressure in a return line."""
    followed = {port.name: port for port in ports}
    seen = {"pressure": relief_mpa, "return": return_mpa}
    found = []
    for line in lines:
        rated, bend, by = rated_of(line)
        port = followed.get(line.port)
        found.append(
            Hose(
                name=line.name,
                kind=line.kind,
                hose=line.hose,
                inside_mm=line.inside_mm,
                length_mm=line.length_mm,
                ends=line.ends,
                clock_rad=line.clock_rad,
                rated_mpa=rated,
                rated_by=by,
                burst_mpa=line.burst_mpa,
                seen_mpa=seen.get(line.kind),
                least_bend_mm=bend,
                bend_mm=None if port is None else port.bend_mm,
                span_mm=None if port is None else port.hose_span_mm,
                oil_mm3=math.pi / 4.0 * line.inside_mm**2 * line.length_mm,
            )
        )
    return tuple(found)
