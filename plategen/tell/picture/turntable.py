"""The bracket as flat faces for the sheet's turning view: plain numbers that its script draws far side first.

A body is what lies between two planes across the pin, so that bodies can be put in order by eye: of two that do not
share a stretch of the pin the farther one is drawn first, and the rail goes behind or before the rest by the side it
is seen from. Within a body the faces turned towards the eye never hide each other but through holes, so walls of
holes come first.
"""

import math
from collections.abc import Sequence
from functools import cache
from importlib import resources
from typing import Any

from plategen.bracket.envelope import barrel_start_mm, lug_outline
from plategen.bracket.measure import along_pin, rolled_band
from plategen.bracket.model import Plate
from plategen.draw.pen import Shape, chords
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
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
    low, high = along_pin(work.bracket.plates)
    held = along_pin(p for p in work.bracket.plates if p.pin_hole is not None)
    bodies = [_plate(plate) for plate in work.bracket.plates]
    bodies += _pin(work, *held)
    bodies += [*_lugs(work), _rail(work, low, high)]
    points = [p for body in bodies for face in body["faces"] for loop in face["loops"] for p in loop]
    lows, highs = ([f(p[k] for p in points) for k in range(3)] for f in (min, max))
    middle = [(a + b) / 2 for a, b in zip(lows, highs, strict=True)]
    return {"bodies": bodies, "middle": _tidy(middle), "reach": round(math.dist(lows, highs) / 2, 1)}


def flat_points(shape: Shape) -> list[complex]:
    """The starts of the chords that stand for an outline."""
    return chords(shape, ROUND_RAD if isinstance(shape, Circle) else STEP_RAD)


def _prism(outer: Sequence[complex], holes: Sequence[Sequence[complex]], place: Any, depth: float) -> list[Face]:
    """The faces of a prism: walls of holes first, then the outer walls, then both ends."""
    faces: list[Face] = []
    for loop, inner in (*((hole, True) for hole in holes), (outer, False)):
        for a, b in zip(loop, (*loop[1:], loop[0]), strict=True):
            quad = [place.point(a), place.point(b), place.point(b, depth), place.point(a, depth)]
            faces.append(_face([quad], inner=inner))
    for level, front in ((0.0, False), (depth, True)):
        loops = [[place.point(p, level) for p in loop] for loop in (outer, *holes)]
        faces.append(_face([loop if front else loop[::-1] for loop in loops], lid=True))
    return faces


def _face(loops: list[list[Vector]], *, inner: bool = False, lid: bool = False) -> Face:
    return {"loops": [[_tidy(p) for p in loop] for loop in loops], "in": int(inner), "lid": int(lid)}


def _plate(plate: Plate) -> Body:
    if plate.rolled_mm:
        band, place, length = rolled_band(plate, plate.placement)
        outline, depth = flat_points(band), length
    else:
        outline, place, depth = flat_points(plate.outline), plate.placement, plate.thickness_mm
    holes = [flat_points(h.circle)[::-1] for h in plate.holes]
    holes += [_clockwise(flat_points(o), o) for o in plate.openings]
    w = [place.point(p, d)[2] for p in outline for d in (0.0, depth)]
    across = plate.placement.normal[2] > 0.5
    reach = sorted((plate.placement.origin[2], plate.placement.origin[2] + plate.thickness_mm))
    faces = _prism(outline, holes, place, depth)
    return {
        "kind": "steel",
        "from": _one(reach[0] if across else min(w)),
        "to": _one(reach[1] if across else max(w)),
        "faces": faces,
    }


def _clockwise(points: list[complex], loop: Loop) -> list[complex]:
    return points[::-1] if loop.area > 0.0 else points


def _pin(work: Work, low: float, high: float) -> list[Body]:
    """The pin, cut where plates and eye begin and end, so that every piece has its place in the order."""
    pin = work.bracket.pin
    centre, over = complex(pin.centre[0], pin.centre[1]), pin.diameter_mm / 4
    half = pin.eye_width_mm / 2
    ring = flat_points(Circle(centre, pin.diameter_mm / 2))
    stations = sorted({low - over, low, pin.centre[2] - half, pin.centre[2] + half, high, high + over})
    pieces = [(stations[0], stations[1]), (stations[-2], stations[-1])]
    return [
        {"kind": "pin", "from": _one(a), "to": _one(b), "faces": _prism(ring, (), across_pin(a), b - a)}
        for a, b in pieces
    ]


def _lugs(work: Work) -> list[Body]:
    """The cylinder's eye, or the cheeks of its fork, with the stub that carries it to the barrel."""
    pin = work.bracket.pin
    begins = barrel_start_mm(work.bracket, work.job.cylinder.body_diameter_mm)
    outline = flat_points(lug_outline(pin, begins + pin.eye_radius_mm))
    return [
        {
            "kind": "cylinder",
            "from": _one(low),
            "to": _one(low + width),
            "faces": _prism(outline, (), across_pin(low), width),
        }
        for low, width in pin.lugs
    ]


def _rail(work: Work, low: float, high: float) -> Body:
    """The rail's face as a strip, ruled between sections at both ends of the bracket and a little beyond."""
    if isinstance(work.rail, Tube):
        return _tube(work.rail, low, high)
    planes = [f.trace.plane_mm for f in work.rail.traces]
    beyond = 25.0 if len(planes) == 1 else 0.0
    near, far = min(low, *planes) - beyond, max(high, *planes) + beyond
    first, last = (_share(work.rail.section(w)) for w in (near, far))
    wall = work.job.rail.wall_mm
    faces = []
    for (a, at), (b, bt), (c, ct), (d, dt) in zip(first, first[1:], last, last[1:], strict=False):
        skin = [(a.real, a.imag, near), (b.real, b.imag, near), (d.real, d.imag, far), (c.real, c.imag, far)]
        back = [
            (q.real, q.imag, w)
            for q, w in ((a + at * wall, near), (b + bt * wall, near), (d + dt * wall, far), (c + ct * wall, far))
        ]
        faces += [_face([skin]), _face([back[::-1]])]
        faces += [_face([[skin[0], back[0], back[1], skin[1]]]), _face([[skin[2], back[2], back[3], skin[3]]])]
    for skin_at, back_at in ((0, 0), (-1, -1)):
        a, at = first[skin_at]
        c, ct = last[back_at]
        quad = [
            (a.real, a.imag, near),
            (c.real, c.imag, far),
            (c.real + (ct * wall).real, c.imag + (ct * wall).imag, far),
            (a.real + (at * wall).real, a.imag + (at * wall).imag, near),
        ]
        faces.append(_face([quad if skin_at == 0 else quad[::-1]]))
    return {"kind": "rail", "from": _one(near), "to": _one(far), "faces": faces}


def _tube(tube: Tube, low: float, high: float) -> Body:
    """The tube, with its own reach along the pin as its place in the order."""
    first, last = tube.shown_mm
    profile = tube.profile()
    points = flat_points(profile)
    half = tube.across_mm / 2
    near, far = (first, last) if tube.along_pin else (tube.axis_w_mm - half, tube.axis_w_mm + half)
    faces = _prism(points, (), tube.across(first), last - first)
    return {"kind": "rail", "from": _one(min(near, low)), "to": _one(max(far, high)), "faces": faces}


def _share(section: Chain) -> list[tuple[complex, complex]]:
    """Points at even shares of a section's length, each with the unit vector into the metal, 40 steps."""
    points = []
    for k in range(41):
        index, t = section.at(section.length * k / 40)
        segment = section.segments[index]
        points.append((segment.point(t), segment.tangent(t) * 1j))
    return points


def _tidy(p: Sequence[float]) -> list[float]:
    return [_one(x) for x in p]


def _one(x: float) -> float:
    return round(x, 1)
