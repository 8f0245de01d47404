"""A rail's wall bent by a plate that stands on it: a flange from its web, a face between two walls, by plastic hinges.

Forces are square to the wall. A wall's own stress as a part of the whole rail is not known and taken as none.
"""

import math
from dataclasses import dataclass

from plategen.rules.safety import Safety

FACE = Safety(1.00, 1.50)
"""Plastification of a face by a plate along it, and yielding of side walls (AISC 360-10 Table K1.2)."""

FACE_ACROSS = Safety(0.95, 1.58)
"""Local yielding by a plate across it (same table)."""

GAMMA_M5 = 1.00
"""Joints of hollow sections (EN 1993-1-8:2005 Table 2.1)."""


@dataclass(frozen=True, slots=True)
class Resistance:
    """What a wall takes from a plate along it: hinges beside the plate, and those that close them at its two ends."""

    beside_n: float
    ends_n: float

    @property
    def push_n(self) -> float:
        """Force square to the wall."""
        return self.beside_n + self.ends_n

    def tilt_nmm(self, length_mm: float) -> float:
        """Moment that tilts the plate along its length: the same hinges, in and out by halves.

        >>> Resistance(100.0, 40.0).tilt_nmm(10.0)
        450.0
        """
        return length_mm * (self.beside_n / 4.0 + self.ends_n / 2.0)


def hinge_n(fy_mpa: float, thickness_mm: float) -> float:
    """Plastic moment of a wall, N mm on each millimetre of a hinge: Fy t^2/4.

    >>> hinge_n(250.0, 10.0)
    6250.0
    """
    return fy_mpa * thickness_mm**2 / 4.0


def flange_along(
    fy_mpa: float, thickness_mm: float, length_mm: float, arm_mm: float, beyond_mm: float = 0.0
) -> Resistance:
    """A plate along a flange: a hinge at the web as long as the plate, and the fans that run out at its ends.

    N x = Fy t^2/4 (l + min(2 pi x, 4 x + 1.25 e, 3.25 x + 3.5 e)). The first two are the effective lengths of EN
    1993-1-8:2005 Table 6.4 about a place that is pulled on a flange without prying, spread by the plate's length; the
    last holds them to what a plastic plate by finite elements gives near a free edge, where 4 x stands up to 1.17 times
    over it.

    Args:
        fy_mpa: Yield strength of the flange.
        thickness_mm: Its thickness.
        length_mm: Length of the plate's foot.
        arm_mm: From the web to the plate, x.
        beyond_mm: From the plate to the flange's free edge, e.

    >>> flange_along(250.0, 10.0, 100.0, 40.0).push_n * 40.0
    1437500.0
    """
    hinge = hinge_n(fy_mpa, thickness_mm)
    if arm_mm <= 0.0:
        return Resistance(math.inf, 4.0 * hinge)
    return Resistance(hinge * length_mm / arm_mm, _fans(max(0.0, beyond_mm) / arm_mm) * hinge)


def _fans(beyond: float) -> float:
    """What runs out at a plate's ends, in hinges over x; ``beyond`` is e over x."""
    return min(2.0 * math.pi, 4.0 + 1.25 * beyond, 3.25 + 3.5 * beyond)


def flange_aside_nmm(fy_mpa: float, thickness_mm: float, length_mm: float, beyond_mm: float) -> float:
    """Moment that tilts a plate along a flange aside, about its own foot.

    Hinges on both sides of the foot, or where the free edge is near a hinge towards the web alone and what turns round
    the ends: Fy t^2/4 min(2 l, l + 3 e), yield lines on the safe side of finite elements.

    Args:
        fy_mpa: Yield strength of the flange.
        thickness_mm: Its thickness.
        length_mm: Length of the plate's foot.
        beyond_mm: From the plate to the flange's free edge, e.

    >>> flange_aside_nmm(250.0, 10.0, 100.0, 0.0), flange_aside_nmm(250.0, 10.0, 100.0, 60.0)
    (625000.0, 1250000.0)
    """
    return hinge_n(fy_mpa, thickness_mm) * min(2.0 * length_mm, length_mm + 3.0 * max(0.0, beyond_mm))


def flange_across(fy_mpa: float, thickness_mm: float, width_mm: float, length_mm: float, arm_mm: float) -> Resistance:
    """A plate across a flange that a web holds on one side: a stiff foot that goes in and tilts as it is let.

    N = Fy t^2/4 min(4 b/x, f + 4 l/x), x to the foot's middle and f the fans of :func:`flange_along` there, on the safe
    side of a plastic plate by finite elements (0.84 to 0.97 of it); and no more than half of AISC 360-22 J10.1, 6.25 Fy
    t^2 for the flanges on both sides of a web, which counts what that web holds under the plate as well.

    Args:
        fy_mpa: Yield strength of the flange.
        thickness_mm: Its thickness.
        width_mm: Its width from the web, b.
        length_mm: Length of the plate's foot across it.
        arm_mm: From the web to the foot's middle, x.

    >>> flange_across(250.0, 10.0, 60.0, 40.0, 30.0).push_n, flange_across(250.0, 10.0, 60.0, 20.0, 10.0).push_n
    (50000.0, 78125.0)
    """
    hinge, arm = hinge_n(fy_mpa, thickness_mm), max(arm_mm, length_mm / 2.0)
    fans = _fans(max(0.0, width_mm - arm) / arm)
    push = hinge * min(4.0 * width_mm / arm, fans + 4.0 * length_mm / arm)
    return Resistance(0.0, min(push, flange_pulled_n(fy_mpa, thickness_mm) / 2.0))


def flange_across_aside_nmm(fy_mpa: float, thickness_mm: float, length_mm: float) -> float:
    """Moment that tilts such a plate about its own foot: a hinge on both sides of it, 2 l Fy t^2/4.

    >>> flange_across_aside_nmm(250.0, 10.0, 40.0)
    500000.0
    """
    return 2.0 * hinge_n(fy_mpa, thickness_mm) * length_mm


def flange_pulled_n(fy_mpa: float, thickness_mm: float) -> float:
    """Force of a plate across a flange on both sides of its web: 6.25 Fy tf^2 (AISC 360-22 J10.1).

    >>> flange_pulled_n(250.0, 10.0)
    156250.0
    """
    return 6.25 * fy_mpa * thickness_mm**2


def face_along(
    fy_mpa: float,
    thickness_mm: float,
    width_mm: float,
    plate_mm: float,
    length_mm: float,
    *,
    en: bool,
    leg_mm: float | None = None,
) -> Resistance:
    """A plate along the middle of a face that two walls hold.

    AISC 360-10 Table K1.2 (K1-12): Fy t^2/(1 - tp/B) (2 lb/B + 4 sqrt(1 - tp/B)), which 360-16 and 360-22 leave to the
    Manual; EN 1993-1-8:2005 Table 7.13, without the divisor. Both let membrane forces help: as plates that only bend
    the ends give no more than 2.45 Fy t^2/sqrt(1 - w/B) by finite elements, w the plate with its fillets. Infinite
    where the plate is as wide as the face.

    Args:
        fy_mpa: Yield strength of the face.
        thickness_mm: Its thickness.
        width_mm: Its width, B.
        plate_mm: The plate's thickness, tp.
        length_mm: Length of its foot, lb.
        en: Whether EN 1993 or AISC 360 is asked.
        leg_mm: Leg of the fillets on its sides, for what the ends give as plates; None for the rule as it is printed.

    >>> round(face_along(344.74, 5.918, 152.4, 9.525, 152.4, en=False).push_n / 4448.2, 2)
    17.0
    >>> round(face_along(344.74, 5.918, 152.4, 9.525, 152.4, en=False, leg_mm=6.35).push_n / 4448.2, 2)
    12.99
    """
    share = plate_mm / width_mm
    if share >= 1.0:
        return Resistance(math.inf, math.inf)
    n = fy_mpa * thickness_mm**2
    printed = n / (1.0 if en else 1.0 - share)
    ends = 4.0 * math.sqrt(1.0 - share) * printed
    if leg_mm is not None:
        loaded = min(1.0, (plate_mm + 2.0 * leg_mm) / width_mm)
        ends = min(ends, 2.45 * n / math.sqrt(1.0 - loaded)) if loaded < 1.0 else ends
    return Resistance(printed * 2.0 * length_mm / width_mm, ends)


def face_across_n(fy_mpa: float, thickness_mm: float, width_mm: float, length_mm: float, *, en: bool) -> float:
    """Force of a plate across such a face.

    The plate's effective width, 10/(B/t) of it, in both rules: 10 Fy t Bp/(B/t) (AISC 360-10 K1-7, AISC 360-22 K1-1 in
    J4; EN 1993-1-8:2005 Table 7.13). EN asks the face's own hinges as well: fy t^2 (2 + 2.8 b)/sqrt(1 - 0.9 b), b up
    to 0.85 (same table). Punching, 0.6 Fy t (2 tp + 2 Bep), is never less than the first.

    >>> round(face_across_n(344.74, 5.918, 152.4, 127.0, en=False) / 4448.2, 1)
    22.6
    """
    n, share = fy_mpa * thickness_mm**2, min(1.0, length_mm / width_mm)
    face = min(0.85, share)
    hinges = (2.0 + 2.8 * face) / math.sqrt(1.0 - 0.9 * face) if en else math.inf
    return n * min(10.0 * share, hinges)


def face_tilt_n(fy_mpa: float, thickness_mm: float, width_mm: float, plate_mm: float) -> float:
    """Moment, N mm on each millimetre of a plate along such a face, that tilts it: hinges at plate and walls.

    2 Fy t^2/4 (B + tp)/(B - tp), by the same yield lines; infinite where the plate is as wide as the face.

    >>> face_tilt_n(250.0, 10.0, 100.0, 20.0)
    18750.0
    """
    if plate_mm >= width_mm:
        return math.inf
    return 2.0 * hinge_n(fy_mpa, thickness_mm) * (width_mm + plate_mm) / (width_mm - plate_mm)


def pulled_at_a_point_n(hinge_nmm: float) -> float:
    """Pull or press of one bolt on a wide wall that is clamped round about, by a fan of plastic hinges: 4 pi m.

    Args:
        hinge_nmm: Plastic moment m of the wall on each millimetre, N mm/mm; that of a plate behind it is added.

    Source: plastic theory of plates (K. W. Johansen's yield lines), a circular fan: 2 pi (m + m').
    """
    return 4.0 * math.pi * hinge_nmm
