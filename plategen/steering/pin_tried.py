"""The fixed pin tried where the cylinder keeps its line best: which way that is, how far, and what it brings."""

from dataclasses import dataclass, replace

from plategen.ground.refusal import Refusal
from plategen.job.steering import Steering
from plategen.steering.alignment import InLine, alignment
from plategen.steering.best_pin import best_pin
from plategen.steering.cylinder import CylinderSize
from plategen.steering.mount import pin_to_pin
from plategen.steering.parts import stroke_of
from plategen.steering.standard import Series
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
    try:
        if lies.best is not None:
            best = lies.best
        else:
            lengths = None if size is None else (size.closed_mm, size.open_mm)
            low, high = as_point(here - REACH_MM), as_point(here + REACH_MM)
            best = best_pin(swept, lies.mount, low, high, lengths_mm=lengths)
        drawn = lies.mount.with_fixed(array(best.fixed_mm))
        _, mount = stroke_of(steering, entry, swept, drawn, size, series)
    except Refusal:
        return None
    lying = (replace(mount, roll_rad=roll) for roll in rolls_rad)
    worst = max(alignment(swept, each, pin_to_pin(swept, each)).worst_rad for each in lying)
    return PinTried(mount.fixed_mm, as_point(array(mount.fixed_mm) - here), worst)
