"""What is scribed on every plate of every example: STOP where a check says no, and the mark that ties it to paper."""

import io
import re
from dataclasses import replace
from itertools import pairwise

import pypdf
import pytest
import shapely

from plategen.bracket.shape_mark import shape_mark
from plategen.checks.finding import Check, part
from plategen.cut.proof import proved_dxf
from plategen.cut.scribe import CROSSED, STOP, scribed, weld_ticks
from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.ground.show import Show
from plategen.tell.sheet.cut_table import cut_words
from plategen.tell.sheet.sheet import sheet_html
from plategen.work import Work
from tests.support.cut_examples import rectangle
from tests.support.delivered import delivered
from tests.support.every_example import EXAMPLES, work_of
from tests.support.example_work import example_work
from tests.support.scribed_words import say, strokes_of

FAILING = Check("pin shear", "pin", "N").strength(part("pin"), 2.0, 1.0)
MM_PER_UNIT = {"in": 25.4, "mm": 1.0}


def stopped(work: Work) -> Work:
    """The same job with a check that says no."""
    return replace(work, findings=(FAILING,), rod_end=work.rod_end and replace(work.rod_end, halted=True))


def going(work: Work) -> Work:
    """The same job without a check."""
    seat = work.rod_end
    return replace(work, findings=(), rod_end=seat and replace(seat, findings=(), halted=False))


def strokes_by_plate(work: Work) -> dict:
    """What each plate's cutting file scribes."""
    units = work.job.units
    return {name: strokes_of(proved_dxf((cut,), units), MM_PER_UNIT[units]) for name, cut in cut_parts(work).items()}


@pytest.mark.parametrize("name", EXAMPLES)
def test_stop_is_in_every_cutting_file_of_a_job_that_must_not_be_built_and_in_no_other(name):
    work = work_of(name)
    words = {plate: cut.words for plate, cut in cut_parts(stopped(work)).items()}
    for plate, strokes in strokes_by_plate(stopped(work)).items():
        assert say(strokes, STOP), plate
        assert words[plate][0] == STOP
    for plate, strokes in strokes_by_plate(going(work)).items():
        assert not say(strokes, STOP), f"{plate}: not as a part of a name either, as of a pad for a stop"


@pytest.mark.parametrize("name", EXAMPLES)
def test_paper_plate_and_sheet_give_one_mark(name):
    work = work_of(name)
    files = delivered(name).files
    pages = " ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(files["template.pdf"])).pages)
    sheets = [files["sheet.html"].decode(), "" if work.rod_end is None else sheet_html(work.rod_end)]
    sheet = re.sub(r"<[^>]*>", " ", " ".join(sheets))
    scribed_on = strokes_by_plate(work)
    for plate in work.cut_plates:
        mark = shape_mark(plate)
        assert say(scribed_on[plate.name], mark), plate.name
        assert f"mark {mark}" in pages
        assert f"mark {mark}" in files[f"{plate.name}.svg"].decode()
        assert re.search(rf"\b{mark}\b", sheet)


@pytest.mark.parametrize("name", EXAMPLES)
@pytest.mark.parametrize("stop", [False, True])
def test_no_stroke_leaves_the_steel_or_runs_over_a_hole_or_an_opening(name, stop):
    work = work_of(name)
    for plate in work.cut_plates:
        steel = shapely.Polygon([p for s in plate.outline for p in _points(s)])
        for hole in plate.holes:
            c = hole.circle
            steel = steel.difference(shapely.Point(c.centre.real, c.centre.imag).buffer(c.radius, quad_segs=64))
        for opening in plate.openings:
            steel = steel.difference(shapely.Polygon([p for s in opening for p in _points(s)]))
        scribing = scribed(plate, work.bracket.welds, stopped=stop)
        words = scribing.lines[len(plate.marks) + len(weld_ticks(plate, work.bracket.welds)) :]
        assert words or not scribing.words
        for segment in (segment for chain in scribing.lines for segment in chain):
            for a, b in pairwise(_points(segment)):
                assert steel.contains(shapely.LineString([a, b])), (plate.name, a, b)


def _points(segment) -> list[tuple[float, float]]:
    return [(p.real, p.imag) for p in (segment.point(k / 64) for k in range(65))]


@pytest.mark.parametrize(
    ("wide_mm", "high_mm", "says"),
    [(100.0, 60.0, STOP), (22.0, 10.0, STOP), (16.0, 6.5, STOP), (8.0, 6.0, CROSSED), (60.0, 3.0, CROSSED)],
)
def test_stop_is_smaller_where_it_must_be_and_at_last_two_crossing_strokes(wide_mm, high_mm, says):
    work = example_work()
    plate = replace(
        work.bracket.plates[0], outline=rectangle(wide_mm, high_mm), holes=(), notch=None, fit=None, marks=()
    )
    work = replace(work, bracket=replace(work.bracket, plates=(plate,), welds=()))
    scribing = scribed(plate, stopped=True)
    assert scribing.words[0] == says
    for chain in scribing.lines:
        for segment in chain:
            for p in (segment.start, segment.end):
                assert 0.0 < p.real < wide_mm
                assert 0.0 < p.imag < high_mm
    if says == CROSSED:
        one, other = (
            shapely.LineString([(s.start.real, s.start.imag), (s.end.real, s.end.imag)]) for (s,) in scribing.lines
        )
        assert one.crosses(other)
    held = stopped(work)
    parts = cut_parts(held)
    told = " ".join(cut_words(cut_notes(held, parts, laid_out(held, parts)), Show("in")))
    assert (f"No room to scribe STOP on ear near: {CROSSED} stand for it." in told) == (says == CROSSED)
