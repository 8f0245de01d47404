"""Room for the tools and the heads: sockets beside beads, rail, each other; heads beside the eye and between the ears.

The nuts lie on the tabs' outer faces, where the socket turns; the heads lie between the ears.
"""

import cmath
import math
from collections.abc import Iterator
from itertools import combinations

from plategen.bracket.model import Bracket
from plategen.checks.finding import Finding
from plategen.checks.load_path import BoltJoint
from plategen.checks.setting import Setting
from plategen.ground.refusal import Refusal
from plategen.rules.hole_size import wrench_size
from plategen.rules.tool_room import HAND_MM, PRACTICE, ToolRoom, tool_room

CORNERS_OVER_FLATS = 2.0 / math.sqrt(3.0)
"""Across corners of a hexagon over across flats."""

HEAD_OVER_BOLT, WASHER_OVER_BOLT = 0.65, 0.21
"""Height of a hexagon head and thickness of a plain washer over the bolt.

On the safe side of ISO 4014 and ASME B18.2.1, ISO 7089 and ASME B18.21.1 (from memory).
"""


def check_wrenches(setting: Setting, bracket: Bracket, joint: BoltJoint) -> Iterator[Finding]:
    """Every finding about the tools of one bolted joint."""
    bolt = joint.upper_holes[0].bolt_mm
    try:
        size = wrench_size(bolt)
    except Refusal:
        return
    room = tool_room(bolt, power=setting.rules.pretensioned)
    corner = CORNERS_OVER_FLATS * max(size.head_mm, size.nut_mm) / 2.0
    yield from _beside_bead(setting, bracket, joint, room)
    pairs = combinations(joint.upper_holes, 2)
    apart = min((abs(a.circle.centre - b.circle.centre) for a, b in pairs), default=math.inf)
    yield _room(
        setting,
        "socket beside the next nut",
        f"{joint.upper.name} to {joint.lower.name}",
        room.mm + corner,
        apart,
        f"{room.words}, beside the next nut's corners",
        "bolts further apart",
        room.source,
    )
    yield from _beside_eye(setting, bracket, joint, corner)
    between = bracket.pin.eye_width_mm + 2.0 * bracket.pin.gap_mm
    heads = 2.0 * (HEAD_OVER_BOLT + WASHER_OVER_BOLT) * bolt
    yield _room(
        setting,
        "heads between the ears",
        joint.upper.name,
        heads,
        between,
        "two heads and two washers face to face: 0.65 d and 0.21 d each; the bolts go in before the ears go up",
        "smaller bolts, or nuts inside and rows that do not face each other",
    )


def _beside_bead(setting: Setting, bracket: Bracket, joint: BoltJoint, room: ToolRoom) -> Iterator[Finding]:
    """Nuts on the welded plate beside the bead along its notch."""
    notch = joint.lower.notch
    if notch is None:
        return
    leg = max((run.leg_mm for run in bracket.welds if run.plate == joint.lower.name), default=0.0)
    for hole in joint.lower_holes:
        yield _room(
            setting,
            "socket beside the bead",
            f"{joint.lower.name}, {hole.name}",
            room.mm + leg,
            notch.distance(hole.circle.centre),
            f"{room.words}, beside the bead's leg",
            "bolts further from the rail",
            room.source,
        )


def _beside_eye(setting: Setting, bracket: Bracket, joint: BoltJoint, corner: float) -> Iterator[Finding]:
    """Heads between the ears beside the eye, and beside the lug that leads from it to the barrel, over the swing."""
    pin = joint.upper.placement.flat(bracket.pin.centre)
    if abs(joint.upper.placement.normal[2]) < 1.0 - 1e-6:
        return
    for hole in joint.upper_holes:
        away = hole.circle.centre - pin
        yield _room(
            setting,
            "head beside the eye",
            f"{joint.upper.name}, {hole.name}",
            bracket.pin.eye_radius_mm + corner + HAND_MM,
            from_lug(away, setting.rules.swing_rad),
            "across corners of the head; the eye and the lug behind it, as wide as the eye, over the swing",
            "bolts further from the cylinder",
        )


def from_lug(away: complex, swing_rad: float) -> float:
    """Least distance of a point, seen from the pin, to the cylinder's axis when it swings by an angle to each side.

    The axis runs from the pin along +u.
    """
    lean = max(0.0, abs(cmath.phase(away)) - swing_rad)
    return abs(away) * math.sin(lean) if lean < math.pi / 2 else abs(away)


def _room(
    setting: Setting, check: str, part: str, least: float, has: float, assumed: str, cure: str, source: str = PRACTICE
) -> Finding:
    return Finding(
        check=check,
        part=part,
        demand=least,
        capacity=has,
        unit="mm",
        source=source,
        assumed=assumed,
        cure=f"{cure}: {setting.up(least)} asked" if has < least else "",
        most="caution",
    )
