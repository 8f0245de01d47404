"""Whether the bracket holds the pin where the steering study wants it."""

from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.design.pin_place import pin_miss
from plategen.ground.cure import Change, Cure
from plategen.ground.message import message, mm

PIN_PLACE = Check(
    "bracket holds the pin where the study wants it",
    "pin place",
    "mm",
    "at most",
    source="geometry; the job's `pin_within`, else 1/16 in (common practice, no source)",
    needs="a steering study that places the pin",
)
CHECKS = (PIN_PLACE,)
"""The checks of this file."""


def check_pin_place(setting: Setting) -> Iterator[Finding]:
    """The pin's miss in the plate frame's three directions; nothing where bracket and study share no pin.

    Along the cylinder a miss takes the stroke in hand away at one lock; across it, it puts the cylinder out of line.
    """
    job, pin = setting.job, setting.design.pin
    miss = pin_miss(job, setting.study, pin)
    if miss is None or job.steering is None or job.steering.cylinder_mount is None:
        return
    mount, zero = job.mount, job.steering.cylinder_mount.straightedge_mm
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


def _by_study(key: str, right_mm: float) -> Cure:
    advice = message('{} of {} is right; pin = "study" under [mount] sets it', key, mm(right_mm))
    return Cure(advice, (Change("mount.pin", "study"),))
