"""What a fillet takes to lay: the heat of a pass, and the time of a run."""

from plategen.rules.preheat import passes

KJ_PER_MM3 = (0.040, 0.070)
"""Arc's heat for each cubic millimetre of weld metal: wire at the low end, stick at the high one.

Wire: 27 V and 280 A lay a 1/4 in leg at 20 in a minute (a welding note on heat input, 2024), 0.044. Stick: 24 V and
170 A lay about 1.6 kg an hour, 0.072 (common practice, no source).
"""

MM_PER_MIN = 45.0
"""A leg of 6 mm by hand, starts, slag and looks included (common practice, no source): with the leg's square."""


def heat_kj_per_mm(leg_mm: float) -> tuple[float, float]:
    """Least and greatest usual heat of a pass, kJ on each millimetre of run, of a leg that is laid in equal passes.

    Volts x amperes x 60 / (1000 x millimetres a minute) (AWS D1.1 and EN 1011-1, where the arc's efficiency is apart).

    >>> [round(kj, 2) for kj in heat_kj_per_mm(6.35)]
    [0.81, 1.41]
    """
    area_mm2 = leg_mm**2 / 2.0 / passes(leg_mm)
    least, most = (kj * area_mm2 for kj in KJ_PER_MM3)
    return least, most


def minutes(leg_mm: float, length_mm: float) -> float:
    """Time to lay a run by hand.

    >>> minutes(6.0, 90.0)
    2.0
    """
    return length_mm * (leg_mm / 6.0) ** 2 / MM_PER_MIN
