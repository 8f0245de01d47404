"""A job of which a check says stop says so on every paper and on every plate, and never on a layer that is cut."""

import io
from dataclasses import replace
from pathlib import Path

import ezdxf
import pypdf
import pypdfium2
import pytest
import shapely

from plategen.bracket.shape_mark import shape_mark
from plategen.cut.letters import lettered
from plategen.cut.part import SCRIBE
from plategen.cut.scribe import scribed
from plategen.cut.table.cutting import cut_parts, plate_dxf
from plategen.delivery.trim_files import trim_files
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.paper.page import STOPPED
from plategen.paper.template import template_pdf, template_svg
from plategen.revision.dxf_open import open_plate
from plategen.revision.trim import trim
from plategen.work import Work
from tests.support.scribed_words import say, strokes_of

PROFILE = Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail"


def made(thickness_mm: float) -> Work:
    loaded = load_job(PROFILE)
    job = loaded.job.replaced(bracket=loaded.job.bracket.replaced(thickness_mm=thickness_mm))
    return carry_through(job, loaded.traces)


@pytest.fixture(scope="module")
def stopped() -> Work:
    return made(3.0)


def test_every_page_and_every_drawing_says_stop(stopped):
    assert stopped.stopped
    for page in pypdf.PdfReader(io.BytesIO(template_pdf(stopped))).pages:
        assert STOPPED in page.extract_text()
    for plate in stopped.cut_plates:
        assert STOPPED in template_svg(stopped, plate)


def test_the_first_page_keeps_stop_clear_of_a_long_title(stopped):
    title = "Cylinder bracket of the old potato harvester, left side, made for the second time"
    design = replace(stopped.design, job=stopped.job.replaced(title=title))
    work = replace(stopped, design=design)
    document = pypdfium2.PdfDocument(template_pdf(work))
    words = document[0].get_textpage()

    def box_of(line: str) -> tuple[float, float, float, float]:
        first, count = words.search(line).get_next()
        boxes = [words.get_charbox(i) for i in range(first, first + count)]
        return (*(min(b[k] for b in boxes) for k in (0, 1)), *(max(b[k] for b in boxes) for k in (2, 3)))

    one, other = shapely.box(*box_of(title)), shapely.box(*box_of(STOPPED))
    document.close()
    assert not one.intersects(other)


def test_the_plate_is_scribed_stop_before_its_name_and_mark(stopped):
    for name, part in cut_parts(stopped).items():
        plate = next(p for p in stopped.cut_plates if p.name == name)
        assert part.words == ("STOP", f"{name} {shape_mark(plate)}")
        plain = len(scribed(plate, stopped.bracket.welds).lines)
        assert len(part.scribe) == plain + len(lettered("STOP", 10.0))


def test_what_holds_says_nothing_of_it():
    holds = made(12.7)
    assert not holds.stopped
    assert STOPPED not in "".join(
        page.extract_text() for page in pypdf.PdfReader(io.BytesIO(template_pdf(holds))).pages
    )
    drawn = ezdxf.read(io.StringIO(plate_dxf(holds.cut_plates[0], "in", holds.bracket.welds)))
    named = [e for e in drawn.modelspace() if e.dxf.layer == SCRIBE]
    assert len(named) == len(scribed(holds.cut_plates[0], holds.bracket.welds).lines)


def test_the_file_of_a_plate_trimmed_for_a_job_that_must_not_be_built_says_stop(stopped):
    plate = stopped.bracket.plates[0]
    drawn = plate_dxf(plate, "in", stopped.bracket.welds)
    answer = trim(stopped, open_plate(drawn.encode(), 25.4))
    assert answer.must_stop
    files = trim_files(stopped, answer, "old", [], "letter")
    assert say(strokes_of(files["old_trim.dxf"].decode("ascii"), 25.4), "STOP")
    assert STOPPED in pypdf.PdfReader(io.BytesIO(files["old_trim.pdf"])).pages[0].extract_text()
