"""A rail traced in one plane that is not the plates': they are tilted or turned, as a cylinder that leaves it asks.

The rail runs on straight, square to the plane in which it was read. The plates' frame is that plane's, turned about the
line through the straightedge's station 0 square to it and to the pin, then tilted about the straightedge. What such
plates see of a straight rail is again one section, drawn out by the cosines, which drifts from plane to plane.
"""

import math
from dataclasses import replace

from plategen.ground.space import Vector, dot
from plategen.rail.trace import Reading, Trace


def turned(trace: Trace, tilt_rad: float, turn_rad: float) -> Trace:
    """A trace as plates see it that are tilted and turned against the plane in which it was read.

    Args:
        trace: The readings, in the straightedge's frame.
        tilt_rad: Tilt of the plates about the straightedge; positive where the rail then recedes as the planes grow.
        turn_rad: Turn of straightedge and plates about their station 0, towards growing planes where it is positive.
    """
    if not tilt_rad and not turn_rad:
        return trace
    c, s = math.cos(turn_rad), math.sin(turn_rad)
    along: Vector = (c, 0.0, s)
    up: Vector = (-s * math.sin(tilt_rad), math.cos(tilt_rad), c * math.sin(tilt_rad))
    pin: Vector = (-s * math.cos(tilt_rad), -math.sin(tilt_rad), c * math.cos(tilt_rad))

    def seen(point: complex, from_plane_mm: float = 0.0) -> complex:
        u, v = point.real, point.imag
        w = (from_plane_mm - u * pin[0] - v * pin[1]) / pin[2]  # how far along the rail the plates' plane meets it
        return complex(dot(along, (u, v, w)), dot(up, (u, v, w)))

    def moved(reading: Reading) -> Reading:
        return replace(reading, point=seen(reading.point))

    return replace(trace, readings=tuple(map(moved, trace.readings)), drift=seen(0j, 1.0))
