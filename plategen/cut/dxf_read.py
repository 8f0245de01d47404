"""A DXF file read back as contours: for proving what was written, and for plates that others drew.

Closed polylines and circles are contours as they stand; loose lines, arcs and open polylines are joined end to end
into contours where they meet. What has no exact place here (splines, ellipses, text) is named, never guessed at.
"""

import io
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from typing import Any

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM

_INCH, _SURVEY_FOOT = float(INCH_MM), 1200 / 3937 * 1000
MM_PER_INSUNITS = {
    1: _INCH, 2: 12 * _INCH, 4: 1.0, 5: 10.0, 6: 1000.0, 8: 1e-6 * _INCH, 9: 1e-3 * _INCH, 10: 36 * _INCH, 13: 1e-3,
    14: 100.0, 15: 1e4, 21: _SURVEY_FOOT, 22: _SURVEY_FOOT / 12,
}  # fmt: skip
"""Millimetres a unit by ``$INSUNITS``: inches, feet, millimetres, centimetres, metres, microinches, mils, yards,
microns, decimetres, decametres, US survey feet and inches (AutoCAD DXF reference)."""

JOIN_MM = 1e-3
"""Loose ends nearer than this meet: a hundred times what ten digits of a metre leave, and far under a torch's width."""

MOST_MM = 1e6
"""A coordinate beyond a kilometre, or a bulge so large, is damage."""

_FRAME = 16
"""Flag of a vertex that only holds the frame of a smoothed polyline (AutoCAD DXF reference)."""

DRAWN = {"LINE", "ARC", "CIRCLE", "LWPOLYLINE", "POLYLINE"}
"""Entities that a cutting layer may hold."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a DXF file holds, in mm."""

    mm_per_unit: float | None  # Length of the file's unit; None when the file does not say (R12 cannot).
    # Layer and closed contour, in file order; joined ones after those that were closed.
    contours: tuple[tuple[str, Contour], ...]
    chains: tuple[tuple[str, Chain], ...]  # Layer and open run of edges that closes nowhere.
    strange: tuple[str, ...]  # Kinds of entity left out, each once.
    layers: tuple[str, ...]  # Every layer that an entity lies on.

    def on(self, layer: str) -> tuple[Contour, ...]:
        """The closed contours of one layer."""
        return tuple(contour for name, contour in self.contours if name == layer)


def read_dxf(text: str, mm_per_unit: float | None = None) -> Drawn:
    """What a DXF file's model space holds.

    ``mm_per_unit`` is the length of its unit, when the reader knows better than the file; without it the file's own
    ``$INSUNITS`` counts, and a file that says nothing is taken as millimetres.

    Raises:
        Refusal: This is no DXF file, or it is damaged.
    """
    import ezdxf
    from ezdxf.lldxf.const import DXFError

    try:
        drawing = ezdxf.read(io.StringIO(text))
    except (DXFError, ValueError, IndexError, KeyError) as error:
        raise Refusal("is not a DXF file that can be read; save it again as DXF R2000") from error
    declared = mm_per_unit_of(drawing) if "$INSUNITS" in text else None  # the reader takes what is not said for metres
    return drawn_of(drawing.modelspace(), mm_per_unit or declared)


def mm_per_unit_of(drawing: Any) -> float | None:
    """Length of the unit that a drawing says it is in; None if it says none.

    Raises:
        Refusal: It is one that nobody draws plates in.
    """
    code = int(drawing.header.get("$INSUNITS", 0))
    if code and code not in MM_PER_INSUNITS:
        raise Refusal(f"says its unit is number {code}, in which no plate is drawn; save it in millimetres or inches")
    return MM_PER_INSUNITS.get(code)


def drawn_of(entities: Iterable[Any], mm_per_unit: float | None) -> Drawn:
    """What entities draw, ``mm_per_unit`` the length of their unit, which is millimetres where it is None.

    Raises:
        Refusal: They hold numbers that no plate has.
    """
    scale = mm_per_unit or 1.0
    closed: list[tuple[str, Contour]] = []
    loose: dict[str, list[Chain]] = {}
    strange: dict[str, None] = {}
    layers: dict[str, None] = {}
    for entity in entities:
        layer = entity.dxf.layer
        layers[layer] = None
        if entity.dxftype() not in DRAWN:
            strange[entity.dxftype()] = None
            continue
        shape = _shape(entity, scale)
        _refuse_wild(shape)
        if isinstance(shape, Chain):
            loose.setdefault(layer, []).append(shape)
        elif shape is not None:
            closed.append((layer, shape))
    open_chains = []
    for layer, chains in loose.items():
        for joined in join_ends(chains):
            if isinstance(joined, Loop):
                closed.append((layer, joined))
            else:
                open_chains.append((layer, joined))
    return Drawn(
        mm_per_unit=mm_per_unit,
        contours=tuple(closed),
        chains=tuple(open_chains),
        strange=tuple(strange),
        layers=tuple(layers),
    )


def _shape(entity: Any, scale: float) -> Contour | Chain | None:
    """One entity as a contour if it is closed, else as a chain; None if it has no length."""
    shape = _in_its_plane(entity, scale)
    behind = entity.dxftype() != "LINE" and entity.dxf.hasattr("extrusion") and entity.dxf.extrusion.z < 0.0
    if shape is None or not behind:
        return shape
    # seen from behind, as what a mirrored block holds: its plane's u runs the other way
    if isinstance(shape, Circle):
        return Circle(-shape.centre.conjugate(), shape.radius)
    return shape.mirrored().moved(-1 + 0j)


def _in_its_plane(entity: Any, scale: float) -> Contour | Chain | None:
    kind = entity.dxftype()
    if kind == "LINE":
        start, end = (complex(p.x, p.y) * scale for p in (entity.dxf.start, entity.dxf.end))
        return Chain((Line(start, end),)) if _apart(start, end) else None
    if kind in ("CIRCLE", "ARC"):
        centre, radius = complex(entity.dxf.center.x, entity.dxf.center.y) * scale, entity.dxf.radius * scale
        if radius <= SAME_POINT_MM:
            return None
        if kind == "CIRCLE":
            return Circle(centre, radius)
        begins, sweep = entity.dxf.start_angle, (entity.dxf.end_angle - entity.dxf.start_angle) % 360.0
        if min(sweep, 360.0 - sweep) < 1e-9:  # all the way round
            return Circle(centre, radius)
        return Chain((Arc.about(centre, radius, math.radians(begins), math.radians(sweep)),))
    if kind == "LWPOLYLINE":
        vertices = [(complex(x, y) * scale, bulge) for x, y, bulge in entity.get_points("xyb")]
        is_closed = entity.closed
    else:
        vertices = [
            (complex(v.dxf.location.x, v.dxf.location.y) * scale, v.dxf.bulge)
            for v in entity.vertices
            if not v.dxf.flags & _FRAME
        ]
        is_closed = entity.is_closed
    edges = tuple(_edges(vertices, is_closed))
    if not edges:
        return None
    if is_closed or abs(edges[-1].end - edges[0].start) <= JOIN_MM:
        return _closed(list(edges))
    return Chain(edges)


def _edges(vertices: list[tuple[complex, float]], is_closed: bool) -> Iterator[Segment]:
    """The edges between a polyline's vertices; those without length are passed over."""
    following = vertices[1:] + vertices[:1] if is_closed else vertices[1:]
    for (start, bulge), (end, _) in zip(vertices, following, strict=False):
        if _apart(start, end):
            yield Arc(start, end, bulge) if bulge else Line(start, end)


def _apart(start: complex, end: complex) -> bool:
    """False for an edge without length; what cannot be told (a coordinate that is no number) is looked at later."""
    return not abs(end - start) <= SAME_POINT_MM


def _refuse_wild(shape: Contour | Chain | None) -> None:
    """Refuse numbers that no drawing of a plate holds: not finite, or beyond a kilometre."""
    if isinstance(shape, Circle):
        numbers = [abs(shape.centre), abs(shape.radius)]
    else:
        edges = shape.segments if shape else ()
        numbers = [abs(p) for edge in edges for p in (edge.start, edge.end)]
        numbers += [abs(edge.bulge) for edge in edges if isinstance(edge, Arc)]
    if not all(number <= MOST_MM for number in numbers):
        raise Refusal("holds a number that no plate has, beyond a kilometre; save it again in its right unit")


def join_ends(chains: Sequence[Chain], within_mm: float = JOIN_MM) -> Iterator[Loop | Chain]:
    """Runs of chains whose ends meet within a tolerance, turned round where need be; closed ones as loops."""
    ends: dict[tuple[int, int], list[int]] = {}
    for index, chain in enumerate(chains):
        for end in (chain.start, chain.end):
            ends.setdefault(_cell(end, within_mm), []).append(index)
    waiting = dict(enumerate(chains))
    while waiting:
        run = list(waiting.pop(next(iter(waiting))).segments)
        while not _meets_itself(run, within_mm) and (follower := _nearest(run[-1].end, ends, waiting, within_mm)):
            run += (replace(follower.segments[0], start=run[-1].end), *follower.segments[1:])
        yield _closed(run) if _meets_itself(run, within_mm) else Chain(tuple(run))


def _cell(p: complex, size: float) -> tuple[int, int]:
    return math.floor(p.real / size), math.floor(p.imag / size)


def _nearest(
    tail: complex, ends: dict[tuple[int, int], list[int]], waiting: dict[int, Chain], within_mm: float
) -> Chain | None:
    """The waiting chain that begins nearest, turned round where need be, taken out; None if none is near enough."""
    x, y = _cell(tail, within_mm)
    found = (index for i in (-1, 0, 1) for j in (-1, 0, 1) for index in ends.get((x + i, y + j), ()))
    near = [(min(abs(waiting[i].start - tail), abs(waiting[i].end - tail)), i) for i in found if i in waiting]
    away, index = min(near, default=(math.inf, 0))
    if away > within_mm:
        return None
    follower = waiting.pop(index)
    return follower if abs(follower.start - tail) <= abs(follower.end - tail) else follower.reversed()


def _meets_itself(run: list[Segment], within_mm: float) -> bool:
    """True when a run closes: it is no mere edge, and no run as short as the tolerance."""
    near = len(run) > 1 and abs(run[-1].end - run[0].start) <= within_mm
    return near and (within_mm <= JOIN_MM or sum(edge.length for edge in run) > 10 * within_mm)


def _closed(run: list[Segment]) -> Loop:
    """A loop of edges whose last end lies on the first start but for rounding."""
    return Loop((*run[:-1], replace(run[-1], end=run[0].start)))
