"""The cautions that every sheet, paper and command carries."""

import math
from collections.abc import Iterable, Iterator

from plategen.bracket.model import Bracket
from plategen.checks.finding import Finding
from plategen.ground.message import Message, message, rad
from plategen.job import Job

USUAL = (
    "Steering and welding can kill. A bracket that lets go takes the steering with it.",
    "These plates, numbers and checks are a help to a competent fabricator, not an approval: nothing here certifies "
    "a vehicle, a machine, a weld or a part.",
    "Your local vehicle code decides what may be changed and who must inspect it. Ask before you cut.",
    "Have the welds made by a qualified welder, to a procedure for your steels, and looked at by one.",
    "Have a licensed engineer check the loads, the rail and the bracket before the machine moves under power.",
)
"""Cautions that every sheet bears."""

SHORT = (
    "Steering and welding can kill: local vehicle code, a qualified welder and a licensed engineer decide. "
    "Nothing here is a certification."
)
"""The same in one line, for the screen."""


STEERING = (
    "Steering kills when it fails. Nothing here certifies a steering, a part or a vehicle.",
    "Your local vehicle code decides what may be changed on a steering and who must inspect it. Ask before you cut.",
    "Have a licensed engineer check linkage, loads and brackets, and a qualified welder make the welds.",
    "The box's own stop is no stop to lean on: its shaft and housing would bear the whole force. Spindle stops first.",
    "Oil under pressure goes through skin: engine off and pressure let out before a fitting is touched.",
    "Suspension travel is not in these figures: turn lock to lock with the axle up, down and crossed before the road.",
    "If anything goes wrong while filling or bleeding, stop the pump first: a dry pump is ruined within seconds.",
)
"""What every steering section says."""


NOT_COVERED = (
    "A shock beyond the shock factor is not covered. Forces are those at relief pressure times that factor, 1.5 unless "
    "the job gives another: a wheel that strikes a stump drives the shut-in oil above the relief setting before the "
    "valve can open (common practice, no source).",
    "The plates are taken as flat and the welds as made: no undercut, no crater, full leg along the whole run.",
    "Values marked as common practice or from memory have no document behind them here: look them up before relying "
    "on them. None of this is a certificate; local vehicle codes, a qualified welder and a licensed engineer decide.",
)
"""What no check of any bracket covers; what a check of its own leaves out stands in its row of the registry."""


def not_covered(findings: Iterable[Finding]) -> tuple[str, ...]:
    """What no check covers: first what could not be judged of this bracket, then of any, then what checks leave out."""
    found = [f for f in findings if f.of.not_covered]
    missing = [f.of.not_covered for f in found if f.of.most == "caution" and math.isinf(f.ratio)]
    return tuple(dict.fromkeys((*missing, *NOT_COVERED, *(f.of.not_covered for f in found))))


def cautions(bracket: Bracket, job: Job) -> tuple[Message | str, ...]:
    """The usual cautions and those that this bracket asks for."""
    return (*USUAL, *_out_of_plane(job), *bracket.cautions)


def _out_of_plane(job: Job) -> Iterator[Message]:
    """How plates are set that stand out of the plane of the trace."""
    tilt, turn = job.rail.tilt_rad, job.rail.turn_rad
    if tilt or turn:
        yield message(
            "The plates stand out of the plane in which the rail was read, tilted {} and turned {}: set them by the "
            "pin and the cylinder, never square to the rail. A rail that does not run on straight there is not met.",
            rad(tilt, "size"),
            rad(turn, "size"),
        )
