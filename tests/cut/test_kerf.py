"""Kerf compensation against its own inverse, the solid kernel's offset and shapely's buffer."""

import itertools
import math

import cadquery
import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.bracket.model import Plate
from plategen.cut.dxf_read import read_dxf
from plategen.cut.kerf import compensated, grown, left_corners, looped, with_corner_loops
from plategen.cut.part import Cut, CutPart, cut_part
from plategen.cut.proof import check_edges, proved_dxf
from plategen.flat.distance import chain_distance
from plategen.flat.inside import simple
from plategen.flat.loop import Circle, Loop
from plategen.flat.offset import offset_loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import SHORTEST_PATH_MM, Arc, Line
from plategen.flat.tangent import largest_radius, rounded
from plategen.ground.refusal import Refusal
from plategen.solid import kernel as solid
from tests.support.cut_examples import hole, keyhole_plate, rectangle, slot, slotted_plate
from tests.support.example_work import example_work

PLATES = [slotted_plate(), keyhole_plate(), *example_work().bracket.plates]
plates = pytest.mark.parametrize("plate", PLATES, ids=lambda p: p.name)


def points(loop: Loop, each: int) -> np.ndarray:
    return np.array([(p.real, p.imag) for s in loop for p in (s.point(k / each) for k in range(each))])


def furthest_apart(a: Loop, b: Loop) -> float:
    """Largest distance of points of either from the other."""
    return max(
        max(b.distance(s.point(k / 8)) for s in a for k in range(9)),
        max(a.distance(s.point(k / 8)) for s in b for k in range(9)),
    )


@plates
@pytest.mark.parametrize("kerf", [0.25, 1.5, 3.0])
def test_offset_back_by_half_the_kerf_is_the_part(plate: Plate, kerf: float) -> None:
    part = cut_part(plate)
    path = compensated(part, kerf)
    outside = path.outside.contour
    back = offset_loop(outside, kerf / 2, "miter")
    assert furthest_apart(back, plate.outline) < 1e-6
    for cut, whole in zip(path.inside, part.inside, strict=True):
        if isinstance(whole.contour, Circle):
            assert cut.contour.radius + kerf / 2 == pytest.approx(whole.contour.radius, abs=1e-9)
        else:
            assert furthest_apart(grown(cut.contour, kerf / 2, "miter"), whole.contour) < 1e-6


@plates
def test_area_is_the_solid_kernels(plate: Plate) -> None:
    wire = cadquery.Wire(solid.wire(plate.outline))
    for kerf in (0.8, 2.0):
        (other,) = wire.offset2D(kerf / 2, "arc")
        ours = grown(plate.outline, kerf / 2)
        assert isinstance(ours, Loop)
        assert abs(ours.area) == pytest.approx(cadquery.Face.makeFromWires(other).Area(), rel=1e-7)
        assert ours.length == pytest.approx(other.Length(), rel=1e-7)


@plates
def test_area_is_shapelys_but_for_its_chords(plate: Plate) -> None:
    polygon = shapely.Polygon(points(plate.outline, 1000)).buffer(1.0, quad_segs=200)
    ours = grown(plate.outline, 1.0)
    assert isinstance(ours, Loop)
    assert abs(ours.area) == pytest.approx(polygon.area, rel=2e-5)
    assert shapely.Polygon(points(ours, 1000)).symmetric_difference(polygon).area < 1e-4 * polygon.area


@given(
    width=st.floats(20, 300),
    height=st.floats(20, 300),
    kerf=st.floats(0.1, 6.0),
    corner=st.sampled_from(["round", "miter"]),
)
@settings(max_examples=60, deadline=None)
def test_a_rectangle_grows_by_steiners_formula(width: float, height: float, kerf: float, corner: str) -> None:
    # Steiner: area + perimeter * r + pi r^2 with round corners, + 4 r^2 with pointed ones
    r = kerf / 2
    grown_area = grown(rectangle(width, height), r, corner).area
    extra = math.pi * r * r if corner == "round" else 4 * r * r
    assert grown_area == pytest.approx(width * height + 2 * (width + height) * r + extra, rel=1e-9)


def rounded_star(rng: np.random.Generator) -> Loop:
    """A star of 4 to 9 corners, each rounded as its edges allow or left sharp."""
    count = int(rng.integers(4, 10))
    angles = (np.arange(count) + rng.uniform(-0.3, 0.3, count)) * 2 * math.pi / count
    corners = [
        complex(r * math.cos(a), r * math.sin(a)) for r, a in zip(rng.uniform(40, 120, count), angles, strict=True)
    ]
    sharp = Loop(tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)))
    radii = [
        float(rng.choice([0.0, 0.35])) * largest_radius(before, after)
        for before, after in zip((sharp.segments[-1], *sharp.segments[:-1]), sharp.segments, strict=True)
    ]
    return rounded(sharp, radii)


def test_random_outlines_come_back_from_kerf_and_from_their_file() -> None:
    compared = 0
    for seed in range(150):
        rng = np.random.default_rng(seed)
        outline, kerf = rounded_star(rng), float(rng.uniform(0.2, 3.0))
        part = CutPart(name="star", outside=Cut(outline))
        drawn = read_dxf(
            proved_dxf([part], "in" if seed % 2 else "mm", "R12" if seed % 3 == 0 else "R2000"),
            (25.4 if seed % 2 else 1.0) if seed % 3 == 0 else None,
        )
        assert abs(drawn.on("CUT-OUTSIDE")[0].area) == pytest.approx(outline.area, rel=1e-9)
        try:
            path = compensated(part, kerf).outside.contour
        except Refusal:
            continue
        assert isinstance(path, Loop)
        try:
            back = offset_loop(path, kerf / 2, "miter")
        except Refusal:
            continue
        # a corner sharper than the miter limit comes back rounded: its outline is not the part's to compare
        if max(abs(s.sweep_rad) for s in path if isinstance(s, Arc)) > 2.6:
            continue
        assert furthest_apart(back, outline) < 1e-6, seed
        compared += 1
    assert compared > 100


@pytest.mark.parametrize(
    ("inside", "kerf", "says"),
    [
        (Circle(50 + 30j, 0.9), 1.8, "closes up"),
        (slot(50 + 30j, 20.0, 2.0), 2.5, "is too narrow .*a kerf of .* or less"),
        (rectangle(30.0, 1.5, 20 + 20j), 1.6, "is too narrow .*a kerf of .* or less"),
    ],
)
def test_what_the_torch_would_close_up_is_refused(inside, kerf: float, says: str) -> None:
    part = CutPart(name="ear", outside=Cut(rectangle(100, 60)), inside=(Cut(inside),))
    with pytest.raises(Refusal, match=says) as refused:
        compensated(part, kerf)
    assert "ear" in str(refused.value)
    assert "kerf" in str(refused.value)


def test_an_inner_radius_smaller_than_the_torch_is_refused() -> None:
    # a groove with a round bottom of radius 0.5 in the top edge
    outline = Loop(
        (
            Line(0j, 50 + 0j), Line(50 + 0j, 50 + 30j), Line(50 + 30j, 30 + 30j), Line(30 + 30j, 25.5 + 20j),
            Arc(25.5 + 20j, 24.5 + 20j, -1.0), Line(24.5 + 20j, 20 + 30j), Line(20 + 30j, 30j), Line(30j, 0j),
        )
    )  # fmt: skip
    with pytest.raises(Refusal, match="no room for its side"):
        grown(outline, 1.0)


def test_material_left_in_inner_corners() -> None:
    # in a square inner corner a round of radius r leaves r (sqrt 2 - 1)
    ell = Loop(
        (
            Line(0j, 60 + 0j), Line(60 + 0j, 60 + 20j), Line(60 + 20j, 20 + 20j), Line(20 + 20j, 20 + 60j),
            Line(20 + 60j, 60j), Line(60j, 0j),
        )
    )  # fmt: skip
    (corner,) = left_corners(ell, 2.0)
    assert corner.place == 20 + 20j
    assert corner.left_mm == pytest.approx(math.sqrt(2) - 1)
    assert left_corners(ell.reversed(), 2.0)[0].left_mm == pytest.approx(corner.left_mm)
    assert left_corners(rectangle(10, 10), 2.0) == ()
    # a disc of radius r that touches both edges comes that near to the corner, by shapely
    free = shapely.Polygon([(20, 20), (60, 20), (60, 60), (20, 60)]).buffer(-1.0).buffer(1.0, quad_segs=400)
    assert free.distance(shapely.Point(20, 20)) == pytest.approx(corner.left_mm, abs=1e-4)


def test_corner_loops_leave_and_come_back_along_the_edges() -> None:
    square = rectangle(100, 60)
    path = looped(square, 8.0)
    assert len(path) == 4 + 3 * 4
    arcs = [s for s in path if isinstance(s, Arc)]
    assert len(arcs) == 4
    for arc in arcs:
        assert math.degrees(arc.sweep_rad) == pytest.approx(-270.0)
        assert not (0 < arc.point(0.5).real < 100 and 0 < arc.point(0.5).imag < 60), "the loop lies in the scrap"
    for before, after in zip(path.segments, (*path.segments[1:], path.segments[0]), strict=True):
        turn = after.start_tangent / before.end_tangent
        corner = abs(turn - 1) > 1e-9
        assert not corner, "the torch never turns on the spot"
    assert looped(square.reversed(), 8.0).length == pytest.approx(path.length)
    assert simple(path) is not None


def test_looped_part_is_still_a_file_that_reads_back() -> None:
    part = with_corner_loops(compensated(cut_part(slotted_plate()), 1.5, "miter"), 6.0)
    assert "LWPOLYLINE" in proved_dxf([part], "in")


def test_kerf_of_a_plate_with_a_hole_that_is_drilled_leaves_its_punch_mark_alone() -> None:
    plate = Plate(
        role="ear", name="p", outline=rectangle(50, 50), thickness_mm=10.0, steel="A36", placement=across_pin(0.0),
        holes=(hole("bolt", 25 + 25j, 6.0, "drill"),),
    )  # fmt: skip
    part = cut_part(plate)
    assert compensated(part, 2.0).punch == part.punch


def test_a_joint_that_is_almost_smooth_leaves_no_edge_that_a_control_stumbles_on() -> None:
    # the nose of a fitted plate: an arc that leaves its neighbours by hundredths of a degree
    for off_rad in (1e-7, 1e-5, 1e-3, 0.02):
        bow = math.tan((math.pi / 2 + off_rad) / 4)
        outline = Loop((Line(0j, 60 + 0j), Line(60 + 0j, 60 + 20j), Arc(60 + 20j, 40 + 40j, bow), Line(40 + 40j, 40j),
                        Line(40j, 0j)))  # fmt: skip
        for kerf in (0.3, 1.6, 3.0):
            path = grown(outline, kerf / 2)
            assert isinstance(path, Loop)
            assert min(s.length for s in path) >= SHORTEST_PATH_MM
            back = grown(path, -kerf / 2, "miter")
            assert isinstance(back, Loop)
            assert furthest_apart(back, outline) < 1e-6


def test_an_edge_that_kerf_makes_too_short_is_refused() -> None:
    # a step of 1.02 mm between two inner corners: half a kerf off each leaves 0.02 mm of it
    steps = (0j, 60 + 0j, 60 + 20j, 41.02 + 20j, 41.02 + 10j, 40 + 10j, 40 + 20j, 20j)
    outline = Loop(tuple(Line(a, b) for a, b in zip(steps, (*steps[1:], steps[0]), strict=True)))
    path = compensated(CutPart(name="ear", outside=Cut(outline)), 1.0)
    with pytest.raises(Refusal, match=r"ear: with a kerf of 1 mm the edge at .* too short to cut"):
        check_edges(path, "with a kerf of 1 mm ")


def test_a_corner_without_room_for_a_loop_goes_without() -> None:
    # a fork whose mouth is narrower than two loops: nothing crosses it, and the corners outside keep theirs
    mouth = 7.0
    corners = (0j, 80 + 0j, 80 + 50j, 40 + mouth / 2 + 50j, 40 + mouth / 2 + 15j, 40 - mouth / 2 + 15j,
               40 - mouth / 2 + 50j, 50j)  # fmt: skip
    fork = Loop(tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)))
    path = looped(fork, 6.0, 1.5)
    rounds = [s for s in path if isinstance(s, Arc)]
    assert len(rounds) == 4, "a loop at the mouth would run into the other prong"
    assert len([s for s in looped(fork, 2.0, 1.5) if isinstance(s, Arc)]) == 5, "the second would meet the first"
    assert len([s for s in looped(fork, 1.0, 1.5) if isinstance(s, Arc)]) == 6
    steel = shapely.Polygon([(c.real, c.imag) for c in corners]).buffer(-1e-6)
    for arc in rounds:
        line = shapely.LineString([(p.real, p.imag) for p in (arc.point(k / 40) for k in range(41))])
        assert not line.intersects(steel)
    for one, other in itertools.combinations(rounds, 2):
        assert chain_distance([one], [other]) >= 1.5


def test_a_corner_that_hardly_turns_has_no_larger_loop_than_a_square_one() -> None:
    corners = [60.0 * complex(math.cos(a), math.sin(a)) for a in (k * math.pi / 5 for k in range(10))]
    tenth = Loop(tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)))
    assert {round(s.radius, 6) for s in looped(tenth, 5.0) if isinstance(s, Arc)} == {5.0}


def test_material_left_in_the_corners_of_an_opening() -> None:
    window = rectangle(30.0, 10.0)
    for one in (window, window.reversed()):
        left = left_corners(one, 2.0, hole=True)
        assert [corner.left_mm for corner in left] == [pytest.approx(math.sqrt(2) - 1)] * 4
        assert left_corners(one, 2.0) == ()
