"""What the cylinder does to the bracket: push and pull at relief pressure, over the swing, with the side it may take.

The cylinder lies along u from the fixed pin, so when it pushes, the pin is driven towards -u; when it pulls, towards
+u. Turned by the swing in the plates' plane and by the skew out of it, the force keeps its size: the side components
are F sin(angle).
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from plategen.ground.message import Message, message, rad
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.job.rules import Rules


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One force on the pin.

    Args:
        name: ``"push, cylinder 5.0° towards the rail, 2.0° towards +w"``.
        force_n: Force of the cylinder on the bracket's pin in the plate frame, shock included, load factor not.
        push: True when the rod is under compression.
    """

    name: Message
    force_n: Vector
    push: bool

    @property
    def size_n(self) -> float:
        """Size of the force."""
        return math.sqrt(sum(x * x for x in self.force_n))


def push_n(pressure_mpa: float, bore_mm: float) -> float:
    """Push of a cylinder: p pi D^2/4.

    >>> round(push_n(10.0, 50.0))
    19635
    """
    return pressure_mpa * math.pi * bore_mm**2 / 4.0


def pull_n(pressure_mpa: float, bore_mm: float, rod_mm: float) -> float:
    """Pull of a single-rod cylinder: p pi (D^2 - d^2)/4."""
    return pressure_mpa * math.pi * (bore_mm**2 - rod_mm**2) / 4.0


def rules_of(job: Job) -> Rules:
    """The job's rules, or the usual ones when it names none."""
    return job.rules or _USUAL


_USUAL = Rules()


def load_cases(job: Job, swing_rad: Iterable[float], skew_rad: Iterable[float]) -> tuple[LoadCase, ...]:
    """Push and pull at every angle of the cylinder; see :func:`plategen.design.motion.motion_of` for the angles.

    Args:
        job: The job; its ``[rules]`` give the shock factor.
        swing_rad: Angles of the cylinder in the plates' plane, positive towards the rail.
        skew_rad: Angles out of that plane, positive towards +w.
    """
    rules = rules_of(job)
    swings, skews = tuple(dict.fromkeys(swing_rad)), tuple(dict.fromkeys(skew_rad))
    cylinder = job.cylinder
    sizes = (
        ("push", push_n(cylinder.pressure_mpa, cylinder.bore_mm)),
        ("pull", pull_n(cylinder.pressure_mpa, cylinder.bore_mm, cylinder.rod_mm)),
    )
    return tuple(
        LoadCase(
            _name(word, swing, skew),
            _force(rules.shock_factor * size * (-1.0 if word == "push" else 1.0), swing, skew),
            word == "push",
        )
        for word, size in sizes
        for swing in swings
        for skew in skews
    )


def _force(along_n: float, swing_rad: float, skew_rad: float) -> Vector:
    flat = math.cos(skew_rad)
    return (
        along_n * flat * math.cos(swing_rad),
        along_n * flat * math.sin(swing_rad),
        along_n * math.sin(skew_rad),
    )


def leaning(swing_rad: float) -> Message:
    """How the cylinder lies in the plates' plane, in words.

    >>> str(leaning(-0.1)), str(leaning(0.0))
    ('cylinder 5.7° away from the rail', 'cylinder on its line')
    """
    if swing_rad == 0.0:
        return message("cylinder on its line")
    way = "cylinder {} towards the rail" if swing_rad > 0.0 else "cylinder {} away from the rail"
    return message(way, rad(abs(swing_rad)))


def _name(word: str, swing_rad: float, skew_rad: float) -> Message:
    if skew_rad == 0.0:
        return message("{}, {}", word, leaning(swing_rad))
    side = "+w" if skew_rad > 0.0 else "-w"
    return message("{}, {}, {} towards {}", word, leaning(swing_rad), rad(abs(skew_rad)), side)
