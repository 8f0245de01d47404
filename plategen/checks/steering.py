"""The checks of a steering study: linkage, stops and tyres, the cylinder and the rod it pushes, the oil circuit."""

import math
from collections.abc import Iterator
from functools import partial
from typing import Literal

from plategen.checks.driven_rod import check_rod
from plategen.checks.finding import Check, Finding, Part, part
from plategen.checks.setting import Setting
from plategen.checks.steering_axle import CHECKS as STEERING_AXLE_CHECKS
from plategen.checks.steering_axle import NOT_ASKED, check_axle
from plategen.checks.steering_circuit import CHECKS as STEERING_CIRCUIT_CHECKS
from plategen.checks.steering_circuit import check_steering_circuit
from plategen.checks.steering_cylinder import CHECKS as STEERING_CYLINDER_CHECKS
from plategen.checks.steering_cylinder import check_steering_cylinder
from plategen.checks.steering_hands import CHECKS as STEERING_HANDS_CHECKS
from plategen.checks.steering_hands import check_hands
from plategen.checks.steering_points import CHECKS as STEERING_POINTS_CHECKS
from plategen.checks.steering_points import check_steering_points
from plategen.checks.steering_ports import CHECKS as STEERING_PORTS_CHECKS
from plategen.checks.steering_ports import check_ports
from plategen.checks.steering_roll import CHECKS as STEERING_ROLL_CHECKS
from plategen.checks.steering_roll import check_roll
from plategen.checks.steering_stops import CHECKS as STEERING_STOPS_CHECKS
from plategen.checks.steering_stops import check_steering_stops
from plategen.checks.steering_team import CHECKS as STEERING_TEAM_CHECKS
from plategen.checks.steering_team import check_team
from plategen.checks.steering_tyres import CHECKS as STEERING_TYRES_CHECKS
from plategen.checks.steering_tyres import NO_TYRES, check_tyres
from plategen.ground.message import message, mm
from plategen.rules.edge_distance import least_edge_distance
from plategen.rules.safety import AISC
from plategen.steering.stops import Met
from plategen.steering.study import SteeringStudy

LEAST_ACKERMANN = 50.0
"""Share of Ackermann, in percent, below which slow machines scrub their tyres in every turn (common practice, no
source; race cars, which slide, use less)."""

LEAST_TRANSMISSION_DEG = 30.0
"""Below this a rod pulls its lever more than it turns it (common practice, no source)."""

NO_STOPS = (
    "No stops are told: whether a wheel's stop is met before the cylinder or the box comes to its end is not checked, "
    "and a cylinder that is the only stop breaks its bracket, its rod or a ball (`[steering.stops]`)."
)
"""What is said beside the verdict of a cylinder whose steering is stopped by nobody knows what."""

_row = partial(Check, subject="steering")
_LEAST_MM, _MOST_DEG = partial(_row, unit="mm", limit="at least"), partial(_row, unit="deg", limit="at most")
_STOPS = "the steering's stops"

TRANSMISSION = _row(
    "transmission angle",
    unit="deg",
    limit="at least",
    needs="a linkage",
    most="caution",
    not_covered="The linkage's levers, ball studs and steering box are not checked, nor a rod whose size is not given: "
    "each must stand the cylinder's whole push with shock, times the ratio of its arms.",
)
ACKERMANN = _row(
    "share of Ackermann at the lock",
    unit="%",
    limit="at least",
    needs="both wheels and a wheelbase",
    most="caution",
    near=False,
)
STOPS_MISSING = _row("spindle stops missing", unit="whole", limit="at most", needs=_STOPS)
BEFORE_BOX = _MOST_DEG("spindle stop before the box's own", needs=_STOPS)
BOX_MARKED = _row(
    "box's own stop later than the marks may be out",
    unit="deg",
    limit="at least",
    needs="marks and the box's own stops",
    most="caution",
    near=False,
)
TOGETHER = _MOST_DEG("stops met together", source="tolerance of the job", needs=_STOPS, most="caution")
BEFORE_CYLINDER = _MOST_DEG("spindle stop before the cylinder's end", needs=_STOPS, near=False)
STROKE_LEFT = _LEAST_MM(
    "stroke left when the wheel's stop is met",
    needs=_STOPS,
    most="caution",
    not_covered="Stops are met with the axle standing still; what its travel takes from the stroke is not counted.",
)
PAD_EDGE = _LEAST_MM("edge distance of the stop pad's hole", source=f"{AISC} Table J3.4", needs="a stop pad with holes")
CHECKS = (
    *(
        TRANSMISSION,
        ACKERMANN,
        STOPS_MISSING,
        BEFORE_BOX,
        BOX_MARKED,
        BEFORE_CYLINDER,
        STROKE_LEFT,
        TOGETHER,
        PAD_EDGE,
    ),
    *STEERING_TYRES_CHECKS,
    *STEERING_CYLINDER_CHECKS,
    *STEERING_ROLL_CHECKS,
    *STEERING_PORTS_CHECKS,
    *STEERING_TEAM_CHECKS,
    *STEERING_HANDS_CHECKS,
    *STEERING_STOPS_CHECKS,
    *STEERING_POINTS_CHECKS,
    *STEERING_AXLE_CHECKS,
    *STEERING_CIRCUIT_CHECKS,
)
"""All rows but those of the rod, which a job may have without a study."""


def check_steering(setting: Setting) -> Iterator[Finding]:
    """Findings about a job's steering; none without a study."""
    if setting.study is not None:
        yield from _of(setting.study, tried=setting.tried)


def findings(study: SteeringStudy) -> tuple[Finding, ...]:
    """Every finding about a study alone, before there is a bracket."""
    if study.thrust is None:
        return tuple(_of(study))
    return (*_of(study), *check_rod(study.units, study.thrust.push_n, study.rules, study.driven, study))


def _of(study: SteeringStudy, *, tried: bool = True) -> Iterator[Finding]:
    yield from _linkage(study)
    yield from check_steering_cylinder(study, tried=tried)
    yield from check_roll(study)
    yield from check_ports(study)
    yield from check_team(study)
    yield from check_hands(study)
    yield from check_steering_stops(study)
    yield from check_steering_points(study)
    if study.axle is not None:
        yield from check_axle(study, study.axle)
    yield from check_steering_circuit(study)


def _linkage(study: SteeringStudy) -> Iterator[Finding]:
    row = TRANSMISSION
    untold = [NOT_ASKED] * (study.axle is None) + [NO_STOPS] * (study.stops is None and study.in_line is not None)
    if study.sweep is not None and study.sweep.steer_rad and not study.clearances:
        untold.append(NO_TYRES)
    if untold:
        row = row.variant(not_covered=" ".join((row.not_covered, *untold)))
    for rod in study.rods:
        yield row.at_least(
            part(rod.rod),
            LEAST_TRANSMISSION_DEG,
            math.degrees(rod.least_transmission_rad),
            assumed="smallest angle between rod and lever over the sweep, at either end",
            cure="set rod and lever more square to each other at that lock",
        )
    shares = None if study.sweep is None else study.sweep.ackermann_percent
    for lock, share in () if shares is None else (("left lock", shares[-1]), ("right lock", shares[0])):
        yield ACKERMANN.at_least(
            part(lock),
            LEAST_ACKERMANN,
            float(share),
            assumed="100 % rolls freely, 0 % keeps the wheels parallel; below 0 % the outer wheel turns further",
            cure="set the tie rod's balls nearer to the line from kingpin to the middle of the rear axle",
        )
    yield from _stops(study, "left")
    yield from _stops(study, "right")
    yield from _pad(study)
    yield from check_tyres(study)


def _stops(study: SteeringStudy, turn: Literal["left", "right"]) -> Iterator[Finding]:
    order, entry, about = study.stops, study.steering.stops, part(f"{turn} lock")
    if order is None or entry is None:
        return
    met = order.of(turn)
    spindle = [m for m in met if m.kind == "spindle" and math.isfinite(m.box_rad)]
    yield STOPS_MISSING.at_most(
        about, 0.0, 0.0 if spindle else 1.0, cure="fit one: without it box and cylinder are the stop"
    )
    if not spindle:
        return
    for box in (m for m in met if m.kind == "box"):
        yield BEFORE_BOX.at_most(
            about,
            math.degrees(min(box.box_rad, 2.0 * math.pi)),
            math.degrees(spindle[0].box_rad),
            assumed="a box that is leaned on takes the linkage's whole force in its shaft and housing",
            cure="screw the spindle stop out so that it is met first",
        )
        late = order.after_rad(box)
        if late is not None and study.read_to is not None:
            yield BOX_MARKED.at_least(
                about,
                math.degrees(study.read_to.box_rad),
                math.degrees(late),
                assumed="the arm goes back by its marks; so far out the box is met before the wheel's stop",
                cure="a finer line on a larger circle, or set the box's stop further out",
            )
    yield from _cylinder_end(study, about, spindle[0], met)
    spread = order.spread_left_rad if turn == "left" else order.spread_right_rad
    yield TOGETHER.at_most(
        about,
        math.degrees(entry.tolerance_rad),
        math.degrees(spread),
        assumed="in degrees of the box's arm; box and cylinder, which come later, not counted",
        cure="set the bolts as the table of stops says",
    )


def _cylinder_end(study: SteeringStudy, about: Part, spindle: Met, met: tuple[Met, ...]) -> Iterator[Finding]:
    """The cylinder comes to its end after the wheel's stop, by the margin that is asked."""
    end, entry = next((m for m in met if m.kind == "cylinder"), None), study.steering.cylinder_mount
    if (
        end is None
        or entry is None
        or not math.isfinite(end.box_rad)
        or study.stroke is None
        or not study.stroke.enough
    ):
        return  # a stroke that does not cover the travel has a check of its own
    yield BEFORE_CYLINDER.at_most(
        about,
        math.degrees(end.box_rad),
        math.degrees(spindle.box_rad),
        assumed="a cylinder that bottoms takes the wheels' blows in its rod, its bracket and the balls",
        cure="screw the spindle stop out so that it is met first, or a longer stroke with thinner spacers",
    )
    if spindle.travel_mm is not None and end.travel_mm is not None:
        marks_mm = _mark_error_mm(study)
        opens = study.in_line is not None and study.in_line.pins.opens_to_left == (end.turn == "left")
        axle_mm = study.axle_takes_mm[opens]
        row = STROKE_LEFT if study.axle is None else STROKE_LEFT.variant(not_covered="")
        yield row.at_least(
            about,
            entry.margin_mm + marks_mm + axle_mm,
            end.travel_mm - spindle.travel_mm,
            assumed=message(
                "the margin asked, {} for what the marks on the box may be out, {} for what the axle's travel takes",
                mm(marks_mm),
                mm(axle_mm),
            ),
            cure="thinner stroke spacers, a longer stroke, or a stop that is met sooner",
        )


def _mark_error_mm(study: SteeringStudy) -> float:
    """Travel of the cylinder that the marks on the box may be out by, as they are read; zero without marks."""
    return 0.0 if study.read_to is None else study.read_to.travel_mm or 0.0


def _pad(study: SteeringStudy) -> Iterator[Finding]:
    pad = study.pad
    if pad is None or pad.edge_distance_mm is None:
        return
    rule = least_edge_distance(pad.bolt_mm, study.rules.tables or study.units)
    yield PAD_EDGE.at_least(
        part(pad.name),
        rule.mm,
        pad.edge_distance_mm,
        source=rule.source,
        assumed="from the hole's centre; a bolt that is not told fills its hole",
        cure="a larger pad, or a smaller hole",
    )
