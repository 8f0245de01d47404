"""The web of a rail, read in two planes."""

import random

from plategen.rail.trace import Reading, Trace

PLANES = (-120.0, 120.0)


def traced(rng: random.Random) -> tuple[Trace, ...]:
    """Two traces of a web: sloped, leaning, twisted, some with a kick."""
    slope, lean, twist = rng.uniform(-0.12, 0.12), rng.uniform(-0.06, 0.06), rng.uniform(-2e-4, 2e-4)
    kick, at = rng.choice((0.0, 0.0, 0.0, 0.03, -0.03)), rng.uniform(100.0, 400.0)

    def height(u: float, w: float) -> float:
        return 40.0 + slope * (u - 250.0) + lean * w + twist * w * (u - 250.0) + kick * max(0.0, u - at)

    return tuple(
        Trace(
            file=f"{w:g}.csv",
            plane_mm=w,
            readings=tuple(
                Reading(complex(u, round(height(u, w) + rng.gauss(0.0, 0.2), 1)), line)
                for line, u in enumerate((20.0 * k for k in range(26)), 1)
            ),
        )
        for w in PLANES
    )
