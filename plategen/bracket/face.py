"""The traced face as a flat plate meets it: by station and place along the pin, and the plane that lies along it."""

from collections.abc import Sequence

import numpy as np

from plategen.bracket.meeting import of_all
from plategen.design.base_plan import BaseBolt
from plategen.flat.clip import where_u
from plategen.flat.placement import Placement
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector, cross, dot, minus, unit
from plategen.rail.doubt import blocks_of, doubt
from plategen.rail.draws import drawn
from plategen.rail.fit.model import Floats
from plategen.rail.surface import Rail

Place = tuple[float, float]
"""A station and a place along the pin."""

_GRID = (9, 5)  # places along and across at which the face is looked at
_NEXT_SIDES = 0.25  # how far beside a bolt the face is looked at for its shim's taper, over the shim's side


def refuse_untraced(rail: Rail, ws: Place, thick_mm: float, on: str) -> None:
    """Refuse a flat plate that reaches further beyond the traced planes than its thickness, as plates are refused."""
    first, last = rail.planes_mm
    beyond = max(first - ws[0], ws[1] - last)
    if len(rail.traces) > 1 and beyond > thick_mm + 1e-9:
        words = "the {} reaches {} beyond the traced planes ({} to {}), more than its thickness; {} is right"
        there = message("traces from a plane of {} to {}", mm(ws[0], "down"), mm(ws[1], "up"))
        raise Refusal(message(words, on, mm(beyond), mm(first), mm(last), there), "rail.trace.plane")


class Face:
    """The rail's face by station and place along the pin."""

    def __init__(self, rail: Rail, on: str = "base") -> None:
        self._rail, self._on = rail, on

    def point(self, u: float, w: float) -> Vector:
        """The face's point nearest to the cylinder's line there.

        Raises:
            Refusal: It was not traced so far.
        """
        section = self._rail.section(w)
        places = where_u(section, u)
        if not places:
            words = "the {} reaches station {}, and the trace runs from {} to {}; read it as far as that"
            raise Refusal(
                message(words, self._on, mm(u), mm(section.start.real, "up"), mm(section.end.real, "down")),
                "rail.trace",
            )
        v = min(section.segments[i].point(t).imag for i, t in places)
        return u, v, w

    def plane(self, us: Place, ws: Place) -> tuple[Placement, float]:
        """The plane that lies along the face between stations and places along the pin, and the largest gap to it."""
        across = np.linspace(*ws, _GRID[1]).tolist()
        along = [(u, w) for w in across for u in self._stations(us, w)]
        points = np.array([self.point(u, w) for u, w in along])
        middle = np.array([(us[0] + us[1]) / 2, 0.0, (ws[0] + ws[1]) / 2])
        base = np.column_stack([np.ones(len(points)), points[:, 0] - middle[0], points[:, 2] - middle[2]])
        rank = base if self._rail.varies else base[:, :2]
        found, *_ = np.linalg.lstsq(rank, points[:, 1], rcond=None)
        a, b, c = (float(x) for x in (*found, 0.0)[:3])
        left = points[:, 1] - base @ np.array([a, b, c])
        a += float(left.min())
        u = unit((1.0, b, 0.0))
        n = unit(cross(u, (0.0, c, 1.0)))
        plane = Placement((float(middle[0]), a, float(middle[2])), u, cross(n, u))
        return plane, float(left.max() - left.min()) * abs(n[1])

    def _stations(self, us: Place, w: float) -> list[float]:
        """Stations at which the face is looked at: even ones, and where its pieces meet and it may stand highest."""
        ends = [edge.end.real for edge in self._rail.section(w).segments[:-1]]
        return sorted({*np.linspace(*us, _GRID[0]).tolist(), *(u for u in ends if us[0] < u < us[1])})

    def bolt(self, plane: Placement, place: Place, shim_mm: float) -> BaseBolt:
        """A bolt square to the base through the face's point at a place, under it a shim of a side."""
        (u, w), by = place, _NEXT_SIDES * shim_mm
        gap = self._gap(plane, u, w)
        along = (self._gap(plane, u + by, w) - self._gap(plane, u - by, w)) / (2.0 * by)
        across = (self._gap(plane, u, w + by) - self._gap(plane, u, w - by)) / (2.0 * by)
        at = plane.flat(self.point(u, w))
        within = of_all(np.abs(self.wider(plane, [place])[0]))
        taper = (along, across)
        return BaseBolt(at=at, station_mm=u, plane_mm=w, gap_mm=max(0.0, gap), within_mm=within, taper=taper)

    def wider(self, plane: Placement, places: Sequence[Place]) -> Floats:
        """How much wider the gap to a plane is at P places than to the fitted face, for every rail drawn, P x draws."""
        off = doubt(self._rail, [(w, np.array([complex(*self.point(u, w)[:2])])) for u, w in places])
        upright = np.abs(off.away.real * plane.normal[0] + off.away.imag * plane.normal[1])
        return np.asarray(np.einsum("pm,ms->ps", off.modes_mm / upright[:, None], drawn(blocks_of(self._rail))))

    def _gap(self, plane: Placement, u: float, w: float) -> float:
        return -dot(plane.normal, minus(self.point(u, w), plane.origin))


def lies_along(rail: Rail, us: Place, ws: Place, on: str) -> tuple[Placement, float]:
    """The plane in which a flat plate lies along the face, between stations and places along the pin, and the largest
    gap then under it.

    Raises:
        Refusal: The face was not traced so far.
    """
    return Face(rail, on).plane(us, ws)
