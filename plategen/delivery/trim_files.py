"""The files of a trim: the page, and when the plate can serve the DXF of what stays, and the paper of the trim line."""

from dataclasses import replace

from plategen.bracket.model import Mark, Plate
from plategen.cut.table.cutting import cut_file_name, plate_dxf
from plategen.delivery.render import dxf_stamped, html_stamped
from plategen.flat.loop import Loop
from plategen.revision.trim import Trimmed
from plategen.revision.trim_place import plate_as_it_is
from plategen.tell.revision_page import trim_page
from plategen.work import Work


def trim_files(work: Work, answer: Trimmed, stem: str, lines: list[str], paper: str) -> dict[str, bytes]:
    """The page; and, when the plate can serve, the DXF of what stays with the trim line scribed, and its paper.

    The paper shows the plate as it is with the trim line across it, to be laid on the steel.
    """
    from plategen.paper.template import template_pdf

    name = "".join(c if c.isalnum() or c in "-_" else "_" for c in stem)[:60] or "plate"
    words = work.stamp.words if work.stamp else ""
    page = trim_page(f"{stem}: trim", answer, [*lines, *([words] if words else [])])
    files = {f"{name}_trim.html": html_stamped(page, words).encode()}
    if answer.verdict == "cut new":
        return files
    marks = tuple(Mark(name="trim line", path=cut) for cut in answer.cuts)
    stays = _drawn(answer, f"{name}_trim", answer.after, ())
    cutting = work.job.cutting
    stopped = answer.must_stop
    dxf = plate_dxf(stays, work.job.units, version=cutting.dxf, entities=cutting.entities, stopped=stopped)
    files[cut_file_name(work.job, f"{name}_trim")] = dxf_stamped(dxf, f"{name}_trim: {words}").encode("ascii")
    as_it_is = _drawn(answer, f"{name}_trim", answer.before, marks)
    bracket = replace(work.bracket, plates=(as_it_is,), welds=(), wall=None, packing=())
    judged = replace(work, bracket=bracket, findings=answer.work.findings, rod_end=None, loose=())
    files[f"{name}_trim.pdf"] = template_pdf(judged, paper)
    return files


def _drawn(answer: Trimmed, name: str, outline: Loop, marks: tuple[Mark, ...]) -> Plate:
    plate = plate_as_it_is(answer.place, outline, answer.hole, answer.inside)
    holes = tuple(replace(hole, made="cut") for hole in plate.holes)
    return replace(plate, name=name, holes=holes, marks=marks, count=1)
