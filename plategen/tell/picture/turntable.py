"""The bracket as flat faces for the sheet's turning view: plain numbers that its script draws far side first.

A body is what lies between two planes across the pin, so that bodies can be put in order by eye: of two that do not
share a stretch of the pin the farther one is drawn first, and the rail goes behind or before the rest by the side it
is seen from. Within a body the faces turned towards the eye never hide each other but through holes, so walls of
holes come first.
"""

import math
from collections.abc import Iterable, Sequence
from functools import cache
from importlib import resources
from typing import Any

from plategen.bracket.envelope import barrel_start_mm, lug_outline
from plategen.bracket.measure import along_pin, drawn_out
from plategen.bracket.unfold import bodies_of
from plategen.draw.pen import Shape, chords
from plategen.flat.loop import Circle, Contour
from plategen.flat.placement import Placement, across_pin
from plategen.ground.space import Vector
from plategen.rail.tube import Tube
from plategen.work import Work

STEP_RAD, ROUND_RAD = math.radians(12), math.radians(10)
"""An arc, and a full circle, is drawn as chords that each turn no more than this."""

Face = dict[str, Any]
Body = dict[str, Any]
"""As JSON."""


@cache
def script() -> str:
    """The script that turns the view."""
    return resources.files("plategen.tell.picture").joinpath("turntable.js").read_text(encoding="utf-8")


def turntable(work: Work) -> dict[str, Any]:
    """The bodies, and the middle and reach of them all for the view to centre on; mm, a tenth is fine enough."""
    plates = work.bracket.plates
    bodies = [_body("steel", _prism(*drawn_out(plate, plate.placement))) for plate in bodies_of(work.bracket)]
    bodies += [*_pin(work), *_lugs(work), _body("rail", _rail(work, *along_pin(plates)))]
    points = [p for body in bodies for face in body["faces"] for loop in face["loops"] for p in loop]
    lows, highs = ([f(p[k] for p in points) for k in range(3)] for f in (min, max))
    middle = [(a + b) / 2 for a, b in zip(lows, highs, strict=True)]
    return {"bodies": bodies, "middle": _tidy(middle), "reach": round(math.dist(lows, highs) / 2, 1)}


def flat_points(shape: Shape) -> list[complex]:
    """The starts of the chords that stand for an outline."""
    return chords(shape, ROUND_RAD if isinstance(shape, Circle) else STEP_RAD)


def _body(kind: str, faces: list[Face]) -> Body:
    """A body with its reach along the pin, by which it has its place in the order."""
    w = [p[2] for face in faces for loop in face["loops"] for p in loop]
    return {"kind": kind, "from": min(w), "to": max(w), "faces": faces}


def _prism(outside: Contour, inside: Iterable[Contour], place: Placement, depth: float) -> list[Face]:
    """The faces of a prism: walls of holes first, then the outer walls, then both ends."""
    outer = flat_points(outside)
    holes = [points[::-1] if c.area > 0.0 else points for c in inside for points in (flat_points(c),)]
    faces: list[Face] = []
    for loop, inner in (*((hole, True) for hole in holes), (outer, False)):
        for a, b in zip(loop, (*loop[1:], loop[0]), strict=True):
            quad = [place.point(a), place.point(b), place.point(b, depth), place.point(a, depth)]
            faces.append(_face([quad], inner=inner))
    for level, step in ((0.0, -1), (depth, 1)):
        faces.append(_face([[place.point(p, level) for p in loop][::step] for loop in (outer, *holes)], lid=True))
    return faces


def _face(loops: list[list[Vector]], *, inner: bool = False, lid: bool = False) -> Face:
    return {"loops": [[_tidy(p) for p in loop] for loop in loops], "in": int(inner), "lid": int(lid)}


def _pin(work: Work) -> list[Body]:
    """The pin's ends, cut where plates and eye begin and end, so that each has its place in the order."""
    pin = work.bracket.pin
    low, high = along_pin(plate for plate in work.bracket.plates if plate.pin_hole is not None)
    over, half = pin.diameter_mm / 4, pin.eye_width_mm / 2
    ring = Circle(complex(pin.centre[0], pin.centre[1]), pin.diameter_mm / 2)
    stations = sorted({low - over, low, pin.centre[2] - half, pin.centre[2] + half, high, high + over})
    return [_body("pin", _prism(ring, (), across_pin(a), b - a)) for a, b in (stations[:2], stations[-2:])]


def _lugs(work: Work) -> list[Body]:
    """The cylinder's eye, or the cheeks of its fork, with the stub that carries it to the barrel."""
    pin = work.bracket.pin
    begins = barrel_start_mm(work.bracket, work.job.cylinder.body_diameter_mm)
    outline = lug_outline(pin, begins + pin.eye_radius_mm)
    return [_body("cylinder", _prism(outline, (), across_pin(low), width)) for low, width in pin.lugs]


def _rail(work: Work, low: float, high: float) -> list[Face]:
    """The tube, or the rail's wall in 40 strips, ruled between sections a little beyond both ends of the bracket."""
    rail = work.rail
    if isinstance(rail, Tube):
        first, last = rail.shown_mm
        return _prism(rail.profile(), (), rail.across(first), last - first)
    planes = [fitted.trace.plane_mm for fitted in rail.traces]
    beyond = 25.0 if len(planes) == 1 else 0.0
    near, far = (
        [(across_pin(w).point(p), across_pin(w).point(p + along * 1j * work.job.rail.wall_mm)) for p, along in places]
        for w in (min(low, *planes) - beyond, max(high, *planes) + beyond)
        for places in ([rail.section(w).place(k / 40) for k in range(41)],)
    )
    faces = []
    for (a, a_in), (b, b_in), (c, c_in), (d, d_in) in zip(near, near[1:], far, far[1:], strict=False):
        quads = ([a, b, d, c], [c_in, d_in, b_in, a_in], [a, a_in, b_in, b], [d, d_in, c_in, c])
        faces += [_face([quad]) for quad in quads]
    for end, step in ((0, 1), (-1, -1)):
        (a, a_in), (c, c_in) = near[end], far[end]
        faces.append(_face([[a, c, c_in, a_in][::step]]))
    return faces


def _tidy(p: Sequence[float]) -> list[float]:
    return [round(x, 1) for x in p]
