"""The pushed rod between its two balls: what rolls it about its own line, and what holds it."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import Cure, advise
from plategen.ground.message import message, mm, rad
from plategen.steering.moving_end import on_rod_mm
from plategen.steering.roll import Roll
from plategen.steering.study import SteeringStudy

_ROLLS = partial(Check, subject="steering", unit="N·mm", limit="at most", needs="a rod that a cylinder pushes")
ROLL = _ROLLS("moment that rolls the pushed rod", source="statics of a rod between two balls")
ROLL_HELD = _ROLLS(
    "moment to hold the pushed rod against rolling",
    source="statics of a rod between two balls",
    most="caution",
    not_covered="What holds a pushed rod against rolling about its own line is told, not sized.",
)
STROKE_ROLLED = Check(
    "stroke covers travel, rod rolled",
    "steering",
    "mm",
    "at least",
    source="geometry",
    needs="a rod that its joints hold from rolling",
)
CHECKS = (ROLL, ROLL_HELD, STROKE_ROLLED)
"""The checks of this file."""


def check_roll(study: SteeringStudy) -> Iterator[Finding]:
    """Findings about the pushed rod; none where nothing turns it."""
    if study.roll is not None:
        yield from _roll(study, study.roll)


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
