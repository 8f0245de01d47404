"""Every gap of a steering followed as it moves: of the tyres and of the fittings to what passes them, how wide it is at
each position and where.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial

from plategen.steering.clearance import Clearance, gaps_at
from plategen.steering.mount import PinToPin
from plategen.steering.ports import gap_to_bar, port_path
from plategen.steering.ring import Integers
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import Floats


@dataclass(frozen=True, slots=True, kw_only=True)
class GapTrack:
    """The gap between two parts at n positions."""

    name: str  # What it is between.
    gap_mm: Floats  # (n,); negative where they meet.
    ends_mm: Callable[[], tuple[Floats, Floats]]  # The points of both parts that are the nearest, (n, 3) each.


def tyre_gaps(found: tuple[Clearance, ...], positions: Integers) -> Iterator[GapTrack]:
    """Each tyre to all that it has to pass, by the clearances of one motion, at some of its positions."""
    for each, gap in zip(found, gaps_at(found, positions), strict=True):
        name = f"tyre of the {each.tyre} to {each.bar}"
        yield GapTrack(name=name, gap_mm=gap, ends_mm=partial(each.ends_mm, positions))


def fitting_gaps(study: SteeringStudy, pins: PinToPin) -> Iterator[GapTrack]:
    """Each port's fitting to each bar that the fittings are to clear."""
    if study.in_line is None or not study.ports:
        return
    bars = [bar for bar in study.steering.bar if bar.clears == "fittings"]
    for port, found in zip(study.steering.port, study.ports, strict=True):
        path = port_path(port, pins, study.in_line.mount, found.radius_mm)
        for bar in bars:
            gap, on_fitting, on_bar = gap_to_bar(path, port.fitting_mm, bar)
            name = f"fitting of the {port.name} port to {bar.name}"
            yield GapTrack(name=name, gap_mm=gap, ends_mm=partial(_pair, on_fitting, on_bar))


def _pair(a: Floats, b: Floats) -> tuple[Floats, Floats]:
    return a, b
