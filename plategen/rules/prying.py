"""What a bolt carries through a plate that bends about it: prying at its far edge adds to its tension.

AISC Steel Construction Manual, part 9, prying action (14th and 15th edition), from memory. The plate is a strip of
width p, built in at the part that is pulled, a distance b from the bolt, and bears at its edge a beyond it.
EN 1993-1-8:2005 6.2.4 and Table 6.2 take it as half of a T-stub.
"""

import math

from plategen.rules.safety import YIELDING, RuleSet


def share_left(
    *,
    thickness_mm: float,
    fu_mpa: float,
    bolt_mm: float,
    hole_mm: float,
    available_n: float,
    b_mm: float,
    a_mm: float,
    p_mm: float,
    rules: RuleSet,
) -> float:
    """Q, the share of a bolt's available tension that is left beside prying (AISC Manual part 9, eqs. 9-27 to 9-35).

    b' = b - d/2, a' = min(a, 1.25 b) + d/2, rho = b'/a', delta = 1 - d'/p, tc = sqrt(4 B b'/(phi p Fu)), 1/Omega for
    phi. alpha' = ((tc/t)^2 - 1)/(delta (1 + rho)); Q is 1 below 0, (t/tc)^2 (1 + delta alpha') up to 1, beyond it
    (t/tc)^2 (1 + delta).

    Args:
        thickness_mm: The plate's.
        fu_mpa: Its tensile strength.
        bolt_mm: The bolt's diameter d.
        hole_mm: Its hole's, d', along the strip's width.
        available_n: What the bolt may carry in tension, safety in: B.
        b_mm: From the bolt's centre to the face of what is pulled.
        a_mm: From the bolt's centre to the plate's edge.
        p_mm: Width of plate that bends for one bolt.
        rules: Whose safety.
    """
    arm = max(1e-9, b_mm - bolt_mm / 2.0)
    lever = min(a_mm, 1.25 * b_mm) + bolt_mm / 2.0
    delta, rho = 1.0 - hole_mm / p_mm, arm / lever
    tc = math.sqrt(4.0 * available_n * arm / (p_mm * YIELDING.available(fu_mpa, rules)))
    thin = (thickness_mm / tc) ** 2 if tc > 0.0 else math.inf
    if thin >= 1.0:
        return 1.0
    alpha = (1.0 / thin - 1.0) / (delta * (1.0 + rho))
    return thin * (1.0 + delta * min(1.0, alpha))


def tee_half_n(
    *, thickness_mm: float, fy_mpa: float, tension_n: float, m_mm: float, e_mm: float, p_mm: float = math.inf
) -> float:
    """What half of a T-stub with a bolt on each side carries, N (EN 1993-1-8:2005 Table 6.2, gamma_M0 = 1).

    leff = min(2 pi m, 4 m + 1.25 e), or the spacing of the bolts where that is less; Mpl = leff t^2 fy/4. Of the whole
    stub 4 Mpl/m, (2 Mpl + n 2 Ft)/(m + n) with n = min(e, 1.25 m), 2 Ft: the least of the three modes.

    Args:
        thickness_mm: The plate's.
        fy_mpa: Its yield strength.
        tension_n: What one bolt may carry, Ft,Rd.
        m_mm: From the bolt's centre to the bead on what is pulled, 0 of one that stands there: the limit is told.
        e_mm: From the bolt's centre to the plate's edge.
        p_mm: Spacing of the bolts along the stub.

    >>> round(tee_half_n(thickness_mm=30.0, fy_mpa=355.0, tension_n=90e3, m_mm=30.0, e_mm=40.0))
    90000
    """
    m_mm = max(1e-9, m_mm)
    length = min(2.0 * math.pi * m_mm, 4.0 * m_mm + 1.25 * e_mm, p_mm)
    plastic, n = length * thickness_mm**2 * fy_mpa / 4.0, min(e_mm, 1.25 * m_mm)
    whole = min(4.0 * plastic / m_mm, (2.0 * plastic + 2.0 * n * tension_n) / (m_mm + n), 2.0 * tension_n)
    return whole / 2.0
