"""Opening a plate that someone else drew: one outline with its holes, in mm, or the reason why it is no plate.

Lines, arcs, circles and polylines are taken exactly, loose ones joined where they meet; splines, ellipses and blocks
are turned into what a cutting table would follow, and it is noted. Nothing is guessed at in silence.
"""

import contextlib
import io
import math
from dataclasses import dataclass, replace
from itertools import islice
from typing import Any

from plategen.cut.dxf_read import MM_PER_INSUNITS, Drawn, read_dxf
from plategen.cut.part import LEAD, PUNCH, SCRIBE
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal

MOST_BYTES = 20_000_000
"""A plate is a few kilobytes; what is larger holds something else."""

MOST_ENTITIES, MOST_EDGES = 3000, 3000
"""A plate has some dozens; a scan of thousands of points wants a fitted outline first."""

FLAT_WITHIN_MM = 0.01
"""Farthest that a flattened curve leaves its own: well under a torch's wander."""

ROUND_WITHIN_MM = 0.05
"""A closed contour whose points lie this near to a circle is a hole drawn otherwise."""

LEAST_SIDE_MM = 1.0
"""A smaller drawing is no plate."""

MOST_NESTED = 4
"""Blocks within blocks within blocks that are taken apart."""

_CURVES = {"SPLINE": "splines", "ELLIPSE": "ellipses"}
_DRAWN = {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE", *_CURVES}
_SOLID = {"3DFACE", "3DSOLID", "MESH", "BODY", "SURFACE", "REGION", "EXTRUDEDSURFACE", "LOFTEDSURFACE"}
_NOT_CUT = {SCRIBE, PUNCH, LEAD}


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedPlate:
    """A plate as drawn, in mm, in the drawing's own place; its outline anticlockwise.

    ``openings`` are closed contours inside that are not round, ``punched`` the centres of punch marks where a hole was
    drilled; ``mm_per_unit`` is None when the file does not say its unit (it was read as millimetres); ``notes`` say how
    it was read.
    """

    outline: Loop
    holes: tuple[Circle, ...]
    openings: tuple[Loop, ...]
    punched: tuple[complex, ...]
    mm_per_unit: float | None
    notes: tuple[Message, ...]

    def noting(self, note: Message) -> "OpenedPlate":
        """The same with one more note."""
        return replace(self, notes=(*self.notes, note))


def open_plate(data: bytes, mm_per_unit: float | None = None) -> OpenedPlate:
    """The plate that a DXF file draws, in units of ``mm_per_unit`` when the reader knows better than the file.

    Raises:
        Refusal: It is not one flat plate; the message says why.
    """
    refuse_too_large(len(data))
    drawn, notes = _read(data, mm_per_unit)
    cut = [contour for layer, contour in drawn.contours if layer not in _NOT_CUT]
    if not cut:
        _refuse_without_outline(drawn)
    edges = sum(len(contour) for contour in cut if isinstance(contour, Loop))
    if edges > MOST_EDGES:
        raise Refusal(f"has outlines of {edges} edges; at most {MOST_EDGES} is right, fit lines and arcs to them first")
    outline, within = _outline(cut)
    marks = [chain for layer, chain in drawn.chains if layer not in _NOT_CUT]
    for chain in marks:
        if not inside(outline, chain.point(chain.length / 2)):
            raise Refusal(_open_line(chain))
    if marks:
        notes = (*notes, message("{} open lines inside the plate were taken for marks and left out", len(marks)))
    return OpenedPlate(
        outline=outline,
        holes=tuple(c for c in within if isinstance(c, Circle)),
        openings=tuple(c for c in within if isinstance(c, Loop)),
        punched=_punched(drawn),
        mm_per_unit=drawn.mm_per_unit,
        notes=notes,
    )


def refuse_too_large(size: int) -> None:
    """Refuse a file of so many bytes, before it is read if its size is known."""
    if size > MOST_BYTES:
        raise Refusal(f"is {size / 1e6:.0f} MB; a plate is a few kilobytes, this is something else")


def _punched(drawn: Drawn) -> tuple[complex, ...]:
    """The middles of the crosses on the layer of punch marks, each once."""
    middles: list[complex] = []
    for layer, chain in drawn.chains:
        middle = (chain.start + chain.end) / 2
        if layer == PUNCH and all(abs(middle - other) > ROUND_WITHIN_MM for other in middles):
            middles.append(middle)
    return tuple(middles)


def _read(data: bytes, mm_per_unit: float | None) -> tuple[Drawn, tuple[Message, ...]]:
    """What a file draws, in lines and arcs, and what was done to it.

    A damaged entity comes to light in any call, as an error of any kind; the library's own warnings are for developers.
    """
    import ezdxf
    from ezdxf.lldxf.const import DXFError

    if b"\x00" in data[:4000] or b"SECTION" not in data[:200_000]:
        raise Refusal("is not a DXF file in text form; save it as DXF R2000 (ASCII)")
    stumbles = (DXFError, ArithmeticError, AssertionError, AttributeError, LookupError, TypeError, ValueError)
    try:
        with contextlib.redirect_stderr(io.StringIO()):
            drawing = ezdxf.read(io.StringIO(data.decode("utf-8", "replace")))
            text, notes = _in_lines_and_arcs(drawing, mm_per_unit)
            return read_dxf(text, mm_per_unit), notes
    except (*stumbles, StopIteration) as error:
        raise Refusal("is a damaged DXF file; save it again as DXF R2000") from error


def _in_lines_and_arcs(drawing: Any, mm_per_unit: float | None) -> tuple[str, tuple[Message, ...]]:
    """The drawing as text with blocks taken apart and curves flattened, and what was done."""
    space = drawing.modelspace()
    if len(space) > MOST_ENTITIES:
        raise Refusal(f"holds {len(space)} entities; a plate has some dozens, this is something else")
    scale = mm_per_unit or MM_PER_INSUNITS.get(int(drawing.header.get("$INSUNITS", 0)), 1.0)
    notes: dict[Message, None] = {}
    if _take_apart(space):
        notes[message("blocks were taken apart")] = None
    if not len(space):
        raise Refusal("holds nothing in its model space; one closed outline and its holes are right")
    flattened: dict[str, int] = {}
    edges = 0
    for entity in list(space):
        kind = entity.dxftype()
        if entity.dxf.layer in _NOT_CUT:
            continue
        _refuse_in_space(entity)
        if kind in _CURVES:
            flattened[kind] = flattened.get(kind, 0) + 1
            edges += _flatten(space, entity, FLAT_WITHIN_MM / scale, MOST_EDGES - edges)
        elif kind not in _DRAWN:
            notes[message("{} is not cut and was left out", kind)] = None
    for kind, count in flattened.items():
        words = "{} {} were flattened to straight edges within {}"
        notes[message(words, count, _CURVES[kind], mm(FLAT_WITHIN_MM))] = None
    stream = io.StringIO()
    drawing.write(stream)
    return stream.getvalue(), tuple(notes)


def _take_apart(space: Any) -> bool:
    """Put what blocks hold in their place; whether there were any."""
    for depth in range(MOST_NESTED):
        inserts = list(space.query("INSERT"))
        if not inserts:
            return depth > 0
        for insert in inserts:
            insert.explode()
    return True


def _refuse_in_space(entity: Any) -> None:
    """Refuse bodies, and whatever does not lie in one plane seen from above."""
    kind = entity.dxftype()
    if kind in _SOLID or (kind == "POLYLINE" and not entity.is_2d_polyline and not _is_level(entity)):
        raise Refusal("is drawn in three dimensions; a flat outline is right")
    if kind not in _DRAWN:
        return
    if entity.dxf.hasattr("extrusion") and abs(entity.dxf.extrusion.z) < 1.0 - 1e-9:
        raise Refusal("is drawn in three dimensions, in a plane that is not seen from above; a flat outline is right")
    if entity.dxf.hasattr("extrusion") and entity.dxf.extrusion.z < 0.0:
        raise Refusal("is drawn seen from behind (mirrored by its extrusion); save it flat, seen from above")
    if kind == "LINE" and abs(entity.dxf.start.z - entity.dxf.end.z) > 1e-6:
        raise Refusal("is drawn in three dimensions; a flat outline is right")


def _is_level(polyline: Any) -> bool:
    heights = [v.dxf.location.z for v in polyline.vertices]
    return bool(heights) and max(heights) - min(heights) <= 1e-6


def _flatten(space: Any, curve: Any, within: float, most: int) -> int:
    """Put straight edges, at most so many, in a curve's place; how many."""
    points = [(p.x, p.y) for p in islice(curve.flattening(within, segments=8), most + 1)]
    if len(points) > most:
        raise Refusal(f"has curves of over {MOST_EDGES} edges when flattened; fit lines and arcs to them first")
    close = len(points) > 2 and math.dist(points[0], points[-1]) <= within
    if close:
        points.pop()
    space.add_polyline2d(points, close=close, dxfattribs={"layer": curve.dxf.layer})  # which every version has
    space.delete_entity(curve)
    return len(points)


def _outline(contours: list[Contour]) -> tuple[Loop, list[Contour]]:
    """The one contour that encloses all others, anticlockwise, and those."""
    shapes: list[Contour] = [_circle(contour) for contour in contours]
    outer = max(shapes, key=lambda c: abs(c.area))
    u0, v0, u1, v1 = outer.bounds
    if min(u1 - u0, v1 - v0) < LEAST_SIDE_MM:
        raise Refusal(
            message("has an outline of {} x {}, no size for a plate; check the unit", mm(u1 - u0), mm(v1 - v0))
        )
    if abs(outer.area) < LEAST_SIDE_MM**2:
        raise Refusal("has an outline that encloses nothing; one closed outline and its holes are right")
    _refuse_twice(shapes)
    within = [shape for shape in shapes if shape is not outer]
    for shape in within:
        if not inside(outer, _place(shape)):
            raise Refusal("holds several outlines side by side; give one plate in a file")
    for one in within:
        for other in within:
            if one is not other and inside(one, _place(other)):
                raise Refusal("has a contour inside a hole; one outline with holes in it is right")
    if isinstance(outer, Circle):
        outer = Loop(outer.segments)
    return (outer if outer.area > 0.0 else outer.reversed()), within


def _refuse_twice(shapes: list[Contour]) -> None:
    """Refuse contours that lie over each other: a table would cut them twice."""
    seen: set[tuple[float, ...]] = set()
    for shape in shapes:
        key = tuple(round(x, 2) for x in (*shape.bounds, abs(shape.area) / 10))
        if key in seen:
            raise Refusal("has a contour drawn twice over itself; delete one of the two")
        seen.add(key)


def _circle(contour: Contour) -> Contour:
    """The circle that a contour of arcs or of many short edges stands for, or the contour."""
    if isinstance(contour, Circle) or (len(contour) < 12 and not all(isinstance(s, Arc) for s in contour)):
        return contour
    u0, v0, u1, v1 = contour.bounds
    centre = complex(u0 + u1, v0 + v1) / 2
    radii = [abs(s.point(t) - centre) for s in contour for t in (0.0, 0.5)]
    least, most = min(radii), max(radii)
    return Circle(centre, (most + least) / 2) if most - least <= 2 * ROUND_WITHIN_MM else contour


def _place(contour: Contour) -> complex:
    return contour.centre + contour.radius if isinstance(contour, Circle) else contour.segments[0].point(0.5)


def _refuse_without_outline(drawn: Drawn) -> None:
    chains = [chain for layer, chain in drawn.chains if layer not in _NOT_CUT]
    if chains:
        raise Refusal(_open_line(max(chains, key=lambda chain: chain.length)))
    marks = ["marks"] if any(layer in _NOT_CUT for layer, _ in (*drawn.contours, *drawn.chains)) else []
    kinds = ", ".join([*(kind.lower() for kind in drawn.strange), *marks]) or "nothing"
    raise Refusal(f"draws no outline, only {kinds}; one closed outline and its holes are right")


def _open_line(chain: Chain) -> Message:
    return message(
        "has an outline that is open by {} at x {}, y {}; close it in the drawing and save it again",
        mm(abs(chain.end - chain.start)), mm(chain.end.real), mm(chain.end.imag),
    )  # fmt: skip
