"""A photograph of a pattern becomes its trace, one of a plate its drawing; a spoilt one is refused in one line."""

import re
from dataclasses import replace
from io import BytesIO
from pathlib import Path

import cv2
import numpy as np
import pytest
from click.testing import CliRunner
from PIL import Image

from plategen.cli import main
from plategen.cut.dxf_read import read_dxf
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.job.load import load_trace
from plategen.photo.pattern import _refuse_slant
from plategen.photo.picture import WORKED_PIXELS, read_picture
from plategen.photo.told import printed_bar
from plategen.revision.dxf_open import open_plate
from tests.support.photo_scene import Scene, laid, looking, moved, packed, photographed, rail_pattern, taken

SIZE = (1900, 1400)
X = np.linspace(0.0, 300.0, 301)
Y = 100.0 + 0.05 * X - 25.0 * np.tanh((X - 150.0) / 40.0)
PATTERN = moved(rail_pattern(X, Y), 12.0, (0.0, 0.0))
PAGES = (laid(0, (-255.0, 0.0), 80.0), laid(1, (255.0, -20.0), 10.0))
VIEW = looking(SIZE, height_mm=800.0, tilt_deg=18.0, towards_deg=60.0)
FRONT = Scene(outline_mm=PATTERN, colour=(0.42, 0.42, 0.12), pages=PAGES, view=VIEW, size=SIZE, shadow_mm=(6.0, -5.0))


def run(folder: Path, photograph: bytes, *words: str) -> tuple[int, str]:
    (folder / "front.jpg").write_bytes(photograph)
    out = str(folder / ("plate.dxf" if "--plate" in words else "front.csv"))
    done = CliRunner().invoke(main, ["pattern", str(folder / "front.jpg"), "--units", "mm", "-o", out, *words])
    return done.exit_code, done.output


def test_a_pattern_becomes_its_trace(tmp_path):
    status, said = run(tmp_path, photographed(FRONT), "--thickness", "3", "--bar", "100")
    assert status == 0, said
    loaded = load_trace(tmp_path / "front.csv")
    points = np.array([reading.point for reading in loaded.trace.readings])
    fine = np.linspace(0.0, 300.0, 6001)
    curve = fine + 1j * np.interp(fine, X, Y)
    away = np.abs(points[:, None] - curve[None, :]).min(1)
    assert len(points) >= 55
    assert away.max() < 0.45
    assert np.sqrt((away**2).mean()) < 0.15
    assert loaded.trace.read_error_mm is not None
    assert 0.05 < loaded.trace.read_error_mm < 0.4
    assert (away < 2.0 * loaded.trace.read_error_mm).mean() > 0.9
    assert f"read to about {loaded.trace.read_error_mm:.2f} mm" in said
    assert "the photograph is coarse" in said  # a pixel shows 0.56 mm of the floor
    picture = (tmp_path / "front_check.svg").read_bytes()
    assert b"data:image/jpeg" in picture
    assert len(picture) < 1_000_000


EAR = np.array([[0, 0], [180, 0], [180, 60], [130, 110], [30, 110], [0, 80]], float) - [90.0, 55.0]
HOLES = ((-50.0, 0.0, 12.7), (40.0, -20.0, 8.0))


def slot(x: float, y: float, half: float, radius: float) -> np.ndarray:
    turn = np.linspace(-np.pi / 2, np.pi / 2, 40)
    right = np.column_stack([half + radius * np.cos(turn), radius * np.sin(turn)])
    return np.concatenate([right, -right]) + np.array([x, y])


PLATE = replace(
    FRONT, outline_mm=EAR, thickness_mm=9.5, colour=(0.45, 0.46, 0.48), floor=(0.12, 0.11, 0.1), holes=HOLES,
    slots=(slot(30.0, 20.0, 15.0, 7.0),), view=looking(SIZE, height_mm=700.0, tilt_deg=12.0),
)  # fmt: skip


def test_a_plate_becomes_a_drawing_that_can_be_trimmed(tmp_path):
    status, said = run(tmp_path, photographed(PLATE), "--thickness", "9.5", "--plate", "--bar", "100")
    assert status == 0, said
    data = (tmp_path / "plate.dxf").read_bytes()
    opened = open_plate(data)
    true = abs(EAR[:, 0] @ np.roll(EAR[:, 1], -1) - EAR[:, 1] @ np.roll(EAR[:, 0], -1)) / 2.0
    assert abs(abs(opened.outline.area) / true - 1.0) < 0.01
    assert len(opened.holes) == 2
    assert sorted(hole.radius for hole in opened.holes) == pytest.approx([8.0, 12.7], abs=0.2)
    between = abs(opened.holes[0].centre - opened.holes[1].centre)
    assert between == pytest.approx(np.hypot(90.0, 20.0), abs=0.35)
    (opening,) = opened.openings
    assert opening.area == pytest.approx(2 * 7 * 30 + np.pi * 49, rel=0.04)
    assert all(isinstance(c, Circle) or len(c) < 40 for _, c in read_dxf(data.decode()).contours)


def spoilt(name: str) -> bytes:
    small = replace(FRONT, size=(1500, 1100), view=looking((1500, 1100), height_mm=750.0, tilt_deg=10.0))
    nothing = np.array([[5000.0, 5000.0], [5001.0, 5000.0], [5001.0, 5001.0]])
    match name:
        case "no cardboard":
            return photographed(replace(small, outline_mm=nothing, shadow_mm=(0.0, 0.0)))
        case "two cardboards":
            return photographed(
                replace(
                    small, outline_mm=PATTERN * 0.6, others=(replace(small, outline_mm=PATTERN * 0.6 + [0.0, 160.0]),)
                )
            )
        case "cropped":
            return photographed(replace(small, outline_mm=PATTERN + np.array([0.0, 390.0])))
        case "no pages":
            return photographed(replace(small, pages=()))
        case "blurred":
            return photographed(replace(small, blur_px=9.0))
        case "too small":
            return packed(np.ascontiguousarray(taken(small)[::4, ::4]))
        case "not a picture":
            return b"station,offset\n0,1\n"
        case "cut short":
            return photographed(small)[:20000]
        case "HEIC":
            return b"\x00\x00\x00\x18ftypheic" + bytes(100)
        case "empty":
            return b""
        case "black":
            return packed(np.zeros((960, 1300, 3), np.uint8))
        case "screenshot":
            screen = np.full((960, 1300, 3), 240, np.uint8)
            cv2.putText(screen, "station 0, offset 1", (100, 200), cv2.FONT_HERSHEY_SIMPLEX, 2.0, (20, 20, 20), 3)
            return packed(screen)
        case "too many pixels":
            return cv2.imencode(".png", np.zeros((9000, 9000), np.uint8))[1].tobytes()
        case "too many bytes":
            return photographed(small) + bytes(70_000_000)
        case _:
            raise ValueError(name)


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("no cardboard", "no cardboard or plate is seen"),
        ("two cardboards", "two pieces lie in the picture"),
        ("cropped", "runs out of the picture|whole in the picture"),
        ("no pages", "no printed page is seen"),
        ("blurred", "no printed page is seen"),
        ("too small", "too small"),
        ("not a picture", "not a photograph"),
        ("cut short", "not a photograph"),
        ("HEIC", "export"),
        ("empty", "not a photograph"),
        ("black", "no printed page is seen"),
        ("screenshot", "no printed page is seen"),
        ("too many pixels", "too large|too many pixels"),
        ("too many bytes", "MB is too large"),
    ],
)
def test_a_spoilt_photograph_is_refused_in_one_line(tmp_path, name, words):
    status, said = run(tmp_path, spoilt(name), "--thickness", "3")
    assert status == 2, said
    assert len(said.strip().splitlines()) == 1
    assert said.startswith("front.jpg: ")
    assert re.search(words, said), said
    assert [path.name for path in tmp_path.iterdir()] == ["front.jpg"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--thickness", "0"), "--thickness: from"),
        (("--thickness", "3 feet"), "--thickness: from"),
        (("--thickness", "three"), "--thickness: "),
        (("--thickness", "3", "--bar", "80"), "--bar: from"),
        (("--thickness", "3", "--bar", "140"), "--bar: from"),
        (("--thickness", "3", "--plate", "-o", "plate.csv"), "ends in .dxf"),
    ],
)
def test_a_wrong_option_is_refused_in_one_line(tmp_path, words, said):
    status, line = run(tmp_path, b"", *words)
    assert status == 2
    assert said in line
    assert [path.name for path in tmp_path.iterdir()] == ["front.jpg"]


@pytest.mark.parametrize(
    ("bar", "units", "own_mm", "there_mm"),
    [
        ("4", "in", 101.6, 101.6),
        ("100.5", "mm", 100.0, 100.5),
        ("7 7/8", "in", 200.0, 200.025),
        ("199 mm", "in", 200.0, 199.0),
        ("98 mm", "in", 100.0, 98.0),
    ],
)
def test_a_measured_bar_is_told_by_its_length_and_its_unit(bar, units, own_mm, there_mm):
    measured = printed_bar(bar, units, "--bar")
    assert (measured.own_mm, measured.there_mm) == pytest.approx((own_mm, there_mm))


def test_a_large_picture_keeps_as_many_pixels_as_are_worked_on():
    """Before, one of 20 megapixels was halved to 5, coarser than the picture of any telephone of 12."""
    data = BytesIO()
    Image.new("RGB", (5184, 3888)).save(data, format="JPEG")
    height, width = read_picture(data.getvalue(), "front.jpg").pixels.shape[:2]
    assert 0.999 * WORKED_PIXELS < width * height <= WORKED_PIXELS
    assert width / height == pytest.approx(5184 / 3888, rel=1e-3)


@pytest.mark.parametrize(("long", "words"), [(12, "too short, or too little of it"), (60, "out of square")])
def test_a_short_slant_beside_the_straight_edge_is_not_taken_for_the_left_end(long: int, words: str):
    """Before, a corner that was cut off in following it was called an end out of square."""
    base, end = np.arange(300.0) + 0j, np.arange(long)[::-1] * np.exp(1j * np.radians(130.0))
    z = np.concatenate([base, end])
    with pytest.raises(Refusal, match=words):
        _refuse_slant(z, np.arange(300), np.arange(300, 300 + long), [])
