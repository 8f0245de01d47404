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
from collections.abc import Iterable, Iterator
from typing import Any

from plategen.cut.part import INSIDE, LEAD, OUTSIDE, PUNCH, SCRIBE, CutPart, Layer, layered
from plategen.draw.pen import draw
from plategen.flat.loop import Circle, bounds_of
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.unit import INCH_MM, Units
from plategen.job.cutting import DxfEntities, DxfVersion

LAYER_COLOURS: dict[Layer, int] = {OUTSIDE: 7, INSIDE: 1, PUNCH: 3, SCRIBE: 5, LEAD: 6}
"""Layers with their colour numbers; LEAD is written only when there are leads."""

MM_PER: dict[Units, float] = {"in": float(INCH_MM), "mm": 1.0}
INSUNITS: dict[Units, int] = {"in": 1, "mm": 4}
"""Millimetres of a drawing's unit, and the number by which its header names it."""

MOST_SWEEP_RAD = 3.0
"""An arc that sweeps more is split: a bulge of 1 (half a turn) or more confuses readers."""


def dxf_text(
    parts: Iterable[CutPart], units: Units, version: DxfVersion = "R2000", entities: DxfEntities = "polylines"
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
    has_leads = any(cut.lead_in or cut.lead_out for part in parts for cut in part.cuts)
    with _fixed_dates():
        drawing = _new(units, version)
        for layer, colour in LAYER_COLOURS.items():
            if layer != LEAD or has_leads:
                drawing.layers.add(layer, color=colour)
        space, drawn = drawing.modelspace(), [each for part in parts for each in layered(part)]
        pen = _DxfPen(space, MM_PER[units], version, entities)
        for layer, shape in drawn:
            pen.layer = layer
            draw(shape, pen)
        if drawn:
            edges = (e for _, shape in drawn for e in (shape.segments if isinstance(shape, Circle) else shape))
            u0, v0, u1, v1 = (mm / MM_PER[units] for mm in bounds_of(edges))
            # the library leaves both unset, at 1e20, and passes on none of the model space's that begins at (0, 0)
            space.reset_extents((u0, v0, 0.0), (u1, v1, 0.0))
            drawing.header["$EXTMIN"], drawing.header["$EXTMAX"] = (u0, v0, 0.0), (u1, v1, 0.0)
        stream = io.StringIO()
        drawing.write(stream)
        return stream.getvalue()


def dxf_name(name: str, units: Units, version: DxfVersion = "R2000") -> str:
    """The file's name; an R12 file carries its unit there, having no other place for it.

    >>> dxf_name("ear_near", "in"), dxf_name("ear_near", "in", "R12")
    ('ear_near.dxf', 'ear_near_r12_in.dxf')
    """
    return f"{name}_r12_{units}.dxf" if version == "R12" else f"{name}.dxf"


def split_arc(arc: Arc) -> tuple[Arc, ...]:
    """An arc of nearly half a turn or more cut into equal smaller ones; any other as it is."""
    pieces = int(abs(arc.sweep_rad) / MOST_SWEEP_RAD) + 1
    return (arc,) if pieces == 1 else tuple(arc.part(k / pieces, (k + 1) / pieces) for k in range(pieces))


def _new(units: Units, version: DxfVersion) -> Any:
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


class _DxfPen:
    """Draws edges into a model space, in the file's units: each run as one polyline, or its edges loose."""

    def __init__(self, space: Any, mm_per_unit: float, version: DxfVersion, entities: DxfEntities) -> None:
        self.layer: Layer = OUTSIDE
        self._space = space
        self._mm = mm_per_unit
        self._polyline = space.add_polyline2d if version == "R12" else space.add_lwpolyline
        self._loose = entities == "lines and arcs"
        self._edges: list[Segment] = []

    def move_to(self, start: complex) -> None:
        self._edges = []

    def line_to(self, line: Line) -> None:
        self._edges.append(line)

    def arc_to(self, arc: Arc) -> None:
        self._edges += split_arc(arc)

    def finish(self, *, closed: bool) -> None:
        if self._loose or len(self._edges) == 1:
            for edge in self._edges:
                self._entity(edge)
            return
        vertices = [(*self._xy(edge.start), edge.bulge if isinstance(edge, Arc) else 0.0) for edge in self._edges]
        if not closed:
            vertices.append((*self._xy(self._edges[-1].end), 0.0))
        self._polyline(vertices, format="xyb", close=closed, dxfattribs={"layer": self.layer})

    def circle(self, circle: Circle) -> None:
        self._space.add_circle(self._xy(circle.centre), circle.radius / self._mm, dxfattribs={"layer": self.layer})

    def _entity(self, edge: Segment) -> None:
        attributes = {"layer": self.layer}
        if isinstance(edge, Line):
            self._space.add_line(self._xy(edge.start), self._xy(edge.end), dxfattribs=attributes)
            return
        # an ARC always runs anticlockwise: one that turns right is named by its ends swapped
        left = edge if edge.bulge > 0.0 else edge.reversed()
        centre = left.centre
        begins, ends = (math.degrees(cmath.phase(p - centre)) for p in (left.start, left.end))
        self._space.add_arc(self._xy(centre), left.radius / self._mm, begins, ends, dxfattribs=attributes)

    def _xy(self, p: complex) -> tuple[float, float]:
        return p.real / self._mm, p.imag / self._mm


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
