"""Parts as DXF text: the file a cutting table reads.

Only LINE, ARC, CIRCLE and LWPOLYLINE with bulges (POLYLINE in R12) are written; every contour is one closed entity
unless loose lines and arcs are asked for, and runs the way the torch goes, from where its lead arrives. No text, no
blocks, no splines: tables drop or misread them. Entities stand in cutting order, inside before outside, and no two are
alike, since a doubled line is cut twice.
"""

import cmath
import contextlib
import io
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import Any, Literal, TypeAlias

from plategen.cut.part import Contour, Cut, CutPart, travelled
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.unit import INCH_MM, Units

Version: TypeAlias = Literal["R12", "R2000", "R2013"]
Entities: TypeAlias = Literal["polylines", "lines and arcs"]
"""Which release a drawing is written for, and how its outlines are drawn."""

OUTSIDE, INSIDE, PUNCH, SCRIBE, LEAD = "CUT-OUTSIDE", "CUT-INSIDE", "PUNCH", "SCRIBE", "LEAD"
LAYER_COLOURS = {OUTSIDE: 7, INSIDE: 1, PUNCH: 3, SCRIBE: 5, LEAD: 6}
"""Layers with their colour numbers; LEAD is written only when there are leads."""

MM_PER: dict[Units, float] = {"in": float(INCH_MM), "mm": 1.0}
INSUNITS: dict[Units, int] = {"in": 1, "mm": 4}
"""Millimetres of a drawing's unit, and the number by which its header names it."""

MOST_SWEEP_RAD = 3.0
"""An arc that sweeps more is split: a bulge of 1 (half a turn) or more confuses readers."""


def dxf_text(
    parts: Iterable[CutPart],
    units: Units,
    version: Version = "R2000",
    entities: Entities = "polylines",
) -> str:
    """The DXF file of these parts, full size, in the order given. The same parts give the same text.

    Args:
        parts: What to cut, placed as it shall lie in the file.
        units: Unit of the file's numbers; declared in its header (``$INSUNITS`` and ``$MEASUREMENT``) and on its
            model space. R12 cannot declare a unit: say it in the file's name (:func:`dxf_name`).
        version: R2000 is what nearly every table reads; R12 for the oldest.
        entities: One closed polyline a contour, or its lines and arcs loose, in order, for tables that ask for them.
    """
    parts = tuple(parts)
    with _fixed_dates():
        drawing = _new(units, version)
        _draw_all(_Pen(drawing.modelspace(), MM_PER[units], version, entities), drawing, parts)
        stream = io.StringIO()
        drawing.write(stream)
        return stream.getvalue()


def dxf_name(name: str, units: Units, version: Version = "R2000") -> str:
    """The file's name; an R12 file carries its unit there, having no other place for it.

    >>> dxf_name("ear_near", "in"), dxf_name("ear_near", "in", "R12")
    ('ear_near.dxf', 'ear_near_r12_in.dxf')
    """
    return f"{name}_r12_{units}.dxf" if version == "R12" else f"{name}.dxf"


def split_arcs(segments: Sequence[Segment]) -> Iterator[Segment]:
    """The edges with every arc of nearly half a turn or more cut into equal smaller ones."""
    for segment in segments:
        pieces = int(abs(segment.sweep_rad) / MOST_SWEEP_RAD) + 1
        if pieces == 1:
            yield segment
        else:
            for k in range(pieces):
                yield segment.part(k / pieces, (k + 1) / pieces)


def _new(units: Units, version: Version) -> Any:
    """An empty drawing that declares its unit in both places where readers look, if its version can."""
    import ezdxf  # a quarter of a second: only those who write a file pay it

    if version == "R12":
        from ezdxf.document import Drawing

        return Drawing.new("AC1009")
    drawing = ezdxf.new(version, units=INSUNITS[units])
    space = drawing.modelspace()
    space.units = INSUNITS[units]
    if version == "R2000":
        # before R2007 a block's unit has no field of its own: it is kept in extended data of this form
        record = [(1000, "DesignCenter Data"), (1002, "{"), (1070, 1), (1070, INSUNITS[units]), (1002, "}")]
        space.block_record.set_xdata("ACAD", record)
    return drawing


def _draw_all(pen: "_Pen", drawing: Any, parts: Sequence[CutPart]) -> None:
    has_leads = any(cut.lead_in or cut.lead_out for part in parts for cut in part.cuts)
    for layer, colour in LAYER_COLOURS.items():
        if layer != LEAD or has_leads:
            drawing.layers.add(layer, color=colour)
    for part in parts:
        _draw(pen, part)


def _draw(pen: "_Pen", part: CutPart) -> None:
    for chain in part.scribe:
        pen.open(chain, SCRIBE)
    for punch in part.punch:
        for line in punch.lines:
            pen.segment(line, PUNCH)
    for cut in part.cuts:
        if cut.lead_in:
            pen.open(cut.lead_in, LEAD)
        pen.closed(cut, OUTSIDE if cut is part.outside else INSIDE)
        if cut.lead_out:
            pen.open(cut.lead_out, LEAD)


class _Pen:
    """Draws edges into a model space, in the file's units."""

    def __init__(self, space: Any, mm_per_unit: float, version: Version, entities: Entities) -> None:
        self.space = space
        self._mm = mm_per_unit
        self._polyline = space.add_polyline2d if version == "R12" else space.add_lwpolyline
        self._loose = entities == "lines and arcs"

    def closed(self, cut: Cut, layer: str) -> None:
        contour = cut.contour
        if cut.lead_in is not None:
            self._path(_begun_at(contour, cut.lead_in.end), layer, close=True)
        elif isinstance(contour, Circle):
            self.space.add_circle(self._xy(contour.centre), contour.radius / self._mm, dxfattribs={"layer": layer})
        else:
            self._path(_begun_after_line(travelled(contour, hole=layer == INSIDE)), layer, close=True)

    def open(self, chain: Chain, layer: str) -> None:
        if len(chain) == 1 and abs(chain.segments[0].sweep_rad) <= MOST_SWEEP_RAD:
            self.segment(chain.segments[0], layer)
        else:
            self._path(chain.segments, layer, close=False)

    def segment(self, segment: Segment, layer: str) -> None:
        attributes = {"layer": layer}
        if isinstance(segment, Line):
            self.space.add_line(self._xy(segment.start), self._xy(segment.end), dxfattribs=attributes)
        else:
            self._arc(segment, attributes)

    def _arc(self, arc: Arc, attributes: dict[str, str]) -> None:
        # an ARC always runs anticlockwise: one that turns right is named by its ends swapped
        left = arc if arc.bulge > 0.0 else arc.reversed()
        centre = left.centre
        begins, ends = (math.degrees(cmath.phase(p - centre)) for p in (left.start, left.end))
        self.space.add_arc(self._xy(centre), left.radius / self._mm, begins, ends, dxfattribs=attributes)

    def _path(self, segments: Sequence[Segment], layer: str, *, close: bool) -> None:
        pieces = tuple(split_arcs(segments))
        if self._loose:
            for piece in pieces:
                self.segment(piece, layer)
            return
        vertices = [(*self._xy(piece.start), getattr(piece, "bulge", 0.0)) for piece in pieces]
        if not close:
            vertices.append((*self._xy(pieces[-1].end), 0.0))
        self._polyline(vertices, format="xyb", close=close, dxfattribs={"layer": layer})

    def _xy(self, p: complex) -> tuple[float, float]:
        return p.real / self._mm, p.imag / self._mm


def _begun_at(contour: Contour, arrival: complex) -> Sequence[Segment]:
    """The edges from where the lead arrives: a circle as four arcs, since a CIRCLE begins at its rightmost point."""
    if isinstance(contour, Loop):
        return contour.segments
    corners = [contour.centre + (arrival - contour.centre) * 1j**quarter for quarter in range(4)]
    return [Arc(a, b, math.tan(math.pi / 8)) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]


def _begun_after_line(loop: Loop) -> Sequence[Segment]:
    """The loop's edges, begun so that the last one, which closes the polyline, is a line if the loop has any.

    Some readers lose the bulge of the closing edge.
    """
    lines = [i for i, segment in enumerate(loop.segments) if isinstance(segment, Line)]
    first = (lines[-1] + 1) % len(loop) if lines else 0
    return loop.segments[first:] + loop.segments[:first]


@contextlib.contextmanager
def _fixed_dates() -> Iterator[None]:
    """Have the library write fixed dates and identifiers meanwhile, so that the same job gives the same bytes."""
    import ezdxf

    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before
