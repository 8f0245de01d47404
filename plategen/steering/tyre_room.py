"""Which bars each tyre has to pass, as the job draws them: those that are told and the linkage itself, over the sweep
and over the axle's travel.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np

from plategen.job.steering import Steering
from plategen.steering.clearance import Bar, Clearance, clearances
from plategen.steering.linkage import Linkage
from plategen.steering.motion import Motion
from plategen.steering.mount import Mount
from plategen.steering.moving import MovingLine, moving_lines
from plategen.steering.ring import TyreSize
from plategen.steering.sweep import Sweep
from plategen.steering.vector import array, length


def tyres_of(steering: Steering, linkage: Linkage) -> tuple[TyreSize, ...]:
    """Every tyre whose place and size are told: the left as given, the right as its mirror image."""
    tyre = steering.tyre
    if tyre is None or tyre.radius_mm is None or tyre.centre_mm is None:
        return ()
    x, y, z = tyre.centre_mm
    return tuple(
        TyreSize(
            lever=lever,
            centre_mm=place,
            radius_mm=tyre.radius_mm,
            width_mm=tyre.width_mm,
            rim_mm=(tyre.rim_diameter_mm or 0.0) / 2.0,
        )
        for side, place in (("left", (x, y, z)), ("right", (x, -y, z)))
        if (lever := linkage.wheels().get(side))
    )


def clearances_of(
    steering: Steering, swept: Sweep | None, cylinders: "Mapping[str, Barrel]", moved: Motion | None
) -> tuple[Clearance, ...]:
    """Every tyre past every bar over the sweep, and past the linkage where the axle has ``moved``."""
    if swept is None:
        return ()
    found = tyres_past(steering, swept.motion, cylinders)
    return found if moved is None else found + tyres_past(steering, moved, cylinders, axle_moved=True)


def tyres_past(
    steering: Steering, motion: Motion, cylinders: "Mapping[str, Barrel]", *, axle_moved: bool = False
) -> tuple[Clearance, ...]:
    """Every tyre past the bars that are told and past the linkage, as it moves.

    Where the axle moves, the bars that are told are left out: nothing says whether they ride on it.
    """
    tyres = tyres_of(steering, motion.linkage)
    if not tyres:
        return ()
    told = () if axle_moved else told_bars(steering, len(motion))
    return clearances(motion, tyres, (*told, *linkage_bars(steering, motion, cylinders)), axle_moved=axle_moved)


def told_bars(steering: Steering, positions: int) -> tuple[Bar, ...]:
    """The job's own bars that the tyres are to clear; they stand on the frame."""
    return tuple(
        Bar(
            name=bar.name,
            start_mm=np.broadcast_to(array(bar.start_mm), (positions, 3)),
            end_mm=np.broadcast_to(array(bar.end_mm), (positions, 3)),
            diameter_mm=bar.diameter_mm,
            told=True,
        )
        for bar in steering.bar
        if bar.clears == "tyres"
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Barrel:
    """A cylinder as the tyres meet it: where it sits, and how thick it is where; zero where no cylinder is chosen."""

    mount: Mount
    closed_mm: float = 0.0  # From the fixed pin no more than this is barrel, as it is all of it when closed.
    body_mm: float = 0.0
    rod_mm: float = 0.0


def linkage_bars(steering: Steering, motion: Motion, cylinders: Mapping[str, Barrel]) -> Iterator[Bar]:
    """Rods, levers and the cylinders as round bars; a part whose diameter is not told is as thin as its middle line.

    A spindle's own arms turn with its wheel, so the sweep brings them no nearer: they are left out.
    """
    thick = {rod.name: rod.diameter_mm or 0.0 for rod in steering.rod}
    for lever in steering.lever:
        thick |= {f"{lever.name}.{ball}": lever.diameter_mm or 0.0 for ball in lever.balls}
    spindles = set(motion.linkage.wheels().values())
    mounts = {name: each.mount for name, each in cylinders.items()}
    for line in moving_lines(motion, mounts, without=spindles):
        if line.kind == "cylinder":
            yield from _cylinder(line, cylinders[line.part])
        else:
            diameter = thick.get(line.part, 0.0)
            yield Bar(name=line.part, start_mm=line.start_mm, end_mm=line.end_mm, diameter_mm=diameter)


def _cylinder(line: MovingLine, cylinder: Barrel) -> Iterator[Bar]:
    """Barrel and rod: the barrel as long as the closed cylinder at most, which is a little more than it is."""
    apart = line.end_mm - line.start_mm
    reach = length(apart)
    end = line.start_mm + apart * (np.minimum(cylinder.closed_mm, reach) / reach)[:, None]
    yield Bar(name=line.part, start_mm=line.start_mm, end_mm=end, diameter_mm=cylinder.body_mm)
    yield Bar(name=f"{line.part}'s rod", start_mm=end, end_mm=line.end_mm, diameter_mm=cylinder.rod_mm)
