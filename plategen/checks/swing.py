"""The cylinder's swing against what stands round it."""

from collections.abc import Iterator

from plategen.bracket.swing import Room
from plategen.checks.finding import Check, Finding, Part
from plategen.checks.setting import Setting
from plategen.design.motion import leaning
from plategen.ground.cure import advise
from plategen.ground.message import NOTHING, message, mm

SOURCE = "common practice, no source: room for dirt, paint and worn pins"
"""Source of the clearances asked."""

LEAST_MM = 3.0
"""Clearance asked when the job asks for none."""

STANDS_ON = ("rail", "tube")
"""What the bracket stands on."""

_END = {"eye": "eye", "fork": "fork", "rod_end": "rod end's head"}

BOSS = Check("boss to *", "swing", "mm", "at least", source=SOURCE, needs="a rail or tube")
CLEARANCE = Check("swing clearance", "swing", "mm", "at least", source=SOURCE, needs="a rail or tube")
CHECKS = (BOSS, CLEARANCE)
"""The checks of this file."""


def check_swing(setting: Setting) -> Iterator[Finding]:
    """A finding for the smallest clearance to each thing that the cylinder passes."""
    swing = setting.job.swing
    asked = swing.least_mm if swing else LEAST_MM
    for room in setting.rooms:
        yield _clearance(setting, room, asked)


def _clearance(setting: Setting, room: Room, asked: float) -> Finding:
    at_rest, stands_on = room.part == "eye", room.kind in STANDS_ON
    check = BOSS.variant(name=f"boss to {room.to}") if at_rest and stands_on else CLEARANCE
    u, v, w = room.at
    member = _END[setting.job.cylinder.base.kind] if at_rest else room.of
    return check.at_least(
        Part((room.of, room.to), f"{member} and {room.to.replace('_', ' ')}"),
        asked,
        max(0.0, room.mm),
        assumed=message(
            "nearest at station {}, {} from the cylinder's line, {} along the pin; {}",
            mm(u),
            mm(v),
            mm(w),
            _known(setting, room),
        ),
        case=NOTHING if at_rest else leaning(room.angle_rad),
        cure=lambda: advise(
            "{}: {} more room is asked", _cure(room, check is not CLEARANCE), mm(asked - room.mm, "up")
        ),
    )


def _known(setting: Setting, room: Room) -> str:
    """What the clearance is taken with."""
    swing = setting.job.swing
    if room.part == "barrel" and (swing is None or swing.barrel_start_mm is None):
        return "the barrel taken to begin at the eye, for the job does not say where it does"
    if room.part == "eye":
        return "the eye as measured, no play in the pin"
    return "parts as measured, no play in the pin; hoses have their own room"


def _cure(room: Room, boss: bool) -> str:
    if boss:
        return "in-line offset larger"
    if room.kind in STANDS_ON:
        return "in-line offset larger, or less swing towards the rail"
    if room.kind == "closing":
        return "closing plate shallower, or less swing"
    return "barrel or port farther from the pin, or less swing"
