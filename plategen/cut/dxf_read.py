"""A DXF file read back as contours: for proving what was written, and for plates that others drew.

Closed polylines and circles are contours as they stand; loose lines, arcs and open polylines are joined end to end
into contours where they meet. What has no exact place here (splines, ellipses, text) is named, never guessed at.
"""

import io
import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Any

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM

MM_PER_INSUNITS = {1: float(INCH_MM), 2: 12 * float(INCH_MM), 4: 1.0, 5: 10.0, 6: 1000.0}
"""Millimetres a unit by ``$INSUNITS``: inches, feet, millimetres, centimetres, metres (AutoCAD DXF reference)."""

JOIN_MM = 1e-3
"""Loose ends nearer than this meet: a hundred times what ten digits of a metre leave, and far under a torch's width."""

MOST_MM = 1e6
"""A coordinate beyond a kilometre, or a bulge so large, is damage."""

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
    declared = MM_PER_INSUNITS.get(int(drawing.header.get("$INSUNITS", 0)))
    scale = mm_per_unit or declared or 1.0
    closed: list[tuple[str, Contour]] = []
    loose: dict[str, list[Chain]] = {}
    strange: dict[str, None] = {}
    layers: dict[str, None] = {}
    for entity in drawing.modelspace():
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
        for joined in _joined(chains):
            if isinstance(joined, Loop):
                closed.append((layer, joined))
            else:
                open_chains.append((layer, joined))
    return Drawn(
        mm_per_unit=mm_per_unit or declared,
        contours=tuple(closed),
        chains=tuple(open_chains),
        strange=tuple(strange),
        layers=tuple(layers),
    )


def _shape(entity: Any, scale: float) -> Contour | Chain | None:
    """One entity as a contour if it is closed, else as a chain; None if it has no length."""
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
        vertices = [(complex(v.dxf.location.x, v.dxf.location.y) * scale, v.dxf.bulge) for v in entity.vertices]
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


def _joined(chains: list[Chain]) -> Iterator[Loop | Chain]:
    """Runs of chains that meet end to end, turned round where need be; closed ones as loops."""
    waiting = list(chains)
    while waiting:
        run = list(waiting.pop(0).segments)
        while abs(run[-1].end - run[0].start) > JOIN_MM or len(run) == 1:
            tail = run[-1].end
            follower = next((c for c in waiting if min(abs(c.start - tail), abs(c.end - tail)) <= JOIN_MM), None)
            if follower is None:
                break
            waiting.remove(follower)
            ahead = follower if abs(follower.start - tail) <= JOIN_MM else follower.reversed()
            run += (replace(ahead.segments[0], start=tail), *ahead.segments[1:])
        if len(run) > 1 and abs(run[-1].end - run[0].start) <= JOIN_MM:
            yield _closed(run)
        else:
            yield Chain(tuple(run))


def _closed(run: list[Segment]) -> Loop:
    """A loop of edges whose last end lies on the first start but for rounding."""
    return Loop((*run[:-1], replace(run[-1], end=run[0].start)))
