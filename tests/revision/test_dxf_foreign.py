"""Drawings as other programs write them: line ends, marks, binary, versions, blocks, units, and what nobody sees.

The plate's area and its hole are known in closed form; the files come from ezdxf and from text written by hand here.
"""

import codecs
import io
import math
import random
import time
from collections.abc import Callable
from typing import Any

import ezdxf
import pytest

from plategen.ground.in_words import in_words
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_load import MOST_ENTITIES, MOST_LINES
from plategen.revision.dxf_open import GAP_MM, OpenedPlate, open_plate
from tests.revision.test_dxf_open import AREA, HOLE, H, R, W, data, drawing, rounded

VERSIONS = ("R12", "R2000", "R2004", "R2007", "R2010", "R2013", "R2018")
BY_HAND = """0\nSECTION\n2\nENTITIES\n0\nPOLYLINE\n8\n0\n66\n1\n70\n1\n{}0\nSEQEND\n0\nCIRCLE\n8\n0\n10\n40\n20\n30
40\n12.7\n0\nENDSEC\n0\nEOF\n""".format(
    "".join(f"0\nVERTEX\n8\n0\n10\n{x}\n20\n{y}\n" for x, y in ((0, 0), (W, 0), (W, H), (0, H)))
)


def is_it(opened: OpenedPlate, area: float = AREA) -> None:
    assert opened.outline.area == pytest.approx(area, rel=1e-9)
    (hole,) = opened.holes
    assert hole.radius == pytest.approx(HOLE[2], abs=1e-6)


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
@pytest.mark.parametrize("coding", ["utf-8", "utf-8-sig", "utf-16"])
@pytest.mark.parametrize("version", ["R12", "R2000", "R2018"])
def test_any_line_ends_mark_and_version(ends: str, coding: str, version: str) -> None:
    made, space = drawing(version=version)
    rounded(space)
    text = data(made).decode().replace("\n", ends)
    is_it(open_plate(text.encode(coding)))


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"], ids=["LF", "CRLF", "CR"])
def test_entities_alone_written_by_hand(ends: str) -> None:
    is_it(open_plate(codecs.BOM_UTF8 + BY_HAND.replace("\n", ends).encode()), W * H)


@pytest.mark.parametrize("version", VERSIONS)
def test_binary(version: str) -> None:
    made, space = drawing(version=version)
    rounded(space)
    stream = io.BytesIO()
    made.write(stream, fmt="bin")
    is_it(open_plate(stream.getvalue()))


@pytest.mark.parametrize("scales", [(1, 1), (-1, 1), (1, -1), (-1, -1), (-2, 2)])
def test_blocks_within_blocks_turned_and_mirrored(scales: tuple[float, float]) -> None:
    made, space = drawing()
    inner, outer = made.blocks.new("INNER"), made.blocks.new("OUTER")
    bulge = math.tan(math.pi / 8)
    corners = [(R, 0, 0), (W - R, 0, bulge), (W, R, 0), (W, H - R, bulge), (W - R, H, 0), (R, H, bulge), (0, H - R, 0)]
    inner.add_lwpolyline([*corners, (0, R, bulge)], format="xyb", close=True)
    outer.add_circle((HOLE[0], HOLE[1]), HOLE[2])
    outer.add_arc((80, 40), 5, 0, 180)
    outer.add_arc((80, 40), 5, 180, 360)
    outer.add_blockref("INNER", (0, 0))
    size = abs(scales[0])
    place = {"xscale": scales[0], "yscale": scales[1], "rotation": 33}
    space.add_blockref("OUTER", (500, -200), dxfattribs=place)
    opened = open_plate(data(made))
    assert opened.outline.area == pytest.approx(AREA * size**2, rel=1e-9)
    assert sorted(hole.radius for hole in opened.holes) == pytest.approx([5 * size, HOLE[2] * size])
    turn = complex(math.cos(math.radians(33)), math.sin(math.radians(33)))
    hole = max(opened.holes, key=lambda one: one.radius)
    assert hole.centre == pytest.approx(complex(HOLE[0] * scales[0], HOLE[1] * scales[1]) * turn + 500 - 200j, abs=1e-6)


def test_stretched_blocks_become_ellipses() -> None:
    made, space = drawing()
    made.blocks.new("ROUND").add_circle((0, 0), 10)
    space.add_blockref("ROUND", (0, 0), dxfattribs={"xscale": 6, "yscale": 3})
    assert open_plate(data(made)).outline.area == pytest.approx(math.pi * 60 * 30, rel=1e-3)


def test_layer_nought_of_a_block_is_the_layer_it_is_inserted_on() -> None:
    made, space = drawing()
    rounded(space)
    made.blocks.new("WORDS").add_line((0, 0), (300, 0))
    made.layers.add("SCRIBE")
    space.add_blockref("WORDS", (0, 0), dxfattribs={"layer": "SCRIBE"})
    is_it(open_plate(data(made)))


@pytest.mark.parametrize(
    ("code", "mm_per_unit"), [(8, 25.4e-6), (9, 0.0254), (10, 914.4), (13, 0.001), (14, 100.0), (21, 304.8006096)]
)
def test_rarer_units(code: int, mm_per_unit: float) -> None:
    made, space = drawing(code)
    rounded(space, scale=1 / mm_per_unit)
    opened = open_plate(data(made))
    assert opened.mm_per_unit == pytest.approx(mm_per_unit, rel=1e-9)
    assert opened.outline.area == pytest.approx(AREA, rel=1e-6)


def test_a_unit_in_which_no_plate_is_drawn_is_refused() -> None:
    made, space = drawing(19)  # light years
    rounded(space)
    with pytest.raises(Refusal, match="unit is number 19"):
        open_plate(data(made))


@pytest.mark.parametrize("how", ["off", "freeze"])
def test_hidden_layers_are_left_out_and_named(how: str) -> None:
    made, space = drawing()
    rounded(space)
    getattr(made.layers.add("OLD SHAPE"), how)()
    space.add_circle((60, 40), 200, dxfattribs={"layer": "OLD SHAPE"})
    opened = open_plate(data(made))
    is_it(opened)
    assert opened.notes == (message("{} shapes on layer {}, which is hidden, were left out", 1, "'OLD SHAPE'"),)
    for entity in list(space):
        entity.dxf.layer = "OLD SHAPE"
    with pytest.raises(Refusal, match=r"but on hidden layers \('OLD SHAPE'\)"):
        open_plate(data(made))


def test_what_lies_in_paper_space_only_is_said() -> None:
    made, _ = drawing()
    rounded(made.paperspace())
    with pytest.raises(Refusal, match="9 shapes on the page 'Layout1'"):
        open_plate(data(made))


@pytest.mark.parametrize("gap", [0.0, 0.0009, 0.05, 0.099, 0.11])
def test_gaps_up_to_the_tolerance_are_joined_and_noted(gap: float) -> None:
    corners = [0j, 100 + 0j, 100 + 60j, 60j]
    edges = [(a, b - gap * (b - a) / abs(b - a)) for a, b in zip(corners, corners[1:] + corners[:1], strict=True)]
    random.Random(1).shuffle(edges)
    made, space = drawing()
    for number, (a, b) in enumerate(edges):
        a, b = (b, a) if number % 2 else (a, b)
        space.add_line((a.real, a.imag), (b.real, b.imag), dxfattribs={"layer": f"L{number % 2}"})
    if gap > GAP_MM:
        with pytest.raises(Refusal, match=r"open by 0\.11 mm .* gaps up to 0\.10 mm are joined"):
            open_plate(data(made))
        return
    opened = open_plate(data(made))
    assert opened.outline.area == pytest.approx(6000.0, abs=320 * gap + 1e-6)
    assert message("ends up to {} apart were joined", mm(GAP_MM, "down")) in opened.notes


def test_several_outlines_are_named_by_size_and_place() -> None:
    made, space = drawing()
    for x, size in ((0, 50), (200, 60), (400, 40)):
        space.add_lwpolyline([(x, 0), (x + size, 0), (x + size, size), (x, size)], close=True)
    with pytest.raises(Refusal, match=r"one of 60\.0 mm x 60\.0 mm at x 200\.0 mm, y 0\.0 mm, one of 50\.0 mm"):
        open_plate(data(made))


def _bomb(made: Any, space: Any) -> None:
    made.blocks.new("B0").add_line((0, 0), (1, 0))
    for level in range(1, 8):
        block = made.blocks.new(f"B{level}")
        for x in range(20):
            block.add_blockref(f"B{level - 1}", (x, 0))
    space.add_blockref("B7", (0, 0))


def _array(made: Any, space: Any) -> None:
    made.blocks.new("ONE").add_circle((0, 0), 5)
    space.add_blockref("ONE", (0, 0), dxfattribs={"row_count": 30_000, "column_count": 30_000, "row_spacing": 1})


def _snake(made: Any, space: Any) -> None:
    made.blocks.new("SNAKE").add_blockref("SNAKE", (1, 0))
    space.add_blockref("SNAKE", (0, 0))


def _missing(made: Any, space: Any) -> None:
    space.add_blockref("ELSEWHERE", (0, 0))


def _many(made: Any, space: Any) -> None:
    for x in range(MOST_ENTITIES + 1):
        space.add_circle((x, 0), 0.4)


def _wild_spline(made: Any, space: Any) -> None:
    space.add_spline().control_points = [(x, (x * 7919) % 977, 0) for x in range(20_000)]


@pytest.mark.parametrize(
    ("draw", "why"),
    [
        (_bomb, "over 3000 shapes"),
        (_array, "over 3000 shapes"),
        (_snake, "blocks over 8 deep"),
        (_missing, "block 'ELSEWHERE' that is not in it"),
        (_many, "over 3000 shapes"),
        (_wild_spline, "curves of over 5000 short lines|is a damaged DXF"),
    ],
)
@pytest.mark.quiet
def test_what_would_take_long_is_refused_at_once_with_its_limit(draw: Callable[[Any, Any], None], why: str) -> None:
    made, space = drawing()
    draw(made, space)
    written = data(made)
    begun = time.process_time()
    with pytest.raises(Refusal, match=why):
        open_plate(written)
    assert time.process_time() - begun < 2.0


def test_a_block_scaled_to_nothing_is_refused() -> None:
    """The library writes 1 for a scale of 0, and reads it so: the file is made by hand."""
    made, space = drawing()
    rounded(made.blocks.new("FLAT"))
    space.add_blockref("FLAT", (0, 0), dxfattribs={"xscale": 7.25})
    written = data(made).replace(b"\n7.25\n", b"\n0.0\n")
    with pytest.raises(Refusal, match="a block that is scaled to nothing"):
        open_plate(written)


def test_a_long_file_is_refused_at_once_with_its_limit() -> None:
    long = BY_HAND.replace("0\nSEQEND", "0\nVERTEX\n8\n0\n10\n5\n20\n6\n" * (MOST_LINES // 8) + "0\nSEQEND")
    begun = time.process_time()
    with pytest.raises(Refusal, match="over 400,000 lines of DXF"):
        open_plate(long.encode())
    assert time.process_time() - begun < 2.0


def test_a_smoothed_polyline_is_its_curve_and_not_its_frame() -> None:
    made, space = drawing(version="R12")
    line = space.add_polyline2d([(0, 0), (60, 0), (60, 60), (0, 60)], close=True)
    line.append_vertices([(500, 500), (600, 500)], dxfattribs={"flags": 16})
    assert open_plate(data(made)).outline.area == pytest.approx(3600.0)


@pytest.mark.quiet
def test_thousands_of_loose_edges_are_joined_in_no_time() -> None:
    made, space = drawing()
    ring = [(100 * math.cos(t), 100 * math.sin(t)) for t in (i * math.tau / 2900 for i in range(2900))]
    pairs = list(zip(ring, ring[1:] + ring[:1], strict=True))
    random.Random(5).shuffle(pairs)
    for a, b in pairs:
        space.add_line(a, b)
    written = data(made)
    begun = time.process_time()
    assert open_plate(written).outline.area == pytest.approx(math.pi * 1e4, rel=1e-5)
    assert time.process_time() - begun < 3.0


def test_ezdxf_is_the_reader_that_swallows_carriage_returns() -> None:
    """Why line ends are settled first: the library's own reader finds nothing in such a file, and says nothing."""
    made, space = drawing()
    rounded(space)
    assert len(ezdxf.read(io.StringIO(data(made).decode().replace("\n", "\r\n"))).modelspace()) == 0


@pytest.mark.parametrize(
    ("job", "role"),
    [("quarry-screen-corner", "closing"), ("forwarder-split-mount", "tab"), ("forestry-bolted-channel", "shim")],
)
def test_the_jobs_own_plate_without_a_pin_is_known(job: str, role: str) -> None:
    """It was told that it has no hole for the pin, as if the drawing's unit were wrong."""
    from plategen.cut.table.cutting import plate_dxf
    from plategen.revision.trim import trim
    from tests.support.every_example import work_of

    work = work_of(job)
    plate = next(p for p in work.cut_plates if p.pin_hole is None and role in p.name)
    opened = open_plate(plate_dxf(plate, work.job.units, work.bracket.welds).encode())
    with pytest.raises(Refusal, match=rf"is the job's own {in_words(plate.name)}\b.*, which holds no pin"):
        trim(work, opened)
