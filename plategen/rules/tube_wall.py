"""A tube's wall dented by a plate on it: AISC 360-22 Table K2.1, 360-10 Table K1.2, EN 1993-1-8:2005 Tables 7.3, 7.13.

A plate along the tube presses on a line of its wall, a plate across it on a ring. The strengths are nominal, for a
force square to the tube's axis. The faces of a square tube are those of :mod:`.wall_bending`.
"""

import math

MOST_SLENDER_ROUND, MOST_SLENDER_ALONG, MOST_SLENDER_ACROSS = 50.0, 40.0, 35.0
"""Diameter, or side under a plate along it or across it, over the wall: up to there the rules hold (AISC 360-10 Tables
K1.1A and K1.2A, 360-22 Table K2.1A; EN 1993-1-8:2005 Tables 7.1 and 7.8 keep within 50 and 35)."""

LEAST_ROUND_ACROSS, LEAST_SQUARE_ACROSS = 0.2, 0.25
"""Width of a plate across a tube over its diameter, or side: from there on they hold (the same tables)."""

ALONG_ARM = 0.8
"""Lever arm over a plate's length, of its strength as a couple that tilts it along a round tube (AISC 360-22 K2-2b; EN
1993-1-8:2005 Table 7.3 counts all of it)."""

ACROSS_ARM = 0.5
"""The same of a plate across a tube, over its width (AISC 360-22 K2-1b; EN 1993-1-8:2005 Table 7.3)."""

MOST_YIELD_MPA, MOST_OF_TENSILE = 360.0, 0.8
"""Yield strength that counts at most, and share of the tensile strength: the tests behind the rules knew no stronger
steel (AISC 360-22 Table K2.1A: 52 ksi and 0.8)."""

EN_YIELD_MPA, EN_STRONGER = 355.0, 0.9
"""Above the first EN 1993-1-8:2005 7.1.1(4) counts 0.9 of a joint's strength (from memory)."""


def counted_yield_mpa(fy_mpa: float, fu_mpa: float, *, en: bool) -> float:
    """What of a steel's yield strength counts in these rules.

    >>> counted_yield_mpa(414.0, 483.0, en=False), round(counted_yield_mpa(414.0, 483.0, en=True), 1)
    (360.0, 347.8)
    """
    most = MOST_OF_TENSILE * fu_mpa
    if en:
        return min(fy_mpa, most) * (EN_STRONGER if fy_mpa > EN_YIELD_MPA else 1.0)
    return min(fy_mpa, most, MOST_YIELD_MPA)


def round_along_n(fy_mpa: float, wall_mm: float, across_mm: float, length_mm: float, *, en: bool) -> float:
    """A plate along a round tube: 5.5 Fy t^2 (1 + 0.25 lb/D) (K2-2a); EN 5 instead of 5.5.

    >>> round_along_n(250.0, 8.0, 100.0, 200.0, en=False)
    132000.0
    """
    return (5.0 if en else 5.5) * fy_mpa * wall_mm**2 * (1.0 + 0.25 * length_mm / across_mm)


def round_across_n(fy_mpa: float, wall_mm: float, across_mm: float, width_mm: float, *, en: bool) -> float:
    """A plate across a round tube: 5.5 Fy t^2/(1 - 0.81 Bb/D) (K2-1a); EN 4 fy t^2 (1 + 4 b^2) (from memory).

    >>> round(round_across_n(250.0, 8.0, 100.0, 50.0, en=False)), round_across_n(250.0, 8.0, 100.0, 50.0, en=True)
    (147899, 128000.0)
    """
    share = width_mm / across_mm
    return fy_mpa * wall_mm**2 * (4.0 * (1.0 + 4.0 * share**2) if en else 5.5 / (1.0 - 0.81 * share))


def sidewalls_n(fy_mpa: float, wall_mm: float, plate_mm: float, corner_mm: float, *, en: bool) -> float:
    """A plate across a square tube as wide as it: its side walls yield, 2 Fy t (5 k + tp) (K1-9); EN k = t.

    Args:
        fy_mpa: Yield strength.
        wall_mm: The tube's wall, t.
        plate_mm: The plate's thickness, tp.
        corner_mm: The tube's outside corner radius, k.
        en: Whether EN 1993 or AISC 360 is asked.

    >>> sidewalls_n(250.0, 6.0, 10.0, 9.0, en=False), sidewalls_n(250.0, 6.0, 10.0, 9.0, en=True)
    (165000.0, 120000.0)
    """
    return 2.0 * fy_mpa * wall_mm * (5.0 * (wall_mm if en else corner_mm) + plate_mm)


def left_of_round(stressed: float) -> float:
    """Qf, or kp: what the tube's own stress U, a share of its yield strength, leaves of a round one: 1 - 0.3 U (1 + U).

    >>> left_of_round(0.5)
    0.775
    """
    return max(0.0, 1.0 - 0.3 * stressed * (1.0 + stressed))


def left_of_square(stressed: float, *, en: bool) -> float:
    """The same of a square one under a plate along it: sqrt(1 - U^2) (K1-17); EN 1.3 (1 - n), up to 1.

    >>> left_of_square(0.6, en=False), left_of_square(0.6, en=True)
    (0.8, 0.52)
    """
    return max(0.0, min(1.0, 1.3 * (1.0 - stressed)) if en else math.sqrt(max(0.0, 1.0 - stressed**2)))
