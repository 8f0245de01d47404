"""From the bytes of anyone's DXF file to what it shows: a flat list of entities, within limits that are stated.

Text with any line ends, with a byte-order mark, or binary; blocks taken apart in whatever nesting, mirrored or in
arrays; splines and ellipses as the arcs that they are, or else as the straight edges that a cutting table would follow.
What no one sees (a layer that is off or frozen) is left out, and it is noted. Nothing is guessed at in silence.
"""

import cmath
import codecs
import contextlib
import io
import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from itertools import islice, pairwise
from typing import Any

from plategen.cut.dxf_read import DRAWN, Drawn, drawn_of, mm_per_unit_of
from plategen.cut.part import LEAD, PUNCH, SCRIBE
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal

MOST_BYTES = 20_000_000
MOST_LINES = 400_000
"""A plate is a few kilobytes and some thousand lines of text; what is larger holds something else, and would take
seconds to read."""

MOST_ENTITIES, MOST_EDGES = 3000, 5000
"""A plate has some dozens; a scan of thousands of points wants a fitted outline first."""

MOST_NESTED = 8
"""Blocks within blocks within blocks that are taken apart."""

FLAT_WITHIN_MM = 0.01
"""Farthest that a flattened curve leaves its own: well under a torch's wander."""

ROUND_WITHIN_MM = 1e-7
"""A curve whose points lie this near to a circle is one, drawn otherwise."""

NOT_CUT = {SCRIBE, PUNCH, LEAD}
"""Layers that no torch cuts along."""

_BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
_MARKS = ((codecs.BOM_UTF8, "utf-8"), (codecs.BOM_UTF16_LE, "utf-16-le"), (codecs.BOM_UTF16_BE, "utf-16-be"))
_SCALES = (41, 42)
_CURVES = {"SPLINE": "splines", "ELLIPSE": "ellipses"}
_SOLID = {"3DFACE", "3DSOLID", "MESH", "BODY", "SURFACE", "REGION", "EXTRUDEDSURFACE", "LOFTEDSURFACE"}


def load_dxf(data: bytes, mm_per_unit: float | None = None) -> tuple[Drawn, tuple[Message, ...]]:
    """What a file shows, in lines and arcs, and what was done to it.

    ``mm_per_unit`` is its unit where the reader knows better than the file.

    Raises:
        Refusal: It is no DXF file, is damaged, or holds more than a plate; the limit is stated.
    """
    from ezdxf.lldxf.const import DXFError

    refuse_too_large(len(data))
    # a damaged entity comes to light in any call, as an error of any kind; warnings of the library are for developers
    stumbles = (DXFError, ArithmeticError, AssertionError, AttributeError, LookupError, TypeError, ValueError)
    try:
        with contextlib.redirect_stderr(io.StringIO()):
            drawing, says_unit = _drawing(data)
            unit = mm_per_unit or (mm_per_unit_of(drawing) if says_unit else None)
            opener = _Opener(drawing, unit or 1.0)
            return drawn_of(opener.shown(), unit), opener.told()
    except (*stumbles, StopIteration, RecursionError) as error:
        raise Refusal("is a damaged DXF file; save it again as DXF R2000") from error


def refuse_too_large(size: int) -> None:
    """Refuse a file of so many bytes, before it is read if its size is known."""
    if size > MOST_BYTES:
        raise Refusal(
            f"is {size / 1e6:.0f} MB; a plate is a few kilobytes, at most {MOST_BYTES / 1e6:.0f} MB are read; this is "
            "something else"
        )


def _drawing(data: bytes) -> tuple[Any, bool]:
    """The drawing, and whether it says its unit: the reader takes one that does not for metres."""
    from ezdxf.document import Drawing
    from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader

    if data.startswith(_BINARY):
        tags = _Tags(binary_tags_loader(data, errors="replace"))
    else:
        coding = next((coding for mark, coding in _MARKS if data.startswith(mark)), "utf-8")
        text = data.decode(coding, "replace").lstrip("\ufeff")
        if "\x00" in text[:4000] or "SECTION" not in text[:200_000]:
            raise Refusal("is not a DXF file; save it as DXF R2000")
        # a carriage return would hide every name from the reader
        tags = _Tags(ascii_tags_loader(io.StringIO(text.replace("\r\n", "\n").replace("\r", "\n"))))
    return Drawing.load(iter(tags)), tags.say_unit


@dataclass(slots=True)
class _Tags:
    """The tags of a file on their way to the reader, watched for what it would not tell."""

    tags: Iterable[Any]
    say_unit: bool = False

    def __iter__(self) -> Iterator[Any]:
        kind = ""
        for number, tag in enumerate(self.tags, 1):
            if 2 * number > MOST_LINES:
                raise Refusal(
                    f"holds over {MOST_LINES:,} lines of DXF; a plate has some thousand, this is something else"
                )
            if tag.code == 0:
                kind = tag.value
            elif kind == "INSERT" and tag.code in _SCALES and abs(float(tag.value)) < 1e-9:
                raise Refusal("holds a block that is scaled to nothing; delete it or give it its size")
            self.say_unit = self.say_unit or (tag.code == 9 and tag.value == "$INSUNITS")
            yield tag


@dataclass(slots=True)
class _Opener:
    """What a drawing shows, one entity after the other, and what was seen on the way."""

    drawing: Any
    mm_per_unit: float
    _notes: dict[Message, None] = field(default_factory=dict)
    _flattened: dict[str, int] = field(default_factory=dict)
    _entities: int = 0
    _edges: int = 0
    _hidden: dict[str, int] = field(default_factory=dict)
    _hides: dict[str, bool] = field(default_factory=dict)

    def shown(self) -> list[Any]:
        """The entities of the model space, blocks taken apart, in the plane of the drawing."""
        space = self.drawing.modelspace()
        self._count(len(space))
        shown = [one for entity in space for one in self._opened(entity, "0", 0)]
        if not shown:
            raise Refusal(f"holds nothing to cut{self._why()}; one closed outline and its holes are right")
        return shown

    def told(self) -> tuple[Message, ...]:
        """What was done to the drawing."""
        for kind, count in self._flattened.items():
            words = "{} {} were straightened into short lines within {}"
            self._notes[message(words, count, _CURVES[kind], mm(FLAT_WITHIN_MM))] = None
        for layer, count in self._hidden.items():
            self._notes[message("{} shapes on layer {}, which is hidden, were left out", count, f"{layer[:40]!r}")] = (
                None
            )
        return tuple(self._notes)

    def _why(self) -> str:
        """Where there is something instead of in sight in the model space."""
        if self._hidden:
            return f" but on hidden layers ({', '.join(f'{name[:40]!r}' for name in islice(self._hidden, 5))})"
        for name in self.drawing.layout_names():
            count = 0 if name == "Model" else sum(e.dxftype() != "VIEWPORT" for e in self.drawing.layout(name))
            if count:
                return f" and {count} shapes on the page {name[:40]!r}, which has no scale of its own"
        return ""

    def _count(self, more: int) -> None:
        self._entities += more
        if self._entities > MOST_ENTITIES:
            raise Refusal(
                f"holds over {MOST_ENTITIES} shapes, blocks taken apart; a plate has some dozens, this is something "
                "else"
            )

    def _is_hidden(self, entity: Any) -> bool:
        name = entity.dxf.layer
        if name not in self._hides:
            layer = self.drawing.layers.get(name) if self.drawing.layers.has_entry(name) else None
            self._hides[name] = layer is not None and (layer.is_off() or layer.is_frozen())
        return self._hides[name] or bool(entity.dxf.get("invisible", 0))

    def _opened(self, entity: Any, layer: str, depth: int) -> Iterator[Any]:
        """An entity, within a block inserted on ``layer``: itself, straight edges for it, or what its block holds."""
        if depth and entity.dxf.layer == "0":
            entity.dxf.layer = layer  # what a block holds on layer 0 lies on the layer it is inserted on
        if self._is_hidden(entity):
            self._hidden[entity.dxf.layer] = self._hidden.get(entity.dxf.layer, 0) + 1
            return
        kind = entity.dxftype()
        if kind == "INSERT":
            yield from self._block(entity, depth + 1)
            return
        if entity.dxf.layer not in NOT_CUT:
            _refuse_in_space(entity)
            if kind in _CURVES:
                yield self._flat(entity)
                return
            if kind not in DRAWN:
                self._notes[message("{} is not cut and was left out", kind)] = None
        yield entity

    def _block(self, insert: Any, depth: int) -> Iterator[Any]:
        name, block = f"{insert.dxf.name[:40]!r}", insert.block()
        if block is None or block.block.is_xref:
            raise Refusal(f"uses a block {name} that is not in it; bind it and save it again")
        if depth > MOST_NESTED:
            raise Refusal(f"holds blocks over {MOST_NESTED} deep in one another; take them apart first")
        self._notes[message("blocks were taken apart")] = None
        self._count(insert.mcount * len(block) - 1)
        for one in insert.multi_insert() if insert.mcount > 1 else (insert,):
            for entity in one.virtual_entities():
                yield from self._opened(entity, insert.dxf.layer, depth)

    def _flat(self, curve: Any) -> Any:
        """A polyline in a curve's place: of arcs where it is round, else of straight edges."""
        from ezdxf.entities import LWPolyline

        kind = curve.dxftype()
        within, most = FLAT_WITHIN_MM / self.mm_per_unit, MOST_EDGES - self._edges
        many = kind == "SPLINE" and curve.control_point_count() > most
        points = [] if many else [complex(p.x, p.y) for p in islice(curve.flattening(within, segments=8), most + 1)]
        if many or len(points) > most:
            raise Refusal(f"has curves of over {MOST_EDGES} short lines; lines and arcs in their place are right")
        close = len(points) > 2 and abs(points[0] - points[-1]) <= within
        corners, bulges = points, [0.0] * len(points)
        if turns := _turns(points, ROUND_WITHIN_MM / self.mm_per_unit):
            ends = [i * (len(points) - 1) // 4 for i in range(5)]
            corners = [points[end] for end in ends]
            bulges = [math.tan(sum(turns[i:j]) / 4.0) for i, j in pairwise(ends)] + [0.0]
        else:
            self._flattened[kind] = self._flattened.get(kind, 0) + 1
        self._edges += len(corners)
        polyline = LWPolyline.new(dxfattribs={"layer": curve.dxf.layer})
        drawn = [(p.real, p.imag, bulge) for p, bulge in zip(corners, bulges, strict=True)]
        polyline.append_points(drawn[:-1] if close else drawn, format="xyb")
        polyline.closed = close
        return polyline


def _turns(points: list[complex], within: float) -> list[float]:
    """How far an arc turns from each point to the next, in radians; empty for points that lie on none."""
    if len(points) < 5:
        return []
    a, b, c = (points[i * (len(points) - 1) // 3] for i in range(3))
    ab, ac = b - a, c - a
    twice_area = (ab.conjugate() * ac).imag
    if abs(twice_area) <= 1e-6 * abs(ab) * abs(ac):
        return []
    centre = a + 1j * (ab * abs(ac) ** 2 - ac * abs(ab) ** 2) / (2.0 * twice_area)
    radius = abs(a - centre)
    if any(abs(abs(p - centre) - radius) > within for p in points):
        return []
    turns = [cmath.phase((q - centre) / (p - centre)) for p, q in pairwise(points)]
    once = (min(turns) > 0.0 or max(turns) < 0.0) and abs(sum(turns)) < math.tau + 1e-6
    return turns if once else []


def _refuse_in_space(entity: Any) -> None:
    """Refuse bodies, and whatever does not lie in one plane square to the view."""
    kind = entity.dxftype()
    if kind in _SOLID or (kind == "POLYLINE" and not entity.is_2d_polyline and not _is_level(entity)):
        raise Refusal("is drawn in three dimensions; a flat outline is right")
    if kind not in DRAWN and kind not in _CURVES:
        return
    if entity.dxf.hasattr("extrusion") and abs(entity.dxf.extrusion.z) < 1.0 - 1e-9:
        raise Refusal("is drawn in three dimensions, in a plane that is not seen from above; a flat outline is right")
    if kind == "LINE" and abs(entity.dxf.start.z - entity.dxf.end.z) > 1e-6:
        raise Refusal("is drawn in three dimensions; a flat outline is right")


def _is_level(polyline: Any) -> bool:
    heights = [v.dxf.location.z for v in polyline.vertices]
    return bool(heights) and max(heights) - min(heights) <= 1e-6
