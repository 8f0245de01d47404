"""What is advised of the cylinder's fixed pin where the cylinder lies out of line: which way it goes, and how far."""

from plategen.ground.cure import Cure, advise
from plategen.ground.message import joined, message, mm, rad
from plategen.steering.alignment import InLine
from plategen.steering.study import SteeringStudy
from plategen.steering.tried import REACH_MM, pin_tried

LEAST_MOVE_MM = 1.0
"""Less than this along an axis is not told as a move."""


def pin_elsewhere(study: SteeringStudy, lies: InLine, worst_rad: float) -> Cure:
    """The best place that was tried, or that no place does better than the greatest angle there is."""
    tried = None
    if study.sweep is not None:
        rolls = (lies.mount.roll_rad, *(each.roll_rad for each in study.rolled))
        tried = pin_tried(study.steering, study.sweep, lies, study.size, study.series, rolls)
    where = message("within {} of it", mm(REACH_MM)) if lies.best is None else message("in its box")
    if tried is None or tried.worst_rad >= worst_rad:
        return advise("no place of the fixed pin {} does better: a longer cylinder, or a push more in line", where)
    ways = (("forward", "back"), ("to the left", "to the right"), ("up", "down"))
    moves = [
        message("{} {}", mm(abs(by)), more if by > 0.0 else less)
        for by, (more, less) in zip(tried.by_mm, ways, strict=True)
        if abs(by) >= LEAST_MOVE_MM
    ]
    words = "move the fixed pin {}, to x {}, y {}, z {}: the best place {}, tried, brings the angle to {}"
    return advise(words, joined(", ", moves), *map(mm, tried.fixed_mm), where, rad(tried.worst_rad, "up"))
