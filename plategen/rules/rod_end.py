"""How far a rod end may tilt: before its head meets the plates beside it, and before its ball runs out of it.

Geometry of a ball of width W in a head of width H and diameter D, the pin square to the plates, as gear and bearing
makers' engineering data give it. Catalogues print one figure a size, for a pin with a shoulder no wider than the ball's
face; between two plates the head meets them sooner.
"""

import math

MOST_IN_HAND_DEG = 1.5
"""Catalogues print up to this much less than the geometry gives (size 40 of ISO 12240-1, as suppliers print it)."""


def tilt_before_plates_rad(gap_mm: float, head_width_mm: float, head_diameter_mm: float) -> float:
    """Tilt at which the corner of a head meets plates ``gap_mm`` apart, the ball in their middle.

    The corner, D/2 out and H/2 up, comes to D/2 sin a + H/2 cos a from the middle when the head tilts by a, so

        a = asin(G / sqrt(D^2 + H^2)) - atan(H / D)

    with G the gap: the ball and its spacers, and the play. A quarter turn where the head can never meet them.

    >>> round(math.degrees(tilt_before_plates_rad(25.0, 18.0, 50.0)), 2)
    8.26
    """
    across = math.hypot(head_diameter_mm, head_width_mm)
    if gap_mm >= across:
        return math.pi / 2
    return math.asin(gap_mm / across) - math.atan2(head_width_mm, head_diameter_mm)


def tilt_in_head_rad(ball_mm: float, shoulder_mm: float, head_width_mm: float) -> float:
    """Tilt at which the rim of the head's seat comes to the shoulder against the ball.

    On a ball of diameter B the head's rim lies asin(H/B) from its equator, and a shoulder of diameter S meets the ball
    acos(S/B) from it; between them lies a = acos(S/B) - asin(H/B). A shoulder as wide as the ball's face of width W,
    S = sqrt(B^2 - W^2), gives asin(W/B) - asin(H/B).

    >>> round(math.degrees(tilt_in_head_rad(29.0, math.sqrt(29.0**2 - 16.0**2), 12.0)), 1)
    9.0
    """
    return math.acos(min(1.0, shoulder_mm / ball_mm)) - math.asin(min(1.0, head_width_mm / ball_mm))
