"""A photograph of a floor with pages and a pattern, made by the camera's own formulas: two planes and walls between.

Everything is drawn in light, at several samples a pixel, then blurred, made noisy, turned into a screen's values and
packed as JPEG: what a telephone does, with known truth.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import RectBivariateSpline

from plategen.photo import target
from plategen.photo.adjust import Page
from plategen.photo.camera import Lens, View

Floats = NDArray[np.float64]
Colour = tuple[float, float, float]

FLOOR: Colour = (0.32, 0.31, 0.29)
KRAFT: Colour = (0.42, 0.30, 0.18)


@dataclass(frozen=True, kw_only=True)
class Scene:
    """What lies on the floor, in mm, and who looks at it."""

    outline_mm: Floats  # (n, 2): the pattern, anticlockwise.
    thickness_mm: float = 3.0
    colour: Colour = KRAFT
    wall: float = 0.75  # Brightness of the cut edge, as a share of the pattern's.
    floor: Colour = FLOOR
    floor_texture: float = 0.04
    holes: tuple[tuple[float, float, float], ...] = ()  # x, y, radius.
    pages: tuple[Page, ...] = ()
    view: View = field(default_factory=lambda: looking())
    size: tuple[int, int] = (2000, 1500)  # Width, height.
    shadow_mm: tuple[float, float] = (0.0, 0.0)  # How far the pattern's shadow falls.
    shadow_dark: float = 0.45
    blur_px: float = 0.7
    noise: float = 0.006  # One standard deviation, of full light.
    quality: int = 90
    seed: int = 1


def looking(
    size: tuple[int, int] = (2000, 1500),
    *,
    at_mm: tuple[float, float] = (0.0, 0.0),
    height_mm: float = 1000.0,
    tilt_deg: float = 10.0,
    towards_deg: float = 30.0,
    roll_deg: float = 5.0,
    focal_35mm: float = 26.0,
    radial: tuple[float, float] = (0.03, -0.05),
    off_centre_px: tuple[float, float] = (4.0, -3.0),
) -> View:
    """A camera looking at a point of the floor from a distance, tilted towards a direction."""
    width, height = size
    tilt, towards = math.radians(tilt_deg), math.radians(towards_deg)
    axis = np.array([math.sin(tilt) * math.cos(towards), math.sin(tilt) * math.sin(towards), -math.cos(tilt)])
    eye = np.array([*at_mm, 0.0]) - axis * height_mm
    up = np.array([-math.sin(math.radians(roll_deg)), math.cos(math.radians(roll_deg)), 0.0])
    right = np.cross(axis, up)
    right /= np.linalg.norm(right)
    turn = np.stack([right, np.cross(axis, right), axis])
    centre = ((width - 1) / 2 + off_centre_px[0], (height - 1) / 2 + off_centre_px[1])
    lens = Lens(focal_35mm / 43.2666 * math.hypot(width, height), centre, radial)
    return View(lens, turn, -turn @ eye)


def laid(number: int, middle_mm: tuple[float, float], turn_deg: float, scale: float = 1.0) -> Page:
    """A page whose board's middle lies at a point."""
    turn = math.radians(turn_deg)
    middle = scale * complex(target.WIDE_MM, target.TALL_MM) / 2 * complex(math.cos(turn), math.sin(turn))
    return Page(number, np.array([middle_mm[0] - middle.real, middle_mm[1] - middle.imag]), turn, scale)


_PAGE_PX_MM = 8.0


def _page_light(number: int) -> tuple[NDArray[np.float32], float]:
    """A page's light at so many pixels a mm, with its rim of paper, and the rim's width."""
    rim = 25.0
    wide, tall = target.WIDE_MM + 2 * rim, target.TALL_MM + 2 * rim
    light = np.full((round(tall * _PAGE_PX_MM), round(wide * _PAGE_PX_MM)), 0.82, np.float32)
    for left, bottom, width, height in target.rectangles(number):
        x0, x1 = (round((v + rim) * _PAGE_PX_MM) for v in (left, left + width))
        y0, y1 = (round((v + rim) * _PAGE_PX_MM) for v in (bottom, bottom + height))
        light[y0:y1, x0:x1] = 0.035
    return light, rim


_GRID = 16
"""Pixels between those whose points are worked out; the others' follow by a cubic spline, exact to a micrometre."""


def _points(scene: Scene, subpixel: tuple[float, float], height_mm: float) -> NDArray[np.float32]:
    """What each pixel shows at a height: (rows, columns, 2) in mm."""
    width, height = scene.size
    columns, rows = np.arange(-_GRID, width + 2 * _GRID, _GRID), np.arange(-_GRID, height + 2 * _GRID, _GRID)
    u, v = np.meshgrid(columns + subpixel[0], rows + subpixel[1])
    at = scene.view.to_floor(np.column_stack([u.ravel(), v.ravel()]), height_mm)
    splines = (RectBivariateSpline(rows, columns, at[:, axis].reshape(u.shape)) for axis in (0, 1))
    return np.stack([spline(np.arange(height), np.arange(width)).astype(np.float32) for spline in splines], 2)


def _remapped(picture: NDArray[np.generic], at: NDArray[np.float32], outside: float) -> NDArray[np.float32]:
    return cv2.remap(
        picture, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=outside
    )


def _sampled(scene: Scene, subpixel: tuple[float, float]) -> NDArray[np.float32]:
    """The light that each pixel gets."""
    coarse = np.random.default_rng(scene.seed).normal(0.0, 1.0, (64, 64)).astype(np.float32)
    floor = _points(scene, subpixel, 0.0)
    grain = _remapped(coarse, (floor / 12.0) % 63, 0.0)
    light = np.asarray(scene.floor, np.float32) * (1.0 + scene.floor_texture * grain)[..., None]
    for page in scene.pages:
        picture, rim = _page_light(page.number)
        c, s = math.cos(page.turn_rad) / page.scale, math.sin(page.turn_rad) / page.scale
        board = (floor - page.at_mm.astype(np.float32)) @ np.array([[c, -s], [s, c]], np.float32)
        of = _remapped(picture, (board + rim) * _PAGE_PX_MM - 0.5, -1.0)
        light = np.where((of >= 0.0)[..., None], of[..., None], light)
    if scene.shadow_mm != (0.0, 0.0):
        soft = cv2.GaussianBlur(_mask(scene, floor - np.asarray(scene.shadow_mm, np.float32)), (0, 0), 4.0)
        light *= (1.0 - (1.0 - scene.shadow_dark) * soft)[..., None]
    layers = max(2, round(scene.thickness_mm / 0.75) + 1)
    for level in range(layers):
        at = _points(scene, subpixel, scene.thickness_mm * level / (layers - 1))
        of = _mask(scene, at)[..., None]
        shade = 1.0 if level == layers - 1 else scene.wall
        light = light * (1.0 - of) + of * shade * np.asarray(scene.colour, np.float32)
    return np.asarray(light, np.float32)


_MASK_PX_MM = 10.0


def _mask(scene: Scene, points: NDArray[np.float32]) -> NDArray[np.float32]:
    """How much of each point is pattern."""
    low = scene.outline_mm.min(0) - 3.0
    size = np.ceil((scene.outline_mm.max(0) + 3.0 - low) * _MASK_PX_MM).astype(int)
    mask = np.zeros((size[1], size[0]), np.uint8)
    fixed = np.round(((scene.outline_mm - low) * _MASK_PX_MM - 0.5) * 256).astype(np.int32)
    cv2.fillPoly(mask, [fixed], 255, lineType=cv2.LINE_AA, shift=8)
    for x, y, radius in scene.holes:
        centre = np.round(((np.array([x, y]) - low) * _MASK_PX_MM - 0.5) * 256).astype(int)
        cv2.circle(mask, tuple(int(c) for c in centre), round(radius * _MASK_PX_MM * 256), 0, -1, cv2.LINE_AA, 8)
    of = _remapped(mask, (points - low.astype(np.float32)) * np.float32(_MASK_PX_MM) - np.float32(0.5), 0.0)
    return of.astype(np.float32) / np.float32(255.0)


def photographed(scene: Scene, samples: Sequence[tuple[float, float]] = ((-0.25, -0.25), (0.25, 0.25))) -> bytes:
    """The photograph as JPEG."""
    light = sum(_sampled(scene, sub) for sub in samples) / np.float32(len(samples))
    light = cv2.GaussianBlur(light, (0, 0), scene.blur_px)
    rng = np.random.default_rng(scene.seed + 1)
    light = light + rng.normal(0.0, scene.noise, light.shape).astype(np.float32)
    light = np.clip(light, 0.0, 1.0)
    screen = np.where(light <= 0.0031308, light * 12.92, 1.055 * np.power(light, 1 / 2.4) - 0.055)
    picture = np.round(screen * 255.0).astype(np.uint8)
    done, data = cv2.imencode(".jpg", picture[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, scene.quality])
    assert done
    return bytes(data)


def rail_pattern(stations_mm: Floats, offsets_mm: Floats) -> Floats:
    """A pattern, anticlockwise: straight edge on y = 0 from the first station, square left end, the rail above."""
    top = np.column_stack([stations_mm, offsets_mm])[::-1]
    return np.concatenate([[[stations_mm[0], 0.0], [stations_mm[-1], 0.0]], top])


def moved(outline_mm: Floats, turn_deg: float, shift_mm: tuple[float, float]) -> Floats:
    """An outline turned about its middle, then shifted."""
    z = outline_mm[:, 0] + 1j * outline_mm[:, 1]
    middle = z.mean()
    z = (z - middle) * complex(math.cos(math.radians(turn_deg)), math.sin(math.radians(turn_deg))) + complex(*shift_mm)
    return np.column_stack([z.real, z.imag])


__all__ = ["Scene", "laid", "looking", "moved", "photographed", "rail_pattern", "replace"]
