"""The one list of what a delivery holds: each kind of file, its words, when there is one, and who makes it.

The delivery, the command's list, the page's downloads and the read-me's table all read :data:`DELIVERABLES`. To add a
file: its bytes in :mod:`plategen.delivery.render`, its row here, its format among :data:`FORMATS` if that is new, and
its line in the read-me, which a test asks for.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial
from typing import TYPE_CHECKING, Literal, TypeAlias

from plategen.delivery import render
from plategen.delivery.record import RECORD, record_bytes
from plategen.delivery.render import Source
from plategen.ground.refusal import Refusal
from plategen.ground.stamp import Stamp
from plategen.tell.picture.plate_features import spoken

if TYPE_CHECKING:
    from plategen.cut.part import CutPart


@dataclass(frozen=True, slots=True)
class FileFormat:
    """A file format."""

    media_type: str  # Its name among the media types that IANA registers.
    begins: bytes
    ends: bytes = b""  # Line ends aside; empty where the format has no such mark.
    legible: bool = True  # Whether the revision's words stand in it as plain text.


FORMATS = {
    "dxf": FileFormat("image/vnd.dxf", b"999\n", b"EOF"),
    "step": FileFormat("model/step", b"ISO-10303-21;", b"END-ISO-10303-21;"),
    "stl": FileFormat("model/stl", b"", legible=False),
    "3mf": FileFormat("model/3mf", b"PK", legible=False),
    "glb": FileFormat("model/gltf-binary", b"glTF"),
    "pdf": FileFormat("application/pdf", b"%PDF-", b"%%EOF"),
    "svg": FileFormat("image/svg+xml", b"<?xml", b"</svg>"),
    "html": FileFormat("text/html; charset=utf-8", b"<!", b"</html>"),
    "json": FileFormat("application/json", b"{", b"}"),
    "csv": FileFormat("text/csv; charset=utf-8", b"stop,item,"),
    "txt": FileFormat("text/plain; charset=utf-8", b"Cut note: "),
}
"""Each format by the ending of its files' names."""


def format_of(name: str) -> FileFormat:
    """The format of a file of that name; KeyError if no such file is ever delivered."""
    return FORMATS[name.rpartition(".")[2]]


def proved(name: str, data: bytes, stamp: Stamp | None) -> bytes:
    """The file as it is, once it is seen to be whole and to carry the revision.

    Raises:
        Refusal: It is cut short, or does not say which revision it belongs to.
    """
    form = format_of(name)
    if not data.lstrip().startswith(form.begins) or not data.rstrip().endswith(form.ends):
        raise Refusal(f"{name} came out incomplete: {_OURS}")
    if stamp is not None and form.legible and stamp.shown.encode() not in data:
        raise Refusal(
            f"{name} came out without its revision: do not use it; this is a fault of plategen, not of the job"
        )
    return data


_OURS = "do not use it; this is a fault of plategen, not of the job"

Kernel: TypeAlias = Literal["unused", "measures", "makes"]
"""What the solid kernel does for a file: nothing; it measures clearances that the file shows, where it can load; or it
makes the file, so that there is none without it."""


@dataclass(frozen=True, slots=True)
class Item:
    """One file of a job: its name, what it is, what makes it, and the kind of file that it is one of."""

    name: str
    words: str
    make: Callable[[], bytes]
    kind: "Deliverable"


Found: TypeAlias = Iterator[tuple[str, str, Callable[[], bytes]]]
"""Name, what it shows, and maker, of each file of a kind."""


@dataclass(frozen=True, slots=True)
class Deliverable:
    """A kind of file that a delivery may hold."""

    file: str  # Its name; ``<plate>`` and the like stand for what differs from file to file.
    words: str  # What it is; a place for what a file shows, where there is a file for each of several.
    files: Callable[[Source], Found] = field(repr=False)  # Those that a job has, if any.
    each: str = ""  # What there is a file for each of: ``"each plate"``.
    when: str = ""  # When there is one; "" for always.
    kernel: Kernel = "unused"
    on_paper: bool = False  # Whether it differs with the paper that is chosen.

    @property
    def row(self) -> tuple[str, str, str]:
        """Name, words and when, as a table of all deliverables has them."""
        return self.file, self.words.format(self.each), self.when or "always"

    def items(self, source: Source) -> Iterator[Item]:
        """The files of this kind that a job has."""
        for name, shows, make in self.files(source):
            yield Item(name, self.words.format(shows), make, self)


def items(source: Source) -> tuple[Item, ...]:
    """Every file of a job, in the order in which they are made and listed for people.

    Files that the solid kernel makes are left out where the source may not ask it.

    Raises:
        Refusal: A plate cannot be cut as meant, or is larger than the sheet.
    """
    return tuple(item for kind in DELIVERABLES if source.solid or kind.kernel != "makes" for item in kind.items(source))


def solid_items(source: Source) -> Iterator[Item]:
    """The files of those that the solid kernel makes."""
    return (item for kind in DELIVERABLES if kind.kernel == "makes" for item in kind.items(source))


def _single(name: str, make: Callable[[Source], bytes]) -> Callable[[Source], Found]:
    """The one file of a kind that every job has."""
    return lambda source: iter([(name, "", partial(make, source))])


def _plate_drawings(source: Source) -> Found:
    for plate in source.work.cut_plates:
        yield _drawing(source, plate.name, spoken(plate), (source.parts[plate.name],))


def _whole_drawing(source: Source) -> Found:
    from plategen.cut.table.cutting import on_one_drawing

    yield _drawing(source, "plates", "", on_one_drawing(source.sheets))


def _sheet_drawings(source: Source) -> Found:
    from plategen.cut.table.cutting import single_sheets

    for name, group, number in single_sheets(source.sheets):
        yield _drawing(source, name, name.replace("plates_", "sheet "), group.placed(number))


def _drawing(
    source: Source, name: str, words: str, parts: "tuple[CutPart, ...]"
) -> tuple[str, str, Callable[[], bytes]]:
    from plategen.cut.table.cutting import cut_file_name

    return cut_file_name(source.work.job, name), words, partial(render.drawing, source.work, name, parts)


def _rod_end_step(source: Source) -> Found:
    if (seat := source.work.rod_end) is not None:
        yield "rod_end.step", "", partial(render.bracket_step, seat)


def _rod_end_sheet(source: Source) -> Found:
    if (seat := source.work.rod_end) is not None:
        yield "rod_end.html", "", partial(render.rod_end_sheet, source, seat)


def _mesh(source: Source) -> Found:
    if (form := source.work.job.solid.mesh) != "none":
        yield f"bracket.{form}", "", partial(render.bracket_mesh, source)


def _linkage(source: Source) -> Found:
    if (study := source.work.steering) is not None and study.sweep is not None:
        yield "steering.step", "", partial(render.linkage_step, source, study)


def _drilling_paper(source: Source) -> Found:
    if (wall := source.work.bracket.wall) is not None:
        yield "rail_drilling.svg", "", partial(render.plate_svg, source, wall)


def _plate_papers(source: Source) -> Found:
    for plate in source.work.cut_plates:
        yield f"{plate.name}.svg", spoken(plate), partial(render.plate_svg, source, plate)


def _outlines(source: Source) -> Found:
    if source.work.job.paper.outline:
        for plate in source.work.cut_plates:
            yield f"{plate.name}_outline.svg", spoken(plate), partial(render.plate_outline, source, plate)


DELIVERABLES: tuple[Deliverable, ...] = (
    Deliverable("<plate>.dxf", "{}, full size, for the cutting table", _plate_drawings, each="each plate"),
    Deliverable("plates.dxf", "all plates laid out, sheet beside sheet", _whole_drawing),
    Deliverable(
        "plates_<n>.dxf",
        "{} alone, for a table that holds one",
        _sheet_drawings,
        each="each sheet",
        when="the plates take several sheets",
    ),
    Deliverable(
        "bracket.step",
        "plates, rail, cylinder and pin as solids: placed, named, coloured",
        _single("bracket.step", lambda source: render.bracket_step(source.work)),
        when="the solid kernel loads",
        kernel="makes",
    ),
    Deliverable(
        "rod_end.step",
        "the seat at the rod's end as solids, with its tube, cylinder and pin",
        _rod_end_step,
        when="`[rod_end]`, and the solid kernel loads",
        kernel="makes",
    ),
    Deliverable(
        "bracket.<mesh>",
        "the same as facets, for looking only",
        _mesh,
        when="`mesh` under `[solid]` names a format",
        kernel="makes",
    ),
    Deliverable(
        "steering.step",
        "the steering linkage straight ahead and at both locks, in the vehicle's frame",
        _linkage,
        when="the job draws its steering",
        kernel="makes",
    ),
    Deliverable(
        "template.pdf",
        "true-scale paper to hold up before anything is cut",
        _single("template.pdf", render.template_paper),
        on_paper=True,
    ),
    Deliverable(
        "<plate>.svg",
        "{}: the same paper on one sheet, for a browser or a plotter at 100 %",
        _plate_papers,
        each="each plate",
    ),
    Deliverable(
        "<plate>_outline.svg",
        "{}: its edge and holes alone, true scale, for a pen plotter or a vinyl cutter",
        _outlines,
        each="each plate",
        when="`outline` under `[paper]`",
    ),
    Deliverable(
        "rail_drilling.svg",
        "true-scale paper to drill the rail by, with the holes that are there to lay it by",
        _drilling_paper,
        when="the bracket is bolted to the rail",
    ),
    Deliverable(
        "sheet.html",
        "the shop sheet, one offline file: pictures, dimensions, welds, checks, cautions",
        _single("sheet.html", render.shop_sheet),
        kernel="measures",
    ),
    Deliverable(
        "rod_end.html",
        "the shop sheet of the seat at the rod's end",
        _rod_end_sheet,
        when="`[rod_end]`",
        kernel="measures",
    ),
    Deliverable(
        "parts.csv",
        "the list of parts, plates, bolts and pin, for a spreadsheet",
        _single("parts.csv", render.parts_list),
    ),
    Deliverable(
        "cut_note.txt",
        "what the shop that cuts the plates must know",
        _single("cut_note.txt", render.note_to_the_cutter),
    ),
    Deliverable(
        "report.json", "every number, for other programs", _single("report.json", render.job_report), kernel="measures"
    ),
    Deliverable(
        RECORD,
        "what it was made of: the inputs, their fingerprint, the revision, a sum of each file",
        _single(RECORD, record_bytes),
        kernel="measures",  # its sums are of the other files
        on_paper=True,
    ),
)
"""Every kind of file that is made of a job, in the order in which they are made and listed, the record last."""
