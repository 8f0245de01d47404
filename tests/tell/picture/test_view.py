"""Hidden lines against a plain sampling of what stands before each point, and the picture's own promises."""

import math
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import shapely

from plategen.ground.in_words import in_words
from plategen.tell.picture.scene import BEHIND_MM, Facet, Scene, seen_pieces
from plategen.tell.picture.view import bracket_view, drawn
from tests.support.cut_examples import keyhole_plate, slotted_plate
from tests.support.example_work import example_work


def square(half: float, z: float, centre: tuple[float, float] = (0.0, 0.0)) -> np.ndarray:
    corners = [(-half, -half), (half, -half), (half, half), (-half, half)]
    return np.array([(x + centre[0], y + centre[1], z) for x, y in corners])


def test_every_body_of_the_scene_is_closed_and_faces_outwards() -> None:
    # a closed skin that faces outwards has its volume as the sum of its facets' cones (Gauss)
    for plate in (slotted_plate(), keyhole_plate(), *example_work().bracket.plates):
        scene = Scene()
        scene.add_plate(plate)
        cones = 0.0
        for facet in scene.facets:
            for loop in facet.loops:
                following = np.roll(loop, -1, axis=0)
                normal = np.cross(loop, following).sum(axis=0) / 2
                cones += float(facet.loops[0][0] @ normal) / 3
        assert cones == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=5e-3)


def test_a_square_hides_what_lies_behind_it_and_nothing_before_it() -> None:
    starts = np.array([(-20.0, 0.0, -5.0), (-20.0, 0.0, 5.0)])
    ends = np.array([(20.0, 0.0, -5.0), (20.0, 0.0, 5.0)])
    behind, before = seen_pieces(starts, ends, [Facet((square(10.0, 0.0),))])
    assert np.allclose(behind, [(0.0, 0.25), (0.75, 1.0)])
    assert before == [(0.0, 1.0)]


def test_a_hole_lets_through() -> None:
    facet = Facet((square(10.0, 0.0), square(5.0, 0.0)))
    (pieces,) = seen_pieces(np.array([(-20.0, 1.0, -5.0)]), np.array([(20.0, 1.0, -5.0)]), [facet])
    assert np.allclose(pieces, [(0.0, 0.25), (0.375, 0.625), (0.75, 1.0)])


def test_an_edge_that_dives_through_a_facet_is_seen_until_there() -> None:
    (pieces,) = seen_pieces(np.array([(-5.0, 0.0, 10.0)]), np.array([(5.0, 0.0, -10.0)]), [Facet((square(10.0, 0.0),))])
    assert np.allclose(pieces, [(0.0, 0.5 + BEHIND_MM / 20.0)])


def test_against_sampling_on_random_facets() -> None:
    rng = np.random.default_rng(7)
    facets = []
    for _ in range(25):
        centre, u, v = rng.uniform(-40, 40, 3), *rng.normal(size=(2, 3))
        angles = (np.arange(7) + rng.uniform(-0.4, 0.4, 7)) * 2 * math.pi / 7
        radii = rng.uniform(6, 25, 7)
        facets.append(
            Facet(
                (
                    np.array(
                        [centre + r * (math.cos(a) * u + math.sin(a) * v) for a, r in zip(angles, radii, strict=True)]
                    ),
                )
            )
        )
    starts, ends = rng.uniform(-60, 60, (40, 3)), rng.uniform(-60, 60, (40, 3))
    differing = 0
    for start, end, pieces in zip(starts, ends, seen_pieces(starts, ends, facets), strict=True):
        for t in np.linspace(0.013, 0.987, 60):
            p = start + (end - start) * t
            hidden = False
            for facet in facets:
                corners = facet.loops[0]
                normal = facet.normal
                if normal[2] <= 0.0:
                    continue
                height = corners[0][2] - ((p - corners[0])[:2] @ normal[:2]) / normal[2]
                hidden |= height > p[2] + BEHIND_MM and shapely.Polygon(corners[:, :2]).contains(shapely.Point(p[:2]))
            differing += hidden == any(a <= t <= b for a, b in pieces)
    assert differing == 0


def test_the_picture_shows_every_plate_and_stands_alone() -> None:
    work = example_work()
    picture = bracket_view(work.bracket, work.rail, 6.35, 60.0)
    root = ET.fromstring(picture)
    assert root.get("role") == "img"
    title, told = root[0].text, root[1].text
    assert title
    assert told
    assert all(in_words(plate.name) in told for plate in work.bracket.plates)
    kinds = {element.get("class") for element in root.iter() if element.get("class")}
    assert {"edge plate-edge", "edge pin", "edge cylinder", "rail", "bend-line"} <= kinds
    assert "nan" not in picture
    assert "inf" not in picture.replace("info", "")
    assert bracket_view(work.bracket, work.rail, 6.35, 60.0) == picture


@pytest.mark.parametrize("plate", [slotted_plate(), keyhole_plate()], ids=lambda p: p.name)
def test_one_plate_alone_is_drawn_within_its_frame(plate) -> None:
    scene = Scene()
    scene.add_plate(plate)
    root = ET.fromstring(drawn(scene, "one", "One plate", "A plate."))
    x, y, width, height = map(float, root.get("viewBox").split())
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        for pair in path.get("d").replace("M", "L").split("L")[1:]:
            px, py = map(float, pair.split())
            assert x <= px <= x + width
            assert y <= py <= y + height
