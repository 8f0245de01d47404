"""The cylinders beside the first: whether each covers its travel, ends after the wheel's stop, and rolls its rod."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.cylinder import BUCKLES
from plategen.checks.finding import Check, Finding, part
from plategen.checks.steering_cylinder import IN_LINE_DEG
from plategen.ground.message import message, mm, number
from plategen.rules.column import Bar
from plategen.rules.material import steel
from plategen.steering.alignment import alignment
from plategen.steering.roll import roll
from plategen.steering.study import SteeringStudy
from plategen.steering.team import Pusher

_row = partial(Check, subject="steering", needs="a further cylinder")
COVERS = _row(
    "further cylinder covers its travel",
    unit="mm",
    limit="at least",
    source="geometry",
    not_covered="Of a further cylinder force, oil, stroke, its rod's buckling, its line to a pushed rod, roll, the "
    "rods that pass its push on and the tyres' clearance are judged: not its bracket (a job of its own), hoses and "
    "joints, nor the side load on its rod.",
)
BUCKLES_TOO = BUCKLES("rod of a further cylinder buckling", "steering", needs="a further cylinder")
LINE = _row("further cylinder in line with the rod it pushes", unit="deg", limit="at most", most="caution")
ENDS_LATER = _row("spindle stop before a further cylinder's end", unit="deg", limit="at most", near=False)
ROLLS = _row(
    "moment that rolls a rod a further cylinder pushes",
    unit="N·mm",
    limit="at most",
    source="statics of a rod between two balls",
)
CHECKS = (COVERS, BUCKLES_TOO, LINE, ENDS_LATER, ROLLS)
"""The checks of this file."""


def check_team(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about each cylinder beside the first."""
    for each in study.team.further:
        yield from _covers(study, each)
        yield from _stands(study, each)
        yield from _ends_later(study, each)
        yield from _rolls(study, each)


def _covers(study: SteeringStudy, each: Pusher) -> Iterator[Finding]:
    entry = study.steering.cylinder_mount
    margin_mm = 0.0 if entry is None else entry.margin_mm
    shortest, longest = each.pins.shortest_mm, each.pins.longest_mm
    if study.axle is not None:
        lengths = each.mount.lengths_mm(study.axle.motion)
        shortest, longest = min(shortest, float(lengths.min())), max(longest, float(lengths.max()))
    short = max(each.size.closed_mm + margin_mm - shortest, 0.0) + max(longest + margin_mm - each.size.open_mm, 0.0)
    yield COVERS.at_least(
        part(each.name),
        each.size.stroke_mm + short,
        each.size.stroke_mm,
        assumed=message(
            "pin to pin from {} to {} with its pins as drawn, the axle's travel where it is asked, and {} in hand at "
            "each end; closed {}, open {}",
            mm(shortest),
            mm(longest),
            mm(margin_mm),
            mm(each.size.closed_mm),
            mm(each.size.open_mm),
        ),
        cure="move its fixed pin so that mid stroke is straight ahead, or a longer stroke",
    )


def _stands(study: SteeringStudy, each: Pusher) -> Iterator[Finding]:
    """The cylinder's own rod, and how well it keeps the line of a rod that it pushes."""
    metal, factor = steel(study.rules.rod_steel), study.rules.buckling_factor
    yield BUCKLES_TOO.strength(
        part(each.name),
        factor * each.thrust.push_n,
        Bar(each.size.rod_mm, each.size.open_mm, metal.fy_mpa).buckling_n(),
        assumed=message("pin to pin, all taken as rod, {}; {} times the push, no shock", metal.name, number(factor)),
        case="push, fully out",
        cure="a thicker rod in its cylinder, or a shorter cylinder",
    )
    if study.sweep is not None and each.mount.pushes in {rod.name for rod in study.sweep.linkage.rods}:
        yield LINE.at_most(
            part(each.name),
            IN_LINE_DEG,
            math.degrees(alignment(study.sweep, each.mount, each.pins).worst_rad),
            assumed="worst angle of the sweep",
            cure="its fixed pin nearer to the rod's line, or a longer cylinder",
        )


def _ends_later(study: SteeringStudy, each: Pusher) -> Iterator[Finding]:
    order = study.stops
    for turn, met in () if order is None else (("left", order.left), ("right", order.right)):
        wheel = next((m for m in met if m.kind == "spindle" and math.isfinite(m.box_rad)), None)
        ends = (f"{each.name} open", f"{each.name} closed")
        end = next((m for m in met if m.kind == "further cylinder" and m.name in ends), None)
        if wheel is not None and end is not None and math.isfinite(end.box_rad):
            yield ENDS_LATER.at_most(
                part(each.name, f"{turn} lock"),
                math.degrees(end.box_rad),
                math.degrees(wheel.box_rad),
                cure="screw the spindle stop out so that it is met first, or move the cylinder's fixed pin",
            )


def _rolls(study: SteeringStudy, each: Pusher) -> Iterator[Finding]:
    first, sweep = study.steering.cylinder_mount, study.sweep
    if sweep is None or (turned := roll(sweep.motion, each.mount, each.thrust)) is None:
        return
    held = first is not None and first.pushes == each.mount.pushes and first.holds_roll in ("end", "lever")
    if not held:
        yield ROLLS.at_most(
            part(turned.rod),
            0.0,
            turned.moment_nmm,
            assumed=message("{} takes hold {} beside the rod's line", each.name, mm(turned.offset_mm)),
            cure="its pin on the rod's own line, or on a lever",
        )
