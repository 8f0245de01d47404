"""Every table of a steering study, made from its report: those of linkage and cylinder here, the equipment's beside;
all of them as the command prints them.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import partial
from itertools import chain

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.report.cylinder import BendingReport, BestPinReport, InLineReport, StrokeReport
from plategen.tell.report.encode import Triple
from plategen.tell.report.linkage import AttachmentReport, RodReport, SweepReport, TravelReport, WhatIfReport
from plategen.tell.report.steering import SteeringReport, steering_report
from plategen.tell.screen import findings_lines, verdict_lines
from plategen.tell.steering.axle import axle_tables
from plategen.tell.steering.equipment import around_tables, oil_tables
from plategen.tell.steering.hands import hands_tables
from plategen.tell.steering.team import team_tables
from plategen.tell.table import Block, Row, angle, cells, signed

STAYS_MM = 0.05
"""A pin that moves by less stays where it is."""

_WAYS = (("forward", "aft"), ("left", "right"), ("up", "down"))
_STEPS = {"x": ("behind", "ahead of"), "y": ("right of", "left of"), "z": ("below", "above")}


def linkage_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """How the linkage moves."""
    if report.sweep is not None:
        yield _locks(report.sweep, show)
    yield _rods(report.rods, show)
    yield _travel(report.travel, show)


def change_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """What changes would do to it."""
    yield _what_if(report.what_if, show)
    yield _attachments(report.attachments, show)


def _locks(sweep: SweepReport, show: Show) -> Block:
    """The linkage at the left lock, straight ahead and at the right lock."""

    def cells(values: Iterable[float | None], words: Callable[[float], str]) -> Row:
        return tuple("" if value is None else words(value) for value in values)

    def degrees(deg: float) -> str:
        return angle(show, deg)

    locks = sweep.locks
    rows: list[Row] = [(sweep.driver, *cells((at.driver_deg for at in locks), degrees))]
    rows += [(f"{side} wheel", *cells((at.wheels_deg[side] for at in locks), degrees)) for side in sweep.wheels_deg]
    if sweep.toe_error_deg is not None:
        rows.append(("toe-out beyond free rolling", *cells((at.toe_error_deg for at in locks), degrees)))
    if sweep.ackermann_percent_at_locks is not None:
        rows.append(("share of Ackermann", *cells((at.ackermann_percent for at in locks), "{:.0f} %".format)))
    if sweep.ratio is not None:
        rows.append(("ratio box to wheel", *cells((at.ratio for at in locks), "{:.2f}".format)))
    if sweep.straight_toe_deg is not None:
        rows.append(("toe-in as the rods are set", "", degrees(sweep.straight_toe_deg), ""))
    if sweep.wheel_turns is not None:
        left, _, right = cells((at.wheel_turns for at in locks), "{:.2f}".format)
        rows.append((f"turns of the steering wheel, {sweep.wheel_turns:.2f} in all", left, "", right))
    return Block("Lock to lock", ("", "left lock", "ahead", "right lock"), tuple(rows))


def _rods(rods: tuple[RodReport, ...], show: Show) -> Block:
    rows = tuple(
        cells(show, rod, "name", "plan_deg", "rise_deg", "largest_tilt_deg", "least_transmission_deg") for rod in rods
    )
    return Block("Rods", ("rod", "from above", "rise", "joint tilts", "least transmission angle"), rows)


def _travel(travel: tuple[TravelReport, ...], show: Show) -> Block:
    rows = tuple(cells(show, t, "point", "chord_mm", "path_mm", "to_left_mm", "to_right_mm") for t in travel)
    return Block("Travel", ("point", "lock to lock", "along its path", "to the left", "to the right"), rows)


def _what_if(changes: tuple[WhatIfReport, ...], show: Show) -> Block:
    """What an inch, or ten millimetres, of each change does; what matters most comes first."""
    per_mm, unit = (25.4, "1 in") if show.units == "in" else (10.0, "10 mm")
    rows = tuple(
        (
            change.part,
            change.change,
            f"{signed(change.wheel_deg_per_mm * per_mm, 2)}°",
            "quicker" if change.wheel_deg_per_mm > 0.0 else "slower",
            f"{signed(change.toe_deg_per_mm * per_mm, 2)}°",
            "" if change.travel_mm_per_mm is None else signed(change.travel_mm_per_mm, 3),
        )
        for change in sorted(changes, key=lambda change: -abs(change.wheel_deg_per_mm))
    )
    heading = ("part", f"by {unit}", "wheel, lock to lock", "steering", "toe-in ahead", "travel for each length")
    return Block("What if", heading, rows)


def _attachments(places: tuple[AttachmentReport, ...], show: Show) -> Block:
    """Where the cylinder could push: stroke against leverage."""
    rows = tuple(
        (
            str(number),
            *cells(show, place, "place", "travel_mm", "arm_mm"),
            *(
                cells(show, place, "least_arm_mm", "moment_nmm")
                if place.dead_deg is None
                else (f"dead point, box at {angle(show, place.dead_deg)}", "")
            ),
        )
        for number, place in enumerate(places, 1)
    )
    heading = ("", "cylinder on", "stroke it needs", "arm straight ahead", "least arm", "least moment, pulling")
    return Block("Travel against force", heading, rows)


def cylinder_tables(report: SteeringReport, show: Show, *, pin_there: bool = False) -> Iterator[Block]:
    """What stroke to fit and how the cylinder lies; ``pin_there`` where the bracket's pin stands as advised."""
    if report.stroke is not None:
        yield _stroke(report.stroke, show, pin_there=pin_there)
    if report.in_line is not None:
        yield _in_line(report.in_line, show)
        yield _push(report.in_line, show)
        if report.in_line.best_pin is not None:
            yield _best_pin(report.in_line.best_pin, show)


def _stroke(stroke: StrokeReport, show: Show, *, pin_there: bool) -> Block:
    rows: list[Row] = [
        ("travel lock to lock", show.length(stroke.travel_mm)),
        ("stroke wanted, with margin", show.length(stroke.needed_mm)),
        ("stroke", show.length(stroke.stroke_mm)),
    ]
    if stroke.standard_mm is not None:
        rows.append(("next standard stroke", f"{show.length(stroke.standard_mm)} ({stroke.standard_source})"))
    if stroke.chosen:
        rows += [
            ("limit the stroke by", show.length(stroke.limit_mm)),
            ("spacer at the cap end", _spacer(stroke.spacer_cap_mm, show)),
            ("spacer on the rod", _spacer(stroke.spacer_rod_mm, show)),
            ("pin to pin, closed on its spacer", show.length(stroke.closed_mm)),
            ("pin to pin, open on its spacer", show.length(stroke.open_mm)),
            ("pin to pin, straight ahead", show.length(stroke.straight_mm)),
            ("fixed pin, from where it is drawn", _moved(stroke.fixed_pin_moved_mm, show)),
        ]
    else:
        rows.append(("closed length that suits the drawn pins", show.length(stroke.closed_for_drawn_mm)))
    if stroke.fixed_pin_mm is not None:
        rows.append(("fixed pin stands at" if pin_there else "fixed pin goes to", _place(stroke.fixed_pin_mm, show)))
    if stroke.bracket_moved_mm is not None and pin_there:
        rows.append(("the same on the bracket", "done already: the bracket's pin stands there"))
    elif stroke.bracket_moved_mm is not None:
        station, offset, plane = (_by(mm, show) for mm in stroke.bracket_moved_mm)
        rows.append(
            (
                "the same on the bracket, from the job file's numbers",
                f"pin station {station}, in-line offset {offset}, plane {plane}",
            )
        )
    return Block("Cylinder: stroke, spacers, fixed pin", (), tuple(rows))


def _spacer(width_mm: float, show: Show) -> str:
    """How wide a spacer is; what the stroke lacks where none would do."""
    if width_mm < -STAYS_MM:
        return f"none: {show.length(-width_mm)} of stroke is missing there"
    return show.length(max(width_mm, 0.0))


def _in_line(installed: InLineReport, show: Show) -> Block:
    rows: list[Row] = [
        ("in line with", installed.line or "the way the pin moves"),
        ("worst angle", angle(show, installed.worst_deg)),
        ("seen from above, at most", angle(show, max(map(abs, installed.level_deg)))),
        ("seen from the side, at most", angle(show, max(map(abs, installed.upright_deg)))),
        ("push lost, at most", f"{100.0 * installed.push_lost:.2f} %"),
        ("side load, at most", f"{100.0 * installed.side_share:.1f} % of the push"),
        ("pin off square to the cylinder, straight ahead", angle(show, installed.out_of_plane_straight_deg)),
        ("swing at the fixed pin, in the plates' plane", *cells(show, installed, "swing_deg")),
        ("swing at the fixed pin, out of it", *cells(show, installed, "out_of_plane_deg")),
        ("swing at the moving pin, two ways", " and ".join(angle(show, a) for a in installed.moving_end_deg)),
    ]
    if installed.moving_swing_deg is not None:
        rows += [
            ("the same as plates that ride on it see it, in their plane", *cells(show, installed, "moving_swing_deg")),
            ("and out of it", *cells(show, installed, "moving_out_of_plane_deg")),
        ]
    if installed.bending is not None:
        rows += _bending_rows(installed.bending, show)
    if installed.roll is not None:
        rows += [
            ("moment that rolls the pushed rod, as drawn", show.moment(installed.roll.drawn_moment_nmm)),
            ("the same, wherever it has rolled to", show.moment(installed.roll.moment_nmm)),
            ("stiffness against roll", f"{show.moment(installed.roll.least_stiffness_nmm)} a radian"),
        ]
    return Block("In line", (), tuple(rows))


def _push(installed: InLineReport, show: Show) -> Block:
    """Push and pull in their parts at both locks and straight ahead: by the line that is pushed, and by the vehicle."""
    parts = installed.push_parts
    rows = [_push_row(f"push, {p.at}", p.push_of_the_line_n, p.push_of_the_vehicle_n, show) for p in parts]
    rows += [_push_row(f"pull, {p.at}", p.pull_of_the_line_n, p.pull_of_the_vehicle_n, show) for p in parts]
    heading = ("", "along the line", "level across it", "square to both", "fore and aft", "to the side", "up and down")
    title = "Push and pull in their parts: of the line, then of the vehicle"
    return Block(title, heading, tuple(filter(None, rows)))


def _best_pin(best: BestPinReport, show: Show) -> Block:
    rows: list[Row] = [("the best place", angle(show, best.worst_deg), f"{100.0 * best.push_lost:.2f} %")]
    rows += [
        (
            f"{show.length(abs(a.step_mm))} {_STEPS[a.axis][a.step_mm > 0.0]} it",
            angle(show, a.worst_deg),
            f"{100.0 * a.push_lost:.2f} %",
        )
        for a in best.away
    ]
    title = f"Best fixed pin in the box: {_place(best.fixed_pin_mm, show)}"
    return Block(title, ("fixed pin", "worst angle", "push lost"), tuple(rows))


def _bending_rows(bending: BendingReport, show: Show) -> list[Row]:
    return [
        ("moving pin beside the rod's line", show.length(bending.eccentric_mm)),
        (f"moving pin along the rod, from '{bending.from_ball}'", _along(bending.from_ball_mm, show)),
        ("side load on the rod", show.force(bending.side_n)),
        ("bending in the rod", show.moment(bending.moment_nmm)),
        ("side force on its balls", " and ".join(map(show.force, bending.ball_side_n))),
        ("bending in the levers at its ends", " and ".join(map(show.moment, bending.lever_moment_nmm))),
    ]


def _along(off_mm: float, show: Show) -> str:
    return f"{show.length(abs(off_mm))} {'towards its other ball' if off_mm >= 0.0 else 'beyond it'}"


def _push_row(name: str, line_n: Triple | None, vehicle_n: Triple | None, show: Show) -> Row:
    if line_n is None or vehicle_n is None:
        return ()
    ways = (f"{show.force(abs(n))} {way[n < 0.0]}" for n, way in zip(vehicle_n, _WAYS, strict=True))
    return (name, *(show.force(abs(n)) for n in line_n), *ways)


def _place(place_mm: Triple, show: Show) -> str:
    return ", ".join(f"{axis} {show.length(mm)}" for axis, mm in zip("xyz", place_mm, strict=True))


def _by(mm: float, show: Show) -> str:
    """A change of a number of the job: ``'+1/8 in (0.125)'``, ``'stays'``."""
    return "stays" if abs(mm) < STAYS_MM else f"{'+' if mm > 0.0 else '-'}{show.length(abs(mm))}"


def _moved(mm: float, show: Show) -> str:
    if abs(mm) < STAYS_MM:
        return "stays"
    return f"{show.length(abs(mm))} {'away from' if mm > 0.0 else 'towards'} the moving pin"


def tables(report: SteeringReport, show: Show, *, pin_there: bool = False) -> tuple[Block, ...]:
    """Every table that has something to say; ``pin_there`` where the bracket's pin stands as advised."""
    cylinder = partial(cylinder_tables, pin_there=pin_there)
    parts = (linkage_tables, cylinder, axle_tables, oil_tables, team_tables, hands_tables, around_tables, change_tables)
    return tuple(block for block in chain.from_iterable(part(report, show) for part in parts) if block.rows)


def steer_lines(study: SteeringStudy, show: Show, *, pin_there: bool = False) -> list[str]:
    """Every table of the study and its findings, in the job's units."""
    lines = [study.title]
    for block in tables(steering_report(study), show, pin_there=pin_there):
        lines += ["", *block.lines]
    judged = findings(study)
    return [*lines, "", "Judged", *findings_lines(judged, show), *verdict_lines(judged)]
