"""What a plate does to the wall that it is welded to, read off the line loads of its beads at both ends of its foot.

Their sum pushes and tilts the plate along its length, their difference tilts it aside.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from plategen.bracket.model import Plate, WeldRun
from plategen.checks.load_path import Assembly
from plategen.checks.setting import Setting
from plategen.checks.weld import group_of, loads_on
from plategen.flat.segment import unit
from plategen.ground.space import Vector, mixed
from plategen.rules.plate_section import Floats
from plategen.rules.wall_bending import Resistance


@dataclass(frozen=True, slots=True)
class Pushed:
    """What a plate does to the wall, load factor not in: a number for every load case."""

    plate: Plate
    middle_mm: float  # Place of the plate's mid-plane along the pin.
    station_mm: float  # Station of its foot's middle.
    leg_mm: float  # Smallest leg of the beads beside it.
    length_mm: float  # Length of its foot.
    push_n: Floats  # Push or pull square to the wall.
    tilt_nmm: Floats  # Moment that tilts it along its length.
    aside_n: Floats  # Moment that tilts it aside, N mm on each millimetre of the foot.

    def shares(self, wall: Resistance, factor: float) -> Floats:
        """What push and tilt along the foot use of a wall's strength, lowered by a safety."""
        used: Floats = (self.push_n / wall.push_n + self.tilt_nmm / wall.tilt_nmm(self.length_mm)) / factor
        return used


def pushed_by(setting: Setting, assembly: Assembly, plate: Plate) -> Pushed | None:
    """What a plate that stands across the pin does to what it is welded to; None where its beads hold nothing."""
    runs = [run for run in assembly.rail_runs if run.plate == plate.name]
    length = sum(run.length_mm for run in runs) / len({run.side for run in runs})
    loads = loads_on(setting, assembly)
    ends = [_whole(runs, side) for side in dict.fromkeys(run.side for run in runs)]
    points = [point for pair in ends for point in pair]
    assert plate.notch is not None
    way = unit(plate.notch.end - plate.notch.start) * 1j
    square = mixed(plate.placement.u, way.real, plate.placement.v, way.imag)
    lines = group_of(setting, assembly).pressed_at(loads, points, [square] * len(points))
    # runs on one line, turned about it: the throat's strength stops
    reach = max(math.dist(*pair) for pair in ends) if any(run.piece for run in runs) else length
    return None if np.isnan(lines).any() else _from_ends(plate, runs, (length, reach), lines)


def pushed_by_edges(setting: Setting, assembly: Assembly, lies: Plate) -> Iterator[Pushed]:
    """What each long edge of a plate that lies on the wall does to it: a line as wide as its bead.

    What it presses on the wall between its edges is given to the edges too, where the wall is no stiffer for it.
    """
    loads, square = loads_on(setting, assembly), lies.placement.normal
    for side in dict.fromkeys(run.side for run in assembly.rail_runs if run.plate == lies.name):
        runs = [run for run in assembly.rail_runs if run.plate == lies.name and run.side == side]
        ends = _whole(runs, side)
        lines = group_of(setting, assembly).pressed_at(loads, ends, [square, square])
        if np.isnan(lines).any():
            return
        length, bead = sum(run.length_mm for run in runs), replace(lies, thickness_mm=max(r.leg_mm for r in runs))
        reach = math.dist(*ends) if any(run.piece for run in runs) else length
        edge = _from_ends(bead, runs, (length, reach), lines)
        yield replace(edge, middle_mm=(ends[0][2] + ends[1][2]) / 2.0, leg_mm=0.0)  # the bead's leg is its width


def _whole(runs: Sequence[WeldRun], side: str) -> tuple[Vector, Vector]:
    """Where the beads on one side of a plate begin and end, though things on the rail interrupt them."""
    own = [run for run in runs if run.side == side]
    return own[0].placement.point(own[0].path.start), own[-1].placement.point(own[-1].path.end)


def _from_ends(plate: Plate, runs: Sequence[WeldRun], lengths: tuple[float, float], lines: Floats) -> Pushed:
    """From the line loads square to the wall: cases by both ends of the beads on each side in turn, N/mm.

    ``lengths`` are that of the beads, and from their beginning to their end. Interrupted ones are taken to press over
    all of that, which is more than they do.
    """
    first, last = lines[:, 0::2], lines[:, 1::2]
    length, reach = lengths
    sides = np.ones(first.shape[1])
    n, m = (first + last) @ sides / 2.0 * reach, (last - first) @ sides * reach**2 / 12.0
    tilt = np.zeros(len(lines))
    if first.shape[1] == 2:
        apart = plate.thickness_mm
        tilt = np.maximum(np.abs(first[:, 0] - first[:, 1]), np.abs(last[:, 0] - last[:, 1])) * apart / 2.0
    place = plate.placement
    middle = place.origin[2] + place.normal[2] * plate.thickness_mm / 2.0
    ends = [run.placement.point(end)[0] for run in runs for end in (run.path.start, run.path.end)]
    station, leg = (min(ends) + max(ends)) / 2.0, min(run.leg_mm for run in runs)
    return Pushed(plate, middle, station, leg, length, np.abs(n), np.abs(m), tilt)
