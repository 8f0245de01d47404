"""A shadow as narrow as the card is thick is told from the card: the floor's own colour in less light."""

from dataclasses import replace

import cv2
import numpy as np
import pytest

from plategen.photo.beside import shadow_doubt
from plategen.photo.measure import Bar, Ring
from plategen.photo.read import photographed, sighted
from plategen.photo.region import Floor
from plategen.photo.shade import ALL, SCREEN, Shades
from tests.photo.test_pattern import FRONT, SIZE
from tests.support.photo_scene import Scene, looking, screened
from tests.support.photo_scene import photographed as taken_photograph

CARDS = {"dark": (0.05, 0.05, 0.055), "green": (0.1, 0.25, 0.1), "brown": (0.42, 0.30, 0.18)}

NARROW = replace(FRONT, shadow_mm=(1.7, -1.4), shadow_dark=0.22, shadow_soft_mm=0.3)
"""Both lamps behind the card: beside two of its sides the floor has a fifth of its light."""


def read(scene: Scene) -> tuple[np.ndarray, Ring]:
    """How far the points of the edge lie from the true outline, (n,), mm, and the edge."""
    of = photographed([sighted(taken_photograph(scene), "front.jpg")], scene.thickness_mm, Bar(200.0, 200.0))
    first, ring = of.cameras.pages[0].number, of.piece.outline
    laid = next(page for page in scene.pages if page.number == first)
    z = complex(*laid.at_mm) + ring.points * np.exp(1j * laid.turn_rad)
    a = scene.outline_mm[:, 0] + 1j * scene.outline_mm[:, 1]
    way = np.roll(a, -1) - a
    along = np.clip(((z[:, None] - a) / way).real, 0.0, 1.0)
    return np.abs(z[:, None] - a - along * way).min(1), ring


@pytest.mark.parametrize("card", CARDS)
def test_a_narrow_shadow_is_no_card(card):
    """Before, a dark edge beside such a shadow was read 1.7 mm outside the card, and said to be good to 0.1."""
    away, ring = read(replace(NARROW, colour=CARDS[card]))
    good = away[ring.good]
    assert ring.good.mean() > 0.6
    assert np.percentile(good, 95) < 0.4
    said = np.hypot(ring.error_mm, ring.shared_mm)[ring.good]
    assert (good < 3.0 * said + 0.1).mean() > 0.95


def test_a_wall_in_the_shade_is_no_bright_one_over_a_dark_floor():
    """Before, walls were tried with three strips of shadow, none darker than 0.3: a side was read 0.3 mm in."""
    view = looking(SIZE, height_mm=800.0, tilt_deg=28.0, towards_deg=60.0)
    shaded = replace(NARROW, colour=(0.68, 0.68, 0.66), wall=0.2, shadow_mm=(-1.4, -1.7), shadow_dark=0.35, view=view)
    away, ring = read(shaded)
    assert ring.good.mean() > 0.8
    assert np.median(away[ring.good]) < 0.2
    assert np.percentile(away[ring.good], 95) < 0.5


def test_strips_are_the_light_that_is_missing():
    """Well beyond a strip nothing is missing, deep in it its depth is, and blur moves no light (its sum stays)."""
    sharp, soft = Shades.of(0.1, 0.1), Shades.of(0.5, 1.5)
    assert len(sharp) == 1 + np.prod([len(of) for of in ALL])
    every = np.arange(len(sharp))
    at = np.tile(np.arange(-8.0, 12.0, 0.05), (len(sharp), 1))
    for shades in (sharp, soft):
        missing = shades.missing(every, at, colour=False)
        assert missing[0] == pytest.approx(0.0)
        assert missing[:, at[0] > 8.0] == pytest.approx(0.0, abs=1e-3)
    assert sharp.missing(every, at, False).sum(1) == pytest.approx(
        soft.missing(every, at, False).sum(1), rel=2e-3, abs=1e-9
    )
    deep = sharp.missing(every, np.full((len(sharp), 1), 0.25), False)[-1, 0]
    seen = sharp.missing(every, np.full((len(sharp), 1), 0.25), True)[-1, 0]
    assert 1.0 - seen == pytest.approx((1.0 - deep) ** SCREEN, abs=0.02)


def lab(light: tuple[float, float, float]) -> np.ndarray:
    """A few hundred pixels of one light, with a sensor's noise, CIE L*a*b*."""
    noisy = np.asarray(light) * (1.0 + np.random.default_rng(1).normal(0.0, 0.03, (400, 3)))
    shown = (screened(noisy[None].astype(np.float32)) / 255.0).astype(np.float32)
    return cv2.cvtColor(shown, cv2.COLOR_RGB2LAB)[0]


@pytest.mark.parametrize("left", [0.15, 0.22, 0.5])
def test_a_card_of_the_very_light_of_a_shadow_is_doubted(left):
    """Beside such a card a narrow shadow was read as card, 1.2 to 1.8 mm outside it, and nothing was said."""
    floor = Floor.of(lab(NARROW.floor))
    doubt = shadow_doubt(lab(tuple(left * c for c in NARROW.floor)), floor)
    assert doubt is not None
    assert "lay it on a floor of another colour" in str(doubt)


@pytest.mark.parametrize("card", [CARDS["green"], CARDS["brown"], (0.68, 0.68, 0.66), (0.5, 0.38, 0.24)])
def test_a_card_of_another_colour_is_not(card):
    assert shadow_doubt(lab(card), Floor.of(lab(NARROW.floor))) is None
