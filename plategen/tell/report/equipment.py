"""The equipment's part of the steering study in the report: force and oil, ports, circuit, stops, tyres, marks."""

import math
from typing import TYPE_CHECKING, Annotated

from plategen.steering.stop_kind import Kind
from plategen.tell.report.encode import Level, Maybe, Pair, about, degrees, finite, mirrored

if TYPE_CHECKING:
    from plategen.steering.clearance import Clearance
    from plategen.steering.marks import MarkError
    from plategen.steering.standard import Size
    from plategen.steering.stops import Met, StopOrder
    from plategen.steering.study import SteeringStudy


class PassReport(Level, frozen=True, kw_only=True):
    """From lock to lock at one flow of the pump, the steering box's oil counted where it is told."""

    flow_lpm: Annotated[float, about("Flow that the steering is sure of, litres a minute.")]
    open_s: Annotated[float, about("Time to open.")]
    close_s: Annotated[float, about("Time to close.")]
    wheel_rps: Annotated[Maybe, about("Turns of the steering wheel a second from which it goes heavy.")]


class OilReport(Level, frozen=True, kw_only=True):
    """Force and oil; null where the job does not give enough for it."""

    push_n: Annotated[Maybe, about("Push at relief.")]
    pull_n: Annotated[Maybe, about("Pull at relief.")]
    stronger_by: Annotated[Maybe, about("Push over pull.")]
    open_mm3: Annotated[Maybe, about("Oil to open from lock to lock.")]
    close_mm3: Annotated[Maybe, about("Oil to close.")]
    box_mm3: Annotated[Maybe, about("Oil that the steering box takes; null when it is not told.")]
    box_share: Annotated[Maybe, about("Its share of all the oil in the slower pass.")]
    working: Annotated[PassReport | None, about("Lock to lock at the pump's working speed.")]
    idle: Annotated[PassReport | None, about("The same with the engine idling.")]
    flow_lpm: Annotated[Maybe, about("Flow for the wanted time, litres a minute.")]
    scrub_nmm: Annotated[Pair | None, about("Moment to turn one standing tyre, by two formulas.")]
    least_needed_n: Annotated[Maybe, about("Least force of the sweep that turns both alone.")]
    needed_n: Annotated[Maybe, about("Greatest force of the sweep that turns both alone.")]
    left_n: Annotated[Maybe, about("Force there is when turning left.")]
    right_n: Annotated[Maybe, about("Force there is when turning right.")]


class SizingReport(Level, frozen=True, kw_only=True):
    """What cylinder to ask for."""

    needed_n: Annotated[float, about("Force asked both ways.")]
    bore_mm: Annotated[Maybe, about("Smallest standard bore that has it; null when none has.")]
    rod_mm: Annotated[Maybe, about("Its rod.")]
    nearest_bore_mm: Annotated[Maybe, about("Standard bore nearest to the cylinder's own.")]
    nearest_rod_mm: Annotated[Maybe, about("Standard rod nearest to its own.")]


class PortReport(Level, frozen=True, kw_only=True):
    """A port of the cylinder over the swing."""

    name: Annotated[str, about("Which.")]
    worst_deg: Annotated[float, about("Furthest off straight up.")]
    trapped_mm3: Annotated[float, about("Air that can stay above it.")]
    hose_span_mm: Annotated[Pair | None, about("Least and greatest span of the hose; null without one.")]
    hose_needed_mm: Annotated[Maybe, about("Length of hose that reaches.")]
    bend_mm: Annotated[Maybe, about("Its radius where it is slackest; null without a hose, or when straight.")]
    clearance_mm: Annotated[dict[str, float], about("Room from the fitting to each bar.")]


def oil_report(study: "SteeringStudy") -> OilReport | None:
    """Force, oil, times, assist; None when there is nothing of them."""
    thrust, oil, helped = study.thrust, study.oil, study.assist
    if thrust is None and helped is None:
        return None
    left, right = (None, None) if helped is None or helped.available_n is None else helped.available_n
    return mirrored(
        OilReport,
        thrust,
        oil,
        helped,
        working=None if oil is None or oil.working is None else mirrored(PassReport, oil.working),
        idle=None if oil is None or oil.idle is None else mirrored(PassReport, oil.idle),
        least_needed_n=None if helped is None else finite(float(helped.needed_n.min())),
        needed_n=None if helped is None else finite(float(helped.needed_n.max())),
        left_n=left,
        right_n=right,
    )


def sizing_report(study: "SteeringStudy") -> SizingReport | None:
    """What cylinder to ask for."""
    sizing = study.sizing
    if sizing is None:
        return None
    return SizingReport(
        needed_n=sizing.needed_n,
        bore_mm=size_mm(sizing.bore),
        rod_mm=size_mm(sizing.rod),
        nearest_bore_mm=size_mm(sizing.nearest_bore),
        nearest_rod_mm=size_mm(sizing.nearest_rod),
    )


def size_mm(size: "Size | None") -> float | None:
    """A standard size, where there is one."""
    return None if size is None else size.size_mm


class MetReport(Level, frozen=True, kw_only=True):
    """A stop as it is met."""

    name: Annotated[str, about("What the shop calls it.")]
    kind: Annotated[Kind, about("On spindle, box, cylinder or elsewhere.")]
    box_deg: Annotated[Maybe, about("The box's angle from straight ahead then; null when it is never met.")]
    after_deg: Annotated[Maybe, about("How much later than the wheel's stop, in the box's angle.")]
    after_marked_deg: Annotated[Maybe, about("What is left of that with the marks out by their reading error.")]
    travel_mm: Annotated[Maybe, about("Travel of the cylinder from straight ahead then.")]
    set_by_deg: Annotated[Maybe, about("How much later it must be met, in the box's angle; null when it is never met.")]
    bolt_turns: Annotated[Maybe, about("The same as turns of its bolt, in negative.")]
    per_turn_deg: Annotated[Maybe, about("Angle of its lever for a turn of the bolt.")]
    per_turn_mm: Annotated[Maybe, about("Travel of the cylinder for a turn of the bolt.")]
    force_n: Annotated[Maybe, about("Force on it at full pressure.")]
    moment_nmm: Annotated[Maybe, about("Moment that the cylinder then puts about the lever's axis.")]


class StopsReport(Level, frozen=True, kw_only=True):
    """The stops in the order in which they are met."""

    left: Annotated[tuple[MetReport, ...], about("In a left turn.")]
    right: Annotated[tuple[MetReport, ...], about("In a right turn.")]
    spread_left_deg: Annotated[float, about("Box angle from first to last of a left turn, the box's own left out.")]
    spread_right_deg: Annotated[float, about("The same of a right turn.")]


class StopLoadReport(Level, frozen=True, kw_only=True):
    """What leans on a wheel's stop at once."""

    name: Annotated[str, about("What the shop calls it.")]
    cylinder_nmm: Annotated[float, about("Moment by the cylinder, shock included.")]
    box_nmm: Annotated[Maybe, about("Moment by the steering box; null when it is not told.")]
    strike_nmm: Annotated[Maybe, about("Moment by a blow on the tyre's edge; null without a tyre.")]
    force_n: Annotated[float, about("Force between bolt and pad.")]


class DeflectedReport(Level, frozen=True, kw_only=True):
    """What a deflected tyre leaves of its clearance."""

    deflection_mm: Annotated[float, about("How far its side moves.")]
    left_mm: Annotated[float, about("What is left.")]


class TyreClearanceReport(Level, frozen=True, kw_only=True):
    """A tyre against a bar or a part of the linkage, over the sweep or over the axle's travel."""

    tyre: Annotated[str, about("The spindle that carries the tyre.")]
    bar: Annotated[str, about("The bar, or the part of the linkage.")]
    axle_moved: Annotated[bool, about("True over the axle's travel, false over the sweep with the axle as drawn.")]
    least_mm: Annotated[float, about("The least gap.")]
    deflected: Annotated[tuple[DeflectedReport, ...], about("What is left of it with the tyre deflected.")]


class MarkReport(Level, frozen=True, kw_only=True):
    """What an error on the steering box's hub is worth."""

    what: Annotated[str, about("Of what the error is.")]
    error_mm: Annotated[float, about("The error, round the hub.")]
    box_deg: Annotated[float, about("In the box's angle.")]
    wheel_deg: Annotated[Maybe, about("In the wheel's angle.")]
    travel_mm: Annotated[Maybe, about("In travel of the cylinder.")]
    splines: Annotated[Maybe, about("In splines of the arm's shaft.")]


class MarksApartReport(Level, frozen=True, kw_only=True):
    """How far apart the two lines on the hub come out."""

    hub_diameter_mm: Annotated[float, about("Of the hub.")]
    left_deg: Annotated[float, about("Turn of the box's arm to the left lock.")]
    right_deg: Annotated[float, about("To the right lock.")]
    turn_deg: Annotated[float, about("In all.")]
    apart_mm: Annotated[float, about("Round the hub.")]


def stops_report(order: "StopOrder", read_to: "MarkError | None") -> StopsReport:
    """The stops in the order in which they are met, and what the marks as they are read leave of it."""

    def met_report(met: "Met") -> MetReport:
        after = order.after_rad(met)
        marked = None if after is None or read_to is None else math.degrees(after - read_to.box_rad)
        return mirrored(MetReport, met, after_deg=degrees(after), after_marked_deg=marked)

    left, right = (tuple(map(met_report, turn)) for turn in (order.left, order.right))
    return mirrored(StopsReport, order, left=left, right=right)


def stop_load_reports(study: "SteeringStudy") -> tuple[StopLoadReport, ...]:
    """What each wheel's stop carries."""
    if study.sweep is None or study.stops is None or study.steering.stops is None:
        return ()
    from plategen.steering.stop_load import stop_loads

    shock, tyre = study.rules.shock_factor, study.steering.tyre
    loads = stop_loads(study.sweep, study.stops, study.steering.stops, tyre, shock, study.team.boxes)
    return tuple(mirrored(StopLoadReport, load, name=load.entry.name) for load in loads)


def tyre_report(clearance: "Clearance") -> TyreClearanceReport:
    """A tyre against a bar."""
    from plategen.steering.clearance import DEFLECTION_MM

    deflected = tuple(DeflectedReport(deflection_mm=mm, left_mm=clearance.left_mm(mm)) for mm in DEFLECTION_MM)
    return mirrored(TyreClearanceReport, clearance, deflected=deflected)


def marks_apart_report(study: "SteeringStudy") -> MarksApartReport | None:
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
