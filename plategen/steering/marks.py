"""Marks on the steering box: what a mark's width or a reading error is worth in degrees of box and wheel and in travel.

The arm goes back where it came from by its marks alone. One mark stands on the housing, two on the arm's hub: the
steering's left and right lock read against the one. A hub is small, so a small error is a large angle.
"""

import math
from dataclasses import dataclass

from plategen.job.steering_equipment import MarksEntry

SCRIBE_MM = 0.2
"""Width of a scribed line (common practice, no source)."""

FELT_PEN_MM = 1.5
"""Width of a felt pen's line (common practice, no source)."""


READING_ERROR = "reading error"
"""What the error is called that the job says its marks are read to."""


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkError:
    """What one error on the hub comes to."""

    what: str  # Of what the error is: a scribed line, a felt pen's line, a reading error, one spline.
    error_mm: float  # Along the hub's circumference.
    box_rad: float  # error / radius.
    wheel_rad: float | None  # Divided by the linkage ratio; None without a wheel.
    travel_mm: float | None  # Times the travel for a radian of the box; None without a cylinder.
    splines: float | None  # In splines of the arm's shaft; None when these are not told.


def arc_angle_rad(error_mm: float, radius_mm: float) -> float:
    """Angle of an arc on the hub, s / r: the error is laid along the curve with a tape or a thin rule.

    Examples:
        >>> round(math.degrees(arc_angle_rad(25.4 / 16, 15.875)), 1)  # 1/16 in on a hub of 1 1/4 in
        5.7
    """
    return error_mm / radius_mm


def readings(
    marks: MarksEntry, *, ratio: float | None, travel_per_rad_mm: float | None, column_ratio: float | None
) -> tuple[MarkError, ...]:
    """What the width of a scribed line, of a felt pen's line, the given reading error and one spline come to.

    Args:
        marks: The hub, how well it is read, and its splines.
        ratio: Degrees of box for a degree of wheel, at straight ahead.
        travel_per_rad_mm: Travel of the cylinder for a radian of box, at straight ahead.
        column_ratio: Degrees of the steering wheel for a degree of the box's arm.
    """
    radius, turn = marks.hub_diameter_mm / 2.0, 2.0 * math.pi
    kinds = [("scribed line", SCRIBE_MM), ("felt pen line", FELT_PEN_MM), (READING_ERROR, marks.reading_error_mm)]
    if marks.splines is not None:
        kinds.append(("one spline of the arm", turn / marks.splines * radius))
    if marks.column_splines is not None and column_ratio is not None:
        kinds.append(("one spline of the column", turn / marks.column_splines / column_ratio * radius))
    return tuple(
        MarkError(
            what=what,
            error_mm=error,
            box_rad=angle,
            wheel_rad=None if ratio is None else angle / ratio,
            travel_mm=None if travel_per_rad_mm is None else angle * travel_per_rad_mm,
            splines=None if marks.splines is None else angle * marks.splines / turn,
        )
        for what, error, angle in ((what, error, arc_angle_rad(error, radius)) for what, error in kinds)
    )
