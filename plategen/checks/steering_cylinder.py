"""The steering's cylinder: stroke and strength, its line, its joints and its ports."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.checks.steering_pin import pin_elsewhere
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import NOTHING, Message, Quantity, message, mm, rad, size
from plategen.steering.alignment import InLine
from plategen.steering.hands import Hands
from plategen.steering.hoses import SLACK_SHARE, ports_with_hoses
from plategen.steering.hydraulics import Assist, Oil, Pass
from plategen.steering.moving_end import on_rod_mm
from plategen.steering.ports import PortAngle
from plategen.steering.roll import Roll, Rolled
from plategen.steering.study import SteeringStudy
from plategen.steering.tried import stroke_tried

IN_LINE_DEG = 5.0
"""Within this the push lost is under half a per cent and the side load under a tenth."""

PORTS_UP_DEG = 30.0
"""Within this of straight up a port still lets nearly all air out."""

NO_AIR_MM3 = 50.0
"""Less than a drop or two is no air."""

FITTING_GAP_MM = 6.35
"""Room that a fitting keeps from what moves past it: a quarter of an inch."""

LEAST_RPS, USUAL_RPS = 1.0, 2.0
"""Turns of the steering wheel a second that oil is to follow: with the engine idling, and at working speed (common
practice, no source)."""

_LEAST, _MOST = (partial(Check, subject="steering", limit=limit) for limit in ("at least", "at most"))
_TYRES = "Barton and Fieldhouse, Automotive Chassis Engineering (2018), ch. 2, and common practice"
_JOINT = "geometry, and the joint's own limit"

STROKE = _LEAST("stroke covers travel", unit="mm", source="geometry", needs="a cylinder and its travel")
STANDING = Check(
    "turns the tyres standing", "steering", "N", source=_TYRES, needs="a tyre and a cylinder", most="caution"
)
TIME = _MOST("lock to lock in time", unit="s", needs="a pump's flow and a wanted time", most="caution")
FOLLOWS = _LEAST(
    "steering wheel before it goes heavy",
    unit="turns/s",
    needs="a pump's flow and the column's ratio",
    most="caution",
    near=False,
    not_covered="The steering wheel goes heavy sooner where something else draws on the pump, or oil leaks past a worn "
    "pump, valve or piston.",
)
IN_LINE = _MOST("in line with what it pushes", unit="deg", needs="a cylinder in a linkage", most="caution")
JOINT = _LEAST("joint tilts far enough", unit="deg", source=_JOINT, needs="the joint's limit")
PORT_UP = _MOST("port points up", unit="deg", needs="the cylinder's ports", most="caution")
FITTING = _LEAST("fitting clears *", unit="mm", needs="the cylinder's ports and bars")
_HOSE = "the hose's own least bend radius"
HOSE = _LEAST("hose bends no tighter than it may", unit="mm", source=_HOSE, needs="the ports' hoses")
SLACK = _LEAST(
    "hose keeps slack",
    unit="mm",
    source="EN 854: up to 4 % shorter under pressure; the rest common practice, no source",
    needs="the ports' hoses",
)
_ROLLS = partial(Check, subject="steering", unit="N·mm", limit="at most", needs="a rod that a cylinder pushes")
ROLL = _ROLLS("moment that rolls the pushed rod", source="statics of a rod between two balls")
ROLL_HELD = _ROLLS(
    "moment to hold the pushed rod against rolling",
    source="statics of a rod between two balls",
    most="caution",
    not_covered="What holds a pushed rod against rolling about its own line is told, not sized.",
)
BOTTOMED = Check(
    "cylinder bottomed: its pins, rod and balls",
    "steering",
    "N",
    "at most",
    source="virtual work of box and blow",
    needs="stops, and what box and blow give",
    most="caution",
)
STROKE_ROLLED = _LEAST(
    "stroke covers travel, rod rolled", unit="mm", source="geometry", needs="a rod that its joints hold from rolling"
)
CHECKS = (
    STROKE,
    STANDING,
    TIME,
    FOLLOWS,
    IN_LINE,
    JOINT,
    PORT_UP,
    FITTING,
    HOSE,
    SLACK,
    ROLL,
    ROLL_HELD,
    STROKE_ROLLED,
    BOTTOMED,
)
"""The checks of this file."""


def check_steering_cylinder(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about the steering's cylinder: what it can do, how it lies, and its ports."""
    yield from _work(study)
    if study.in_line is not None:
        yield from _lie(study, study.in_line)
    if study.roll is not None:
        yield from _roll(study, study.roll)
    yield from _bottomed(study)
    for port in study.ports:
        yield from _port(study, port)


def _work(study: SteeringStudy) -> Iterator[Finding]:
    """Stroke for the travel, force for the tyres, oil for the time."""
    advice, cylinder = study.stroke, study.size
    if advice is None:
        return
    if cylinder is not None:
        short_mm = max(-advice.at_cap_mm, -advice.at_rod_mm)
        yield STROKE.at_least(
            part("cylinder"),
            advice.travel_mm if advice.enough else cylinder.stroke_mm + short_mm,
            cylinder.stroke_mm,
            assumed="with the fixed pin where it is advised",
            cure=lambda: _stroke(study),
        )
    helped, wanted_s, oil = study.assist, study.steering.lock_to_lock_s, study.oil
    if helped is not None and helped.available_n is not None:
        needed_n, assumed = _standing(helped, study.hands)
        yield STANDING.strength(
            part("cylinder"),
            needed_n,
            min(helped.available_n),
            assumed=assumed,
            cure=lambda: advise(
                "a larger bore{}, a longer arm or more pressure; rolling takes far less", _larger(study)
            ),
        )
    if oil is not None and oil.slowest is not None:
        yield from _flow(oil, oil.slowest, wanted_s)


def _standing(helped: Assist, hands: Hands | None) -> tuple[float, Message]:
    """What the standing tyres ask of the cylinder, and who else is counted."""
    tyres = "both wheels on dry ground, upper of two formulas"
    if hands is None or hands.needed_n is None or not (hands.box_known or hands.push_n):
        return float(helped.needed_n.max()), message("{}; alone: the driver and the box help as well", tyres)
    box = "the box at relief" if hands.box_known else "the box, whose moment is NOT told, not"
    words = "{}, with the joints' friction and the lift of a leaning kingpin; counted beside it: {}, and {} at the rim"
    return float(hands.needed_n.max()), message(words, tyres, box, Quantity(hands.push_n, "N"))


def _flow(oil: Oil, run: Pass, wanted_s: float | None) -> Iterator[Finding]:
    """Time and turns a second at the least flow that is told."""
    about = part("pump" if oil.idle is None else "pump, engine idling")
    assumed = (
        "the box takes no oil: `box_volume` is not told, and the figure is better than it will be"
        if oil.box_mm3 is None
        else "the flow that the steering is sure of fills box and cylinder together"
    )
    if wanted_s is not None:
        yield TIME.at_most(
            about, wanted_s, max(run.open_s, run.close_s), assumed=assumed, cure="more flow or a smaller bore"
        )
    if run.wheel_rps is not None:
        yield FOLLOWS.at_least(
            about,
            LEAST_RPS if oil.idle is not None else USUAL_RPS,
            run.wheel_rps,
            assumed=assumed,
            cure="more flow, a smaller bore, or a larger priority",
        )


def _stroke(study: SteeringStudy) -> Cure:
    assert study.size is not None
    found = stroke_tried(study.steering, study.sweep, study.in_line, study.size, study.series)
    if found is None:
        return advise("no standard stroke covers it: less lock, or push nearer to a lever's axis")
    tried, has_place = found
    stroke, closed = size(tried.stroke_mm), size(tried.closed_mm)
    if not has_place:
        words = (
            "a stroke of {} covers it, in a cylinder so much longer: closed length {}, with a box that it reaches from"
        )
        return advise(words, stroke, closed)
    changes = (Change("cylinder.stroke", stroke), Change("cylinder.closed_length", closed))
    return Cure(
        message("a stroke of {} covers it, in a cylinder so much longer: closed length {}", stroke, closed), changes
    )


def _larger(study: SteeringStudy) -> Message:
    """The standard cylinder that would do it, if there is one."""
    sizing = study.sizing
    if sizing is None or sizing.bore is None or sizing.rod is None:
        return NOTHING
    return message(" (bore {}, rod {} would do it)", size(sizing.bore.size_mm), size(sizing.rod.size_mm))


def _lie(study: SteeringStudy, lies: InLine) -> Iterator[Finding]:
    """How well the cylinder keeps its line, and whether its joints allow what it does not."""
    lying: tuple[InLine | Rolled, ...] = (lies, *study.rolled)
    worst_rad = max(each.aligned.worst_rad for each in lying)
    yield IN_LINE.at_most(
        part("cylinder"),
        IN_LINE_DEG,
        math.degrees(worst_rad),
        assumed="worst angle of the sweep",
        cure=partial(pin_elsewhere, study, lies, worst_rad),
    )
    entry = study.steering.cylinder_mount
    if entry is None or entry.joint_rad is None:
        return
    turns = [each.moving_swing_rad for each in lying]
    if study.axle is not None and study.axle.moving_swing_rad is not None:
        turns.append(study.axle.moving_swing_rad)
    out = max(abs(angle) for swing in study.swings_about("fixed pin") for angle in swing.out_of_plane_range_rad)
    for about, needed, assumed in (
        ("fixed end's joint", out, "angle of the cylinder out of the plates' plane"),
        (
            "moving end's joint",
            max(map(min, turns)),
            "the smaller of two ranges: the stud stands across the larger",
        ),
    ):
        yield JOINT.at_least(
            part(about),
            math.degrees(needed),
            math.degrees(entry.joint_rad),
            assumed=assumed,
            cure="turn the pin, move the fixed pin, or take a joint that tilts further",
        )


def _bottomed(study: SteeringStudy) -> Iterator[Finding]:
    """What a cylinder bears that is the stop itself; that it is one stops, by the order of the stops."""
    for end in study.bottomed:
        parts = (
            ("box", end.box_n),
            ("blow on a tyre's edge", end.strike_n),
            ("further cylinders", end.further_n or None),
        )
        told = [word for word, n in parts if n is not None]
        sized_n = 0.0 if study.thrust is None else study.rules.shock_factor * study.thrust.push_n
        yield BOTTOMED.at_most(
            part(f"{end.turn} lock"),
            0.0,
            end.force_n,
            assumed=message(
                "{} counted; the bracket is judged for it as well, the rods and the cylinder's own for {}",
                " and ".join(told) or "neither box nor blow is told, and NOTHING",
                Quantity(sized_n, "N"),
            ),
            cure="a wheel's stop that is met first; a cylinder is no stop",
        )


def _roll(study: SteeringStudy, roll: Roll) -> Iterator[Finding]:
    """Whether anything keeps the pushed rod from rolling, and what it must carry."""
    entry = study.steering.cylinder_mount
    assert entry is not None
    advice, reach, stroke_mm = study.stroke, study.cylinder_mm, None if study.size is None else study.size.stroke_mm
    if study.rolled and advice is not None and reach is not None and stroke_mm is not None:
        closed_mm, open_mm = advice.ends_mm
        short_mm = max(closed_mm - reach[0], reach[1] - open_mm, 0.0)
        yield STROKE_ROLLED.at_least(
            part("cylinder"),
            stroke_mm + short_mm,
            stroke_mm,
            assumed="the pushed rod rolled to its joints' limit, either side",
            cure="thinner stroke spacers, a longer stroke, or an end that holds the rod",
        )
    if entry.holds_roll in ("end", "lever"):
        yield ROLL_HELD.at_most(
            part(roll.rod),
            0.0,
            roll.drawn_moment_nmm,
            assumed="the keyed or bolted end, or the link to the lever, must carry it both ways for good",
            cure="size what holds it for this moment, and look at it at every service",
        )
    elif entry.holds_roll == "joints":
        yield ROLL_HELD.at_most(
            part(roll.rod),
            0.0,
            roll.moment_nmm,
            assumed=message(
                "the rod throws over at every reversal and leans on its joints at {} of roll; the study is made there "
                "as well, either side",
                rad(entry.roll_free_rad or 0.0),
            ),
            cure="a keyed end or a pin on the rod's own line; studs that the joints lean on wear and break",
        )
    else:
        yield ROLL.at_most(
            part(roll.rod),
            0.0,
            roll.moment_nmm,
            assumed=message(
                "the pin stands {} beside the rod's line; between two balls nothing keeps the rod from turning over, "
                "and no place beside the line is at rest under a push and a pull",
                mm(roll.offset_mm),
            ),
            cure=partial(_on_the_line, study),
        )


def _on_the_line(study: SteeringStudy) -> Cure:
    """Where the moving pin is turned by no push, and how long the cylinder then is straight ahead."""
    words = "with a fork on both sides, or push a lever; or tell what holds it: holds_roll"
    place = None if study.sweep is None or study.in_line is None else on_rod_mm(study.sweep.motion, study.in_line.mount)
    if place is None or study.in_line is None:
        return advise("set the moving pin on the rod's own line {}", words)
    x, y, z = map(mm, place)
    return advise(
        "set the moving pin on the rod's own line, next to it at x {}, y {}, z {}, {} from the fixed pin, {}",
        x, y, z, mm(math.dist(place, study.in_line.mount.fixed_mm)), words,
    )  # fmt: skip


def _port(study: SteeringStudy, port: PortAngle) -> Iterator[Finding]:
    """The port up, its fitting clear, its hose not bent too tight."""
    about = part(f"{port.name} port")
    yield PORT_UP.at_most(
        about,
        PORTS_UP_DEG,
        math.degrees(port.worst_rad),
        assumed="no air can stay above it"
        if port.trapped_mm3 < NO_AIR_MM3
        else message("up to {} of air can stay above it", Quantity(port.trapped_mm3, "mm3")),
        cure="turn the cylinder until the ports point up",
    )
    for name, gap in port.clearance_mm:
        yield FITTING.variant(name=f"fitting clears {name}").at_least(
            about, FITTING_GAP_MM, gap, assumed="over the whole sweep", cure="turn the port or use an elbow"
        )
    entry = next(p for p in ports_with_hoses(study.steering) if p.name == port.name)
    span, least = port.hose_span_mm, entry.bend_radius_mm
    if span is not None and entry.hose_length_mm is not None:
        yield SLACK.at_least(
            about,
            SLACK_SHARE * span[1],
            entry.hose_length_mm - span[1],
            assumed=message("it spans {} to {} over all positions", mm(span[0]), mm(span[1])),
            cure=lambda: advise("a hose of {} or more", mm((1.0 + SLACK_SHARE) * span[1], "up")),
        )
    if least is not None and port.bend_mm is not None:
        yield HOSE.at_least(
            about,
            least,
            min(port.bend_mm, 1e6),
            assumed="hose in one even arc, where it is slackest",
            cure="lead the hose further away, or shorten it",
        )
