"""Room for the tools and the heads: sockets beside beads, rail, each other; heads beside the eye and between the ears.

The nuts lie on the tabs' outer faces, where the socket turns; the heads lie between the ears.
"""

import cmath
import math
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from itertools import combinations
from typing import TypeAlias

from plategen.bracket.feature import in_the_way
from plategen.bracket.model import Hole, Plate
from plategen.bracket.prism import Prism, room_between
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part, between, part
from plategen.checks.load_path import BoltJoint
from plategen.checks.setting import Setting
from plategen.flat.loop import Circle
from plategen.flat.segment import Line
from plategen.ground.cure import Cure, advise
from plategen.ground.message import Message, message, mm, number
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot, minus
from plategen.rules.fastener import washer_mm
from plategen.rules.safety import PRACTICE
from plategen.rules.wrench import HAND_MM, ToolRoom, tool_room, wrench_size

_SOCKET_OVER_BOLT = 4.0  # how far a socket with its head stands out over the bolt: more than any does
_NEAR_MM = 500.0

CORNERS_OVER_FLATS = 2.0 / math.sqrt(3.0)
"""Across corners of a hexagon over across flats."""

HEAD_OVER_BOLT = 0.7
"""Height of a hexagon head over the bolt: no head of ISO 4014 or ASME B18.2.1 is higher."""


Room: TypeAlias = tuple[Check, Part, float, float, Message | str, str]
"""A check, what it looks at, the least room and the room there, what is assumed, and what would make more."""


_row = partial(Check, subject="tool room", unit="mm", limit="at least", needs="bolts", most="caution")
BESIDE_BEAD, BESIDE_NUT = _row("socket beside the bead"), _row("socket beside the next nut")
BESIDE_EYE, BETWEEN_EARS = _row("head beside the eye"), _row("heads between the ears")
BESIDE_FEATURE, BESIDE_BEND = _row("socket beside what is on the rail"), _row("socket beside the bend")
CHECKS = (BESIDE_BEAD, BESIDE_NUT, BESIDE_EYE, BETWEEN_EARS, BESIDE_FEATURE, BESIDE_BEND)
BY_TOOL = frozenset({BESIDE_BEAD, BESIDE_NUT, BESIDE_FEATURE, BESIDE_BEND})
"""The checks of this file, which only advise, as room for tools is practice; those that go by a table of sockets."""


def check_wrenches(setting: Setting) -> Iterator[Finding]:
    """Findings about the tools of every bolted joint; none for a bolt whose hexagon is not tabled."""
    for _, joint in setting.bolted:
        bolt, pin = joint.upper_holes[0].bolt_mm, setting.bracket.pin
        try:
            size = wrench_size(bolt)
        except Refusal:
            continue
        room = tool_room(bolt, power=setting.rules.pretensioned)
        washer = washer_mm(bolt, structural=setting.bolt_grade(bolt).may_be_pretensioned("aisc-asd"))
        corner = CORNERS_OVER_FLATS * max(size.head_mm, size.nut_mm) / 2.0
        between_ears = (
            BETWEEN_EARS,
            part(joint.upper.name),
            2.0 * (HEAD_OVER_BOLT * bolt + washer),
            pin.eye_width_mm + 2.0 * pin.gap_mm,
            message(
                "two heads of {} d and two washers of {} face to face; the bolts go in before the ears go up",
                number(HEAD_OVER_BOLT, "size"),
                mm(washer, "up"),
            ),
            "smaller bolts, or nuts inside and rows that do not face each other",
        )
        rooms = (*_sockets(setting, joint, room, corner), *_beside_eye(setting, joint, corner))
        rooms += (*_on_base(setting, joint, room),) if joint.on_wall else (between_ears, *_on_tab(setting, joint, room))
        for check, about, least, there, assumed, cure in rooms:
            yield check.at_least(
                about,
                least,
                there,
                source=room.source if check in BY_TOOL else PRACTICE,
                assumed=assumed,
                cure=partial(_asked, setting, cure, least),
            )


def _asked(setting: Setting, cure: str, least_mm: float) -> Cure:
    return advise("{}: {} asked", cure, larger.up(setting, least_mm))


def _sockets(setting: Setting, joint: BoltJoint, room: ToolRoom, corner: float) -> Iterator[Room]:
    """Nuts on the welded plate beside the bead along its notch, and beside each other."""
    notch, pairs = joint.lower.notch, combinations(joint.upper_holes, 2)
    leg = max((run.leg_mm for run in setting.bracket.welds if run.plate == joint.lower.name), default=0.0)
    for hole in joint.lower_holes:
        if notch is not None:
            least, there = room.mm + leg, notch.distance(hole.circle.centre)
            words = message("{}, beside the bead's leg", room.words)
            yield BESIDE_BEAD, part(joint.lower.name, hole.name), least, there, words, "bolts further from the rail"
    yield (
        BESIDE_NUT,
        between(joint.upper.name, joint.lower.name),
        room.mm + corner,
        min((abs(a.circle.centre - b.circle.centre) for a, b in pairs), default=math.inf),
        message("{}, beside the next nut's corners", room.words),
        "bolts further apart",
    )


def _on_base(setting: Setting, joint: BoltJoint, room: ToolRoom) -> Iterator[Room]:
    """Sockets on a base beside the ears' beads or bends, and beside what stands on the rail."""
    base, folded = joint.upper, setting.bracket.folded
    runs = [run for run in setting.bracket.welds if run.other == base.name]
    lines = [
        Line(*(base.placement.flat(run.placement.point(p)) for p in (run.path.start, run.path.end))) for run in runs
    ]
    lines += [bend.edge for bend in folded.bends] if folded is not None else []
    check, beside = (BESIDE_BEAD, "the bead's leg") if folded is None else (BESIDE_BEND, "where the bend begins")
    for hole in joint.upper_holes:
        at = hole.circle.centre
        near = min((abs(line.point(line.nearest(at)) - at) for line in lines), default=math.inf)
        leg = max((run.leg_mm for run in runs), default=0.0)
        words = message("{}, beside {}", room.words, beside)
        yield check, part(base.name, hole.name), room.mm + leg, near, words, "bolts further from the ears"
        yield from _beside_features(setting, base, hole, room, far=True)


def _on_tab(setting: Setting, joint: BoltJoint, room: ToolRoom) -> Iterator[Room]:
    """Sockets on the outer face of a welded plate, which a bolted one lies on, beside what stands on the rail."""
    tab, upper = joint.lower, joint.upper
    inwards = dot(tab.placement.normal, minus(upper.placement.origin, tab.placement.origin))
    for hole in joint.lower_holes:
        yield from _beside_features(setting, tab, hole, room, far=inwards < 0.0)


def _beside_features(setting: Setting, plate: Plate, hole: Hole, room: ToolRoom, *, far: bool) -> Iterator[Room]:
    """A socket beside what stands on the rail, on the plate's far face or on that of its outline, down to the other."""
    at, long = hole.circle.centre, _SOCKET_OVER_BOLT * hole.bolt_mm
    place = plate.placement
    on = replace(place, origin=place.point(0j, 0.0 if far else -long))
    post = Prism(Circle(at, room.mm), on, long + plate.thickness_mm)
    for feature in in_the_way(setting.features):
        near = math.dist(on.point(at), feature.placement.origin) < _NEAR_MM
        there = room_between(feature.body, post) if near else math.inf
        about = between(hole.name, feature.name, plate.name)
        yield BESIDE_FEATURE, about, feature.clear_mm, there, room.words, "the bolt farther from it"


def _beside_eye(setting: Setting, joint: BoltJoint, corner: float) -> Iterator[Room]:
    """Heads between the ears beside the eye, and beside the lug that leads from it to the barrel, over the swing."""
    place, pin = joint.upper.placement, setting.bracket.pin
    if abs(place.normal[2]) < 1.0 - 1e-6:
        return
    for hole in joint.upper_holes:
        u, v, _ = place.point(hole.circle.centre)
        yield (
            BESIDE_EYE,
            part(joint.upper.name, hole.name),
            pin.eye_radius_mm + corner + HAND_MM,
            from_lug(complex(u - pin.centre[0], v - pin.centre[1]), setting.design.motion.swing_rad),
            "across corners of the head; the eye and the lug behind it, as wide as the eye, over the swing",
            "bolts further from the cylinder",
        )


def from_lug(away: complex, swing_rad: tuple[float, float]) -> float:
    """Least distance of a point, seen from the pin, to the cylinder's axis over its swing.

    The axis runs from the pin along +u, turned by the angles of the swing towards +v.

    >>> round(from_lug(10j, (0.0, 0.0)), 6), round(from_lug(10j, (0.0, 1.6)), 6)
    (10.0, 0.0)
    """
    low, high = swing_rad
    angle = cmath.phase(away)
    lean = max(0.0, angle - high, low - angle)
    return abs(away) * math.sin(lean) if lean < math.pi / 2 else abs(away)
