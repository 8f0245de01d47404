"""A photograph of a floor with pages and a pattern, made by the camera's own formulas: two planes and walls between.

Everything is drawn in light, each point the mean of what a pixel sees, then blurred, made noisy, turned into a screen's
values and packed as JPEG: what a telephone does, with known truth.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from plategen.photo import target
from plategen.photo.camera import Lens, View
from plategen.photo.unknowns import Page

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
    face_texture: float = 0.015
    holes: tuple[tuple[float, float, float], ...] = ()  # x, y, radius.
    slots: tuple[Floats, ...] = ()  # Outlines (n, 2).
    others: tuple["Scene", ...] = ()  # More pieces, of which all but what belongs to a piece is left unread.
    pages: tuple[Page, ...] = ()
    view: View = field(default_factory=lambda: looking())
    size: tuple[int, int] = (2000, 1500)  # Width, height.
    shadow_mm: tuple[float, float] = (0.0, 0.0)  # How far the pattern's shadow falls.
    shadow_dark: float = 0.45
    shadow_soft_mm: float = 2.0
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


PAGE_PX_MM = 8.0
_MASK_PX_MM = 10.0
RIM_MM = (30.0, 45.0)
"""Paper beside and above the board, about as on the usual sizes."""

_GRID = 8
"""Pixels between those whose points are worked out; the others' lie between them, to a micrometre."""


@cache
def page_light(number: int, footprint: int) -> NDArray[np.float32]:
    """A page's light at so many pixels a mm, with its rim of paper, each point the mean of what a pixel sees."""
    wide, tall = target.WIDE_MM + 2 * RIM_MM[0], target.TALL_MM + 2 * RIM_MM[1]
    light = np.full((round(tall * PAGE_PX_MM), round(wide * PAGE_PX_MM)), 0.82, np.float32)
    for left, bottom, width, height in target.rectangles(number):
        x0, x1 = (round((v + RIM_MM[0]) * PAGE_PX_MM) for v in (left, left + width))
        y0, y1 = (round((v + RIM_MM[1]) * PAGE_PX_MM) for v in (bottom, bottom + height))
        light[y0:y1, x0:x1] = 0.035
    return cv2.blur(light, (footprint, footprint))


def _odd(width: float) -> int:
    """The nearest odd number: a window of an even one would shift what it is laid on."""
    return 2 * round((width - 1.0) / 2.0) + 1


Box = tuple[int, int, int, int]
"""First and last but one column and row of a part of the picture."""


def _points(scene: Scene, box: Box, height_mm: float) -> NDArray[np.float32]:
    """What each pixel of a part of the picture shows at a height: (rows, columns, 2) in mm."""
    x0, x1, y0, y1 = box
    # a resized picture's pixel k shows the point (k + 1/2) / 8 - 1/2 of the smaller one
    columns, rows = (
        first + _GRID * np.arange(-1, (last - first) // _GRID + 3) + _GRID / 2 - 0.5
        for first, last in ((x0, x1), (y0, y1))
    )
    u, v = np.meshgrid(columns, rows)
    at = scene.view.to_floor(np.column_stack([u.ravel(), v.ravel()]), height_mm).reshape(*u.shape, 2)
    size = (_GRID * len(columns), _GRID * len(rows))
    large = cv2.resize(at.astype(np.float32), size, interpolation=cv2.INTER_LINEAR)
    return large[_GRID : _GRID + y1 - y0, _GRID : _GRID + x1 - x0]


def _seen(scene: Scene, points_mm: Floats, heights_mm: Sequence[float]) -> Box:
    """The part of the picture in which some points can be seen."""
    at = np.concatenate([scene.view.to_pixels(points_mm, height) for height in heights_mm])
    (x0, y0), (x1, y1) = np.floor(at.min(0)).astype(int) - 4, np.ceil(at.max(0)).astype(int) + 5
    width, height = scene.size
    x0, y0 = int(np.clip(x0, 0, width - 1)), int(np.clip(y0, 0, height - 1))
    return x0, int(np.clip(x1, x0 + 1, width)), y0, int(np.clip(y1, y0 + 1, height))


def _part(light: NDArray[np.float32], box: Box) -> NDArray[np.float32]:
    return light[box[2] : box[3], box[0] : box[1]]


def _remapped(picture: NDArray[np.generic], at: NDArray[np.float32], outside: float) -> NDArray[np.float32]:
    return cv2.remap(
        picture, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_CONSTANT, borderValue=outside
    )


def _light(scene: Scene) -> NDArray[np.float32]:
    """The light that each pixel gets."""
    pixel_mm = scene.view.shift_mm[2] / scene.view.lens.focal_px
    whole: Box = (0, scene.size[0], 0, scene.size[1])
    coarse = np.random.default_rng(scene.seed).normal(0.0, 1.0, (64, 64)).astype(np.float32)
    floor = _points(scene, whole, 0.0)
    grain = cv2.remap(coarse, floor[..., 0] / 12.0, floor[..., 1] / 12.0, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    light = cv2.merge([np.float32(c) * (1.0 + np.float32(scene.floor_texture) * grain) for c in scene.floor])
    for page in scene.pages:
        corners = np.array(
            [[x, y] for x in (-RIM_MM[0], target.WIDE_MM + RIM_MM[0]) for y in (-RIM_MM[1], target.TALL_MM + RIM_MM[1])]
        )
        box = _seen(scene, page.to_floor(corners), (0.0,))
        c, s = math.cos(page.turn_rad) / page.scale, math.sin(page.turn_rad) / page.scale
        board = (_part(floor, box) - page.at_mm.astype(np.float32)) @ np.array([[c, -s], [s, c]], np.float32)
        picture = page_light(page.number, _odd(pixel_mm * PAGE_PX_MM))
        of = _remapped(picture, (board + np.float32(RIM_MM)) * np.float32(PAGE_PX_MM) - np.float32(0.5), -1.0)
        part = _part(light, box)
        part[of >= 0.0] = of[of >= 0.0, None]
    for piece in (scene, *scene.others):
        _lay(scene, piece, light, floor, pixel_mm)
    return light


def _lay(scene: Scene, piece: "Scene", light: NDArray[np.float32], floor: NDArray[np.float32], pixel_mm: float) -> None:
    """Lay a pattern on the floor: its shadow, its walls, its face."""
    mask, low = _mask(piece, _odd(pixel_mm * _MASK_PX_MM))
    if piece.shadow_mm != (0.0, 0.0):
        reach = np.asarray(piece.shadow_mm)
        box = _seen(scene, np.concatenate([piece.outline_mm + reach + d for d in (-15.0, 15.0)]), (0.0,))
        of = _covered(mask, low, _part(floor, box) - reach.astype(np.float32))
        soft = cv2.GaussianBlur(of, (0, 0), piece.shadow_soft_mm / pixel_mm)
        _part(light, box)[...] *= (1.0 - (1.0 - piece.shadow_dark) * soft)[..., None]
    box = _seen(scene, piece.outline_mm, (0.0, piece.thickness_mm))
    layers = max(2, round(piece.thickness_mm / 0.75) + 1)
    part = _part(light, box)
    below, above = (_points(scene, box, height) for height in (0.0, piece.thickness_mm))
    fuzz = np.random.default_rng(piece.seed + 7).normal(0.0, piece.face_texture, (64, 64)).astype(np.float32)
    grain = cv2.remap(fuzz, above[..., 0] / 5.0, above[..., 1] / 5.0, cv2.INTER_LINEAR, borderMode=cv2.BORDER_WRAP)
    shares = [np.float32(level / (layers - 1)) for level in range(layers)]
    covers = [_covered(mask, low, below + share * (above - below)) for share in shares]
    whole, face = np.maximum.reduce(covers)[..., None], covers[-1][..., None]
    colour = np.asarray(piece.colour, np.float32)
    part *= 1.0 - whole
    part += ((whole - face) * np.float32(piece.wall) + face * (1.0 + grain[..., None])) * colour


def _mask(piece: Scene, footprint: int) -> tuple[NDArray[np.float32], Floats]:
    """How much of each point is pattern, as a pixel sees it, and where the mask begins."""
    low = piece.outline_mm.min(0) - 3.0
    size = np.ceil((piece.outline_mm.max(0) + 3.0 - low) * _MASK_PX_MM).astype(int)
    mask = _filled((piece.outline_mm - low) * _MASK_PX_MM, size)
    turn = np.exp(2j * np.pi * np.arange(256) / 256)
    rounds = [x + 1j * y + radius * turn for x, y, radius in piece.holes]
    for hole in (*(np.column_stack([z.real, z.imag]) for z in rounds), *piece.slots):
        mask -= _filled((hole - low) * _MASK_PX_MM, size)
    return cv2.blur(mask, (footprint, footprint)), low


def _filled(outline_px: Floats, size: NDArray[np.intp]) -> NDArray[np.float32]:
    """How much of each pixel lies inside an outline, row by row through the pixels' middles."""
    change = np.zeros((size[1], size[0] + 2))
    for (x0, y0), (x1, y1) in zip(outline_px, np.roll(outline_px, -1, axis=0), strict=True):
        sense, (xa, ya), (xb, yb) = (1.0, (x0, y0), (x1, y1)) if y1 > y0 else (-1.0, (x1, y1), (x0, y0))
        rows = np.arange(max(0, math.ceil(ya - 0.5)), min(size[1], math.ceil(yb - 0.5)))
        if len(rows):
            x = np.clip(xa + (rows + 0.5 - ya) * (xb - xa) / (yb - ya), 0.0, size[0] - 1e-6)
            whole = np.floor(x).astype(int)
            np.add.at(change, (rows, whole), sense * (1.0 - (x - whole)))
            np.add.at(change, (rows, whole + 1), sense * (x - whole))
    return np.abs(np.cumsum(change, axis=1))[:, : size[0]].astype(np.float32)


def _covered(mask: NDArray[np.float32], low: Floats, points: NDArray[np.float32]) -> NDArray[np.float32]:
    at = (points - low.astype(np.float32)) * np.float32(_MASK_PX_MM) - np.float32(0.5)
    return _remapped(mask, at, 0.0)


_SCREEN = np.linspace(0.0, 1.0, 4096)
_SCREEN = np.round(255.0 * np.where(_SCREEN <= 0.0031308, 12.92 * _SCREEN, 1.055 * _SCREEN ** (1 / 2.4) - 0.055))
_SCREEN = _SCREEN.astype(np.uint8)
"""A screen's value of light in 4096 steps (IEC 61966-2-1)."""


def taken(scene: Scene) -> NDArray[np.uint8]:
    """The photograph's pixels, red, green and blue."""
    light = cv2.GaussianBlur(_light(scene), (0, 0), scene.blur_px)
    rng = np.random.default_rng(scene.seed + 1)
    light += np.float32(scene.noise) * rng.standard_normal(light.shape, np.float32)
    return screened(light)


def screened(light: NDArray[np.float32]) -> NDArray[np.uint8]:
    """A screen's values of light, 0 to 1."""
    return _SCREEN[np.clip(light * 4095.0 + 0.5, 0.0, 4095.0).astype(np.uint16)]


def packed(pixels: NDArray[np.uint8], quality: int = 90) -> bytes:
    """Pixels as JPEG."""
    done, data = cv2.imencode(".jpg", pixels[..., ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
    assert done
    return bytes(data)


def photographed(scene: Scene) -> bytes:
    """The photograph as JPEG."""
    return packed(taken(scene), scene.quality)


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


__all__ = ["Scene", "laid", "looking", "moved", "packed", "photographed", "rail_pattern", "replace", "taken"]
