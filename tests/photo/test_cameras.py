"""Two photographs of one size without a word on their cameras: the pages tell whether one camera took both."""

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from plategen.ground.show import Show
from plategen.photo.measure import Bar
from plategen.photo.read import photographed, sighted, trace_of
from tests.photo.test_pattern import FRONT, X, Y
from tests.support.photo_scene import looking
from tests.support.photo_scene import photographed as taken_photograph

SIZE = (1600, 1200)
FIRST = looking(SIZE, height_mm=800.0, tilt_deg=16.0, towards_deg=60.0)


def second(**lens):
    return looking(SIZE, height_mm=780.0, tilt_deg=16.0, towards_deg=210.0, roll_deg=-8.0, **lens)


@cache
def seen_from(view, number):
    return sighted(taken_photograph(replace(FRONT, size=SIZE, view=view, seed=number)), f"{number}.jpg")


def read(view):
    of = photographed([seen_from(FIRST, 0), seen_from(view, 1)], 3.0, Bar(200.0, 200.0))
    found = trace_of(of, "mm")
    fine = np.linspace(X[0], X[-1], 6001)
    off = np.abs(found.points[:, None] - (fine + 1j * np.interp(fine, X, Y))[None, :]).min(1)
    doubts = [Show("mm").text(doubt) for doubt in found.doubts]
    return of, off, [doubt for doubt in doubts if "is coarse" not in doubt]  # so few pixels are


def test_one_camera_is_taken_as_one():
    of, off, doubts = read(second())
    assert of.cameras.cameras == (0, 0)
    assert of.cameras.views[0].lens.focal_px == of.cameras.views[1].lens.focal_px
    assert doubts == []
    assert off.max() < 0.45


@pytest.mark.parametrize(
    "lens",
    [{"focal_35mm": 24.0, "radial": (-0.06, 0.02)}, {"focal_35mm": 34.0}, {"radial": (-0.08, 0.05)}],
    ids=["another telephone", "zoomed", "another lens"],
)
def test_two_cameras_are_not_taken_as_one_in_silence(lens):
    """Before, they were."""
    of, off, doubts = read(second(**lens))
    assert of.cameras.cameras == (0, 1)
    (line,) = doubts
    assert "not of one camera" in line
    assert off.max() < 0.45


def test_what_the_pages_cannot_tell_apart_does_no_harm():
    of, off, doubts = read(second(focal_35mm=27.0))
    assert of.cameras.cameras == (0, 0)
    assert doubts == []
    assert off.max() < 0.45
