"""Bolts, welds and contact together are the load: forces and moments in space, on random jobs of every style.

What every weld and bolt is told to carry is summed up again here, the welds' line loads by quadrature, not by the
integrals that made them.
"""

import os
from collections import Counter
from collections.abc import Iterator

import numpy as np
import pytest

from plategen.checks.bolt_load import Face, Pulled, face_of, pulled
from plategen.checks.load_path import standing_alone
from plategen.checks.setting import Setting
from plategen.checks.weld import group_of, loads_on
from plategen.ground.space import dot
from plategen.rules.weld_group import Piece, WeldGroup
from tests.support.random_jobs import built

CASES = int(os.environ.get("PLATEGEN_CASES", "12"))
"""Random jobs; 200 before a release."""

GAUSS_AT, GAUSS_BY = np.polynomial.legendre.leggauss(24)

Wrench = tuple[np.ndarray, np.ndarray, float]
"""Force, moment about the origin, and the sum of the sizes of the forces that make them."""


def wrench(forces: np.ndarray, points: np.ndarray) -> Wrench:
    return forces.sum(axis=0), np.cross(points, forces).sum(axis=0), float(np.linalg.norm(forces, axis=1).sum())


def stations(piece: Piece) -> tuple[np.ndarray, np.ndarray]:
    """Points along a piece and the length that each stands for."""
    if piece.half_sweep:
        points = np.array([piece.at(float(t) * piece.half_sweep) for t in GAUSS_AT])
    else:
        points = np.array(piece.middle) + GAUSS_AT[:, None] * np.array(piece.along)
    return points, GAUSS_BY * piece.length / 2.0


def carried_by_welds(group: WeldGroup, load: tuple[tuple[float, ...], tuple[float, ...]]) -> Wrench:
    laid = [stations(piece) for run in group.runs for piece in run]
    points = np.concatenate([at for at, _ in laid])
    lengths = np.concatenate([by for _, by in laid])
    return wrench(group.loads_at([load], points)[0] * lengths[:, None], points)  # type: ignore[list-item, arg-type]


def carried_by_bolts(face: Face, pull: Pulled) -> Wrench:
    u, v, n = (np.array(axis) for axis in (face.place.u, face.place.v, face.place.normal))
    away = -face.side * n
    bolts = [s.real * u + s.imag * v + t * away for s, t in zip(pull.shear, pull.tensions, strict=True)]
    forces = np.array([*bolts, *(-c * away for c in pull.contact)])
    return wrench(forces, np.array([face.place.point(at) for at in (*face.bolts, *face.corners)]))


def closes(carried: Wrench, force: np.ndarray, at: np.ndarray) -> None:
    total, moment, size = carried
    assert np.abs(total - force).max() <= 1e-9 * size
    assert np.abs(moment - np.cross(at, force)).max() <= 1e-9 * size * (100.0 + np.linalg.norm(at))


def weld_groups(setting: Setting) -> Iterator[str]:
    """Every group of runs of a job, asked under every load case."""
    standing = [a for a in setting.assemblies if a.rail_runs and a.carriers]
    for assembly in [*standing, *(alone for a in standing for alone in standing_alone(a))]:
        group = group_of(setting, assembly)
        for load in loads_on(setting, assembly):
            carried = carried_by_welds(group, load)
            if np.isfinite(carried[2]):  # one line of weld, loaded about itself, carries nothing and is a STOP
                closes(carried, np.array(load[0]), np.array(load[1]))
                yield "welds"


def bolt_groups(setting: Setting) -> Iterator[str]:
    for assembly, joint in setting.bolted:
        face, share = face_of(assembly, joint), assembly.share
        n = np.array(face.place.normal)
        for case, pull in zip(setting.cases, pulled(face, setting.cases, share), strict=True):
            if np.isfinite(pull.tension):
                across = dot(case.force_n, face.place.normal)
                force = share * (np.array(case.force_n) - across * n) + across * n
                closes(carried_by_bolts(face, pull), force, np.array(face.loaded_at))
                yield "contact" if any(pull.contact) else "bolts"


def test_bolts_welds_and_contact_are_the_load() -> None:
    asked = Counter[str]()
    for _, work in built(200, CASES):
        setting = Setting(work.design, work.bracket, work.rail, opinions=False)
        asked.update(weld_groups(setting))
        asked.update(bolt_groups(setting))
    assert asked["welds"] > 50
    assert asked["contact"] > 10


def test_a_load_that_is_not_carried_is_found() -> None:
    carried = wrench(np.array([[100.0, 0.0, 0.0]]), np.array([[0.0, 10.0, 0.0]]))
    closes(carried, np.array([100.0, 0.0, 0.0]), np.array([5.0, 10.0, 0.0]))
    with pytest.raises(AssertionError):
        closes(carried, np.array([100.0, 0.0, 0.0]), np.array([5.0, 10.0001, 0.0]))
