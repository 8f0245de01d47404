"""What stands round the linkage in the report of a steering study: stops, tyres, marks, the oil circuit."""

import math
from typing import Annotated, Literal

from plategen.steering.stops import StopOrder
from plategen.steering.study import SteeringStudy
from plategen.steering.travel import DEFLECTION_MM, Clearance
from plategen.tell.report.encode import Level, about, mirrored


class MetReport(Level, frozen=True, kw_only=True):
    """A stop as it is met."""

    name: Annotated[str, about("What the shop calls it.")]
    kind: Annotated[
        Literal["spindle", "box", "cylinder", "other"],
        about("On a spindle, in the box, the cylinder's own end, or another."),
    ]
    box_deg: Annotated[float | None, about("The box's angle from straight ahead then; null when it is never met.")]
    travel_mm: Annotated[float | None, about("Travel of the cylinder from straight ahead then.")]
    set_by_deg: Annotated[
        float | None, about("How much later it must be met, in the box's angle; null when it is never met.")
    ]
    bolt_turns: Annotated[float | None, about("The same as turns of its bolt, out negative.")]
    per_turn_deg: Annotated[float | None, about("Angle of its lever for a turn of the bolt.")]
    per_turn_mm: Annotated[float | None, about("Travel of the cylinder for a turn of the bolt.")]
    force_n: Annotated[float | None, about("Force on it at full pressure.")]
    moment_nmm: Annotated[float | None, about("Moment that the cylinder then puts about the lever's axis.")]


class StopsReport(Level, frozen=True, kw_only=True):
    """The stops in the order in which they are met."""

    left: Annotated[tuple[MetReport, ...], about("In a left turn.")]
    right: Annotated[tuple[MetReport, ...], about("In a right turn.")]
    spread_left_deg: Annotated[
        float, about("Box angle between the first and the last of a left turn, the box's own left out.")
    ]
    spread_right_deg: Annotated[float, about("The same of a right turn.")]


class DeflectedReport(Level, frozen=True, kw_only=True):
    """What a deflected tyre leaves of its clearance."""

    deflection_mm: Annotated[float, about("How far its side moves.")]
    left_mm: Annotated[float, about("What is left.")]


class TyreClearanceReport(Level, frozen=True, kw_only=True):
    """A tyre against a bar, over the sweep."""

    tyre: Annotated[str, about("The spindle that carries the tyre.")]
    bar: Annotated[str, about("The bar.")]
    least_mm: Annotated[float, about("The least gap.")]
    deflected: Annotated[tuple[DeflectedReport, ...], about("What is left of it with the tyre deflected.")]


class MarkReport(Level, frozen=True, kw_only=True):
    """What an error on the steering box's hub is worth."""

    what: Annotated[str, about("Of what the error is.")]
    error_mm: Annotated[float, about("The error, round the hub.")]
    box_deg: Annotated[float, about("In the box's angle.")]
    wheel_deg: Annotated[float | None, about("In the wheel's angle.")]
    travel_mm: Annotated[float | None, about("In travel of the cylinder.")]
    splines: Annotated[float | None, about("In splines of the arm's shaft.")]


class MarksApartReport(Level, frozen=True, kw_only=True):
    """How far apart the two lines on the hub come out."""

    hub_diameter_mm: Annotated[float, about("Of the hub.")]
    left_deg: Annotated[float, about("Turn of the box's arm to the left lock.")]
    right_deg: Annotated[float, about("To the right lock.")]
    turn_deg: Annotated[float, about("In all.")]
    apart_mm: Annotated[float, about("Round the hub.")]


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
