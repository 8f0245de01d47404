"""Whether the points of a linkage agree with what was taped between them."""

from collections.abc import Iterator

from plategen.checks.finding import Check, Finding, part
from plategen.ground.cure import Cure, advise
from plategen.ground.message import message, mm
from plategen.steering.closing import Closing, closing
from plategen.steering.study import SteeringStudy

TAPE = Check(
    "tape agrees with the points",
    "steering points",
    "mm",
    "at most",
    source="geometry; the tape's own error",
    needs="lengths taped between points of the linkage",
)
CHECKS = (TAPE,)
"""The check of this file."""


def check_steering_points(study: SteeringStudy) -> Iterator[Finding]:
    """One finding about the tape that disagrees most; none without tapes."""
    closed = closing(study.steering)
    if closed is not None:
        worst = closed.worst
        yield TAPE.at_most(
            part(worst.start, worst.end),
            study.steering.tape_error_mm,
            abs(worst.over_mm),
            assumed=message("{} by the points, {} by the tape", mm(worst.drawn_mm), mm(worst.taped_mm)),
            cure=lambda: _cure(closed),
        )


def _cure(closed: Closing) -> Cure:
    """Which point to measure again."""
    match closed.suspects:
        case ():
            return advise("no single point explains it: measure every point again whose tapes disagree")
        case (one,):
            x, y, z = (mm(v) for v in one.move_mm)
            return advise(
                "measure {} again: it is off; its tapes want it moved by x {}, y {}, z {}", one.point, x, y, z
            )
        case several:
            names = " or ".join(each.point for each in several)
            return advise("measure {} again, or that tape; one more tape to each tells which is off", names)
