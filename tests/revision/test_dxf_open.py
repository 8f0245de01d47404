"""Plates by other hands: drawn in every way a drawing program draws, in any unit, anywhere; and what is no plate."""

import io
import math
import random
from collections.abc import Callable
from pathlib import Path

import ezdxf
import pytest

from plategen.flat.loop import Circle
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_open import open_plate

W, H, R = 120.0, 80.0, 10.0
HOLE = (40.0, 30.0, 12.7)
AREA = W * H - (4 - math.pi) * R * R


def drawing(units: int = 4, version: str = "R2000") -> "tuple[ezdxf.document.Drawing, ezdxf.layouts.Modelspace]":
    made = ezdxf.new(version, units=units)
    return made, made.modelspace()


def data(made: "ezdxf.document.Drawing") -> bytes:
    stream = io.StringIO()
    made.write(stream)
    return stream.getvalue().encode()


def rounded(space: object, dx: float = 0.0, dy: float = 0.0, scale: float = 1.0) -> None:
    """A rectangle with rounded corners as loose lines and arcs, shuffled and some of them turned round."""
    add: list[Callable[[], object]] = []
    corners = [(R, R, 180), (W - R, R, 270), (W - R, H - R, 0), (R, H - R, 90)]
    ends = [((R, 0), (W - R, 0)), ((W, R), (W, H - R)), ((W - R, H), (R, H)), ((0, H - R), (0, R))]
    for (a, b), (x, y, start) in zip(ends, corners, strict=True):
        p, q = ((u * scale + dx, v * scale + dy) for u, v in (b, a))
        add.append(lambda p=p, q=q: space.add_line(p, q))  # type: ignore[attr-defined, misc]
        add.append(
            lambda x=x, y=y, start=start: space.add_arc(  # type: ignore[attr-defined, misc]
                (x * scale + dx, y * scale + dy), R * scale, start, start + 90
            )
        )
    random.Random(3).shuffle(add)
    for one in add:
        one()
    space.add_circle((HOLE[0] * scale + dx, HOLE[1] * scale + dy), HOLE[2] * scale)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("units", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)], ids=["in", "ft", "mm", "cm", "m"]
)
def test_any_unit_and_anywhere(units: int, mm: float) -> None:
    made, space = drawing(units)
    rounded(space, 700 / mm, -350 / mm, 1 / mm)
    opened = open_plate(data(made))
    assert opened.mm_per_unit == pytest.approx(mm)
    assert opened.outline.area == pytest.approx(AREA, rel=1e-6)
    (hole,) = opened.holes
    assert hole.radius == pytest.approx(HOLE[2])
    assert hole.centre == pytest.approx(complex(HOLE[0] + 700, HOLE[1] - 350))
    assert opened.notes == ()


def test_polylines_old_and_new() -> None:
    bulge = math.tan(math.pi / 8)
    points = [(R, 0, 0), (W - R, 0, bulge), (W, R, 0), (W, H - R, bulge), (W - R, H, 0), (R, H, bulge), (0, H - R, 0)]
    points.append((0, R, bulge))
    for version, add in (("R2000", "add_lwpolyline"), ("R12", "add_polyline2d")):
        made, space = drawing(version=version)
        getattr(space, add)(points, format="xyb", close=True)
        opened = open_plate(data(made))
        assert opened.outline.area == pytest.approx(AREA, rel=1e-9)
        assert opened.mm_per_unit == (1.0 if version == "R2000" else None)


def test_splines_and_ellipses_are_flattened_and_noted() -> None:
    made, space = drawing()
    space.add_ellipse((0, 0), (60, 0), 0.5)
    space.add_ellipse((10, 0), (8, 0), 1.0)
    ring = [(-30 + 7 * math.cos(t), 7 * math.sin(t)) for t in (i * math.tau / 24 for i in range(24))]
    space.add_spline().control_points = []
    space.delete_entity(list(space)[-1])
    spline = space.add_spline(fit_points=[(x, y, 0) for x, y in (*ring, ring[0])])
    assert spline.dxftype() == "SPLINE"
    opened = open_plate(data(made))
    assert opened.outline.area == pytest.approx(math.pi * 60 * 30, rel=2e-3)
    assert sorted(round(hole.radius, 1) for hole in opened.holes) == [7.0, 8.0]
    flat = "{} {} were straightened into short lines within {}"
    assert message(flat, 1, "ellipses", mm(0.01)) in opened.notes  # the other one is a circle
    assert message(flat, 1, "splines", mm(0.01)) in opened.notes


def test_a_block_is_taken_apart_and_notes_are_left_out() -> None:
    made, space = drawing()
    block = made.blocks.new("PLATE")
    rounded(block)
    space.add_blockref("PLATE", (1000, 500), dxfattribs={"rotation": 30})
    space.add_text("3/8 A36")
    opened = open_plate(data(made))
    assert opened.outline.area == pytest.approx(AREA, rel=1e-6)
    assert message("blocks were taken apart") in opened.notes
    assert message("{} is not cut and was left out", "TEXT") in opened.notes


def test_marks_inside_are_left_out_and_noted() -> None:
    made, space = drawing()
    rounded(space)
    space.add_line((60, 20), (90, 60))
    (note,) = open_plate(data(made)).notes
    assert note == message("{} open lines inside the plate were taken for marks and left out", 1)


def test_a_hole_of_two_half_circles_is_a_circle() -> None:
    made, space = drawing()
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True)
    space.add_lwpolyline([(20, 30, 1), (40, 30, 1)], format="xyb", close=True)
    assert open_plate(data(made)).holes == (Circle(30 + 30j, 10.0),)


def _open_outline(space: object) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60), (0, 0.5)])  # type: ignore[attr-defined]


def _several(space: object) -> None:
    for x in (0, 200):
        space.add_lwpolyline([(x, 0), (x + 100, 0), (x + 100, 60), (x, 60)], close=True)  # type: ignore[attr-defined]


def _twice(space: object) -> None:
    for _ in range(2):
        rounded(space)


def _text_only(space: object) -> None:
    space.add_text("a plate")  # type: ignore[attr-defined]


def _face(space: object) -> None:
    space.add_3dface([(0, 0, 0), (1, 0, 0), (1, 1, 5), (0, 1, 5)])  # type: ignore[attr-defined]


def _leaning(space: object) -> None:
    space.add_line((0, 0, 0), (10, 0, 4))  # type: ignore[attr-defined]


def _tiny(space: object) -> None:
    space.add_lwpolyline([(0, 0), (0.01, 0), (0.01, 0.01)], close=True)  # type: ignore[attr-defined]


def _nothing(space: object) -> None:
    pass


def _island(space: object) -> None:
    space.add_lwpolyline([(0, 0), (100, 0), (100, 60), (0, 60)], close=True)  # type: ignore[attr-defined]
    space.add_circle((50, 30), 20)  # type: ignore[attr-defined]
    space.add_circle((50, 30), 5)  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("draw", "why"),
    [
        (_open_outline, r"open by 0\.50 mm at x 0\.0 mm, y 0\.50 mm; close it"),
        (_several, "several outlines side by side"),
        (_twice, "drawn twice|several outlines"),
        (_text_only, "draws no outline, only text"),
        (_face, "three dimensions"),
        (_leaning, "three dimensions"),
        (_tiny, "no size for a plate"),
        (_nothing, "holds nothing"),
        (_island, "a contour inside a hole"),
    ],
)
def test_what_is_no_plate_is_refused_with_the_reason(draw: Callable[[object], None], why: str) -> None:
    made, space = drawing()
    draw(space)
    with pytest.raises(Refusal, match=why):
        open_plate(data(made))


@pytest.mark.parametrize(
    ("junk", "why"),
    [
        (b"", "not a DXF file"),
        (b"\x89PNG\r\n\x1a\n\x00\x00", "not a DXF file"),
        (b"  0\nSECTION\n  2\nENTITIES\n  0\nLINE\n 10\nnot a number\n", "damaged|not a DXF"),
        (b"SECTION " * 10_000_000, "80 MB; a plate is a few kilobytes"),
        (random.Random(1).randbytes(50_000_000), "50 MB; a plate is a few kilobytes"),
    ],
    ids=["empty", "picture", "broken", "80 MB", "50 MB"],
)
def test_junk_is_refused(junk: bytes, why: str) -> None:
    with pytest.raises(Refusal, match=why):
        open_plate(junk)


def test_own_plates_come_back(tmp_path: Path) -> None:
    from plategen.cut.table.cutting import plate_dxf
    from plategen.job.load import load_job
    from plategen.make import carry_through

    loaded = load_job(Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail")
    bracket = carry_through(loaded.job, loaded.traces).bracket
    for plate in bracket.plates:
        opened = open_plate(plate_dxf(plate, "in", bracket.welds).encode())
        assert opened.outline.area == pytest.approx(plate.outline.area, rel=1e-6)
        assert [hole.radius for hole in opened.holes] == pytest.approx([plate.holes[0].circle.radius])
