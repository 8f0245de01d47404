"""What stands round the linkage in the report of a steering study: stops, tyres, marks, the oil circuit."""

import math
from typing import Literal

from plategen.steering.clearance import DEFLECTION_MM, Clearance
from plategen.steering.stops import StopOrder
from plategen.steering.study import SteeringStudy
from plategen.tell.report.encode import Level, mirrored


class MetReport(Level, frozen=True, kw_only=True):
    """A stop as it is met.

    Args:
        name: What the shop calls it.
        kind: On a spindle, in the box, the cylinder's own end, or another.
        box_deg: The box's angle from straight ahead then; null when it is never met.
        travel_mm: Travel of the cylinder from straight ahead then.
        set_by_deg: How much later it must be met, in the box's angle; null when it is never met.
        bolt_turns: The same as turns of its bolt, out negative.
        per_turn_deg: Angle of its lever for a turn of the bolt.
        per_turn_mm: Travel of the cylinder for a turn of the bolt.
        force_n: Force on it at full pressure.
        moment_nmm: Moment that the cylinder then puts about the lever's axis.
    """

    name: str
    kind: Literal["spindle", "box", "cylinder", "other"]
    box_deg: float | None
    travel_mm: float | None
    set_by_deg: float | None
    bolt_turns: float | None
    per_turn_deg: float | None
    per_turn_mm: float | None
    force_n: float | None
    moment_nmm: float | None


class StopsReport(Level, frozen=True, kw_only=True):
    """The stops in the order in which they are met.

    Args:
        left: In a left turn.
        right: In a right turn.
        spread_left_deg: Box angle between the first and the last of a left turn, the box's own left out.
        spread_right_deg: The same of a right turn.
    """

    left: tuple[MetReport, ...]
    right: tuple[MetReport, ...]
    spread_left_deg: float
    spread_right_deg: float


class DeflectedReport(Level, frozen=True, kw_only=True):
    """What a deflected tyre leaves of its clearance.

    Args:
        deflection_mm: How far its side moves.
        left_mm: What is left.
    """

    deflection_mm: float
    left_mm: float


class TyreClearanceReport(Level, frozen=True, kw_only=True):
    """A tyre against a bar, over the sweep.

    Args:
        tyre: The spindle that carries the tyre.
        bar: The bar.
        least_mm: The least gap.
        deflected: What is left of it with the tyre deflected.
    """

    tyre: str
    bar: str
    least_mm: float
    deflected: tuple[DeflectedReport, ...]


class MarkReport(Level, frozen=True, kw_only=True):
    """What an error on the steering box's hub is worth.

    Args:
        what: Of what the error is.
        error_mm: The error, round the hub.
        box_deg: In the box's angle.
        wheel_deg: In the wheel's angle.
        travel_mm: In travel of the cylinder.
        splines: In splines of the arm's shaft.
    """

    what: str
    error_mm: float
    box_deg: float
    wheel_deg: float | None
    travel_mm: float | None
    splines: float | None


class MarksApartReport(Level, frozen=True, kw_only=True):
    """How far apart the two lines on the hub come out.

    Args:
        hub_diameter_mm: Of the hub.
        left_deg: Turn of the box's arm to the left lock.
        right_deg: To the right lock.
        turn_deg: In all.
        apart_mm: Round the hub.
    """

    hub_diameter_mm: float
    left_deg: float
    right_deg: float
    turn_deg: float
    apart_mm: float


def stops_report(order: StopOrder) -> StopsReport:
    """The stops in the order in which they are met."""
    left, right = (tuple(mirrored(MetReport, met) for met in turn) for turn in (order.left, order.right))
    return mirrored(StopsReport, order, left=left, right=right)


def tyre_report(clearance: Clearance) -> TyreClearanceReport:
    """A tyre against a bar."""
    deflected = tuple(DeflectedReport(deflection_mm=mm, left_mm=clearance.left_mm(mm)) for mm in DEFLECTION_MM)
    return mirrored(TyreClearanceReport, clearance, deflected=deflected)


def marks_apart_report(study: SteeringStudy) -> MarksApartReport | None:
    """How far apart the two lines on the hub come out; None without marks or a linkage."""
    sweep, marks = study.sweep, study.steering.marks
    if sweep is None or marks is None:
        return None
    right, left = float(sweep.driver_rad[0]), float(sweep.driver_rad[-1])
    return MarksApartReport(
        hub_diameter_mm=marks.hub_diameter_mm,
        left_deg=math.degrees(abs(left)),
        right_deg=math.degrees(abs(right)),
        turn_deg=math.degrees(left - right),
        apart_mm=marks.hub_diameter_mm / 2.0 * (left - right),
    )
