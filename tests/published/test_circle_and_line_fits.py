"""Least squares on normal distances, against two published fits.

Pearson, Philosophical Magazine (6) 2, 1901, 559: the line of closest fit to ten points (figures from memory).
Gander, Golub and Strebel, BIT 34, 1994, 558: the geometric circle fit to six points (figures from memory).
"""

import numpy as np
import pytest

from plategen.rail.fit.model import Shape
from plategen.rail.fit.solve import solve


def test_pearsons_line() -> None:
    x = np.array([0.0, 0.9, 1.8, 2.6, 3.3, 4.4, 5.2, 6.1, 6.5, 7.4])
    y = np.array([5.9, 5.4, 4.4, 4.6, 3.5, 3.7, 2.8, 2.8, 2.4, 1.5])
    fitted = solve(Shape("L", 0j, 1 + 0j, np.array([5.0, -0.3])), x + 1j * y, np.ones(10), 0.5, tolerance=1e-14)
    heading, start = complex(fitted.walk.heading[0]), complex(fitted.walk.start[0])
    slope = heading.imag / heading.real
    assert slope == pytest.approx(-0.54556, abs=5e-6)
    assert start.imag - slope * start.real == pytest.approx(5.7841, abs=5e-4)


def test_the_six_point_circle() -> None:
    points = np.array([1 + 7j, 2 + 6j, 3 + 7j, 5 + 8j, 7 + 7j, 9 + 5j])
    start = Shape("A", 0.5 + 5j, np.exp(0.8j), np.array([0.0, 0.0, -0.2]))
    fitted = solve(start, points, np.ones(6), 0.5, tolerance=1e-14)
    curvature = fitted.walk.curvature[0]
    centre = complex(fitted.walk.start[0] + 1j * fitted.walk.heading[0] / curvature)
    assert abs(1.0 / curvature) == pytest.approx(4.7142, abs=1e-4)
    assert (centre.real, centre.imag) == pytest.approx((4.7398, 2.9835), abs=1e-4)
