"""The equipment's tables: force and oil, ports and hoses; stops, tyre clearance, marks."""

from collections.abc import Iterator

from plategen.ground.show import Show
from plategen.steering.clearance import DEFLECTION_MM
from plategen.steering.marks import READING_ERROR
from plategen.tell.report import equipment
from plategen.tell.report.steering import SteeringReport
from plategen.tell.steering.circuit import circuit_tables
from plategen.tell.table import Block, Row, angle, cells

SCRUB: tuple[Row, ...] = (
    ("  patch a disc: Barton, Fieldhouse (2018), ch. 2", "f W √(d² + (a/3)²)"),
    ("  by its width: common practice, no source", "f W √(B²/8 + d²)"),
    ("  f friction, W load, d kingpin offset", "a length of the patch, B width"),
)
"""Where the moment of a standing tyre comes from."""


def oil_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """Force, ports and the oil's way."""
    yield _oil(report.oil, report.sizing, show)
    yield _ports(report.ports, show)
    if report.circuit is not None:
        yield from circuit_tables(report.circuit, show)


def _oil(oil: equipment.OilReport | None, sizing: equipment.SizingReport | None, show: Show) -> Block:
    rows: list[Row] = []
    if oil is not None:
        rows += _oil_rows(oil, show)
    if sizing is not None:
        none = "none; two cylinders, or a longer arm"
        rows.append(("standard cylinder that turns them alone", _size(sizing.bore_mm, sizing.rod_mm, show) or none))
        if nearest := _size(sizing.nearest_bore_mm, sizing.nearest_rod_mm, show):
            rows.append(("standard sizes nearest to this cylinder", nearest))
    return Block("Force and oil", (), tuple(rows))


def _ports(ports: tuple[equipment.PortReport, ...], show: Show) -> Block:
    rows = tuple(
        (
            *cells(show, port, "name", "worst_deg", "trapped_mm3", "hose_span_mm", "hose_needed_mm"),
            "" if port.hose_span_mm is None else "straight" if port.bend_mm is None else show.length(port.bend_mm),
            "; ".join(f"{name} {show.length(gap)}" for name, gap in port.clearance_mm.items()),
        )
        for port in ports
    )
    heading = ("port", "off straight up", "air that can stay", "hose has to span", "hose", "bends at", "fitting clears")
    return Block("Ports and hoses", heading, rows)


def _oil_rows(oil: equipment.OilReport, show: Show) -> Iterator[Row]:
    """What there is of push and pull, of oil and times, and of the force that turns the wheels."""
    if oil.pull_n is not None and oil.stronger_by is not None:
        yield "push", *cells(show, oil, "push_n")
        yield "pull", f"{show.force(oil.pull_n)} (push is {oil.stronger_by:.2f} times as strong, and as slow)"
    if oil.open_mm3 is not None:
        yield "oil to open, to close", ", ".join(cells(show, oil, "open_mm3", "close_mm3"))
        yield "oil that the box takes, lock to lock", _box_oil(oil, show)
    for at, run in (("at working speed", oil.working), ("engine idling", oil.idle)):
        if run is not None:
            yield from _pass_rows(at, run, show)
    if oil.flow_lpm is not None:
        yield "flow for the wanted time", show.flow(oil.flow_lpm)
    yield from _turning_rows(oil, show)


def _pass_rows(at: str, run: equipment.PassReport, show: Show) -> Iterator[Row]:
    """One pass from lock to lock at one flow of the pump."""
    yield f"flow for the steering, {at}", show.flow(run.flow_lpm)
    yield f"lock to lock, opening and closing, {at}", f"{run.open_s:.2f} s, {run.close_s:.2f} s"
    if run.wheel_rps is not None:
        yield f"steering wheel goes heavy, {at}", f"from {run.wheel_rps:.2f} turns a second"


def _turning_rows(oil: equipment.OilReport, show: Show) -> Iterator[Row]:
    """What the standing tyres ask of the cylinder, and what it has."""
    if oil.scrub_nmm is not None:
        yield "moment to turn one standing tyre", *cells(show, oil, "scrub_nmm")
        yield from SCRUB
    if oil.least_needed_n is not None:
        yield "force that turns both, alone", " to ".join(cells(show, oil, "least_needed_n", "needed_n"))
    if oil.left_n is not None:
        yield "force there is, turning left, right", ", ".join(cells(show, oil, "left_n", "right_n"))


def _box_oil(oil: equipment.OilReport, show: Show) -> str:
    if oil.box_mm3 is None or oil.box_share is None:
        return "not told: the times count the cylinder's oil alone and are too short"
    share = f"{oil.box_share:.0%} of the slower pass, the cylinder {1.0 - oil.box_share:.0%}"
    return f"{show.volume(oil.box_mm3)} ({share})"


def _size(bore_mm: float | None, rod_mm: float | None, show: Show) -> str:
    if bore_mm is None or rod_mm is None:
        return ""
    return f"{show.length(bore_mm)} bore, {show.length(rod_mm)} rod"


LEAST_TURNS = 0.05
"""A bolt that is to be turned by less stays."""


CHECKLIST = (
    "Alignment first: toe, rods and wheels set straight ahead. Then the box centred: its turns counted by hand from "
    "stop to stop with the rod off the arm, and halved. Marks on a box that is off centre keep it off centre.",
    "Machine on stands, engine off, pressure let out; hands clear of the linkage.",
    "Layout dye or a thin coat of paint on hub and housing, dry; on it one fine scribed line on the housing, square "
    "across the joint with the arm's hub. No felt pen: its line is wider than the error that matters.",
    "Steering turned by hand to the left lock against its spindle stop: first line on the hub, opposite the housing's "
    "line; mark it L.",
    "The same to the right lock: second line on the hub; mark it R.",
    "Read both lines, twice, with a thin rule laid round the hub; write down radius and both arcs. Photograph them.",
    "Index for the column: a line across joint and shaft, and across shaft and steering wheel; the wheel straight.",
    "The ARM STAYS ON the box, and the box goes out with it: whoever sets the box's inner stops needs arm and lines. "
    "Only the rod's ball is taken off the arm.",
    "Ports capped as soon as a hose is off, caps screwed, not rags; they stay on until the hose is back. Dirt ends a "
    "box within hours.",
    "For who receives the box: set its inner stops so that they act past the lines L and R by the degrees of the table "
    "of stops, never before them; leave the arm where it is, or put it back by its lines and say so; leave dye, "
    "lines and caps; write down the degrees found to either side.",
    "Box back, nut of the arm to the maker's torque; both lines read again and compared with what was written down.",
    "Both locks by hand with the cylinder's pin out, then with it in: spindle stops are met first, on both sides.",
)
"""The job card's steps, in order (common practice, no source)."""


def around_tables(report: SteeringReport, show: Show) -> Iterator[Block]:
    """Stops, tyres and marks."""
    if report.stops is not None:
        yield _stops(report.stops, show)
    yield _stop_loads(report.stop_loads, show)
    yield _tyres(report.tyre_clearance, show)
    yield _marks(report.marks, show)


def _stops(stops: equipment.StopsReport, show: Show) -> Block:
    rows = tuple(
        _stop_row(turn, met, show) for turn, order in (("left", stops.left), ("right", stops.right)) for met in order
    )
    heading = (
        "turn",
        "stop",
        "met at, box",
        "after the wheel's",
        "marks out",
        "travel",
        "to be met later by",
        "bolt",
        "a turn is",
        "it bears",
    )
    return Block("Stops, in the order in which they are met", heading, rows)


def _stop_loads(loads: tuple[equipment.StopLoadReport, ...], show: Show) -> Block:
    rows = tuple(
        (
            load.name,
            show.moment(load.cylinder_nmm),
            *("NOT told" if nmm is None else show.moment(nmm) for nmm in (load.box_nmm, load.strike_nmm)),
            show.force(load.force_n),
        )
        for load in loads
    )
    heading = ("stop", "cylinder, with shock", "box", "blow on the tyre", "in all, at the contact")
    return Block("What a wheel's stop carries, all at once", heading, rows)


def _stop_row(turn: str, met: equipment.MetReport, show: Show) -> Row:
    later = met.set_by_deg if met.box_deg is not None and met.kind != "box" else None
    return (
        turn,
        met.name,
        "never" if met.box_deg is None else angle(show, met.box_deg),
        *cells(show, met, "after_deg", "after_marked_deg", "travel_mm"),
        "" if later is None else angle(show, later),
        _setting(met),
        ", ".join(filter(None, cells(show, met, "per_turn_deg", "per_turn_mm"))),
        _borne(met, show),
    )


def _setting(met: equipment.MetReport) -> str:
    if met.bolt_turns is None or abs(met.bolt_turns) < LEAST_TURNS:
        return ""
    return f"{abs(met.bolt_turns):.1f} turns {'in' if met.bolt_turns < 0.0 else 'out'}"


def _borne(met: equipment.MetReport, show: Show) -> str:
    """What a stop bears: a force where the job says how far out it stands, else the moment on its lever's shaft."""
    force, moment = cells(show, met, "force_n", "moment_nmm")
    return force or (f"{moment} on the shaft" if moment else "")


MOST_TYRES = 8
"""Gaps of the tyres that are told one by one, the least first; the report has them all."""


def _tyres(clearances: tuple[equipment.TyreClearanceReport, ...], show: Show) -> Block:
    nearest = sorted(clearances, key=lambda c: c.least_mm)
    rows: list[Row] = [
        (
            c.tyre,
            f"{c.bar}, axle moved" if c.axle_moved else c.bar,
            show.length(c.least_mm),
            *(show.length(d.left_mm) for d in c.deflected),
        )
        for c in nearest[:MOST_TYRES]
    ]
    if len(nearest) > MOST_TYRES:
        rows.append(
            (
                "either",
                f"the {len(nearest) - MOST_TYRES} others",
                f"{show.length(nearest[MOST_TYRES].least_mm)} or more",
                *("" for _ in DEFLECTION_MM),
            )
        )
    deflected = tuple(f"deflected {show.short(mm)} {show.units}" for mm in DEFLECTION_MM)
    return Block("Tyre clearance", ("tyre on", "to", "least", *deflected), tuple(rows))


def _marks(marks: tuple[equipment.MarkReport, ...], show: Show) -> Block:
    rows = tuple(
        (
            *cells(show, mark, "what", "error_mm", "box_deg", "wheel_deg", "travel_mm"),
            "" if mark.splines is None else f"{mark.splines:.2f}",
        )
        for mark in marks
    )
    return Block("What a mark is worth", ("mark", "on the hub", "box", "wheel", "travel", "splines"), rows)


def setting_steps(report: SteeringReport, show: Show) -> tuple[str, ...]:
    """How to set the stops on the bench so that all meet together; empty without stops."""
    if report.stops is None:
        return ()
    steps = [
        "Machine on stands, wheels free, engine off, pressure let out, the cylinder's pin out; tie rod and toe as set.",
    ]
    for turn, order in (("left", report.stops.left), ("right", report.stops.right)):
        for met in (each for each in order if each.kind == "spindle"):
            by = _setting(met)
            one = ", ".join(filter(None, cells(show, met, "per_turn_deg", "per_turn_mm")))
            worth = f"; a turn is {one}" if one else ""
            steps.append(f"Turning {turn}, {met.name}: {f'turn it {by}' if by else 'leave it as drawn'}{worth}.")
    return (
        *steps,
        "Turn by hand to each lock with a strip of thin paper in every contact: all strips of a turn are held at once. "
        "One is loose: its bolt a quarter turn out, and again. Contacts square, in the middle of their pads.",
        "Lock nuts tight, at least one diameter of thread in the tab, a line of paint across nut and bolt.",
        "Cylinder's pin in: at each lock, stops touching, measure the rod's stroke left to its end and write it down; "
        "less than the margin of the table: thinner spacers, never a shorter stop alone.",
        "Under power at idle, slowly, to both locks: the wheels' stops touch first, the box and the cylinder never.",
    )


def order_words(report: SteeringReport, show: Show) -> str:
    """What the marks' reading error is against the margins of the stops: how many degrees, and which stop it loses."""
    read = next((mark for mark in report.marks if mark.what == READING_ERROR), None)
    if read is None or report.stops is None:
        return ""
    met = [("left", each) for each in report.stops.left] + [("right", each) for each in report.stops.right]
    lost = "; ".join(
        f"{each.name}, turning {turn}, only {angle(show, each.after_deg)} after the wheel's stop"
        for turn, each in met
        if each.after_deg is not None and each.after_marked_deg is not None and each.after_marked_deg <= 0.0
    )
    words = f"Read to {show.length(read.error_mm)} the lines may be {angle(show, read.box_deg)} of the box out. "
    if not lost:
        return words + "Every stop keeps its place in the order then."
    return words + f"Then these may be met BEFORE the wheel's stop: {lost}. Prove the order at both locks."


def marks_apart_words(marks: equipment.MarksApartReport, show: Show) -> str:
    """How far apart the two lines on the hub have to come out."""
    left, right, turn = (angle(show, deg) for deg in (marks.left_deg, marks.right_deg, marks.turn_deg))
    return (
        f"The box arm turns {left} to the left and {right} to the right, {turn} in all. On a hub of "
        f"{show.length(marks.hub_diameter_mm)} the lines L and R come out {show.length(marks.apart_mm)} apart, laid "
        "round the hub. If they do not, stop: a lock, a rod or the drawing is not what it was taken for."
    )
