"""Whether a cylinder turns the rod it pushes about the rod's own line.

A rod between two balls spins freely. A cylinder that takes hold beside the rod's line turns it: with the force F from
the fixed pin to the moving pin of length L, whose arm from the rod's line is r, the moment about the line's direction
a is F a . (r x c), c the cylinder's direction; it is F dL/dphi, as the force does work over L alone. The pin seeks the
place where L is greatest under a push and least under a pull, and those lie half a turn apart: so no place beside the
line is at rest both ways. On the line itself nothing turns.
"""

from dataclasses import dataclass, replace

import numpy as np

from plategen.steering.alignment import Alignment, InLine, alignment, moving_end_swing_rad
from plategen.steering.hydraulics import Thrust
from plategen.steering.motion import Motion
from plategen.steering.mount import Mount, PinToPin, Swing, pin_to_pin, refuse_dead_point, swing
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, array, cross, dot, length

ON_LINE_MM = 0.5
"""A pin this near the rod's line is on it: the joints' friction holds what is left (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """What turns a pushed rod about its own line over the sweep, per unit of force from the cylinder."""

    rod: str  # Name of the rod.
    offset_mm: float  # The moving pin beside its line.
    arm_mm: Floats  # Moment per unit of push, (n,): the pull's is the opposite.
    stiffness_mm: Floats  # What that moment loses per radian of roll, per unit of push, (n,): negative runs away.
    rest_rad: Floats  # Roll from the drawn place to the one at rest under a push, (n,); under a pull half a turn on.
    push_n: float
    pull_n: float

    @property
    def moment_nmm(self) -> float:
        """The greatest moment about the rod's line, the rod standing anywhere round it.

        The moment goes with the sine of the roll from the place at rest, all but exactly; a rod that nothing holds
        goes through its greatest.
        """
        return max(self.push_n, self.pull_n) * float(np.hypot(self.arm_mm, self.stiffness_mm).max())

    @property
    def drawn_moment_nmm(self) -> float:
        """The greatest moment with the rod where it is drawn: what holds it there must carry this."""
        return max(self.push_n, self.pull_n) * float(np.abs(self.arm_mm).max())

    @property
    def least_stiffness_nmm(self) -> float:
        """The least stiffness against roll per radian where the rod is drawn, under push or pull, over the sweep."""
        return float(min((self.push_n * self.stiffness_mm).min(), (-self.pull_n * self.stiffness_mm).min()))


def roll(motion: Motion, mount: Mount, forces: Thrust) -> Roll | None:
    """Roll of the rod that is pushed; None when a lever is pushed, or the pin lies on the rod's line."""
    if mount.pushes in {lever.name for lever in motion.linkage.levers}:
        return None
    start, _ = motion.rod_ends_mm(mount.pushes)
    pin, line = mount.moving_path_mm(motion), motion.rod_direction(mount.pushes)
    foot = start + line * dot(pin - start, line)[:, None]
    arm = pin - foot
    offset = float(length(arm).max())
    if offset <= ON_LINE_MM:
        return None
    apart = foot - array(mount.fixed_mm)
    span = length(pin - array(mount.fixed_mm))
    ahead = cross(line, arm)
    slope = dot(apart, ahead) / span
    return Roll(
        rod=mount.pushes,
        offset_mm=offset,
        arm_mm=slope,
        stiffness_mm=np.asarray((dot(apart, arm) + slope**2) / span),
        rest_rad=np.asarray(np.arctan2(dot(apart, ahead), dot(apart, arm))),
        push_n=forces.push_n,
        pull_n=forces.pull_n,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Rolled:
    """The cylinder with the pushed rod rolled to its joints' limit."""

    roll_rad: float
    pins: PinToPin
    swing: Swing  # In the plate frame as drawn.
    aligned: Alignment
    moving_swing_rad: tuple[float, float]


def rolled(swept: Sweep, installed: InLine, free_rad: float) -> tuple[Rolled, ...]:
    """The cylinder with its rod rolled as far as the joints let it, to either side."""
    found = []
    for angle in (-free_rad, free_rad):
        mount = replace(installed.mount, roll_rad=angle)
        pins = pin_to_pin(swept, mount)
        refuse_dead_point(swept, pins)
        found.append(
            Rolled(
                roll_rad=angle,
                pins=pins,
                swing=swing(pins, mount, installed.pins),
                aligned=alignment(swept, mount, pins),
                moving_swing_rad=moving_end_swing_rad(swept, mount, pins),
            )
        )
    return tuple(found)
