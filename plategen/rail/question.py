"""What a fit leaves open: where along the rail, why, by how much, and which further readings would tell."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.ground.message import Message, joined, message, mm, uv

Cause: TypeAlias = Literal["step", "left out", "apart", "stands out", "scatter", "open"]
"""A step whose place nobody read; readings left out; readings to one side of the fit; a place where the fit stands out
as a weld bead does; readings that scatter more than they should; and a stretch where the readings leave the rail's
shape open."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One thing that a fit leaves open."""

    cause: Cause
    what: Message  # What is seen there, and what it may be.
    stretch: tuple[complex, complex]  # Points of the rail between which it lies, in the straightedge's frame.
    readings: tuple[int, int]  # Which readings along the rail are next to these, from 1, in whatever order written.
    off_mm: float  # How far the rail may lie off the fit there, or how far the readings do.
    most_mm: float  # The most of that which is nothing to speak of.
    read_at: tuple[complex, ...] = ()  # Where further readings would tell most, along the rail.
    ask: Message  # The same in words, and what else to do.

    @property
    def heard(self) -> bool:
        """Whether it is worth a caution."""
        return self.off_mm > self.most_mm

    @property
    def words(self) -> Message:
        """What is seen, and what is asked for."""
        if self.cause == "step":
            return message("{} Read the trace at both its edges", self.what)
        return joined("; ", (self.what, self.ask))

    def touches(self, first_mm: float, last_mm: float) -> bool:
        """Whether it concerns what stands between two stations."""
        low, high = sorted((self.stretch[0].real, self.stretch[1].real))
        return low <= last_mm and high >= first_mm

    @property
    def where(self) -> str:
        """The readings next to it: ``"readings 7 to 9"``."""
        first, last = self.readings
        return f"reading {first}" if first == last else f"readings {first} to {last}"


def place(point: complex, round_corner: bool) -> Message:
    """Where a reading is taken: its station, or on a trace round a corner its two lengths."""
    return uv(point) if round_corner else message("station {}", mm(point.real))


def ask_for(points: Sequence[complex], round_corner: bool) -> Message:
    """The further readings that are asked for.

    >>> print(ask_for((95.0 + 40.0j, 120.0 + 40.0j), False))
    read it at 2 more places: station 95.0 mm, station 120.0 mm
    """
    listed = joined(", ", (place(point, round_corner) for point in points))
    return message("read it at {} more place{}: {}", len(points), "s" if len(points) > 1 else "", listed)
