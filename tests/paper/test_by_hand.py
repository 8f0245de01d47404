"""The band for a torch led by hand, against shapely, and the outline for a plotter, against the plate itself."""

import re
from dataclasses import replace

import msgspec
import pytest
import shapely

from plategen.checks.finding import Check, part
from plategen.delivery.deliver import first_files
from plategen.flat.loop import Contour
from plategen.flat.segment import Segment
from plategen.ground.refusal import Refusal
from plategen.job.inputs import fingerprint
from plategen.job.paper import Paper
from plategen.job.parse import parse_table
from plategen.make import carry_through
from plategen.paper.ink import Words
from plategen.paper.outline import outline_svg
from plategen.paper.plate_ink import ink_of, torch_band
from plategen.paper.plate_label import SAW, TORCH
from plategen.paper.template import laid_tiles, template_svg
from plategen.work import Work
from tests.support.every_example import loaded_of, work_of

WIDE_MM = 3.175
NAMES = ("sprayer-kicked-rail", "quarry-screen-corner", "forwarder-split-mount", "quarry-clamped-seat")


def by_hand(name: str, **table: object) -> Work:
    loaded = loaded_of(name)
    return carry_through(loaded.job.replaced(paper=parse_table(Paper, table, "in")), loaded.traces)


def points_of(edge: Segment) -> list[complex]:
    return [edge.point(k / 64) for k in range(65)]


def region(contour: Contour) -> shapely.Polygon:
    """The inside of a contour, by 64 chords an arc."""
    points = [s.point(k / 64) for s in contour.segments for k in range(64)]
    return shapely.Polygon([(p.real, p.imag) for p in points])


@pytest.mark.parametrize("name", NAMES)
def test_the_band_lies_outside_every_edge_and_covers_what_the_torch_takes(name: str) -> None:
    for plate in work_of(name).cut_plates:
        steel = region(plate.outline).difference(shapely.union_all([region(o) for o in plate.openings]))
        bands = [
            shapely.LineString([(p.real, p.imag) for edge in band.shape.segments for p in points_of(edge)])
            for band in torch_band(plate, WIDE_MM)
        ]
        assert bands
        inked = shapely.union_all([band.buffer(WIDE_MM / 2, quad_segs=64) for band in bands])
        assert inked.intersection(steel).area < 2e-3 * inked.area  # nothing of the plate but the chords' own error
        beside = region(plate.outline).buffer(WIDE_MM, quad_segs=64).difference(region(plate.outline))
        missed = beside.difference(inked)
        # an inner corner keeps what a round band cannot reach: less than the square on the band's width, a corner
        assert missed.area < 0.01 * beside.area + 0.3 * WIDE_MM**2 * len(plate.outline)


def test_paper_and_its_svg_show_the_band_and_say_what_it_is_for() -> None:
    work = by_hand("sprayer-kicked-rail", torch_line="1/8")
    plate = work.cut_plates[0]
    svg = template_svg(work, plate)
    assert svg.count(f'stroke-width="{WIDE_MM:g}"') == 1
    for words in TORCH:
        assert words in svg
    tiles = laid_tiles(plate, "letter", WIDE_MM)
    ink = ink_of(work, plate, tiles.windows)
    assert [word.text for word in ink if isinstance(word, Words) and word.text in TORCH] == list(TORCH)
    u0, v0, *_ = plate.outline.bounds
    lowest = min(tile.corner.real for tile in tiles.tiles), min(tile.corner.imag for tile in tiles.tiles)
    assert lowest[0] <= u0 - WIDE_MM
    assert lowest[1] <= v0 - WIDE_MM
    plain = work_of("sprayer-kicked-rail")
    assert TORCH[0] not in template_svg(plain, plain.cut_plates[0])


def test_a_line_that_no_torch_needs_is_refused() -> None:
    with pytest.raises(Refusal, match="wider than any torch cuts"):
        parse_table(Paper, {"torch_line": 1}, "in")


def test_what_the_paper_shows_besides_is_no_revision() -> None:
    work, plain = by_hand("sprayer-kicked-rail", torch_line="1/8", outline=True), loaded_of("sprayer-kicked-rail")
    assert fingerprint(work.job, work.traces) == fingerprint(plain.job, plain.traces)


def test_an_outline_is_the_plate_at_true_size_and_no_other_line() -> None:
    work = by_hand("sprayer-kicked-rail", outline=True)
    plate = work.cut_plates[0]
    svg = outline_svg(work, plate)
    u0, v0, u1, v1 = plate.outline.bounds
    width, height = (float(re.search(rf'{name}="([\d.]+)mm"', svg)[1]) for name in ("width", "height"))  # type: ignore[index]
    assert (width, height) == (pytest.approx(u1 - u0, abs=1e-5), pytest.approx(v1 - v0, abs=1e-5))
    box = [float(x) for x in re.search(r'viewBox="([^"]+)"', svg)[1].split()]  # type: ignore[index]
    assert box[2:] == pytest.approx([width, height])  # a unit is a millimetre
    assert svg.count("<path") == 1 + len(plate.openings) + len(plate.holes)
    assert "<text" not in svg


def test_the_outline_of_a_job_that_must_not_be_built_says_stop() -> None:
    work = by_hand("sprayer-kicked-rail", outline=True)
    failing = Check("pin shear", "pin", "N").strength(part("pin"), 2.0, 1.0)
    assert ">STOP</text>" in outline_svg(replace(work, findings=(failing,)), work.cut_plates[0])


def test_outlines_are_delivered_where_the_job_asks() -> None:
    work = by_hand("quarry-straight-rail", outline=True)
    names = set(first_files(work, solid=False).files)
    assert {"ear_near_outline.svg", "ear_far_outline.svg"} <= names
    assert not any("outline" in name for name in first_files(work_of("quarry-straight-rail"), solid=False).files)


def test_the_paper_of_a_hand_torch_has_its_line_without_being_asked_and_a_saw_its_corners() -> None:
    loaded = loaded_of("sprayer-kicked-rail")
    said = {}
    for process in ("hand torch", "saw and drill"):
        cutting = msgspec.structs.replace(loaded.job.cutting, process=process)
        work = carry_through(loaded.job.replaced(cutting=cutting), loaded.traces)
        svg = template_svg(work, work.cut_plates[0])
        said[process] = [words for words in (*TORCH, *SAW, "punch and drill") if words in svg]
        if process == "saw and drill":
            assert "drill the ringed corners first, 5/16 in (0.312) dia.," in svg
    assert said == {"hand torch": [*TORCH, "punch and drill"], "saw and drill": [*SAW, "punch and drill"]}
