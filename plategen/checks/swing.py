"""Where the cylinder's pin stands and what stands round its swing: the study's place for the pin, and clearances."""

from collections.abc import Iterator
from functools import partial

from plategen.bracket.envelope import KEPT_CLEAR_MM
from plategen.bracket.swing import Room
from plategen.checks.finding import Check, Finding, Part, part
from plategen.checks.setting import Setting
from plategen.design.motion import leaning
from plategen.design.places import pin_miss
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import NOTHING, message, mm

SOURCE = "common practice, no source: room for dirt, paint and worn pins"
"""Source of the clearances asked."""

STANDS_ON = ("rail", "tube")
"""What the bracket stands on."""

_END = {"eye": "eye", "fork": "fork", "rod_end": "rod end's head"}

_row = partial(Check, subject="swing", unit="mm", limit="at least", source=SOURCE, needs="a rail or tube")
BOSS, CLEARANCE = _row("boss to *"), _row("swing clearance")
PIN_PLACE = Check(
    "bracket holds the pin where the study wants it",
    "pin place",
    "mm",
    "at most",
    source="geometry; the job's `pin_within`, else common practice, no source",
    needs="a steering study that places the pin",
)
CHECKS = (BOSS, CLEARANCE)
"""The checks of the swing; the other is the pin's."""


def check_swing(setting: Setting) -> Iterator[Finding]:
    """A finding for the smallest clearance to each thing that the cylinder passes."""
    swing = setting.job.swing
    asked = swing.least_mm if swing else KEPT_CLEAR_MM
    yield from (_clearance(setting, room, asked) for room in setting.rooms)


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
        case=NOTHING if at_rest else leaning(room.angle_rad, setting.job.style.stands_on),
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
        return f"in-line offset larger, or less swing towards the {room.kind}"
    if room.part == "pin":
        return "plate farther from the pin's axis"
    if room.kind == "closing":
        return "closing plate shallower, or less swing"
    return "barrel or port farther from the pin, or less swing"


def check_pin_place(setting: Setting) -> Iterator[Finding]:
    """The pin's miss in the plate frame's three directions; nothing where bracket and study share no pin.

    Along the cylinder a miss takes the stroke in hand away at one lock; across it, it puts the cylinder out of line.
    """
    job, pin = setting.job, setting.design.pin
    miss = pin_miss(job, setting.study, pin)
    if miss is None or job.steering is None or job.steering.cylinder_mount is None:
        return
    mount, zero = job.mount, job.steering.cylinder_mount.straightedge_mm
    if job.style.holds == "moving pin":
        yield PIN_PLACE.at_most(
            part("moving pin, beside the rod's line"),
            mount.pin_within_mm,
            abs(miss.v_mm),
            assumed="from the line through the rod's balls to the moving pin, as the linkage is drawn; where along the "
            "rod it stands is measured from the balls",
            cure=partial(_beside_rod, setting, pin.inline_offset_mm - miss.v_mm),
        )
        return
    tied = "the pin drawn is the mount's pin" if zero is None else "by the straightedge's station 0"
    for about, off_mm, key, right_mm in (
        ("along the cylinder", miss.u_mm, "pin_station", pin.station_mm + miss.u_mm),
        ("across it, to the rail", miss.v_mm, "inline_offset", pin.inline_offset_mm - miss.v_mm),
        ("along the pin", miss.w_mm, "plane", pin.plane_mm + miss.w_mm),
    ):
        yield PIN_PLACE.at_most(
            part(about),
            mount.pin_within_mm,
            abs(off_mm),
            assumed=message("straightedge parallel to the cylinder straight ahead; frames tied: {}", tied),
            cure=partial(_by_study, key, right_mm),
        )


def _beside_rod(setting: Setting, right_mm: float) -> Cure:
    """The study's place for the moving pin, unless that lies within the tube, where no plates hold it."""
    tube = setting.job.seat
    if tube is not None and right_mm <= tube.across_mm / 2 + setting.bracket.pin.diameter_mm / 2:
        words = (
            "the linkage draws the moving pin {} from the rod's line, within the tube: draw it where the seat holds it"
        )
        return advise(words, mm(right_mm))
    return _by_study("inline_offset", right_mm)


def _by_study(key: str, right_mm: float) -> Cure:
    advice = message('{} of {} is right; pin = "study" beside it sets it', key, mm(right_mm))
    return Cure(advice, (Change("mount.pin", "study"),))
