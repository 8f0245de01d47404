"""Wheels that roll without scrubbing in a turn: the ideal angles, and how far a real pair is from them."""

import numpy as np

from plategen.steering.vector import Floats


def ideal_outer_rad(inner_rad: Floats, kingpins_mm: float, wheelbase_mm: float) -> Floats:
    """Outer wheel's angle for pure rolling with a rear axle that does not steer.

    cot(outer) - cot(inner) = c / L, so outer = atan2(sin(inner), cos(inner) + (c / L) sin(inner)).

    Args:
        inner_rad: Angle of the inner wheel, zero or more, shape (n,).
        kingpins_mm: c, distance between the kingpins at the ground.
        wheelbase_mm: L.

    Source: correct-steering condition of the theory of machines; Rattan, Theory of Machines, "Ackermann steering".

    Examples:
        >>> round(float(np.degrees(ideal_outer_rad(np.radians(18.0), 0.44, 1.0))), 1)
        15.9
    """
    inner = np.asarray(inner_rad)
    return np.asarray(np.arctan2(np.sin(inner), np.cos(inner) + kingpins_mm / wheelbase_mm * np.sin(inner)))


def percent(inner_rad: Floats, outer_rad: Floats, kingpins_mm: float, wheelbase_mm: float) -> Floats:
    """Share of the ideal difference between the wheels that the linkage gives, in percent; NaN at straight ahead.

    100 (inner - outer) / (inner - ideal outer): 100 rolls freely, 0 keeps the wheels parallel. Common practice.
    """
    wanted = inner_rad - ideal_outer_rad(inner_rad, kingpins_mm, wheelbase_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(np.abs(wanted) > 1e-9, 100.0 * (inner_rad - outer_rad) / wanted, np.nan)
