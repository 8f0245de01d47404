"""The cylinder where it is advised: its pins, swing, alignment, bending, best pin; and the loads that follow."""

from dataclasses import dataclass, replace

from plategen.job.steering import Steering
from plategen.steering.alignment import Alignment, RodBending, alignment, moving_end_swing_rad, rod_bending
from plategen.steering.best_pin import BestPin, best_pin
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hydraulics import Thrust
from plategen.steering.mount import Mount, PinToPin, Swing, pin_to_pin, refuse_dead_point, swing
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Point, array


@dataclass(frozen=True, slots=True, kw_only=True)
class InLine:
    """The cylinder where it is advised: its pins over the sweep, its swing, how well it keeps its line.

    Args:
        mount: With the fixed pin where it is advised.
        pins: Pin-to-pin lengths and directions.
        swing: About the fixed pin, in the plate frame.
        moving_swing_rad: Range of the level and the upright angle in the moving end's joint.
        aligned: Against the rod's line.
        bending: Of the pushed rod and the levers at its ends; None when a lever is pushed or no cylinder is chosen.
        best: The best fixed pin in the box the job gives.
    """

    mount: Mount
    pins: PinToPin
    swing: Swing
    moving_swing_rad: tuple[float, float]
    aligned: Alignment
    bending: RodBending | None
    best: BestPin | None

    def bracket_moved_mm(self, drawn_mm: Point) -> Point:
        """How the bracket's own numbers change from the pin as drawn to where it is: station, in-line offset, plane.

        Args:
            drawn_mm: The fixed pin as drawn, vehicle frame.
        """
        off = array(self.mount.fixed_mm) - array(drawn_mm)
        u, v, w = (float(off @ array(way)) for way in (self.swing.u, self.swing.v, self.swing.w))
        return u, -v, w


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """What the bracket has to hold: forces at the fixed pin and how the cylinder lies when they act.

    Args:
        push_n, pull_n: Along the cylinder.
        swing_rad: Least and greatest angle of the cylinder in the plates' plane, from u towards v.
        out_of_plane_rad: Least and greatest angle out of it, towards w.
    """

    push_n: float
    pull_n: float
    swing_rad: tuple[float, float]
    out_of_plane_rad: tuple[float, float]


def in_line(steering: Steering, swept: Sweep, mount: Mount, size: CylinderSize | None, forces: Thrust | None) -> InLine:
    """Everything about how the cylinder lies, with its fixed pin where ``mount`` has it."""
    pins = pin_to_pin(swept, mount)
    refuse_dead_point(swept, pins)
    aligned = alignment(swept, mount, pins)
    bending = None
    if forces is not None:
        # the side push on the rod comes from its own line, whichever rod's line the cylinder is to keep
        own = alignment(swept, replace(mount, in_line_with=""), pins) if mount.in_line_with else aligned
        bending = rod_bending(swept.linkage, mount, own, max(forces.push_n, forces.pull_n))
    box = None if steering.cylinder_mount is None else steering.cylinder_mount.box
    best = None
    if box is not None:
        covers = size is not None and pins.travel_mm <= size.stroke_mm
        reach = (size.closed_mm, size.open_mm) if size is not None and covers else None
        best = best_pin(swept, mount, box.low_mm, box.high_mm, lengths_mm=reach)
    return InLine(
        mount=mount,
        pins=pins,
        swing=swing(pins, mount),
        moving_swing_rad=moving_end_swing_rad(swept, mount, pins),
        aligned=aligned,
        bending=bending,
        best=best,
    )
