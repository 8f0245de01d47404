"""Whether the steered tyres clear the bars that are told and the linkage that moves past them."""

from collections.abc import Iterator
from functools import partial
from itertools import groupby

from plategen.checks.finding import Check, Finding, part
from plategen.ground.message import Message, joined, message
from plategen.job.steering import Steering
from plategen.steering.clearance import DEFLECTION_MM, Clearance
from plategen.steering.study import SteeringStudy

NO_TYRES = (
    "The tyres' size and place are not told: whether a tyre meets the drag link, the tie rod or the cylinder at a lock "
    "is not checked (`[steering.tyre]` with `radius` and `centre`)."
)
"""What is said beside the verdict of a linkage past which no tyre can be followed."""

_row = partial(
    Check, subject="steering", unit="mm", limit="at least", needs="tyres with their size, and a linkage they turn with"
)
TYRE = _row(
    "tyre clears, deflected",
    not_covered="A tyre is not followed past frame and sheet metal that no bar tells, nor past its own spindle's arms, "
    "which turn with it; balls, boots and clamps count as no thicker than their rod.",
)
TYRE_HARD = _row("tyre clears, deflected hard", most="caution")
CHECKS = (TYRE, TYRE_HARD)
"""The checks of this file."""

STANDS = "The axle's travel is not asked: tyres are followed with the axle as drawn."
TOLD_STANDS = "With the axle moved the tyres are followed past the linkage; the bars that are told are not moved."
"""What the axle's part in it leaves out."""


def check_tyres(study: SteeringStudy) -> Iterator[Finding]:
    """Each tyre against each bar that is told, and against the part of the linkage that it comes nearest to."""
    row = TYRE.variant(not_covered=f"{TYRE.not_covered} {STANDS if study.axle is None else TOLD_STANDS}")
    for clearance in _worst(study.clearances):
        for check, deflection in zip((row, TYRE_HARD), DEFLECTION_MM, strict=True):
            yield check.at_least(
                part(clearance.tyre, clearance.bar),
                deflection,
                clearance.least_mm,
                assumed=_assumed(study.steering, clearance),
                cure="less lock, narrower tyres, wheels set further out, or a rod that passes further in or higher",
            )


def _worst(clearances: tuple[Clearance, ...]) -> Iterator[Clearance]:
    yield from (each for each in clearances if each.told)
    linkage = sorted((each for each in clearances if not each.told), key=lambda each: each.tyre)
    for _, of_tyre in groupby(linkage, key=lambda each: each.tyre):
        yield min(of_tyre, key=lambda each: each.least_mm)


def _assumed(steering: Steering, clearance: Clearance) -> Message:
    """How tyre and bar are taken, and where the parts of the linkage are that count as thin lines."""
    ring = "tyre as a plain ring"
    if clearance.told:
        return message("{}; axle and frame where they are drawn", ring)
    at = "over the axle's travel" if clearance.axle_moved else "over the sweep"
    thin = [rod.name for rod in steering.rod if rod.diameter_mm is None]
    thin += [lever.name for lever in steering.lever if lever.diameter_mm is None and not lever.wheel]
    if not thin:
        return message("{}; {} past all of the linkage", ring, at)
    words = "{}; {} past all of the linkage, with no thickness told of {}"
    return message(words, ring, at, joined(", ", [message("{}", name) for name in thin]))
