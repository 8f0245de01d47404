"""How the cylinder turns about the pin, who says so, and the load cases that follow: push and pull over its swing.

The cylinder lies along u from the fixed pin, so when it pushes, the pin is driven towards -u; when it pulls, towards
+u. Turned by the swing in the plates' plane and by the skew out of it, the force keeps its size: the side components
are F sin(angle).
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Literal, TypeAlias

from plategen.ground.message import Message, message, rad
from plategen.ground.space import Vector
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.cylinder import Cylinder
from plategen.job.rules import Rules
from plategen.rules.piston import piston_areas_mm2

if TYPE_CHECKING:
    from plategen.steering.bottomed import Bottomed
    from plategen.steering.study import SteeringStudy


@dataclass(frozen=True, slots=True)
class LoadCase:
    """One force on the pin."""

    name: Message  # ``"push, cylinder 5.0° towards the rail, 2.0° towards the far side"``.
    force_n: Vector  # Force of the cylinder on the bracket's pin in the plate frame, shock included, load factor not.
    push: bool  # True when the oil puts the rod under compression.
    every_stroke: bool = True  # False for what comes once, as where the cylinder ends: it counts in no fatigue.
    kind: str = ""  # What makes it, however the cylinder lies: ``"push"``, ``"bottomed, turning left"``.

    def __hash__(self) -> int:
        return hash(self.force_n)  # the words follow from it, and every remembered check asks for this

    @property
    def size_n(self) -> float:
        """Size of the force."""
        u, v, w = self.force_n
        return math.sqrt(u * u + v * v + w * w)


def push_and_pull_n(cylinder: Cylinder) -> tuple[float, float]:
    """What a cylinder pushes and pulls with at relief, no shock."""
    push, pull = piston_areas_mm2(cylinder.bore_mm, cylinder.rod_mm, double_rod=cylinder.double_rod)
    return cylinder.pressure_mpa * push, cylinder.pressure_mpa * pull


def rules_of(job: Job) -> Rules:
    """The job's rules, or the usual ones when it names none."""
    return job.rules or Rules()


def tables_of(job: Job) -> Units:
    """The system of the rules' tables that the job is judged by: that of its rules, or else its units."""
    return rules_of(job).tables or job.units


def load_cases(
    job: Job, swing_rad: Iterable[float], skew_rad: Iterable[float], bottomed: "Iterable[Bottomed]" = ()
) -> tuple[LoadCase, ...]:
    """Push and pull with the job's shock factor, at angles in the plates' plane and out of it (see :class:`Motion`).

    A cylinder that ends before the wheels are stopped adds what box and blow put on it there, a shock by itself.
    """
    shock = rules_of(job).shock_factor
    push, pull = push_and_pull_n(job.cylinder)
    skews = tuple(dict.fromkeys(skew_rad))
    angles = [(swing, skew) for swing in dict.fromkeys(swing_rad) for skew in skews]
    along = [("push", -shock * push), ("pull", shock * pull)]
    along += [(f"bottomed, turning {end.turn}", end.force_n if end.opens else -end.force_n) for end in bottomed]
    return _cases(tuple(along), tuple(angles), job.style.stands_on)


@lru_cache(maxsize=256)
def _cases(
    along: tuple[tuple[str, float], ...], angles: tuple[tuple[float, float], ...], stands_on: str
) -> tuple[LoadCase, ...]:
    """Every force along the cylinder at every angle; variants of a job that change no cylinder have the same ones."""
    return tuple(
        LoadCase(
            _name(word, *lying, stands_on), _force(along_n, *lying), word == "push", word in ("push", "pull"), word
        )
        for word, along_n in along
        for lying in angles
    )


def _force(along_n: float, swing_rad: float, skew_rad: float) -> Vector:
    flat = math.cos(skew_rad)
    return (along_n * flat * math.cos(swing_rad), along_n * flat * math.sin(swing_rad), along_n * math.sin(skew_rad))


def leaning(swing_rad: float, stands_on: str) -> Message:
    """How the cylinder lies in the plates' plane, in words, by the rail or tube that the bracket stands on.

    >>> str(leaning(-0.1, "rail")), str(leaning(0.0, "tube"))
    ('cylinder 5.7° away from the rail', 'cylinder on its line')
    """
    if swing_rad == 0.0:
        return message("cylinder on its line")
    way = "cylinder {} towards the {}" if swing_rad > 0.0 else "cylinder {} away from the {}"
    return message(way, rad(abs(swing_rad)), stands_on)


def _name(word: str, swing_rad: float, skew_rad: float, stands_on: str) -> Message:
    lies = leaning(swing_rad, stands_on)
    if skew_rad == 0.0:
        return message("{}, {}", word, lies)
    side = "far" if skew_rad > 0.0 else "near"
    return message("{}, {}, {} towards the {} side", word, lies, rad(abs(skew_rad)), side)


Source: TypeAlias = Literal["measured", "drawn", "rule"]
"""Measured by the user (``[swing]``), found by the steering study that is drawn, or taken from ``[rules]``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How the cylinder lies when it pushes and pulls."""

    # Least and greatest angle in the plates' plane against its drawn line, positive towards the rail.
    swing_rad: tuple[float, float]
    skew_rad: tuple[float, float]  # Least and greatest angle out of that plane, positive towards +w.
    swing_from: Source  # Who says how far it swings.
    skew_from: Source  # Who says how far it lies out of the plane.
    bottomed: "tuple[Bottomed, ...]"  # The turns in which the cylinder comes to its end and is the stop itself.
    cases: tuple[LoadCase, ...]  # Every load case over both.

    @property
    def most_skew_rad(self) -> float:
        """Largest angle out of the plates' plane, to either side."""
        return max(map(abs, self.skew_rad))


def motion_of(job: Job, study: "SteeringStudy | None") -> Motion:
    """The motion of a job's cylinder: what was measured, else what the study found, else what the rules take."""
    rules, drawn = rules_of(job), () if study is None else study.swings_about(job.style.holds)
    ends = () if study is None else study.bottomed
    swing_from: Source = "rule"
    swing = (-rules.swing_rad, rules.swing_rad)
    if job.swing is not None and job.swing.low_rad is not None and job.swing.high_rad is not None:
        swing_from, swing = "measured", (job.swing.low_rad, job.swing.high_rad)
    elif drawn:
        swing_from, swing = "drawn", _over(each.in_plane_range_rad for each in drawn)
        if job.seat is not None and study is not None and study.beside_rod_mm is not None:
            # the study sees the cylinder from the rod, which leans in the plates' frame
            swing = swing[0] + job.seat.lean_rad, swing[1] + job.seat.lean_rad
    if drawn:
        return _motion(job, swing, _over(each.out_of_plane_range_rad for each in drawn), swing_from, "drawn", ends)
    return _motion(job, swing, (-rules.skew_rad, rules.skew_rad), swing_from, "rule", ends)


def _over(ranges: Iterable[tuple[float, float]]) -> tuple[float, float]:
    """The range that takes in all of them."""
    lows, highs = zip(*ranges, strict=True)
    return min(lows), max(highs)


def off_line(job: Job, motion: Motion, by_rad: float) -> Motion:
    """The motion of a cylinder that lies off its line when it is closed, by an angle that is positive towards the rail.

    Its swing is also taken turned by that angle: wide open the turn is next to nothing, closed it is all of it.
    """
    low, high = motion.swing_rad
    swing = min(low, low + by_rad), max(high, high + by_rad)
    return _motion(job, swing, motion.skew_rad, motion.swing_from, motion.skew_from, motion.bottomed)


def _motion(
    job: Job,
    swing: tuple[float, float],
    skew: tuple[float, float],
    swing_from: Source,
    skew_from: Source,
    bottomed: "tuple[Bottomed, ...]",
) -> Motion:
    """Loads act at both ends and the middle of a swing, and of a skew that is known; at both ends of the rules'."""
    skews = skew if skew_from == "rule" else _ends_and_middle(skew)
    cases = load_cases(job, _ends_and_middle(swing), skews, bottomed)
    return Motion(
        swing_rad=swing, skew_rad=skew, swing_from=swing_from, skew_from=skew_from, bottomed=bottomed, cases=cases
    )


def _ends_and_middle(angles_rad: tuple[float, float]) -> tuple[float, float, float]:
    low, high = angles_rad
    return low, (low + high) / 2, high
