"""The cylinder's part of the steering study in the report: stroke, alignment, push, best pin."""

from typing import TYPE_CHECKING, Annotated

from plategen.steering.vector import Floats
from plategen.tell.report.encode import Level, Maybe, Pair, Triple, about, degrees, mirrored
from plategen.tell.report.equipment import size_mm
from plategen.tell.report.linkage import range_deg

if TYPE_CHECKING:
    from plategen.steering.alignment import InLine, RodBending
    from plategen.steering.best_pin import BestPin
    from plategen.steering.study import SteeringStudy


class StrokeReport(Level, frozen=True, kw_only=True):
    """What stroke to fit, how to limit it, and where the fixed pin goes for it."""

    travel_mm: Annotated[float, about("What the moving pin needs over the sweep.")]
    needed_mm: Annotated[float, about("Travel with the margin asked at each end.")]
    stroke_mm: Annotated[float, about("The cylinder's stroke, or the next standard one.")]
    standard_mm: Annotated[Maybe, about("The standard stroke that covers what is needed; null when the series ends.")]
    standard_source: Annotated[str | None, about("Where that is printed.")]
    limit_mm: Annotated[float, about("What spacers take away; negative when the cylinder is too short.")]
    spacer_cap_mm: Annotated[float, about("Spacer at the cap end.")]
    spacer_rod_mm: Annotated[float, about("Spacer on the rod.")]
    closed_mm: Annotated[float, about("Pin to pin, closed on its spacer.")]
    open_mm: Annotated[float, about("Pin to pin, open on its spacer.")]
    straight_mm: Annotated[float, about("Pin to pin, straight ahead.")]
    off_middle_mm: Annotated[float, about("Straight ahead from the middle of the limited stroke, opening positive.")]
    fixed_pin_mm: Annotated[Triple | None, about("Where the fixed pin goes, vehicle frame; null with a travel alone.")]
    fixed_pin_moved_mm: Annotated[float, about("From where it is drawn, away from the moving pin positive.")]
    bracket_moved_mm: Annotated[
        Triple | None, about("The same on the bracket: pin station, in-line offset, plane; null without a linkage.")
    ]
    closed_for_drawn_mm: Annotated[float, about("Closed length that would leave the drawn pin in place.")]
    enough: Annotated[bool, about("True when the stroke covers the travel.")]
    chosen: Annotated[bool, about("True when the cylinder is chosen; else the stroke is the next standard one.")]


class PlateFrameReport(Level, frozen=True, kw_only=True):
    """The plates' frame in the vehicle's."""

    origin_mm: Annotated[Triple, about("The fixed pin.")]
    u: Annotated[Triple, about("Along the cylinder straight ahead.")]
    v: Annotated[Triple, about("Towards the rail.")]


class PushReport(Level, frozen=True, kw_only=True):
    """Push and pull in their parts at one position."""

    at: Annotated[str, about("Right lock, straight ahead or left lock.")]
    of_the_line: Annotated[Triple, about("Shares of a push along the line, level across it, square to both.")]
    of_the_vehicle: Annotated[Triple, about("Shares of a push forward, to the left, up.")]
    push_of_the_line_n: Annotated[Triple | None, about("The push in parts of the line; null without a cylinder.")]
    push_of_the_vehicle_n: Annotated[Triple | None, about("The push in parts of the vehicle.")]
    pull_of_the_line_n: Annotated[Triple | None, about("The pull in parts of the line.")]
    pull_of_the_vehicle_n: Annotated[Triple | None, about("The pull in parts of the vehicle.")]


class BendingReport(Level, frozen=True, kw_only=True):
    """What the push does to the pushed rod and to the levers at its ends."""

    side_n: Annotated[float, about("Largest force square to the rod.")]
    eccentric_mm: Annotated[float, about("The moving pin beside the rod's line.")]
    from_ball: Annotated[str, about("The rod's ball that the moving pin is nearer to, as lever.ball.")]
    from_ball_mm: Annotated[
        float, about("The moving pin along the rod from that ball, towards the other; negative beyond it.")
    ]
    moment_nmm: Annotated[float, about("Largest bending moment in the rod.")]
    stress_mpa: Annotated[Maybe, about("That over the section modulus; null where its size is not told.")]
    ball_side_n: Annotated[Pair, about("Side force on each ball.")]
    lever_moment_nmm: Annotated[Pair, about("Bending in each lever at its ends.")]


class RollReport(Level, frozen=True, kw_only=True):
    """What turns the pushed rod about its own line."""

    offset_mm: Annotated[float, about("The moving pin beside the rod's line.")]
    drawn_moment_nmm: Annotated[float, about("Greatest moment where the rod is drawn: what holds it must carry this.")]
    moment_nmm: Annotated[float, about("Greatest moment with the rod anywhere round its line.")]
    least_stiffness_nmm: Annotated[float, about("Least stiffness per radian where it is drawn; negative runs away.")]


class AwayReport(Level, frozen=True, kw_only=True):
    """What a step away from the best pin costs."""

    axis: Annotated[str, about("Axis of the vehicle.")]
    step_mm: Annotated[float, about("The step along it.")]
    worst_deg: Annotated[float, about("Worst angle with the pin there.")]
    push_lost: Annotated[float, about("Share of the push that is lost there.")]


class BestPinReport(Level, frozen=True, kw_only=True):
    """The best fixed pin in the box that the job gives."""

    fixed_pin_mm: Annotated[Triple, about("Where, vehicle frame.")]
    worst_deg: Annotated[float, about("Worst angle of the sweep with the pin there.")]
    push_lost: Annotated[float, about("Share of the push that is lost there.")]
    drawn_worst_deg: Annotated[float, about("Worst angle with the pin as drawn.")]
    on_edge: Annotated[tuple[str, ...], about("Sides of the box that hold the pin back.")]
    away: Annotated[tuple[AwayReport, ...], about("What steps away from it cost.")]


class InLineReport(Level, frozen=True, kw_only=True):
    """How the cylinder lies with its fixed pin where it is advised, over the sweep."""

    line: Annotated[str, about('The rod whose line it should keep; "" for the way the pin moves.')]
    worst_deg: Annotated[float, about("Worst angle to that line.")]
    level_deg: Annotated[Pair, about("Least and greatest angle seen from above.")]
    upright_deg: Annotated[Pair, about("Least and greatest angle seen from the side.")]
    push_lost: Annotated[float, about("Greatest share of the push that is lost.")]
    side_share: Annotated[float, about("Greatest share of the push that goes sideways.")]
    swing_deg: Annotated[Pair, about("Swing at the fixed pin in the plates' plane.")]
    out_of_plane_deg: Annotated[Pair, about("Swing at the fixed pin out of that plane.")]
    out_of_plane_straight_deg: Annotated[float, about("The same straight ahead.")]
    plate_frame: Annotated[PlateFrameReport, about("The plates' frame.")]
    moving_end_deg: Annotated[Pair, about("Range of swing in the moving end's joint, two ways.")]
    moving_swing_deg: Annotated[
        Pair | None,
        about("Swing at the moving pin in the plane of plates that ride on what is pushed; null where none can stand."),
    ]
    moving_out_of_plane_deg: Annotated[Pair | None, about("Swing at the moving pin out of that plane.")]
    push_n: Annotated[Maybe, about("Push at relief; null while no cylinder is chosen.")]
    pull_n: Annotated[Maybe, about("Pull at relief.")]
    push_parts: Annotated[tuple[PushReport, ...], about("Push and pull in their parts.")]
    bending: Annotated[BendingReport | None, about("Of the pushed rod; null when a lever is pushed.")]
    roll: Annotated[RollReport | None, about("Of the pushed rod about its line; null where nothing turns it.")]
    best_pin: Annotated[BestPinReport | None, about("The best fixed pin in the job's box; null without a box.")]


def stroke_report(study: "SteeringStudy") -> StrokeReport | None:
    """Stroke, spacers and fixed pin."""
    advice, installed, drawn = study.stroke, study.in_line, study.steering.cylinder_mount
    if advice is None:
        return None
    standard = advice.standard
    return mirrored(
        StrokeReport,
        advice,
        standard_mm=size_mm(standard),
        standard_source=None if standard is None else standard.source,
        spacer_cap_mm=advice.at_cap_mm,
        spacer_rod_mm=advice.at_rod_mm,
        closed_mm=advice.limited_closed_mm,
        open_mm=advice.limited_open_mm,
        fixed_pin_mm=advice.fixed_mm,
        fixed_pin_moved_mm=advice.moved_mm,
        bracket_moved_mm=None if installed is None or drawn is None else installed.bracket_moved_mm(drawn.fixed_pin_mm),
        chosen=study.size is not None,
    )


def in_line_report(study: "SteeringStudy") -> InLineReport | None:
    """Alignment, swing, push in its parts, bending and best pin."""
    installed = study.in_line
    if installed is None:
        return None
    aligned, swing, bending = installed.aligned, installed.swing, installed.bending
    rides = next(iter(study.swings_about("moving pin")), None)
    return mirrored(
        InLineReport,
        aligned,
        study.thrust,
        level_deg=range_deg(aligned.level_rad),
        upright_deg=range_deg(aligned.upright_rad),
        push_lost=float(aligned.push_lost.max()),
        side_share=float(aligned.side_share.max()),
        swing_deg=range_deg(swing.in_plane_rad),
        out_of_plane_deg=range_deg(swing.out_of_plane_rad),
        out_of_plane_straight_deg=degrees(float(swing.out_of_plane_rad[installed.pins.straight])),
        plate_frame=PlateFrameReport(origin_mm=installed.mount.fixed_mm, u=swing.u, v=swing.v),
        moving_end_deg=degrees(installed.moving_swing_rad),
        moving_swing_deg=None if rides is None else range_deg(rides.in_plane_rad),
        moving_out_of_plane_deg=None if rides is None else range_deg(rides.out_of_plane_rad),
        push_parts=_push_parts(study, installed),
        roll=None if study.roll is None else mirrored(RollReport, study.roll),
        bending=None if bending is None else _bending(study, bending),
        best_pin=None if installed.best is None else _best_pin(installed.best),
    )


def _bending(study: "SteeringStudy", bending: "RodBending") -> BendingReport:
    lies = study.along_rod
    assert lies is not None  # a rod is pushed
    return mirrored(
        BendingReport,
        bending,
        from_ball=f"{lies.lever}.{lies.ball}",
        from_ball_mm=lies.off_mm,
        stress_mpa=_stress_mpa(study, bending),
    )


def _stress_mpa(study: "SteeringStudy", bending: "RodBending") -> float | None:
    from plategen.checks.driven_rod import driven_rod

    rod = driven_rod(study.rules, study.driven, study)
    return None if rod is None else bending.moment_nmm / rod.bar.modulus_mm3


def _push_parts(study: "SteeringStudy", installed: "InLine") -> tuple[PushReport, ...]:
    forces = study.thrust
    places = (("right lock", 0), ("straight ahead", installed.pins.straight), ("left lock", -1))

    def parts(shares: Floats, force_n: float | None) -> Triple | None:
        return None if force_n is None else _triple(shares * force_n)

    rows = []
    for at, i in places:
        line, vehicle = installed.aligned.shares[i], installed.pins.direction[i]
        push, pull = (None, None) if forces is None else (forces.push_n, -forces.pull_n)
        rows.append(
            PushReport(
                at=at,
                of_the_line=_triple(line),
                of_the_vehicle=_triple(vehicle),
                push_of_the_line_n=parts(line, push),
                push_of_the_vehicle_n=parts(vehicle, push),
                pull_of_the_line_n=parts(line, pull),
                pull_of_the_vehicle_n=parts(vehicle, pull),
            )
        )
    return tuple(rows)


def _triple(values: Floats) -> Triple:
    one, two, three = (float(value) for value in values)
    return one, two, three


def _best_pin(best: "BestPin") -> BestPinReport:
    away = tuple(mirrored(AwayReport, step) for step in best.away)
    return mirrored(BestPinReport, best, fixed_pin_mm=best.fixed_mm, away=away)
