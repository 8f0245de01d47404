"""The loop of one rod, closed exactly: where a lever must stand so that a rod of fixed length reaches a given ball.

The ball of the driven lever runs round a circle, q(t) = c + e cos t + f sin t; the rod's other ball is at s. From
|q - s|^2 = L^2 follows A cos t + B sin t = C with A = 2 e.(c - s), B = 2 f.(c - s), C = L^2 - |c - s|^2 - |e|^2.
Its two roots are t = phi + or - alpha, where phi = atan2(B, A) and cos alpha = C / sqrt(A^2 + B^2). They meet only at
a dead point, where alpha is 0 or pi; so as long as none is reached, the branch that a linkage is drawn on keeps its
sign, and a whole sweep is solved at once without looking at the step before.
"""

from dataclasses import dataclass

import numpy as np

from plategen.steering.vector import Floats, array, cross, dot, length


@dataclass(frozen=True, slots=True)
class Circle:
    """The path of a ball about a lever's axis: centre c, radius vectors e (angle zero) and f (a quarter turn on)."""

    centre_mm: Floats
    e_mm: Floats
    f_mm: Floats

    @classmethod
    def of(cls, pivot_mm: tuple[float, float, float], axis: tuple[float, float, float], ball_mm: Floats) -> "Circle":
        """The circle that a ball drawn at ``ball_mm`` runs round when its lever turns about pivot and unit axis."""
        a, r = array(axis), ball_mm - array(pivot_mm)
        along = a * dot(a, r)
        return cls(array(pivot_mm) + along, r - along, cross(a, r))

    def at(self, angle_rad: Floats) -> Floats:
        """The ball at each lever angle: shape (n, 3) for (n,)."""
        t = angle_rad[..., None]
        return np.asarray(self.centre_mm + self.e_mm * np.cos(t) + self.f_mm * np.sin(t))


@dataclass(frozen=True, slots=True)
class Closed:
    """A loop closed at n positions."""

    angle_rad: Floats  # Lever angle on the chosen branch, wrapped to (-pi, pi]; NaN where the loop does not close.
    margin: Floats  # sin(alpha): 0 at a dead point; 1 - |C| / sqrt(A^2 + B^2), negative, where it cannot close
    short: Floats  # True where the loop fails because the rod is too short, False where it is too long.


def branch_of(circle: Circle, other_ball_mm: Floats) -> float:
    """Which of the two roots the drawn position, t = 0, lies on: +1 or -1; 0 when it is drawn on a dead point.

    At t = 0 the derivative of A cos t + B sin t is B = 2 f.(c - s), and at t = phi + sigma alpha it has the sign
    of -sigma.
    """
    b = float(dot(circle.f_mm, circle.centre_mm - other_ball_mm))
    scale = float(length(circle.f_mm) * length(circle.centre_mm - other_ball_mm))
    if abs(b) <= 1e-9 * scale:
        return 0.0
    return -1.0 if b > 0.0 else 1.0


def close(circle: Circle, other_ball_mm: Floats, rod_mm: float, branch: float) -> Closed:
    """The lever angle at which a rod of length ``rod_mm`` reaches each ``other_ball_mm`` (n, 3)."""
    d = circle.centre_mm - other_ball_mm
    a = 2.0 * (d @ circle.e_mm)
    b = 2.0 * (d @ circle.f_mm)
    radius = float(dot(circle.e_mm, circle.e_mm))
    c = rod_mm * rod_mm - (d * d).sum(axis=-1) - radius
    reach = np.hypot(a, b)
    room = (reach - c) * (reach + c)
    with np.errstate(invalid="ignore", divide="ignore"):
        height = np.sqrt(room)
        alpha = np.arctan2(height, c)
        angle = np.arctan2(b, a) + branch * alpha
        safe = np.where(reach > 0.0, reach, 1.0)
        margin = np.where(room >= 0.0, np.sqrt(np.maximum(room, 0.0)) / safe, 1.0 - np.abs(c) / safe)
    angle = angle - 2.0 * np.pi * np.round(angle / (2.0 * np.pi))
    return Closed(angle, margin, c < 0.0)
