"""The files of a job as bytes, each proved before it is handed out and stamped with its revision."""

import json
from collections.abc import Callable, Iterator
from functools import partial

from plategen.bracket.model import Plate
from plategen.refusal import Refusal
from plategen.shop.dxf import dxf_name
from plategen.shop.dxf_files import plate_dxf, plates_dxf
from plategen.shop.fit_note_html import fit_note_html
from plategen.shop.stamp import dxf_stamped, header_time, html_stamped, step_stamped
from plategen.shop.work import Work

Maker = Callable[[], bytes]


def render(work: Work, paper: str, solid: bool) -> Iterator[tuple[str, Maker]]:
    """Name and maker of each file, in the order in which they are listed for people.

    Args:
        work: The finished job, with its stamp.
        paper: Paper of the template.
        solid: With the STEP file, whose maker raises SolidUnavailable when the solid kernel cannot load.
    """
    for plate in work.bracket.plates:
        yield dxf_name(plate.name, work.job.units), partial(_plate, work, plate)
    yield dxf_name("plates", work.job.units), lambda: _plates(work)
    if solid:
        yield "bracket.step", lambda: _step(work)
    yield "template.pdf", lambda: _paper(work, paper)
    yield "sheet.html", lambda: _sheet(work)
    yield "report.json", lambda: _report(work)


def _plate(work: Work, plate: Plate) -> bytes:
    text = plate_dxf(plate, work.job.units, work.bracket.welds)
    return dxf_stamped(text, _words(work, plate.name)).encode("ascii")


def _plates(work: Work) -> bytes:
    text = plates_dxf(work.bracket.plates, work.job.units, work.bracket.welds)
    return dxf_stamped(text, _words(work, "plates")).encode("ascii")


def _step(work: Work) -> bytes:
    from plategen.shop.solid_bodies import job_bodies
    from plategen.shop.step import NO_TIME, step_bytes
    from plategen.shop.step_order import in_order

    data = in_order(step_bytes(work.job.title, job_bodies(work), time=header_time(NO_TIME)))
    return _whole(step_stamped(data, _words(work)), b"ISO-10303-21;", b"END-ISO-10303-21;", "bracket.step")


def _paper(work: Work, paper: str) -> bytes:
    from plategen.shop.paper import template_pdf

    return _whole(template_pdf(work, paper), b"%PDF-", b"%%EOF", "template.pdf")


def _sheet(work: Work) -> bytes:
    from plategen.shop.sheet import sheet_html

    data = html_stamped(sheet_html(work, revision_html=fit_note_html(work)), _words(work)).encode()
    return _whole(data, b"<!", b"</html>", "sheet.html")


def _report(work: Work) -> bytes:
    from plategen.shop.report import report

    told = report(work)
    if work.stamp is not None:
        told = {**told, "revision": {"letter": work.stamp.letter, "fingerprint": work.stamp.fingerprint}}
    return (json.dumps(told, indent=1, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _words(work: Work, name: str = "") -> str:
    """The stamp's words, after a plate's name if there is one."""
    return ": ".join(words for words in (name, work.stamp.words if work.stamp else "") if words)


def _whole(data: bytes, begins: bytes, ends: bytes, name: str) -> bytes:
    """The file, unless it is cut short."""
    if not data.lstrip().startswith(begins) or not data.rstrip().endswith(ends):
        raise Refusal(f"{name} came out incomplete; this is an error of the program")
    return data
