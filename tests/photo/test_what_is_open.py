"""What pages leave open of a camera is what is said of it: many draws of the corners' noise, solved each by itself."""

import math

import numpy as np
import pytest

from plategen.photo import target
from plategen.photo.adjust import A_LITTLE, Adjusted, adjusted
from plategen.photo.camera import Floats, View
from plategen.photo.detect import Sighting
from plategen.photo.picture import USUAL_SHARE, Picture
from tests.support.photo_scene import laid, looking

SIZE, NOISE_PX, DRAWS, HEIGHT_MM = (2000, 1500), 0.1, 16, 3.0
PAGES = (laid(0, (-250.0, 0.0), 80.0), laid(1, (250.0, -20.0), 10.0), laid(2, (0.0, 210.0), 140.0))
VIEW = looking(SIZE, height_mm=900.0, tilt_deg=6.0)
PIECE = np.array([[-150.0, -60.0], [150.0, -60.0], [150.0, 60.0], [-150.0, 60.0]])


def draw(seed: int) -> Adjusted:
    """The pages' corners with noise, by a telephone that does not say its focal length."""
    rng = np.random.default_rng(seed)
    board = target.board_corners()
    pixels = np.concatenate([VIEW.to_pixels(page.to_floor(board)) for page in PAGES])
    told = VIEW.lens.focal_px * math.exp(USUAL_SHARE * rng.normal())
    picture = Picture("front.jpg", np.zeros((*SIZE[::-1], 3), np.uint8), told, USUAL_SHARE, "")
    return adjusted(
        [
            Sighting(
                picture,
                np.repeat([page.number for page in PAGES], len(board)),
                np.tile(board, (len(PAGES), 1)),
                pixels + rng.normal(0.0, NOISE_PX, pixels.shape),
            )
        ]
    )


def sides_mm(view: View) -> Floats:
    """The piece's sides as a view has them."""
    at = view.to_floor(VIEW.to_pixels(PIECE, HEIGHT_MM), HEIGHT_MM)
    return np.linalg.norm(at - np.roll(at, 1, axis=0), axis=1)


def test_focal_length_and_sides_are_off_by_what_is_said_of_them():
    """Before, ways that were known a million times worse than others were taken for rounding and said to be exact."""
    true = np.linalg.norm(PIECE - np.roll(PIECE, 1, axis=0), axis=1)
    focal, sides = [], []
    for seed in range(DRAWS):
        of = draw(seed)
        focal.append(math.log(of.views[0].lens.focal_px / VIEW.lens.focal_px) / math.sqrt(of.covariance[0, 0]))
        here = sides_mm(of.views[0])
        squares = sum(((sides_mm(views[0]) - here) / A_LITTLE) ** 2 for views in of.errors())
        sides.append((here - true) / np.sqrt(squares))
    assert np.sqrt(np.mean(np.square(focal))) == pytest.approx(1.0, abs=0.6)
    assert np.sqrt(np.mean(np.square(sides))) == pytest.approx(1.0, abs=0.5)
