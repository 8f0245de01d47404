"""The notch held against rails that are known exactly."""

import cmath
import math
import os
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.bracket.notch import Notch, fit_notch, joint_angle
from plategen.flat.chain import Chain
from plategen.flat.segment import Line
from plategen.ground.refusal import Refusal
from plategen.make import fit_rail
from tests.support.rails import KnownRail, flat_bend_flat

OFFSET_MM = 50.0
STATIONS = [1.75 * i for i in range(180)]  # three readings and more on the shortest bend
FOOT = (40.0, 270.0)
CASES = int(os.environ.get("PLATEGEN_CASES", "12"))
"""Random rails a property is tried on."""


def _notch(known: KnownRail, faces: tuple[float, float], root_gap_mm: float = 0.0) -> Notch:
    traces = tuple(known.read(w, STATIONS) for w in (0.0, 63.5))
    return fit_notch(fit_rail(traces, OFFSET_MM), faces, FOOT, root_gap_mm)


def _deepest(known: KnownRail, notch: Notch, faces: tuple[float, float]) -> float:
    """Deepest that the plate goes into the true rail, over its thickness, on a fine grid of its notch."""
    shift = complex(0.0, -OFFSET_MM)
    return max(
        known.depth(edge.point(i / 12) + shift, faces[0] + (faces[1] - faces[0]) * d / 8)
        for edge in notch.path
        for i in range(13)
        for d in range(9)
    )


@settings(max_examples=CASES, deadline=None)
@given(
    kick=st.floats(8, 25),
    away=st.booleans(),
    radius=st.floats(40, 80),
    flare=st.floats(-0.15, 0.15),
    run_off=st.floats(-0.3, 0.3),
    low=st.floats(-9.5, 54.0),
)
def test_no_plate_overlaps_the_true_rail(
    kick: float, away: bool, radius: float, flare: float, run_off: float, low: float
) -> None:
    profile = flat_bend_flat(200, math.radians(kick if away else -kick), radius, 330, start=-60 + 60j)
    known = KnownRail(profile, complex(run_off, flare))
    faces = (low, low + 9.5)
    notch = _notch(known, faces)
    assert _deepest(known, notch, faces) < 0.02
    assert notch.fit.overlap_mm < 0.02
    assert min(edge.length for edge in notch.path) >= 0.05
    # one face at least touches: nothing is cut away for safety's sake
    assert min(notch.fit.gap_near_mm, notch.fit.gap_far_mm) < 9.5 * (abs(flare) + abs(run_off)) + 1e-6


@settings(max_examples=CASES, deadline=None)
@given(
    kick=st.floats(-25, 25).filter(lambda k: abs(k) > 5),
    flare=st.floats(-0.15, 0.15),
    run_off=st.floats(-0.3, 0.3),
    low=st.floats(-9.5, 110.0),
)
def test_a_welded_corner_that_wanders_is_cleared_over_three_traces(
    kick: float, flare: float, run_off: float, low: float
) -> None:
    turn = cmath.rect(1.0, math.radians(kick))
    corner = 140 + 80j
    known = KnownRail(Chain((Line(corner - 220, corner), Line(corner, corner + 340 * turn))), complex(run_off, flare))
    rail = fit_rail(tuple(known.read(w, STATIONS) for w in (0.0, 51.0, 110.0)), OFFSET_MM)
    faces = (low, low + 9.5)
    notch = fit_notch(rail, faces, FOOT, 0.0)
    assert _deepest(known, notch, faces) < 0.02
    assert min(edge.length for edge in notch.path) >= 0.05


def test_square_cut_stands_off_by_thickness_times_slant() -> None:
    known = KnownRail(Chain((Line(-60 + 30j, 400 + 30j),)), 0.12j)
    notch = _notch(known, (10.0, 19.5))
    assert notch.fit.gap_near_mm == pytest.approx(0.0, abs=1e-6)
    assert notch.fit.gap_far_mm == pytest.approx(9.5 * 0.12, abs=1e-6)
    assert notch.slope[0] == pytest.approx((0.12, 0.12), abs=1e-9)
    # the rail recedes as w grows, so the joint is open on the far side and closed on the near one
    assert joint_angle(notch.slope[1], +1)[0] == pytest.approx(math.pi / 2 + math.atan(0.12))
    assert joint_angle(notch.slope[0], -1)[0] == pytest.approx(math.pi / 2 - math.atan(0.12))


def test_standing_gap_is_kept_everywhere() -> None:
    known = KnownRail(flat_bend_flat(200, math.radians(14), 60, 330, start=-60 + 60j))
    notch = _notch(known, (0.0, 9.5), root_gap_mm=1.5)
    assert notch.fit.gap_near_mm == pytest.approx(1.5, abs=1e-6)
    for edge in notch.path:
        for i in range(9):
            assert -known.depth(edge.point(i / 8) - 1j * OFFSET_MM, 5.0) == pytest.approx(1.5, abs=1e-4)


@pytest.mark.parametrize("offset_mm", [-20.0, 0.0, 33.3, 95.25])
def test_in_line_offset_moves_the_notch_and_leaves_its_shape(offset_mm: float) -> None:
    known = KnownRail(flat_bend_flat(200, math.radians(12), 50, 330, start=-60 + 60j), 0.1 + 0.1j)
    rng = random.Random(5)
    traces = tuple(known.read(w, STATIONS[::4], 0.5, 25.4 / 32, rng) for w in (0.0, 63.5))
    here = fit_notch(fit_rail(traces, 0.0), (20.0, 29.5), FOOT, 0.0)
    there = fit_notch(fit_rail(traces, offset_mm), (20.0, 29.5), FOOT, 0.0)
    assert len(here.path) == len(there.path)
    for a, b in zip(here.path, there.path, strict=True):
        assert type(a) is type(b)
        assert abs(b.start - a.start - 1j * offset_mm) < 1e-9
        assert abs(b.end - a.end - 1j * offset_mm) < 1e-9
        assert abs(b.point(0.5) - a.point(0.5) - 1j * offset_mm) < 1e-9


def test_foot_off_the_trace_is_refused() -> None:
    known = KnownRail(Chain((Line(-60 + 30j, 400 + 30j),)))
    rail = fit_rail((known.read(0.0, [0.0, 100.0, 200.0]),), OFFSET_MM)
    with pytest.raises(
        Refusal, match=r"the foot runs from station 40\.0 mm to 270\.0 mm but w0\.csv was read only from 0\.0 mm to"
    ):
        fit_notch(rail, (0.0, 9.5), FOOT, 0.0)
