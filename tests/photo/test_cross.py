"""A pen cross stands for a left end that is not cut square."""

from dataclasses import replace
from functools import cache
from pathlib import Path

import cv2
import numpy as np
import pytest

from plategen.job.load import load_trace
from tests.photo.test_pattern import FRONT, VIEW, X, Y, run
from tests.support.photo_scene import moved, packed, rail_pattern, taken

SLANTED = rail_pattern(X, Y) - np.eye(len(X) + 2, 2) * [60.0, 0.0]
"""The straight edge begins 60 mm before station 0, and the left end slants from there."""


@cache
def bare() -> np.ndarray:
    return taken(replace(FRONT, outline_mm=moved(SLANTED, 12.0, (0.0, 0.0))))


def marked(*crosses: tuple[float, float], arms: int = 2) -> bytes:
    """The photograph with pen crosses at stations and offsets."""
    pixels = bare().copy()
    middle = complex(*SLANTED.mean(0))
    for x, y in crosses:
        for k in range(arms):
            ends = (x + 1j * y + np.array([-9.0, 9.0]) * np.exp(1j * (0.3 + k * np.pi / 2)) - middle) * np.exp(
                1j * np.radians(12.0)
            )
            at = VIEW.to_pixels(np.column_stack([ends.real, ends.imag]), FRONT.thickness_mm)
            a, b = np.round(at * 16).astype(int).tolist()
            cv2.line(pixels, a, b, (30, 30, 90), 2, cv2.LINE_AA, 4)
    return packed(pixels)


def test_stations_count_from_the_cross(tmp_path: Path):
    status, said = run(tmp_path, marked((0.0, 40.0)), "--thickness", "3", "--bar", "100", "--cross")
    assert status == 0, said
    points = np.array([reading.point for reading in load_trace(tmp_path / "front.csv").trace.readings])
    fine = np.linspace(-50.0, 300.0, 7001)
    away = np.abs(points[:, None] - (fine + 1j * np.interp(fine, X, Y))[None, :]).min(1)
    assert len(points) >= 55
    assert away.max() < 0.5


@pytest.mark.parametrize(
    ("photograph", "words", "line"),
    [
        ({"crosses": ((0.0, 40.0),)}, (), "draw a pen cross at station 0 and say --cross"),
        ({"crosses": ()}, ("--cross",), "no pen cross is seen"),
        ({"crosses": ((0.0, 40.0),), "arms": 1}, ("--cross",), "no pen cross is seen"),
        ({"crosses": ((0.0, 40.0), (60.0, 50.0))}, ("--cross",), "2 pen crosses are seen"),
    ],
)
def test_a_slanted_end_without_one_cross_is_refused(tmp_path: Path, photograph, words, line):
    status, said = run(
        tmp_path, marked(*photograph["crosses"], arms=photograph.get("arms", 2)), "--thickness", "3", *words
    )
    assert status == 2
    assert line in said
    assert [path.name for path in tmp_path.iterdir()] == ["front.jpg"]
