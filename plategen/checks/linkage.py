"""The steering's linkage: rods against levers, what stops it and in which order, what its tyres come near."""

import math
from collections.abc import Iterator
from typing import Literal

from plategen.checks.finding import Check, Finding, part
from plategen.rules.edge_distance import least_edge_distance
from plategen.rules.safety import AISC
from plategen.steering.stops import Met
from plategen.steering.study import SteeringStudy
from plategen.steering.travel import DEFLECTION_MM

LEAST_TRANSMISSION_DEG = 30.0
"""Below this a rod pulls its lever more than it turns it (common practice, no source)."""

TRANSMISSION = Check("transmission angle", "steering", "deg", "at least", needs="a linkage", most="caution")
STOPS_MISSING = Check("spindle stops missing", "steering", "1", "at most", needs="the steering's stops")
BEFORE_BOX = Check("spindle stop before the box's own", "steering", "deg", "at most", needs="the steering's stops")
TOGETHER = Check(
    "stops met together",
    "steering",
    "deg",
    "at most",
    source="tolerance of the job",
    needs="the steering's stops",
    most="caution",
)
PAD_EDGE = Check(
    "edge distance of the stop pad's hole",
    "steering",
    "mm",
    "at least",
    source=f"{AISC} Table J3.4",
    needs="a stop pad with holes",
)
TYRE = Check(
    "tyre clears, deflected",
    "steering",
    "mm",
    "at least",
    needs="tyres and bars",
    not_covered="Tyres are followed with the axle standing still, without its travel.",
)
TYRE_HARD = Check("tyre clears, deflected hard", "steering", "mm", "at least", needs="tyres and bars", most="caution")
CHECKS = (TRANSMISSION, STOPS_MISSING, BEFORE_BOX, TOGETHER, PAD_EDGE, TYRE, TYRE_HARD)
"""The checks of this file."""


def check_linkage(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about rods and levers, stops and stop pad, and the tyres' clearances."""
    for rod in study.rods:
        yield TRANSMISSION.at_least(
            part(rod.rod),
            LEAST_TRANSMISSION_DEG,
            math.degrees(rod.least_transmission_rad),
            assumed="smallest angle between rod and lever over the sweep, at either end",
            cure="set rod and lever more square to each other at that lock",
        )
    yield from _stops(study, "left")
    yield from _stops(study, "right")
    yield from _pad(study)
    yield from _tyres(study)


def _stops(study: SteeringStudy, turn: Literal["left", "right"]) -> Iterator[Finding]:
    """Stops there, in the right order, and together."""
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
        yield _before(turn, spindle[0], box)
    spread = order.spread_left_rad if turn == "left" else order.spread_right_rad
    yield TOGETHER.at_most(
        about,
        math.degrees(entry.tolerance_rad),
        math.degrees(spread),
        assumed="in degrees of the box's arm; the box's own stop not counted",
        cure="set the bolts as the table of stops says",
    )


def _before(turn: str, first: Met, box: Met) -> Finding:
    return BEFORE_BOX.at_most(
        part(f"{turn} lock"),
        math.degrees(min(box.box_rad, 2.0 * math.pi)),
        math.degrees(first.box_rad),
        assumed="a box that is leaned on takes the linkage's whole force in its shaft and housing",
        cure="screw the spindle stop out so that it is met first",
    )


def _pad(study: SteeringStudy) -> Iterator[Finding]:
    """The stop pad's holes far enough from its edges."""
    pad = study.pad
    if pad is None or pad.edge_distance_mm is None:
        return
    rule = least_edge_distance(pad.bolt_mm)
    yield PAD_EDGE.at_least(
        part(pad.name),
        rule.mm,
        pad.edge_distance_mm,
        source=rule.source,
        assumed="from the hole's centre; a bolt that is not told fills its hole",
        cure="a larger pad, or a smaller hole",
    )


def _tyres(study: SteeringStudy) -> Iterator[Finding]:
    """Tyres clear of the bars, deflected and deflected hard."""
    for clearance in study.clearances:
        for check, deflection in zip((TYRE, TYRE_HARD), DEFLECTION_MM, strict=True):
            yield check.at_least(
                part(clearance.tyre, clearance.bar),
                deflection,
                max(clearance.least_mm, 0.0),
                assumed="tyre as a plain ring; axle and frame where they are drawn, no suspension travel",
                cure="less lock, narrower tyres or wheels set further out",
            )
