"""Rails that are known exactly, to read noise-free or noisy traces off and to hold plates against.

A known rail is one profile of lines and arcs carried along a straight direction: its section at w is the profile
shifted by ``w * drift``. That is what a bent plate is, however it flares (drift across) or its bend runs off
(drift along).
"""

import random
from dataclasses import dataclass

from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.segment import Arc, Line, Segment
from plategen.rail.trace import Reading, Trace


def flat_bend_flat(first_mm: float, kick_rad: float, radius_mm: float, last_mm: float, start: complex = 0j) -> Chain:
    """A flat along u, a bend away from the free side (kick > 0) or towards it, and a flat."""
    import cmath
    import math

    a = start + first_mm
    turn = cmath.rect(1.0, kick_rad)
    side = math.copysign(1.0, kick_rad)
    centre = a + 1j * side * radius_mm
    b = centre + (a - centre) * turn
    edges: list[Segment] = [Line(start, a), Arc(a, b, math.tan(kick_rad / 4)), Line(b, b + turn * last_mm)]
    return Chain(tuple(edges))


@dataclass(frozen=True)
class KnownRail:
    """A profile at w = 0 and how it drifts for each mm along the pin."""

    profile: Chain
    drift: complex = 0j

    def section(self, w_mm: float) -> Chain:
        return self.profile.moved(shift=w_mm * self.drift)

    def read(
        self,
        w_mm: float,
        stations_mm: list[float],
        sigma_mm: float = 0.0,
        mark_mm: float = 0.0,
        rng: random.Random | None = None,
    ) -> Trace:
        """A trace read off the rail: offsets at stations, with a reading error, rounded to a rule's marks."""
        from plategen.flat.intersect import crossings

        section = self.section(w_mm)
        readings = []
        for line, station in enumerate(stations_mm, 2):
            ray = Line(complex(station, -1e4), complex(station, 1e4))
            hits = [ray.point(t).imag for edge in section for t, _ in crossings(ray, edge)]
            offset = min(hits)
            if sigma_mm and rng:
                offset += rng.gauss(0.0, sigma_mm)
            if mark_mm:
                offset = round(offset / mark_mm) * mark_mm
            readings.append(Reading(complex(station, offset), line))
        return Trace(file=f"w{w_mm:g}.csv", plane_mm=w_mm, readings=tuple(readings))

    def depth(self, p: complex, w_mm: float) -> float:
        """How deep a point of the plate frame lies in the rail at w, mm; negative when it is free."""
        return offset_from(self.section(w_mm), p)
