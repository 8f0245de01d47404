"""The steering's cylinder: its stroke, force and oil, its line and its joints, and what it bears at its end."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.checks.steering_pin import pin_elsewhere
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import NOTHING, Message, Quantity, message, size
from plategen.steering.alignment import InLine
from plategen.steering.hands import Hands
from plategen.steering.hydraulics import Assist, Oil, Pass
from plategen.steering.roll import Rolled
from plategen.steering.study import SteeringStudy
from plategen.steering.tried import stroke_tried

IN_LINE_DEG = 5.0
"""Within this the push lost is under half a per cent and the side load under a tenth."""

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
BOTTOMED = Check(
    "cylinder bottomed: its pins, rod and balls",
    "steering",
    "N",
    "at most",
    source="virtual work of box and blow",
    needs="stops, and what box and blow give",
    most="caution",
)
CHECKS = (STROKE, STANDING, TIME, FOLLOWS, IN_LINE, JOINT, BOTTOMED)
"""The checks of this file."""


def check_steering_cylinder(study: SteeringStudy, *, tried: bool) -> Iterator[Finding]:
    """Findings about the steering's cylinder: what it can do, how it lies, and what it bears.

    Where cures are told untried its pin is not ``tried`` elsewhere.
    """
    yield from _work(study)
    if study.in_line is not None:
        yield from _lie(study, study.in_line, tried=tried)
    yield from _bottomed(study)


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


def _lie(study: SteeringStudy, lies: InLine, *, tried: bool) -> Iterator[Finding]:
    """How well the cylinder keeps its line, and whether its joints allow what it does not."""
    lying: tuple[InLine | Rolled, ...] = (lies, *study.rolled)
    worst_rad = max(each.aligned.worst_rad for each in lying)
    yield IN_LINE.at_most(
        part("cylinder"),
        IN_LINE_DEG,
        math.degrees(worst_rad),
        assumed="worst angle of the sweep",
        cure=partial(pin_elsewhere, study, lies, worst_rad) if tried else None,
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
