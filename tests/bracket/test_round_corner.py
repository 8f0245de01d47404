"""A notch that goes round the rail's corner, held against rails that are known exactly."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.bracket.notch import fit_notch
from plategen.design.foot import Foot, cut_to_foot
from plategen.flat.distance import offset_from
from plategen.flat.segment import Arc
from plategen.ground.refusal import Refusal
from plategen.rail.corner import corners, relieved
from plategen.rail.surface import Rail
from tests.support.corners import corner_profile, exact_rail, turned_over
from tests.support.style_jobs import CASES

OFFSET_MM = 60.0


def _deepest(rail: Rail, path: object, faces: tuple[float, float]) -> float:
    """Deepest that the plate goes into the rail, over its thickness, on a grid of its notch."""
    edges = list(path)  # type: ignore[call-overload]
    return max(
        offset_from(rail.section(faces[0] + (faces[1] - faces[0]) * d / 8), edge.point(i / 12))
        for edge in edges
        for i in range(13)
        for d in range(9)
    )


@settings(max_examples=3 * CASES // 2, deadline=None)
@given(
    turn=st.floats(60, 120),
    radius=st.just(0.0) | st.floats(0.5, 40.0),
    slope=st.floats(-8, 8),
    flare=st.floats(-0.15, 0.15),
    lean=st.floats(-6, 6),
    run_off=st.floats(-0.2, 0.2),
    low=st.floats(-9.5, 54.0),
    over=st.booleans(),
    gap=st.sampled_from([0.0, 1.0]),
    relief=st.sampled_from([0.0, 12.7]),
)
def test_no_l_shaped_notch_overlaps_the_rail(
    turn: float, radius: float, slope: float, flare: float, lean: float, run_off: float, low: float, over: bool,
    gap: float, relief: float,
) -> None:  # fmt: skip
    near = corner_profile(260.0, 170.0, math.radians(turn), radius, math.radians(slope))
    far = corner_profile(260.0, 170.0, math.radians(turn + lean), radius, math.radians(slope)).moved(
        shift=63.5 * complex(run_off, flare)
    )
    if over:
        near, far = turned_over(near), turned_over(far)
    rail = exact_rail(((0.0, near), (63.5, far)), OFFSET_MM)
    faces = (low, low + 9.5)
    foot = Foot(150.0 if over else -150.0, None, 100.0)
    notch = fit_notch(rail, faces, foot, gap, relief)
    assert notch.fit.overlap_mm < 0.02
    assert _deepest(rail, notch.path, faces) < 0.02
    assert min(edge.length for edge in notch.path) >= 0.05
    # the cut takes no more than it must: at one face of each leg the rail is met
    for leg in notch.legs:
        nearest = min(
            -offset_from(rail.section(w), edge.point(i / 8)) for w in faces for edge in leg.path for i in range(9)
        )
        assert nearest == pytest.approx(gap, abs=0.02)


@pytest.mark.parametrize("over", [False, True])
@pytest.mark.parametrize("lean_deg", [-12.0, 0.0, 12.0])
def test_the_rise_is_what_a_tape_reads_from_the_corner(over: bool, lean_deg: float) -> None:
    chain = corner_profile(200.0, 150.0, math.radians(90.0 + lean_deg), 8.0)
    at, end = 0j, 1
    if over:
        chain, end = turned_over(chain), 0
    path = cut_to_foot(chain, Foot(120.0 if over else -120.0, None, 75.0))
    tops = (path.start, path.end)
    assert abs(tops[end] - at) == pytest.approx(75.0, abs=1e-9)
    assert tops[1 - end] == pytest.approx(120.0 if over else -120.0, abs=1e-9)


def test_a_sharp_corner_is_relieved_and_a_wide_bend_is_followed() -> None:
    sharp = cut_to_foot(corner_profile(200.0, 150.0, math.pi / 2, 3.0), Foot(-120.0, None, 75.0))
    whole = relieved(sharp, 12.7)
    assert len(whole.legs) == 2
    assert whole.legs[0].end == pytest.approx(-12.7)
    assert whole.legs[1].start == pytest.approx(12.7j)
    rim = [edge for edge in whole.path if isinstance(edge, Arc)]
    assert all(edge.radius == pytest.approx(12.7) and abs(edge.sweep_rad) < math.pi for edge in rim)
    assert sum(edge.sweep_rad for edge in rim) == pytest.approx(1.5 * math.pi)
    wide = cut_to_foot(corner_profile(200.0, 150.0, math.pi / 2, 20.0), Foot(-120.0, None, 75.0))
    assert relieved(wide, 12.7).path is not None
    assert len(relieved(wide, 12.7).legs) == 1


def test_the_corner_is_where_the_faces_would_meet() -> None:
    (corner,) = corners(corner_profile(200.0, 150.0, math.radians(70), 25.0, at=30 + 40j))
    assert corner.point == pytest.approx(30 + 40j)
    assert corner.radius_mm == pytest.approx(25.0)


@pytest.mark.parametrize(
    ("foot", "message"),
    [
        (Foot(-120.0, None, 300.0), r"rises 300.0 mm up the rail's side, but the side was traced only 150.0 mm up"),
        (Foot(-120.0, None, 5.0), r"a rise of 5.0 mm ends within the bend of the rail's corner; over 8.0 mm is right"),
        (Foot(-400.0, None, 50.0), r"not traced at station -400.0 mm"),
        (
            Foot(40.0, None, 50.0),
            r"goes round no corner from station 40.0 mm; one station is only for",
        ),
    ],
)
def test_a_foot_that_cannot_be_is_refused(foot: Foot, message: str) -> None:
    rail = exact_rail(((0.0, corner_profile(200.0, 150.0, math.pi / 2, 8.0)),), OFFSET_MM)
    with pytest.raises(Refusal, match=message):
        fit_notch(rail, (0.0, 9.5), foot, 0.0)
