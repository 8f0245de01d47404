"""Parallel outlines: against a library that buffers polygons, and by what must come back."""

import math

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plategen.flat.chain import Chain
from plategen.flat.inside import inside, simple
from plategen.flat.loop import Loop
from plategen.flat.offset import offset_chain, offset_loop, offset_loops
from plategen.flat.segment import RUN_ON_MM, SHORTEST_PATH_MM, Arc, Line
from plategen.flat.tangent import rounded
from plategen.ground.refusal import Refusal

from .shapes import as_shapely, channel, loops, polygon

TRIANGLE = polygon(0j, 40 + 0j, 30j)


def test_a_rectangle_inward_and_outward() -> None:
    box = polygon(0j, 50 + 0j, 50 + 20j, 20j)
    assert offset_loop(box, 3.0).bounds == pytest.approx((3, 3, 47, 17))
    out = offset_loop(box, -3.0)
    assert out.area == pytest.approx(50 * 20 + 3 * 140 + math.pi * 9)  # Steiner's formula
    assert len(out) == 8
    sharp = offset_loop(box, -3.0, "miter")
    assert sharp.area == pytest.approx(56 * 26)
    assert len(sharp) == 4


def test_an_outline_of_arcs_keeps_its_centres() -> None:
    slot = Loop((Line(0j, 30 + 0j), Arc(30 + 0j, 30 + 20j, 1.0), Line(30 + 20j, 20j), Arc(20j, 0j, 1.0)))
    inner = offset_loop(slot, 4.0)
    assert [e.radius for e in inner if isinstance(e, Arc)] == pytest.approx([6.0, 6.0])
    assert [e.centre for e in inner if isinstance(e, Arc)] == [pytest.approx(30 + 10j), pytest.approx(10j)]
    assert inner.area == pytest.approx(30 * 12 + math.pi * 36)


@settings(max_examples=60, deadline=None)
@given(loops(), st.floats(-15.0, 8.0).filter(lambda d: abs(d) > 0.01))
def test_area_as_a_buffer_gives_it(loop: Loop, d: float) -> None:
    shape = as_shapely(loop, 0.005)
    assume(shape.is_valid)
    expected = shape.buffer(-d, quad_segs=200)
    try:
        found = offset_loops(loop, d)
    except Refusal:
        assert expected.area < 0.5
        return
    # the library drops dents up to 1/100 of the distance, and chords lie inside arcs by up to 0.005 mm
    within = (0.005 + 0.01 * abs(d)) * loop.length
    assert sum(one.area for one in found) == pytest.approx(expected.area, abs=within)
    if len(found) == 1:
        assert as_shapely(found[0], 0.005).symmetric_difference(expected).area < 2.0 * within
    for one in found:
        assert simple(one) is None
        for edge, t in ((edge, t) for edge in one for t in (0.0, 0.21, 0.5, 0.83)):
            # beside a joint the edges may have run on to their point, where an arc would be too short to cut
            beside = min(t, 1.0 - t) * edge.length < SHORTEST_PATH_MM
            assert loop.distance(edge.point(t)) == pytest.approx(abs(d), abs=RUN_ON_MM if beside else 2e-6)
            assert inside(loop, edge.point(t)) == (d > 0.0)


def test_only_an_arc_that_is_all_but_its_point_gives_way_to_it() -> None:
    sharp = offset_loop(TRIANGLE, -0.015)  # 0.04 mm of arc, but its point would stand out by more than RUN_ON_MM
    assert sum(isinstance(edge, Arc) for edge in sharp) == 3
    flat = polygon(0j, 40 + 0j, 80 + 0.4j, 80 + 40j, 40j)  # turns by 0.01 rad at its second corner
    near, far = offset_loop(flat, -1.0), offset_loop(flat, -20.0)
    assert sum(isinstance(edge, Arc) for edge in near) == 4
    assert sum(isinstance(edge, Arc) for edge in far) == 5
    joint = min((edge.start for edge in near), key=lambda p: abs(p - (40 - 1j)))
    assert 1.0 < flat.distance(joint) < 1.0 + RUN_ON_MM


@settings(max_examples=60, deadline=None)
@given(loops(), st.floats(0.01, 5.0), st.sampled_from(["round", "miter"]))
def test_out_and_back_gives_the_shape(loop: Loop, d: float, corner: str) -> None:
    assume(as_shapely(loop, 0.01).is_valid)
    try:
        out = offset_loop(loop, -d, corner, strict=True)  # type: ignore[arg-type]
    except Refusal:
        assume(False)
    back = offset_loop(out, d, "miter")  # round, a corner that closed on the way out would come back rounded
    assert back.area == pytest.approx(loop.area, abs=1e-7 * loop.length)
    assert len(back) == len(loop)
    for corner_point in (e.start for e in loop):
        # where two edges all but run on straight their meeting point is ill conditioned along them, their shape is not
        assert back.distance(corner_point) < 1e-6
        assert min(abs(e.start - corner_point) for e in back) < 1e-3


def test_a_vanishing_edge_is_trimmed_or_refused() -> None:
    # the 2 mm chamfer is gone at 3 mm inside
    chamfered = polygon(0j, 50 + 0j, 50 + 28j, 48 + 30j, 30j)
    inner = offset_loop(chamfered, 10.0)
    assert len(inner) == 4
    assert inner.area == pytest.approx(30 * 10)
    with pytest.raises(Refusal, match="there is no room for its side") as refused:
        offset_loop(chamfered, 10.0, strict=True)
    lengths = [length.value for length in refused.value.message.quantities]
    assert lengths == pytest.approx([10.0, 50.0, 28.0, 48.0, 30.0, math.sqrt(8.0)])
    assert len(offset_loop(chamfered, 1.0, strict=True)) == 5


def test_a_fillet_smaller_than_the_distance() -> None:
    angle = polygon(0j, 50 + 0j, 50 + 10j, 20 + 10j, 20 + 40j, 40j)
    filleted = rounded(angle, (0.0, 0.0, 0.0, 2.0, 0.0, 0.0))
    assert filleted.area == pytest.approx(50 * 10 + 20 * 30 + 4 - math.pi)
    out = offset_loop(filleted, -3.0)
    assert out.area == pytest.approx(as_shapely(filleted, 0.002).buffer(3, quad_segs=400).area, abs=0.01)
    with pytest.raises(Refusal, match="there is no room for its side"):
        offset_loop(filleted, -3.0, strict=True)
    touching = offset_loop(filleted, -2.0, strict=True)  # the fillet becomes a sharp corner: nothing is lost
    assert touching.area == pytest.approx(as_shapely(filleted, 0.002).buffer(2, quad_segs=400).area, abs=0.01)


def test_a_neck_pinches_off() -> None:
    dumbbell = polygon(
        0j, 30 + 0j, 30 + 10j, 50 + 10j, 50 + 0j, 80 + 0j, 80 + 30j, 50 + 30j, 50 + 20j, 30 + 20j, 30 + 30j, 30j
    )  # fmt: skip
    two = offset_loops(dumbbell, 6.0)
    expected = as_shapely(dumbbell).buffer(-6.0, quad_segs=500)  # the neck's lips reach in as arcs
    assert [one.area for one in two] == pytest.approx([part.area for part in expected.geoms], abs=1e-3)
    assert [one.area for one in offset_loops(dumbbell, 6.0, "miter")] == pytest.approx([18 * 18, 18 * 18])
    with pytest.raises(Refusal, match="falls into 2 pieces"):
        offset_loop(dumbbell, 6.0)
    with pytest.raises(Refusal, match="there is no room for its side"):
        offset_loop(dumbbell, 6.0, strict=True)
    # at half the neck's width to the bit, the neck has no area
    assert [one.area for one in offset_loops(dumbbell, 5.0, "miter")] == pytest.approx([20 * 20, 20 * 20])


def test_a_mouth_closes() -> None:
    # a pocket 20 mm square behind a mouth of 4 mm
    purse = polygon(
        0j, 60 + 0j, 60 + 40j, 32 + 40j, 32 + 30j, 40 + 30j, 40 + 10j, 20 + 10j, 20 + 30j, 28 + 30j, 28 + 40j, 40j
    )
    outer, pocket = offset_loops(purse, -3.0)
    assert outer.area == pytest.approx(60 * 40 + 3 * 200 + math.pi * 9 - _dent(4.0, 3.0))
    assert pocket.area == pytest.approx(-(14 * 14 + _neck(4.0, 3.0)))
    with pytest.raises(Refusal):
        offset_loop(purse, -3.0, strict=True)
    assert len(offset_loops(purse, -1.0, strict=True)) == 1


def _dent(mouth: float, d: float) -> float:
    """Area of the dent between two quarter circles of radius d about the mouth's edges and the line over them."""
    half = mouth / 2
    return 2 * (half * d - (half * math.sqrt(d * d - half * half) + d * d * math.asin(half / d)) / 2)


def _neck(mouth: float, d: float) -> float:
    """The same dent at the inner side of the mouth."""
    return _dent(mouth, d)


def test_nothing_left() -> None:
    with pytest.raises(Refusal, match="nothing is left"):
        offset_loop(TRIANGLE, 10.5)  # the inscribed circle of a 30-40-50 triangle has radius 10
    assert offset_loop(TRIANGLE, 9.9).area == pytest.approx(600 * 0.01**2)


def test_chain_to_the_left_and_to_the_right() -> None:
    chain = Chain((Line(0j, 20 + 0j), Line(20 + 0j, 20 + 20j)))
    left, right = offset_chain(chain, 3.0), offset_chain(chain, -3.0)
    assert (left.start, left.end) == (pytest.approx(3j), pytest.approx(17 + 20j))
    assert left.length == pytest.approx(34.0)
    assert right.length == pytest.approx(40.0 + 3.0 * math.pi / 2)
    assert offset_chain(chain, -3.0, "miter").length == pytest.approx(46.0)
    back = offset_chain(right, 3.0)
    assert back.length == pytest.approx(40.0)
    assert len(back) == 2


def test_chain_with_a_dip_that_fills() -> None:
    dip = Chain((Line(0j, 20 + 0j), Line(20 + 0j, 22 - 2j), Line(22 - 2j, 24 + 0j), Line(24 + 0j, 50 + 0j)))
    over = offset_chain(dip, 10.0)
    line = shapely.LineString([(e.start.real, e.start.imag) for e in dip] + [(50, 0)])
    for i in range(101):
        p = over.point(over.length * i / 100)
        assert line.distance(shapely.Point(p.real, p.imag)) >= 10.0 - 1e-6
    assert len(over) == 4  # two lines, and an arc about each lip
    with pytest.raises(Refusal, match="there is no room for its side"):
        offset_chain(dip, 10.0, strict=True)


def test_miter_runs_arcs_on() -> None:
    lens = Loop((Arc(0j, 40 + 0j, 0.3), Arc(40 + 0j, 0j, 0.3)))
    out = offset_loop(lens, -2.0, "miter")
    assert len(out) == 2
    radii = [e.radius for e in lens if isinstance(e, Arc)]
    assert [e.radius for e in out if isinstance(e, Arc)] == pytest.approx([r + 2 for r in radii])
    needle = polygon(0j, 100 + 0j, 100 + 10j)
    assert sum(isinstance(e, Arc) for e in offset_loop(needle, -2.0, "miter")) == 1  # past the limit: rounded


def test_the_channel_both_ways() -> None:
    u = channel()
    assert offset_loop(u, 5.0, "miter").area == pytest.approx(as_shapely(u).buffer(-5, join_style="mitre").area)
    assert offset_loop(u, 5.0).area == pytest.approx(as_shapely(u).buffer(-5, quad_segs=500).area, abs=1e-3)
    assert offset_loop(u, -5.0).area == pytest.approx(as_shapely(u).buffer(5, quad_segs=500).area, abs=1e-3)
    closed = offset_loops(u, -20.0)
    assert sum(one.area for one in closed) == pytest.approx(as_shapely(u).buffer(20, quad_segs=500).area, abs=0.05)
