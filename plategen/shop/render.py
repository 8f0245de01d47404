"""The files of a job as bytes, each proved before it is handed out and stamped with its revision."""

import json
from collections.abc import Callable, Iterator

from plategen.refusal import Refusal
from plategen.shop.cut_check import check_cut, confirm_dxf
from plategen.shop.cut_part import CutPart, cut_part
from plategen.shop.dxf import dxf_name, dxf_text
from plategen.shop.scribe import scribed
from plategen.shop.stamp import dxf_stamped, header_time, html_stamped, step_stamped
from plategen.shop.work import Work

Maker = Callable[[], bytes]

BETWEEN_MM = 10.0
"""Room left between plates laid out in one file: two kerfs and the sheet's own web."""


def render(work: Work, paper: str, solid: bool) -> Iterator[tuple[str, Maker]]:
    """Name and maker of each file, in the order in which they are listed for people.

    Args:
        work: The finished job, with its stamp.
        paper: Paper of the template.
        solid: With the STEP file, whose maker raises SolidUnavailable when the solid kernel cannot load.
    """
    parts = {plate.name: cut_part(plate, scribed(plate, work.bracket.welds)) for plate in work.bracket.plates}
    for name, part in parts.items():
        yield dxf_name(name, work.job.units), lambda part=part: _dxf(work, (part,))  # type: ignore[misc]
    copies = [parts[plate.name] for plate in work.bracket.plates for _ in range(plate.count)]
    yield dxf_name("plates", work.job.units), lambda: _dxf(work, side_by_side(copies))
    if solid:
        yield "bracket.step", lambda: _step(work)
    yield "template.pdf", lambda: _paper(work, paper)
    yield "sheet.html", lambda: _sheet(work)
    yield "report.json", lambda: _report(work)


def side_by_side(parts: list[CutPart]) -> tuple[CutPart, ...]:
    """Parts in a row, left to right, on one base line."""
    laid, left = [], 0.0
    for part in parts:
        low_u, low_v, high_u, _ = part.bounds
        laid.append(part.moved(shift=complex(left - low_u, -low_v)))
        left += high_u - low_u + BETWEEN_MM
    return tuple(laid)


def _dxf(work: Work, parts: tuple[CutPart, ...]) -> bytes:
    for part in parts:
        check_cut(part)
    text = dxf_stamped(dxf_text(parts, work.job.units), _words(work, parts[0].name if len(parts) == 1 else "plates"))
    confirm_dxf(text, parts, work.job.units)
    return text.encode("ascii")


def _step(work: Work) -> bytes:
    from plategen.shop.solid_bodies import job_bodies
    from plategen.shop.step import NO_TIME, step_bytes

    data = step_bytes(work.job.title, job_bodies(work), time=header_time(NO_TIME))
    return _whole(step_stamped(data, _words(work)), b"ISO-10303-21;", b"END-ISO-10303-21;", "bracket.step")


def _paper(work: Work, paper: str) -> bytes:
    from plategen.shop.paper import template_pdf

    return _whole(template_pdf(work, paper), b"%PDF-", b"%%EOF", "template.pdf")


def _sheet(work: Work) -> bytes:
    from plategen.shop.sheet import sheet_html

    data = html_stamped(sheet_html(work), _words(work)).encode()
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

