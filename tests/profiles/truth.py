"""The rails that the example jobs' traces were read from: invented, known exactly, and only the tests know them.

Each is the true chain in the straightedge's frame (u along it, v towards the rail, mm) in each traced plane.
"""

import math

from plategen.flat.chain import Chain
from plategen.flat.segment import Line
from tests.support.arcs import tangent_arc
from tests.support.corners import corner_profile

INCH = 25.4
READ_ERROR_MM = 0.4
"""One standard deviation of the invented hand's reading, before it is rounded to the rule's marks."""


def kicked(station: float, offset: float, slope_deg: float, kick_deg: float, radius: float, last: float) -> Chain:
    """Flat, bend, flat: from station 0 at ``offset``, the bend's corner at ``station``, all lengths in inches."""
    first = complex(math.cos(math.radians(slope_deg)), math.sin(math.radians(slope_deg)))
    second = complex(math.cos(math.radians(slope_deg + kick_deg)), math.sin(math.radians(slope_deg + kick_deg)))
    corner = complex(station, offset + station * first.imag / first.real)
    setback = radius * math.tan(math.radians(abs(kick_deg)) / 2)
    bend = tangent_arc((corner - setback * first) * INCH, first, (corner + setback * second) * INCH)
    start, end = complex(0, offset) * INCH, (corner + second * (last - station) / second.real) * INCH
    return Chain((Line(start, bend.start), bend, Line(bend.end, end)))


def corner(turn_deg: float, at: complex, beside: complex) -> tuple[Chain, Chain]:
    """A rail's lower corner, lengths in mm: its underside as the first straightedge sees it, its side as the second.

    The underside falls by 1 degree and comes to ``at``; the side turns off it with a bend of 10 mm. The second
    straightedge stands upright on ``beside``, its stations upward.
    """
    whole = corner_profile(330.0, 200.0, math.radians(turn_deg), 10.0, math.radians(-1.0), at)
    upright = -1j
    return Chain(whole.segments[:1]), Chain(whole.segments[-1:]).moved(upright, -beside * upright)


def straight(offset: float, rise: float, length: float, unit: float = INCH) -> Chain:
    """One flat from station 0 to ``length``, rising by ``rise`` over it."""
    return Chain((Line(complex(0, offset) * unit, complex(length, offset + rise) * unit),))


TRUTH: dict[str, dict[str, Chain]] = {
    "sprayer-kicked-rail": {
        "front.csv": kicked(6.0, 1.30, -0.5, 20.0, 5.0, 13.0),
        "rear.csv": kicked(6.25, 1.60, -0.5, 18.0, 5.0, 13.0),
    },
    "forwarder-split-mount": {
        "upper.csv": kicked(7.0, 1.30, 0.5, 10.0, 6.0, 13.5),
        "lower.csv": kicked(7.2, 1.45, 0.5, 9.0, 6.0, 13.5),
    },
    "quarry-straight-rail": {"rail.csv": straight(38.0, 4.0, 300.0, unit=1.0)},
    "bowser-leaf-axle": {"under.csv": straight(41.0, -3.0, 300.0, unit=1.0)},
    "peat-carrier-two-relays": {"under.csv": straight(41.0, -3.0, 300.0, unit=1.0)},
    "quarry-loader-cylinder-pair": {"beam.csv": straight(41.0, -3.0, 300.0, unit=1.0)},
    "forestry-bolted-channel": {
        "low.csv": straight(46.0, 11.0, 440.0, unit=1.0),
        "high.csv": straight(44.5, 19.0, 440.0, unit=1.0),
    },
    "forwarder-rolled-channel": {
        # the inside of the flange rises 1 in 6 across the pin: 1/4 in over the 1 1/2 in between the traces
        "near_web.csv": straight(0.50, 0.125, 12.0),
        "near_toe.csv": straight(0.75, 0.125, 12.0),
    },
}


PHOTOGRAPHED = kicked(6.5, 2.60, 0.6, 13.0, 5.0, 12.6)
"""The rail of the example that was photographed, as :mod:`.photographed` draws it."""

for _where, _turn_deg, _at in (("front", 85.0, 298 + 30j), ("rear", 83.0, 301 + 34j)):
    _under, _side = corner(_turn_deg, _at, 345 + 20j)
    TRUTH.setdefault("quarry-screen-corner", {}).update({f"under_{_where}.csv": _under, f"side_{_where}.csv": _side})


def offset_at(chain: Chain, station_mm: float) -> float:
    """What a perfect reading at the station gives: where the chain meets the line across the straightedge there."""
    for edge in chain:
        if not edge.start.real - 1e-9 <= station_mm <= edge.end.real + 1e-9:
            continue
        if isinstance(edge, Line):
            share = (station_mm - edge.start.real) / (edge.end.real - edge.start.real)
            return edge.point(share).imag
        across = math.sqrt(edge.radius**2 - (station_mm - edge.centre.real) ** 2)
        return edge.centre.imag + math.copysign(across, (edge.point(0.5) - edge.centre).imag)
    raise ValueError(f"station {station_mm} mm is off the chain")
