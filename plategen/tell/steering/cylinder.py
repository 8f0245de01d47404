"""The cylinder's tables: stroke and spacers, alignment, push in its parts, best pin."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.tell.report.cylinder import BendingReport, BestPinReport, InLineReport, StrokeReport
from plategen.tell.report.encode import Triple
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, Row, angle

STAYS_MM = 0.05
"""A pin that moves by less stays where it is."""

_WAYS = (("forward", "aft"), ("left", "right"), ("up", "down"))
_STEPS = {"x": ("behind", "ahead of"), "y": ("right of", "left of"), "z": ("below", "above")}


def cylinder_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """What stroke to fit and how the cylinder lies."""
    if report.stroke is not None:
        yield _stroke(report.stroke, show)
    if report.in_line is not None:
        yield _in_line(report.in_line, show)
        yield _push(report.in_line, show)
        if report.in_line.best_pin is not None:
            yield _best_pin(report.in_line.best_pin, show)


def _stroke(stroke: StrokeReport, show: Show) -> Block:
    """Stroke, spacers and fixed pin."""
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
            ("spacer at the cap end", show.length(stroke.spacer_cap_mm)),
            ("spacer on the rod", show.length(stroke.spacer_rod_mm)),
            ("pin to pin, closed on its spacer", show.length(stroke.closed_mm)),
            ("pin to pin, open on its spacer", show.length(stroke.open_mm)),
            ("pin to pin, straight ahead", show.length(stroke.straight_mm)),
            ("fixed pin, from where it is drawn", _moved(stroke.fixed_pin_moved_mm, show)),
        ]
    else:
        rows.append(("closed length that suits the drawn pins", show.length(stroke.closed_for_drawn_mm)))
    if stroke.fixed_pin_mm is not None:
        rows.append(("fixed pin goes to", _place(stroke.fixed_pin_mm, show)))
    if stroke.bracket_moved_mm is not None:
        station, offset, plane = (_by(mm, show) for mm in stroke.bracket_moved_mm)
        rows.append(("the same on the bracket", f"pin station {station}, in-line offset {offset}, plane {plane}"))
    return Block("Cylinder: stroke, spacers, fixed pin", (), tuple(rows))


def _in_line(installed: InLineReport, show: Show) -> Block:
    """Alignment, swing and bending."""
    rows: list[Row] = [
        ("in line with", installed.line or "the way the pin moves"),
        ("worst angle", angle(show, installed.worst_deg)),
        ("seen from above, at most", angle(show, max(map(abs, installed.level_deg)))),
        ("seen from the side, at most", angle(show, max(map(abs, installed.upright_deg)))),
        ("push lost, at most", f"{100.0 * installed.push_lost:.2f} %"),
        ("side load, at most", f"{100.0 * installed.side_share:.1f} % of the push"),
        ("pin off square to the cylinder, straight ahead", angle(show, installed.out_of_plane_straight_deg)),
        ("swing at the fixed pin, in the plates' plane", " to ".join(angle(show, a) for a in installed.swing_deg)),
        ("swing at the fixed pin, out of it", " to ".join(angle(show, a) for a in installed.out_of_plane_deg)),
        ("swing at the moving pin, two ways", " and ".join(angle(show, a) for a in installed.moving_end_deg)),
    ]
    if installed.bending is not None:
        rows += _bending_rows(installed.bending, show)
    return Block("In line", (), tuple(rows))


def _push(installed: InLineReport, show: Show) -> Block:
    """Push and pull in their parts at both locks and straight ahead: by the line that is pushed, and by the vehicle."""
    rows = [
        *(
            _push_row(f"push, {p.at}", p.push_of_the_line_n, p.push_of_the_vehicle_n, show)
            for p in installed.push_parts
        ),
        *(
            _push_row(f"pull, {p.at}", p.pull_of_the_line_n, p.pull_of_the_vehicle_n, show)
            for p in installed.push_parts
        ),
    ]
    heading = ("", "along the line", "level across it", "square to both", "fore and aft", "to the side", "up and down")
    title = "Push and pull in their parts: of the line, then of the vehicle"
    return Block(title, heading, tuple(filter(None, rows)))


def _best_pin(best: BestPinReport, show: Show) -> Block:
    """The best fixed pin and what a step away from it costs."""
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
        ("side load on the rod", show.force(bending.side_n)),
        ("bending in the rod", show.moment(bending.moment_nmm)),
        ("side force on its balls", " and ".join(map(show.force, bending.ball_side_n))),
        ("bending in the levers at its ends", " and ".join(map(show.moment, bending.lever_moment_nmm))),
    ]


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
