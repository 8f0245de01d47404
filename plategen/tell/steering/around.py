"""The tables of what stands round the linkage: stops, tyre clearance, marks."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.steering.travel import DEFLECTION_MM
from plategen.tell.report.around import MarkReport, MarksApartReport, MetReport, StopsReport, TyreClearanceReport
from plategen.tell.report.steering import SteeringReport
from plategen.tell.table import Block, Row, angle

LEAST_TURNS = 0.05
"""A bolt that is to be turned by less stays."""


CHECKLIST = (
    "Wheels straight ahead, machine on stands, engine off, pressure let out; hands clear of the linkage.",
    "One fine scribed line on the housing, square across the joint with the arm's hub. No felt pen: its line is wider "
    "than the error that matters.",
    "Steering turned by hand to the left lock against its spindle stop: first line on the hub, opposite the housing's "
    "line; mark it L.",
    "The same to the right lock: second line on the hub; mark it R.",
    "Read both lines, twice, with a thin rule laid round the hub; write down radius and both arcs. Photograph them.",
    "Column spline: index line across joint and shaft, so that the steering wheel comes back where it was.",
    "Only now may the arm come off its splines. It is never pulled off before the lines are read.",
    "Ports capped as soon as a hose is off; caps stay on until the hose is back. Dirt ends a box within hours.",
    "Arm back on, nut to the maker's torque; both lines read again and compared with what was written down.",
    "Both locks by hand with the cylinder's pin out, then with it in: spindle stops are met first, on both sides.",
)
"""The job card's steps, in order (common practice, no source)."""


def around_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """Stops, tyres and marks."""
    if report.stops is not None:
        yield _stops(report.stops, show)
    yield _tyres(report.tyre_clearance, show)
    yield _marks(report.marks, show)


def _stops(stops: StopsReport, show: Show) -> Block:
    """The stops of both turns, in the order in which they are met."""
    rows = tuple(
        _stop_row(turn, met, show) for turn, order in (("left", stops.left), ("right", stops.right)) for met in order
    )
    heading = ("turn", "stop", "met at, box", "travel", "to be met later by", "bolt", "a turn is", "it bears")
    return Block("Stops, in the order in which they are met", heading, rows)


def _stop_row(turn: str, met: MetReport, show: Show) -> Row:
    later = met.set_by_deg if met.box_deg is not None and met.kind != "box" else None
    return (
        turn,
        met.name,
        "never" if met.box_deg is None else angle(show, met.box_deg),
        "" if met.travel_mm is None else show.length(met.travel_mm),
        "" if later is None else angle(show, later),
        _setting(met),
        _per_turn(met, show),
        _borne(met, show),
    )


def _setting(met: MetReport) -> str:
    if met.bolt_turns is None or abs(met.bolt_turns) < LEAST_TURNS:
        return ""
    return f"{abs(met.bolt_turns):.1f} turns {'in' if met.bolt_turns < 0.0 else 'out'}"


def _per_turn(met: MetReport, show: Show) -> str:
    if met.per_turn_deg is None:
        return ""
    travel = "" if met.per_turn_mm is None else f", {show.length(met.per_turn_mm)}"
    return f"{angle(show, met.per_turn_deg)}{travel}"


def _borne(met: MetReport, show: Show) -> str:
    """What a stop bears: a force where the job says how far out it stands, else the moment on its lever's shaft."""
    if met.force_n is not None:
        return show.force(met.force_n)
    return "" if met.moment_nmm is None else f"{show.moment(met.moment_nmm)} on the shaft"


def _tyres(clearances: tuple[TyreClearanceReport, ...], show: Show) -> Block:
    """Every tyre against every bar, undeflected and deflected."""
    rows = tuple(
        (c.tyre, c.bar, show.length(c.least_mm), *(show.length(d.left_mm) for d in c.deflected)) for c in clearances
    )
    deflected = tuple(f"deflected {show.short(mm)} {show.units}" for mm in DEFLECTION_MM)
    return Block("Tyre clearance", ("tyre on", "to", "least", *deflected), rows)


def _marks(marks: tuple[MarkReport, ...], show: Show) -> Block:
    """What an error on the hub is worth."""
    rows = tuple(
        (
            mark.what,
            show.length(mark.error_mm),
            angle(show, mark.box_deg),
            "" if mark.wheel_deg is None else angle(show, mark.wheel_deg),
            "" if mark.travel_mm is None else show.length(mark.travel_mm),
            "" if mark.splines is None else f"{mark.splines:.2f}",
        )
        for mark in marks
    )
    return Block("What a mark is worth", ("mark", "on the hub", "box", "wheel", "travel", "splines"), rows)


def marks_apart_words(marks: MarksApartReport, show: Show) -> str:
    """How far apart the two lines on the hub have to come out."""
    left, right, turn = (angle(show, deg) for deg in (marks.left_deg, marks.right_deg, marks.turn_deg))
    return (
        f"The box arm turns {left} to the left and {right} to the right, {turn} in all. On a hub of "
        f"{show.length(marks.hub_diameter_mm)} the lines L and R come out {show.length(marks.apart_mm)} apart, laid "
        "round the hub. If they do not, stop: a lock, a rod or the drawing is not what it was taken for."
    )
