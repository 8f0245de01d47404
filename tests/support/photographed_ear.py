"""The near ear of a job as a hand would photograph it: cut, among printed pages, on a dark floor."""

from dataclasses import replace
from pathlib import Path

import numpy as np

from plategen.draw.pen import chords
from plategen.job.load import load_job
from plategen.make import carry_through
from tests.photo.test_pattern import FRONT
from tests.support.photo_scene import photographed


def photographed_ear(folder: Path) -> tuple[bytes, str]:
    """The photograph, and the plate's thickness as it is typed."""
    loaded = load_job(folder)
    ear = carry_through(loaded.job, loaded.traces).bracket.plates[0]
    (u0, v0, u1, v1), outline = ear.outline.bounds, chords(ear.outline, 0.02)
    middle = complex((u0 + u1) / 2, (v0 + v1) / 2)
    holes = tuple((*_xy(hole.circle.centre - middle), hole.circle.radius) for hole in ear.holes)
    scene = replace(
        FRONT, outline_mm=np.array([_xy(p - middle) for p in outline]), thickness_mm=ear.thickness_mm,
        colour=(0.45, 0.46, 0.48), floor=(0.12, 0.11, 0.1), holes=holes,
    )  # fmt: skip
    return photographed(scene), f"{ear.thickness_mm} mm"


def _xy(p: complex) -> tuple[float, float]:
    return p.real, p.imag
