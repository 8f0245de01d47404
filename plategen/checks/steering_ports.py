"""The ports of the steering's cylinder: whether air gets out of them, and whether fitting and hose clear and reach."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import advise
from plategen.ground.message import Quantity, message, mm
from plategen.steering.hoses import SLACK_SHARE, ports_with_hoses
from plategen.steering.ports import PortAngle
from plategen.steering.study import SteeringStudy

PORTS_UP_DEG = 30.0
"""Within this of straight up a port still lets nearly all air out."""

NO_AIR_MM3 = 50.0
"""Less than a drop or two is no air."""

FITTING_GAP_MM = 6.35
"""Room that a fitting keeps from what moves past it: a quarter of an inch."""

_LEAST = partial(Check, subject="steering", unit="mm", limit="at least")
PORT_UP = Check("port points up", "steering", "deg", "at most", needs="the cylinder's ports", most="caution")
FITTING = _LEAST("fitting clears *", needs="the cylinder's ports and bars")
_HOSE = "the hose's own least bend radius"
HOSE = _LEAST("hose bends no tighter than it may", source=_HOSE, needs="the ports' hoses")
SLACK = _LEAST(
    "hose keeps slack",
    source="EN 854: up to 4 % shorter under pressure; the rest common practice, no source",
    needs="the ports' hoses",
)
CHECKS = (PORT_UP, FITTING, HOSE, SLACK)
"""The checks of this file."""


def check_ports(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about every port of the cylinder."""
    for port in study.ports:
        yield from _port(study, port)


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
