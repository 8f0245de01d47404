"""The bytes of each delivered file of a job; what several of them show is computed once.

What computes is imported where it does: the solid kernel's own process makes a few of the files, and loads no more.
"""

import os
import re
from collections.abc import Sequence
from datetime import UTC, datetime
from functools import cached_property
from typing import TYPE_CHECKING

import msgspec

from plategen.bracket.model import Plate
from plategen.delivery.solid_process import CLEARANCES, ROD_END_CLEARANCES, SolidProcess
from plategen.ground.show import Show
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.cause import Cause
    from plategen.cut.part import CutPart
    from plategen.cut.table.cutting import Sheets
    from plategen.cut.table.notes import CutNotes
    from plategen.solid.clearance import Clearance
    from plategen.solid.kernel import Body
    from plategen.steering.study import SteeringStudy
    from plategen.tell.report.job import JobReport


class Source:
    """What the files of one job are made from; each part is computed when it is first asked for.

    Args:
        work: The finished job, with its stamp.
        paper: Paper of the template.
        solid: Whether the solid kernel may be asked: for the files that it makes and the clearances that it measures.
        beside: The process where it is asked, if it has one of its own.

    Attributes:
        made: The files made so far, by name; the record of a delivery holds a sum of each.

    Raises:
        Refusal: From its properties: a plate cannot be cut as meant, or is larger than the sheet.
    """

    def __init__(self, work: Work, paper: str, *, solid: bool, beside: SolidProcess | None = None) -> None:
        self.work, self.paper, self.solid, self.beside = work, paper, solid, beside
        self.made: dict[str, bytes] = {}

    @cached_property
    def parts(self) -> "dict[str, CutPart]":
        """Every plate as the table cuts it, by its name."""
        from plategen.cut.table.cutting import cut_parts

        return cut_parts(self.work)

    @cached_property
    def sheets(self) -> "tuple[Sheets, ...]":
        """The plates laid out, those of one thickness and steel together."""
        from plategen.cut.table.cutting import laid_out

        return laid_out(self.work, self.parts)

    @cached_property
    def notes(self) -> "CutNotes":
        """What to tell about the cutting."""
        from plategen.cut.table.notes import cut_notes

        return cut_notes(self.work, self.parts, self.sheets)

    @cached_property
    def report(self) -> "JobReport":
        """Every number of the job, but for what is cut and the room between solids."""
        from plategen.tell.report.job import job_report

        return job_report(self.work, self.causes)

    @cached_property
    def causes(self) -> "tuple[Cause, ...]":
        """What its stops have in common, for which some brackets are built."""
        from plategen.cause import causes

        return causes(self.work)

    @cached_property
    def clearances(self) -> "tuple[Clearance, ...]":
        """Room between the parts; none without the solid kernel, which is said beside the STEP file."""
        return self._measured(CLEARANCES, self.work)

    @cached_property
    def rod_end_clearances(self) -> "tuple[Clearance, ...]":
        """The same of the seat at the rod's end; none without one."""
        return () if self.work.rod_end is None else self._measured(ROD_END_CLEARANCES, self.work.rod_end)

    def _measured(self, name: str, work: Work) -> "tuple[Clearance, ...]":
        if not self.solid:
            return ()
        if self.beside is not None and (measured := self.beside.answer(name)) is not None:
            return tuple(measured)
        from plategen.solid.clearance import job_clearances, swing_clearances
        from plategen.solid.kernel import SolidUnavailable

        try:
            return (*job_clearances(work), *swing_clearances(work))
        except SolidUnavailable:
            return ()


def drawing(work: Work, name: str, parts: "Sequence[CutPart]") -> bytes:
    """Parts as they lie, full size, as DXF."""
    from plategen.cut.proof import proved_dxf

    text = proved_dxf(parts, work.job.units, work.job.cutting.dxf, work.job.cutting.entities)
    unit = "inches" if work.job.units == "in" else "millimetres"  # R12 has no other place for it
    return dxf_stamped(text, f"{_stamp_words(work, name)}; lengths in {unit}").encode("ascii")


def bracket_step(work: Work) -> bytes:
    """Plates, what they stand on, cylinder and pin as solids.

    Raises:
        SolidUnavailable: The solid kernel cannot load.
    """
    from plategen.solid.bodies import job_bodies

    return _step(work, work.job.title, job_bodies(work))


def linkage_step(source: Source, study: "SteeringStudy") -> bytes:
    """The steering straight ahead and at both locks, as solids.

    Raises:
        SolidUnavailable: The solid kernel cannot load.
    """
    from plategen.solid.linkage import linkage_bodies
    from plategen.steering.skeleton import skeleton

    about = "A steering linkage at both locks, vehicle frame of ISO 8855, in mm"
    return _step(source.work, f"{source.work.job.title}: steering", linkage_bodies(skeleton(study)), about)


def bracket_mesh(source: Source) -> bytes:
    """The same solids as flat facets, in the format that the job names.

    Raises:
        SolidUnavailable: The solid kernel cannot load.
    """
    from plategen.solid import mesh
    from plategen.solid.bodies import job_bodies
    from plategen.solid.mesh import mesh_of

    work = source.work
    write = {"stl": mesh.stl_bytes, "3mf": mesh.three_mf_bytes, "glb": mesh.glb_bytes}
    meshes = [mesh_of(body) for body in job_bodies(work)]
    return write[work.job.solid.mesh](meshes, _stamp_words(work, work.job.title))


def template_paper(source: Source) -> bytes:
    """True-scale paper, tiled."""
    from plategen.paper.template import template_pdf

    return template_pdf(source.work, source.paper)


def plate_svg(source: Source, plate: Plate) -> bytes:
    """True-scale paper of one plate on one sheet."""
    from plategen.paper.template import template_svg

    return template_svg(source.work.of(plate), plate).encode()


def plate_outline(source: Source, plate: Plate) -> bytes:
    """Edge and holes of one plate alone, true scale."""
    from plategen.paper.outline import outline_svg

    return outline_svg(source.work.of(plate), plate).encode()


def shop_sheet(source: Source) -> bytes:
    """The shop sheet, one offline page."""
    from plategen.tell.picture.sheet_layout import nest_pictures
    from plategen.tell.sheet.sheet import sheet_html

    work = source.work
    html = sheet_html(
        work,
        report=source.report,
        found=source.causes,
        cutting=source.notes,
        clearances=lambda: source.clearances,
        nest_svg=nest_pictures(source.sheets, Show(work.job.units)),
    )
    return html_stamped(html, _stamp_words(work)).encode()


def rod_end_sheet(source: Source, seat: Work) -> bytes:
    """The shop sheet of the seat at the rod's end, as a page of its own; what the whole job has stands in the other."""
    from plategen.tell.sheet.sheet import sheet_html

    report = source.report.rod_end or None
    html = sheet_html(seat, report=report, found=(), clearances=lambda: source.rod_end_clearances)
    return html_stamped(html, _stamp_words(seat)).encode()


def parts_list(source: Source) -> bytes:
    """Plates, bolts and pin as comma-separated values."""
    from plategen.tell.sheet.hand_over import parts_csv

    return parts_csv(source.work, source.report, source.notes).encode()


def note_to_the_cutter(source: Source) -> bytes:
    """What the shop that cuts the plates must know."""
    from plategen.tell.sheet.hand_over import cut_note

    return cut_note(source.work, source.report, source.notes).encode()


def job_report(source: Source) -> bytes:
    """Every number, for other programs."""
    from plategen.tell.report.cutting import cutting_report
    from plategen.tell.report.encode import json_text, mirrored
    from plategen.tell.report.job import ClearanceReport

    clearances = tuple(mirrored(ClearanceReport, c, part=c.one) for c in source.clearances)
    cutting = cutting_report(source.notes, Show(source.work.job.units))
    report = msgspec.structs.replace(source.report, cutting=cutting, clearances=clearances)
    return f"{json_text(report)}\n".encode()


def _step(work: Work, title: str, bodies: "Sequence[Body]", *about: str) -> bytes:
    from plategen.solid.step import NO_TIME, in_order, step_bytes

    data = in_order(step_bytes(title, bodies, work.job.solid.schema, header_time(NO_TIME), *about))
    return step_stamped(data, _stamp_words(work))


def _stamp_words(work: Work, name: str = "") -> str:
    """The stamp's words, after a name if there is one."""
    return ": ".join(words for words in (name, work.stamp.words if work.stamp else "") if words)


def header_time(otherwise: str) -> str:
    """The time, ISO 8601 UTC, for a format that demands one: ``SOURCE_DATE_EPOCH`` if it is set, else a fixed one.

    Never the clock's: the same job gives the same bytes.
    """
    seconds = os.environ.get("SOURCE_DATE_EPOCH", "")
    if not seconds.isascii() or not seconds.isdigit() or len(seconds) > 11:
        return otherwise
    return datetime.fromtimestamp(int(seconds), UTC).strftime("%Y-%m-%dT%H:%M:%S")


def dxf_stamped(text: str, words: str) -> str:
    """A DXF file with a comment (group code 999) at its head; readers pass over it."""
    return f"999\n{words.encode('ascii', 'replace').decode()}\n{text}"


def dxf_unstamped(data: bytes) -> bytes:
    """What a DXF file draws, without the stamp at its head."""
    return data.split(b"\n", 2)[2] if data.startswith(b"999\n") else data


def step_stamped(step: bytes, words: str) -> bytes:
    """A STEP file with a line of its description (ISO 10303-21, FILE_DESCRIPTION is a list) saying the same."""
    return re.sub(rb"(FILE_DESCRIPTION\s*\(\s*\(\s*)'", rb"\1'" + words.encode("ascii") + rb"','", step, count=1)


def html_stamped(html: str, words: str) -> str:
    """A page with the same in its head."""
    return re.sub(r"(<head[^>]*>)", rf'\1\n<meta name="revision" content="{words}">', html, count=1)
