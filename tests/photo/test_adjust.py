"""The pages in a photograph give back where the camera stood and what the floor measures."""

import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.photo import target
from plategen.photo.adjust import adjusted
from plategen.photo.camera import Lens
from plategen.photo.detect import sighting
from plategen.photo.picture import read_picture
from tests.support.photo_scene import Scene, laid, looking, moved, photographed, rail_pattern

X = np.linspace(0.0, 400.0, 41)
PATTERN = moved(rail_pattern(X, 90.0 + 0.1 * X - 40.0 * np.tanh((X - 200.0) / 60.0)), 12.0, (0.0, 0.0))
PAGES = (laid(0, (-320.0, 10.0), 80.0), laid(1, (330.0, -30.0), 10.0), laid(2, (0.0, 260.0), 95.0))


def scene(tilt_deg: float, pages=PAGES) -> Scene:
    return Scene(outline_mm=PATTERN, pages=pages, view=looking(tilt_deg=tilt_deg))


@pytest.mark.parametrize("tilt_deg", [0.0, 25.0])
def test_the_floor_measures_what_it_is(tilt_deg):
    made = scene(tilt_deg)
    seen = adjusted([sighting(read_picture(photographed(made), "front.jpg"))])
    at = seen.views[0].to_floor(made.view.to_pixels(PATTERN, 3.0), 3.0)
    z, true = (p[:, 0] + 1j * p[:, 1] for p in (at, PATTERN))
    z, true = z - z.mean(), true - true.mean()
    turn = np.vdot(true, z)
    assert np.abs(z - true * turn / abs(turn)).max() < 0.35


def test_a_page_printed_at_another_scale_is_named():
    made = scene(15.0, (*PAGES[:2], laid(2, (0.0, 260.0), 95.0, 0.97)))
    with pytest.raises(Refusal, match=r"page 3 was printed (2\.[7-9]|3\.[0-3])\d* % smaller"):
        adjusted([sighting(read_picture(photographed(made), "front.jpg"))])


def test_two_prints_of_one_page_are_named():
    made = scene(15.0, (*PAGES[:2], laid(1, (0.0, 260.0), 95.0)))
    with pytest.raises(Refusal, match="two prints of page 2"):
        sighting(read_picture(photographed(made), "front.jpg"))


def test_rays_undo_the_lens():
    lens = Lens(3000.0, (2000.0, 1500.0), (0.1, -0.1), (0.001, -0.002))
    pixels = np.random.default_rng(1).uniform(0.0, (4000.0, 3000.0), (200, 2))
    assert np.abs(lens.to_pixels(lens.to_rays(pixels)) - pixels).max() < 1e-6


@pytest.mark.parametrize("radial", [(-0.35, 0.05), (0.4, 0.3), (-0.6, 0.0), (-0.2, -0.4)])
def test_rays_of_a_strong_lens_are_undone_as_far_as_it_can_be(radial):
    lens = Lens(1500.0, (2000.0, 1500.0), radial, (0.002, 0.001))
    rays = np.random.default_rng(2).uniform(-1.0, 1.0, (300, 2)) * min(0.9 * lens.widest, 1.2) / np.sqrt(2.0)
    assert np.abs(lens.to_rays(lens.to_pixels(rays)) - rays).max() < 1e-9


def test_a_pixel_beyond_what_a_lens_shows_has_its_widest_ray():
    lens = Lens(1500.0, (2000.0, 1500.0), (-0.6, 0.0))
    far = lens.to_rays(np.array([[1e6, 1500.0], [2000.0, -1e9], [2000.0, 1500.0]]))
    assert np.isfinite(far).all()
    assert np.hypot(*far[:2].T) == pytest.approx(lens.widest, rel=0.002)
    assert far[0, 0] > 0.0
    assert far[1, 1] < 0.0
    assert np.abs(far[2]).max() < 1e-12


def test_every_corner_lies_between_two_markers_of_its_own():
    for corner, at in enumerate(target.board_corners()):
        for place in target.beside(corner):
            assert np.abs(target.marker_corners(place).mean(0) - at).max() == pytest.approx(target.SQUARE_MM / 2)
