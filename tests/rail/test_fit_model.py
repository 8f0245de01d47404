"""Distances, their derivatives and the solver, against the plane's own edges, differences and scipy."""

import cmath
import math

import numpy as np
import pytest
from scipy.optimize import least_squares

from plategen.rail.fit.model import Shape, feet, frames, motion, slopes
from plategen.rail.fit.solve import solve
from tests.rail.fit_rails import a_rail, chain_of, read

SHAPES = {
    "L": [0.1, 0.02],
    "A": [0.1, 0.02, 0.01],
    "LCL": [0.1, 0.02, 50.0, 0.3],
    "LAL": [0.1, 0.02, 50.0, 0.3, 20.0],
    "LAAL": [0.0, 0.0, 40.0, 0.2, 10.0, -0.4, 30.0],
    "ALCLA": [0.1, 0.02, 0.01, 40.0, 30.0, 0.5, 30.0, 0.02],
    "LCALAL": [0.0, 0.0, 30.0, 0.2, 0.4, 20.0, 30.0, -0.5, 10.0],
}


def shape_of(word: str) -> Shape:
    return Shape(word, 1 + 2j, cmath.rect(1.0, 0.1), np.array(SHAPES[word]))


def scattered(count: int = 25) -> np.ndarray:
    rng = np.random.default_rng(0)
    return np.linspace(5, 120, count) + 1j * rng.normal(12, 6, count)


def test_distances_are_those_of_the_planes_own_chain() -> None:
    chain = chain_of(0j, 0.1, (50.0, 0.0), (20.0, 0.3), (30.0, 0.0), (0.0, -0.6), (60.0, 0.0))
    shape = Shape("LALCL", 0j, cmath.rect(1.0, 0.1), np.array([0, 0, 50.0, 0.3, 20.0, 30.0, -0.6]))
    points = np.array([chain.point(s) for s in np.linspace(1, chain.length - 1, 60)]) + 3j * np.sin(np.arange(60.0))
    foot = feet(frames(shape), points)
    for point, distance, place in zip(points, foot.distance, foot.point, strict=True):
        assert abs(distance) == pytest.approx(chain.distance(complex(point)), abs=1e-9)
        assert chain.distance(complex(place)) < 1e-9


def test_left_of_the_walk_is_positive() -> None:
    foot = feet(frames(shape_of("L")), np.array([10 + 90j, 10 - 90j]))
    assert foot.distance[0] > 0 > foot.distance[1]


@pytest.mark.parametrize("word", SHAPES)
def test_slopes_are_differences(word: str) -> None:
    shape, points, step = shape_of(word), scattered(), 1e-6
    slope = slopes(walk := frames(shape), motion(shape, walk), feet(walk, points))
    for column in range(len(shape.values)):
        moved = [shape.values + step * sign * (np.arange(len(shape.values)) == column) for sign in (1, -1)]
        ahead, behind = (feet(frames(shape.at(values)), points).distance for values in moved)
        assert slope[:, column] == pytest.approx((ahead - behind) / (2 * step), abs=1e-4)


@pytest.mark.parametrize("kind", ["line", "corner", "arc"])
def test_solver_finds_what_scipy_finds(kind: str) -> None:
    rng = np.random.default_rng(12)
    for _ in range(10):
        rail = a_rail(kind, rng)
        points = read(rail, rng)
        ours = solve(rail.shape, points, np.ones(len(points)), 0.5, tolerance=1e-13)
        theirs = least_squares(
            lambda v, s=rail.shape, p=points: feet(frames(s.at(v)), p).distance, rail.shape.values, x_scale="jac"
        )
        assert ours.squares_mm2 == pytest.approx(2.0 * theirs.cost, rel=1e-6)


def test_solver_keeps_a_bend_to_the_usual_radius_as_scipy_does() -> None:
    rng = np.random.default_rng(13)
    rail = a_rail("bend", rng)
    points = read(rail, rng)

    def residuals(values: np.ndarray) -> np.ndarray:
        usual = math.log(values[4] / abs(values[3]) / 30.0) / 0.8
        return np.append(feet(frames(rail.shape.at(values)), points).distance, 0.5 * usual)

    ours = solve(rail.shape, points, np.ones(len(points)), 0.5, tolerance=1e-13)
    low = np.array([-np.inf, -np.inf, 1e-3, -np.inf, 1e-3])
    scale = [1, 0.01, 100, 0.1, 10]
    theirs = least_squares(residuals, rail.shape.values, bounds=(low, np.inf), x_scale=scale, xtol=1e-12, ftol=1e-12)
    assert 0.5 * np.sum(residuals(ours.shape.values) ** 2) == pytest.approx(theirs.cost, rel=1e-5)
