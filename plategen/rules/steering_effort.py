"""How hard a steering wheel may be to turn, by published limits: to compare with, never an approval."""

from dataclasses import dataclass
from functools import cache

from plategen.rules import table

TEST_SPEED_MM_S = 10_000.0 / 3.6
"""The speed of the tests of UN R79 and of tractors: 10 km/h."""

PRACTICE_RPS = 1.0
"""Turns of the steering wheel a second that hands ask where no test's time is told (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EffortLimit:
    """Greatest force at the rim for one kind of vehicle, with the assist working and with it failed."""

    vehicle: str
    intact_n: float
    failed_n: float
    intact_s: float | None  # From straight ahead into the circle; None where the rule gives no time.
    intact_radius_mm: float | None  # The circle; None for full lock.
    failed_radius_mm: float | None
    source: str


@cache
def effort_limit(vehicle: str) -> EffortLimit:
    """The limit of a kind of vehicle.

    >>> limit = effort_limit("N2")
    >>> limit.intact_n, limit.failed_n, limit.failed_radius_mm
    (250.0, 400.0, 20000.0)
    """
    row = next(row for row in table.read("steering_effort") if row["vehicle"] == vehicle)

    def told(column: str, times: float = 1.0) -> float | None:
        return table.number(row[column]) * times if row[column] else None

    return EffortLimit(
        vehicle=vehicle,
        intact_n=table.number(row["intact_n"]),
        failed_n=table.number(row["failed_n"]),
        intact_s=told("intact_s"),
        intact_radius_mm=told("intact_radius_m", 1000.0),
        failed_radius_mm=told("failed_radius_m", 1000.0),
        source=row["source"],
    )
