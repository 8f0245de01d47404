"""The cylinders and boxes of a job, put together."""

from plategen.ground.refusal import Refusal
from plategen.job.steering import Steering
from plategen.job.steering_team import FurtherCylinderEntry
from plategen.steering.alignment import InLine
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hydraulics import thrust
from plategen.steering.mount import Mount, pin_to_pin, refuse_dead_point
from plategen.steering.sweep import Sweep
from plategen.steering.team import BoxAt, Pusher, Team
from plategen.steering.vector import array, as_point, square_to, unit


def team_of(steering: Steering, swept: Sweep | None, installed: InLine | None, size: CylinderSize | None) -> Team:
    """Every cylinder and every box; no cylinder where the first is not chosen.

    Raises:
        Refusal: a further cylinder that stands in one line with its lever, or has no length.
    """
    if swept is None:
        return Team()
    boxes = [
        BoxAt(
            lever=swept.motion.driver,
            moment_nmm=None if steering.stops is None else steering.stops.box_moment_nmm,
            volume_mm3=None if steering.circuit is None else steering.circuit.box_volume_mm3,
        )
    ]
    boxes += [BoxAt(lever=b.lever, moment_nmm=b.moment_nmm, volume_mm3=b.volume_mm3) for b in steering.box]
    if installed is None or size is None:
        return Team(boxes=tuple(boxes))
    first = Pusher(name="cylinder", mount=installed.mount, pins=installed.pins, thrust=thrust(size), size=size)
    further = (_further(each, swept, size.pressure_mpa) for each in steering.cylinder)
    return Team(cylinders=(first, *further), boxes=tuple(boxes))


def _further(entry: FurtherCylinderEntry, swept: Sweep, pressure_mpa: float) -> Pusher:
    apart = array(entry.moving_pin_mm) - array(entry.fixed_pin_mm)
    try:
        # its pin's own line matters nowhere
        across = as_point(square_to(unit(apart))[0]) if apart.any() else (0.0, 0.0, 1.0)
        mount = Mount(entry.pushes, entry.fixed_pin_mm, entry.moving_pin_mm, across)
        pins = pin_to_pin(swept, mount)
        refuse_dead_point(swept, pins)
    except Refusal as refusal:
        raise Refusal(refusal.message, key=f"steering.cylinder '{entry.name}'") from refusal
    size = CylinderSize(
        bore_mm=entry.bore_mm,
        rod_mm=entry.rod_mm,
        stroke_mm=entry.stroke_mm,
        closed_mm=entry.closed_length_mm,
        pressure_mpa=pressure_mpa,
        double_ended=entry.double_rod,
    )
    return Pusher(name=entry.name, mount=mount, pins=pins, thrust=thrust(size), size=size)
