"""Spoilt photographs: each is refused in one line that says what to do, or its trace is right where it says so."""

import re
import struct
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any

import cv2
import numpy as np
import pytest
from click.testing import CliRunner
from numpy.typing import NDArray
from PIL import Image

from plategen.cli import main
from plategen.job.load import load_trace
from plategen.photo import target
from plategen.photo.camera import View
from tests.photo.test_pattern import FRONT, PAGES, PATTERN, X, Y
from tests.support.photo_scene import laid, looking, packed, photographed, taken

SMALL = replace(FRONT, size=(1600, 1200), view=looking((1600, 1200), height_mm=780.0, tilt_deg=10.0))
WRONG_MM = 0.8
"""No reading that is written may be farther off than this: twice what the sharpest of them are out in so few pixels."""

WHITE, SKIN = (255, 255, 255), (205, 150, 120)

Pixels = NDArray[np.uint8]


@cache
def good() -> Pixels:
    return taken(SMALL)


def at_px(x: float, y: float) -> tuple[int, int]:
    """Where a point of the pattern lies in the picture, its station and offset told."""
    middle = np.array([*X[[0, -1]], *X[::-1]]).mean() + 1j * np.array([0.0, 0.0, *Y[::-1]]).mean()
    turned = (x + 1j * y - middle) * np.exp(1j * np.radians(12.0))
    u, v = SMALL.view.to_pixels(np.array([[turned.real, turned.imag]]), SMALL.thickness_mm)[0]
    return round(u), round(v)


def blotched(at: tuple[int, int], radius: int, colour: tuple[int, int, int]) -> Pixels:
    """The photograph with a soft spot of glare, or of a thumb."""
    cover = cv2.GaussianBlur(
        cv2.circle(np.zeros(good().shape[:2], np.float32), at, radius, 1.0, -1), (0, 0), radius / 8
    )
    return np.asarray(good() * (1.0 - cover[..., None]) + np.array(colour) * cover[..., None]).astype(np.uint8)


def one_marker() -> Pixels:
    """The photograph with its pages covered, but for one marker."""
    spoilt, (left, top) = good().copy(), target.marker_corners(6)[0]
    shown = [[left - 3.0, top + 3.0], [left + 18.0, top + 3.0], [left + 18.0, top - 18.0], [left - 3.0, top - 18.0]]
    board = [[-5.0, -5.0], [target.WIDE_MM + 5.0, -5.0], [target.WIDE_MM + 5.0, target.TALL_MM + 5.0]]
    for page in PAGES:
        whole = np.array([*board, [-5.0, target.TALL_MM + 5.0]])
        cv2.fillConvexPoly(spoilt, np.round(SMALL.view.to_pixels(page.to_floor(whole))).astype(np.int32), WHITE)
    keep = np.zeros(spoilt.shape[:2], np.uint8)
    at = SMALL.view.to_pixels(PAGES[0].to_floor(np.array(shown)))
    cv2.fillConvexPoly(keep, np.round(at).astype(np.int32), 1)
    return np.where(keep[..., None] > 0, good(), spoilt)


def page_warped(how: Callable[[NDArray[np.float32], NDArray[np.float32]], tuple[NDArray, NDArray]]) -> Pixels:
    """The photograph with the left page drawn out of its plane, from and to a box about it."""
    corners = SMALL.view.to_pixels(
        PAGES[0].to_floor(np.array([[0.0, 0.0], [160.0, 0.0], [160.0, 220.0], [0.0, 220.0]]))
    )
    (x0, y0), (x1, y1) = np.floor(corners.min(0)).astype(int), np.ceil(corners.max(0)).astype(int)
    x0, y0, x1, y1 = max(x0, 0), max(y0, 0), min(x1, 1600), min(y1, 1200)
    u, v = np.meshgrid(np.arange(x0, x1, dtype=np.float32), np.arange(y0, y1, dtype=np.float32))
    du, dv = how((u - x0) / (x1 - x0), (v - y0) / (y1 - y0))
    spoilt = good().copy()
    spoilt[y0:y1, x0:x1] = cv2.remap(good(), u + np.float32(du), v + np.float32(dv), cv2.INTER_LINEAR)
    return spoilt


def file_of(pixels: Pixels, mode: str, **how: Any) -> bytes:
    data = BytesIO()
    Image.fromarray(pixels).convert(mode).save(data, **how)
    return data.getvalue()


def declared(width: int, height: int) -> bytes:
    """A JPEG that says it is larger than it is."""
    data = bytearray(packed(good()))
    at = data.index(b"\xff\xc0") + 5
    data[at : at + 4] = struct.pack(">HH", height, width)
    return bytes(data)


def handed() -> Pixels:
    """A hand that holds the card down at its edge."""
    at = at_px(220.0, 86.0)
    return np.asarray(cv2.line(good().copy(), at, (at[0] + 40, 0), SKIN, 70))


def streaked(length: int) -> Pixels:
    way = np.zeros((length, length), np.float32)
    cv2.line(way, (0, length - 1), (length - 1, 0), 1.0)
    return np.asarray(cv2.filter2D(good(), -1, way / way.sum()))


def lit(times: float) -> Pixels:
    return np.clip(good().astype(np.float32) * times, 0, 255).astype(np.uint8)


def scene(**changes: Any) -> bytes:
    return photographed(replace(SMALL, **changes))


def from_side(tilt_deg: float) -> View:
    return looking((1600, 1200), height_mm=1000.0, tilt_deg=tilt_deg)


SPOILT: dict[str, tuple[Callable[[], bytes], str]] = {
    "one page": (lambda: scene(pages=PAGES[:1]), ""),
    "one marker": (lambda: packed(one_marker()), "no printed page is seen"),
    "50 MB": (lambda: packed(good()) + bytes(50_000_000), ""),
    "a page at 97 %": (lambda: scene(pages=(PAGES[0], laid(1, (255.0, -20.0), 10.0, 0.97))), "printed"),
    "a page curled": (lambda: packed(page_warped(lambda x, y: (6 * np.sin(3.1 * x), 9 * np.sin(3.1 * y)))), "flat"),
    "a page on a block": (lambda: packed(page_warped(lambda x, y: (8 * x * y, 6 * x * x))), "flat|printed"),
    "glare on the edge": (lambda: packed(blotched(at_px(150.0, 107.0), 60, WHITE)), ""),
    "glare on a page": (lambda: packed(blotched(at_px(-150.0, 60.0), 60, WHITE)), ""),
    "a thumb on the edge": (lambda: packed(blotched(at_px(220.0, 86.0), 45, SKIN)), ""),
    "a hand from the rim": (lambda: packed(handed()), "cannot be told|runs out|can be told"),
    "a card under the card": (lambda: scene(others=(replace(SMALL, outline_mm=PATTERN * 0.4 + [60.0, 60.0]),)), ""),
    "card as the floor": (lambda: scene(colour=(0.33, 0.32, 0.3), wall=1.0, shadow_mm=(0.0, 0.0)), "another colour"),
    "seen from 55 degrees": (lambda: scene(view=from_side(55.0)), "left end"),
    "packed to nothing": (lambda: packed(good(), 20), "compressed so hard"),
    "packed hard": (lambda: packed(good(), 50), ""),
    "shaken": (lambda: packed(streaked(31)), "sharp"),
    "shaken a little": (lambda: packed(streaked(7)), "sharp"),
    "far too dark": (lambda: packed(lit(0.03)), "good light"),
    "dark": (lambda: packed(lit(0.3)), "even light"),
    "burnt out": (lambda: packed(lit(4.0)), "good light"),
    "mirrored": (lambda: packed(np.ascontiguousarray(good()[:, ::-1])), "page"),
    "turned upside down": (lambda: packed(np.ascontiguousarray(good()[::-1, ::-1])), ""),
    "grey": (lambda: file_of(good(), "L", format="JPEG", quality=92), "another colour"),
    "for a printing press": (lambda: file_of(good(), "CMYK", format="JPEG", quality=92), ""),
    "a GIF": (lambda: file_of(good(), "P", format="GIF"), "photograph"),
    "a PDF": (lambda: file_of(good(), "RGB", format="PDF"), "photograph"),
    "an SVG": (lambda: b'<svg xmlns="http://www.w3.org/2000/svg"/>', "photograph"),
    "says it is 60,000 wide": (lambda: declared(60000, 60000), "too many pixels"),
    "says it is 1 high": (lambda: declared(1600, 1), "too small"),
}
"""What is photographed, and words of the refusal; none where it is read, and must be right."""


@pytest.mark.parametrize("name", SPOILT)
def test_no_spoilt_photograph_gives_a_wrong_trace_in_silence(tmp_path: Path, name: str) -> None:
    make, words = SPOILT[name]
    (tmp_path / "front.jpg").write_bytes(make())
    out = tmp_path / "front.csv"
    words_of = ["pattern", str(tmp_path / "front.jpg"), "--units", "mm", "--thickness", "3", "--bar", "100"]
    done = CliRunner().invoke(main, [*words_of, "-o", str(out)])
    if done.exit_code == 2:
        assert len(done.output.strip().splitlines()) == 1, done.output
        assert done.output.startswith("front.jpg: ")
        assert [path.name for path in tmp_path.iterdir()] == ["front.jpg"]
        assert words, done.output
        assert re.search(words, done.output), done.output
        return
    assert done.exit_code == 0, done.output
    readings = load_trace(out).trace.readings
    fine = np.linspace(0.0, 300.0, 6001)
    curve = fine + 1j * np.interp(fine, X, Y)
    away = np.array([np.abs(curve - reading.point).min() for reading in readings])
    assert away.max() < WRONG_MM, done.output
