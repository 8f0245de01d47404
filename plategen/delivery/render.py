"""The files of a job as bytes, each proved before it is handed out and stamped with its revision."""

import json
from collections.abc import Callable, Iterator, Sequence
from functools import cache, partial
from typing import TYPE_CHECKING

from plategen.bracket.model import Plate
from plategen.cut.part import CutPart
from plategen.cut.table.cutting import Sheets, cut_file_name, cut_parts, laid_out, on_one_drawing, single_sheets
from plategen.cut.table.dxf_files import parts_dxf
from plategen.cut.table.notes import CutNotes, cut_notes
from plategen.delivery.stamp import dxf_stamped, header_time, html_stamped, step_stamped
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.tell.sheet.fit_note_html import fit_note_html
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.solid.clearance import Clearance
    from plategen.steering.study import SteeringStudy

Maker = Callable[[], bytes]
"""Makes one file."""


def render(work: Work, paper: str, solid: bool) -> Iterator[tuple[str, Maker]]:
    """Name and maker of each file, in the order in which they are listed for people.

    Args:
        work: The finished job, with its stamp.
        paper: Paper of the template.
        solid: With the STEP file, whose maker raises SolidUnavailable when the solid kernel cannot load.
    """
    parts = cut_parts(work)
    groups = laid_out(work, parts)
    notes = cut_notes(work, parts, groups)

    @cache
    def room() -> "tuple[Clearance, ...]":
        return _clearances(work) if solid else ()

    for name, part in parts.items():
        yield cut_file_name(work.job, name), partial(_dxf, work, name, (part,))
    yield cut_file_name(work.job, "plates"), lambda: _dxf(work, "plates", on_one_drawing(groups))
    for name, group, number in single_sheets(groups):
        yield cut_file_name(work.job, name), partial(_dxf, work, name, group.placed(number))
    if solid:
        yield "bracket.step", lambda: _step(work)
        if work.job.solid.mesh != "none":
            yield f"bracket.{work.job.solid.mesh}", lambda: _mesh(work)
        if (study := work.steering) is not None and study.sweep is not None:
            yield "steering.step", partial(_linkage, work, study)
    yield "template.pdf", lambda: _paper(work, paper)
    for plate in work.cut_plates:
        yield f"{plate.name}.svg", partial(_true_svg, work, plate)
    yield "sheet.html", lambda: _sheet(work, groups, notes, room())
    yield "report.json", lambda: _report(work, notes, room())


def _dxf(work: Work, name: str, parts: Sequence[CutPart]) -> bytes:
    text = parts_dxf(parts, work.job.units, work.job.cutting.dxf, work.job.cutting.entities)
    unit = "inches" if work.job.units == "in" else "millimetres"  # R12 has no other place for it
    return dxf_stamped(text, f"{_words(work, name)}; lengths in {unit}").encode("ascii")


def _step(work: Work) -> bytes:
    from plategen.solid.bodies import job_bodies
    from plategen.solid.step import NO_TIME, step_bytes
    from plategen.solid.step_order import in_order

    data = in_order(step_bytes(work.job.title, job_bodies(work), work.job.solid.schema, header_time(NO_TIME)))
    return _whole(step_stamped(data, _words(work)), b"ISO-10303-21;", b"END-ISO-10303-21;", "bracket.step")


def _linkage(work: Work, study: "SteeringStudy") -> bytes:
    from plategen.solid.linkage import linkage_bodies
    from plategen.solid.step import NO_TIME, step_bytes
    from plategen.solid.step_order import in_order
    from plategen.steering.skeleton import skeleton

    title, about = f"{work.job.title}: steering", "A steering linkage at both locks, vehicle frame of ISO 8855, in mm"
    bodies = linkage_bodies(skeleton(study))
    data = in_order(step_bytes(title, bodies, work.job.solid.schema, header_time(NO_TIME), about))
    return _whole(step_stamped(data, _words(work)), b"ISO-10303-21;", b"END-ISO-10303-21;", "steering.step")


def _mesh(work: Work) -> bytes:
    from plategen.solid import mesh_file
    from plategen.solid.bodies import job_bodies
    from plategen.solid.mesh import mesh_of

    write = {"stl": mesh_file.stl_bytes, "3mf": mesh_file.three_mf_bytes, "glb": mesh_file.glb_bytes}
    return write[work.job.solid.mesh]([mesh_of(body) for body in job_bodies(work)], _words(work, work.job.title))


def _paper(work: Work, paper: str) -> bytes:
    from plategen.paper.template import template_pdf

    return _whole(template_pdf(work, paper), b"%PDF-", b"%%EOF", "template.pdf")


def _true_svg(work: Work, plate: Plate) -> bytes:
    from plategen.paper.svg_template import template_svg

    return _whole(template_svg(work, plate).encode(), b"<?xml", b"</svg>", f"{plate.name}.svg")


def _clearances(work: Work) -> "tuple[Clearance, ...]":
    """Room between the parts; none when the solid kernel cannot load, which is said beside the STEP file."""
    from plategen.solid.clearance import job_clearances
    from plategen.solid.kernel import SolidUnavailable
    from plategen.solid.swing import swing_clearances

    try:
        return (*job_clearances(work), *swing_clearances(work))
    except SolidUnavailable:
        return ()


def _sheet(work: Work, groups: Sequence[Sheets], notes: CutNotes, room: "tuple[Clearance, ...]") -> bytes:
    from plategen.tell.picture.sheet_layout import nest_pictures
    from plategen.tell.sheet.sheet import sheet_html

    nest = nest_pictures(groups, Show(work.job.units))
    html = sheet_html(work, cutting=notes, clearances=room, nest_svg=nest, revision_html=fit_note_html(work))
    data = html_stamped(html, _words(work)).encode()
    return _whole(data, b"<!", b"</html>", "sheet.html")


def _report(work: Work, notes: CutNotes, room: "tuple[Clearance, ...]") -> bytes:
    from plategen.bracket.barrel import barrel_start_mm
    from plategen.tell.report import report
    from plategen.tell.sheet.clearance_table import clearance_report
    from plategen.tell.sheet.cut_table import cut_report

    told = {**report(work), "cutting": cut_report(notes), "clearances": clearance_report(room)}
    told["barrel_from_pin_mm"] = barrel_start_mm(work.bracket, work.job.cylinder.body_diameter_mm)
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
