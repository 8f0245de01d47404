"""A thickness wrongly told is named where two photographs disagree with it; one photograph tells what it would cost."""

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from plategen.ground.show import Show
from plategen.photo.adjust import Adjusted, adjusted
from plategen.photo.detect import sighting
from plategen.photo.measure import Bar, measured
from plategen.photo.pattern import Pattern, pattern
from plategen.photo.picture import read_picture
from plategen.tell.pattern import pattern_lines
from tests.photo.test_pattern import FRONT
from tests.support.photo_scene import looking, photographed

SIZE = (1600, 1200)


@cache
def cameras(count: int) -> Adjusted:
    """The pattern from one or two sides."""
    views = [looking(SIZE, height_mm=800.0, tilt_deg=16.0, towards_deg=towards) for towards in (60.0, 210.0)]
    shots = [photographed(replace(FRONT, size=SIZE, view=view, seed=k)) for k, view in enumerate(views[:count])]
    return adjusted([sighting(read_picture(shot, f"{k}.jpg")) for k, shot in enumerate(shots)])


def read(count: int, told_mm: float) -> Pattern:
    seen = cameras(count)
    piece = measured(seen, told_mm, Bar(200.0, 200.0))
    return pattern(piece, seen.views[piece.picture], told_mm, 5.0)


def test_two_photographs_bear_out_the_right_thickness():
    (coarse,) = read(2, 3.0).doubts
    assert "is coarse" in str(coarse)  # so few pixels are


def test_two_photographs_name_a_wrong_thickness_and_the_right_one():
    doubt, *_ = map(Show("mm").text, read(2, 6.0).doubts)  # a wall taken for twice its height spoils more
    found = re.match(r"the photographs agree at a thickness of ([\d.]+) mm, not", doubt)
    assert found, doubt
    assert float(found[1]) == pytest.approx(3.0, abs=0.4)


def test_one_photograph_tells_what_a_wrong_thickness_costs():
    right, wrong = read(1, 3.0), read(1, 4.0)
    stations, one, other = np.intersect1d(*(np.round(of.points.real, 6) for of in (right, wrong)), return_indices=True)
    assert len(stations) > 0.9 * len(right.points)
    moved = np.percentile(abs(right.points.imag[one] - wrong.points.imag[other]), 95)  # a bend's own may jump
    assert moved == pytest.approx(right.by_thickness, abs=0.08)
    assert any(
        re.fullmatch(r"a thickness 1.0 mm out moves .* 0\.[1-9].* mm", s) for s in pattern_lines(right, Show("mm"))
    )
