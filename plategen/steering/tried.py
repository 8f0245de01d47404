"""The cylinder tried otherwise: its fixed pin where it keeps its line best, and a stroke that covers its travel."""

from dataclasses import dataclass, replace

from plategen.ground.refusal import Refusal
from plategen.job.steering import Steering
from plategen.steering.alignment import InLine, alignment
from plategen.steering.best_pin import best_pin
from plategen.steering.cylinder import CylinderSize
from plategen.steering.mount import pin_to_pin
from plategen.steering.parts import measured_of, stroke_of
from plategen.steering.standard import Series, sizes
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Point, array, as_point

REACH_MM = 150.0
"""How far the pin is tried along each axis where the job gives no box: what another bracket still reaches."""


@dataclass(frozen=True, slots=True)
class PinTried:
    """The pin elsewhere."""

    fixed_mm: Point  # Where, mid stroke straight ahead as the study would set it.
    by_mm: Point  # From where it is now: forward, left, up.
    worst_rad: float  # The greatest angle to the line then.


def pin_tried(
    steering: Steering,
    swept: Sweep,
    lies: InLine,
    size: CylinderSize | None,
    series: Series,
    rolls_rad: tuple[float, ...],
) -> PinTried | None:
    """The best place in the job's box, else within reach of where the pin is, studied there; None where none does.

    ``rolls_rad`` is how the pushed rod may lie.
    """
    entry = steering.cylinder_mount
    if entry is None:
        return None
    here = array(lies.mount.fixed_mm)
    lengths = None if size is None else (size.closed_mm, size.open_mm)
    box = entry.box
    low, high = (as_point(here - REACH_MM), as_point(here + REACH_MM)) if box is None else (box.low_mm, box.high_mm)
    try:
        best = best_pin(swept, lies.mount, low, high, lengths_mm=lengths)
        drawn = lies.mount.with_fixed(array(best.fixed_mm))
        _, mount = stroke_of(steering, entry, swept, drawn, size, series)
    except Refusal:
        return None
    lying = (replace(mount, roll_rad=roll) for roll in rolls_rad)
    worst = max(alignment(swept, each, pin_to_pin(swept, each)).worst_rad for each in lying)
    return PinTried(mount.fixed_mm, as_point(array(mount.fixed_mm) - here), worst)


def stroke_tried(
    steering: Steering, swept: Sweep | None, lies: InLine | None, size: CylinderSize, series: Series
) -> tuple[CylinderSize, bool] | None:
    """The cylinder with the shortest longer standard stroke that covers its travel at both ends, and so much longer
    closed, and whether the fixed pin's box has a place for it; None where no stroke does.
    """
    for standard in sizes("stroke", series):
        longer = standard.size_mm - size.stroke_mm
        if longer <= 0.0:
            continue
        tried = replace(size, stroke_mm=standard.size_mm, closed_mm=size.closed_mm + longer)
        if swept is None or lies is None or steering.cylinder_mount is None:
            advice = measured_of(steering, tried, series)
        else:
            try:
                advice, _ = stroke_of(steering, steering.cylinder_mount, swept, lies.mount, tried, series)
            except Refusal:
                continue
        if advice is not None and advice.enough:
            return tried, _has_place(steering, swept, lies, tried)
    return None


def _has_place(steering: Steering, swept: Sweep | None, lies: InLine | None, size: CylinderSize) -> bool:
    """Whether a cylinder reaches from somewhere in the fixed pin's box; True where no box is told."""
    entry = steering.cylinder_mount
    if entry is None or entry.box is None or swept is None or lies is None:
        return True
    try:
        best_pin(swept, lies.mount, entry.box.low_mm, entry.box.high_mm, lengths_mm=(size.closed_mm, size.open_mm))
    except Refusal:
        return False
    return True
