"""How the cylinder turns about the pin, who says so, and the load cases that follow from it."""

from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.design.loads import LoadCase, load_cases, rules_of
from plategen.job import Job
from plategen.steering.study import SteeringStudy

Source: TypeAlias = Literal["measured", "drawn", "rule"]
"""Measured by the user (``[swing]``), found by the steering study that is drawn, or taken from ``[rules]``."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Motion:
    """How the cylinder lies when it pushes and pulls.

    Args:
        swing_rad: Least and greatest angle in the plates' plane against its drawn line, positive towards the rail.
        skew_rad: Least and greatest angle out of that plane, positive towards +w.
        swing_from: Who says how far it swings.
        skew_from: Who says how far it lies out of the plane.
        cases: Every load case over both.
    """

    swing_rad: tuple[float, float]
    skew_rad: tuple[float, float]
    swing_from: Source
    skew_from: Source
    cases: tuple[LoadCase, ...]

    @property
    def most_skew_rad(self) -> float:
        """Largest angle out of the plates' plane, to either side."""
        return max(map(abs, self.skew_rad))


def motion_of(job: Job, study: SteeringStudy | None) -> Motion:
    """The motion of a job's cylinder: what was measured, else what the study found, else what the rules take."""
    rules, loads = rules_of(job), None if study is None else study.loads
    swing_from: Source = "rule"
    swing = (-rules.swing_rad, rules.swing_rad)
    if job.swing is not None and job.swing.low_rad is not None and job.swing.high_rad is not None:
        swing_from, swing = "measured", (job.swing.low_rad, job.swing.high_rad)
    elif loads is not None:
        swing_from, swing = "drawn", loads.swing_rad
    if loads is not None:
        return _motion(job, swing, loads.out_of_plane_rad, swing_from, "drawn")
    return _motion(job, swing, (-rules.skew_rad, rules.skew_rad), swing_from, "rule")


def off_line(job: Job, motion: Motion, by_rad: float) -> Motion:
    """The motion of a cylinder that lies off its line when it is closed, by an angle that is positive towards the rail.

    Its swing is also taken turned by that angle: wide open the turn is next to nothing, closed it is all of it.
    """
    low, high = motion.swing_rad
    swing = min(low, low + by_rad), max(high, high + by_rad)
    return _motion(job, swing, motion.skew_rad, motion.swing_from, motion.skew_from)


def _motion(
    job: Job, swing: tuple[float, float], skew: tuple[float, float], swing_from: Source, skew_from: Source
) -> Motion:
    """Loads act at both ends and the middle of a swing, and of a skew that is known; at both ends of the rules'."""
    skews = skew if skew_from == "rule" else _ends_and_middle(skew)
    cases = load_cases(job, _ends_and_middle(swing), skews)
    return Motion(swing_rad=swing, skew_rad=skew, swing_from=swing_from, skew_from=skew_from, cases=cases)


def _ends_and_middle(angles_rad: tuple[float, float]) -> tuple[float, float, float]:
    low, high = angles_rad
    return low, (low + high) / 2, high
