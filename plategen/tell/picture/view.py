"""The bracket in space as a line drawing: plates, rail, pin and the cylinder's end, with hidden lines left out.

An orthographic view from the free side of the rail: the cylinder runs to the right, the rail lies above. No solid
kernel is needed, so this picture is there even when no solids are.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.bracket.envelope import barrel_start_mm, lug_outline
from plategen.bracket.feature import Feature, in_the_way
from plategen.bracket.measure import along_pin, held_along_pin
from plategen.bracket.model import Bracket
from plategen.bracket.unfold import bodies_of
from plategen.draw.svg import element, point
from plategen.flat.loop import Circle
from plategen.flat.placement import Placement, across_pin
from plategen.ground.space import Vector
from plategen.rail.surface import Rail
from plategen.rail.tube import Surface, Tube
from plategen.tell.picture.drafter import framed
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.scene import FLAT_RAD, Facet, Points, Scene, seen_pieces

TOWARDS_EYE = (-0.42, -0.46, 0.78)
"""From the scene to the eye in the plate frame: from the base end, from the cylinder's side, along the pin."""

BEYOND_MM = 25.0
"""How far the rail is drawn beyond the plates along a rail that is straight there, and the pin beyond the ears."""

LABEL = "The bracket in space"
"""The picture's name for those who cannot see it."""


def bracket_view(
    bracket: Bracket,
    rail: Surface,
    wall_mm: float,
    barrel_mm: float | None = None,
    features: tuple[Feature, ...] = (),
) -> str:
    """The picture of plates and pin on their rail, its wall so thick, as SVG that stands in a page.

    ``barrel_mm`` is the diameter of the cylinder's barrel; left out, no cylinder is drawn. ``features`` are what is on
    the rail.
    """
    return drawn(bracket_scene(bracket, rail, wall_mm, barrel_mm, features), "view", LABEL, described(bracket, rail))


def described(bracket: Bracket, rail: Surface) -> str:
    """The picture in words, for those who cannot see it."""
    names = ", ".join(map(spoken, bodies_of(bracket)))
    stands = "tube" if isinstance(rail, Tube) else "rail"
    return f"{names} on the {stands}, the pin through them, seen from the cylinder's side; hidden lines are left out."


def bracket_scene(
    bracket: Bracket,
    rail: Surface,
    wall_mm: float,
    barrel_mm: float | None = None,
    features: tuple[Feature, ...] = (),
) -> Scene:
    """What the picture shows, as bodies in space; ``barrel_mm`` and ``features`` as for :func:`bracket_view`."""
    scene = Scene()
    for plate in bodies_of(bracket):
        scene.add_plate(plate)
    for weld in bracket.welds:
        scene.add_path(weld.path, weld.placement, "weld-run")
    if isinstance(rail, Tube):
        first, last = rail.shown_mm
        scene.add_prism(rail.profile(), (rail.bore(),), rail.across(first), last - first, "rail")
        until_mm = rail.axis.real + (rail.across_mm if rail.along_pin else last)
    else:
        _add_rail(scene, bracket, rail, wall_mm)
        until_mm = rail.section(rail.planes_mm[0]).end.real
    _add_pin(scene, bracket, barrel_mm, until_mm=until_mm)
    for each in in_the_way(features):
        scene.add_prism(each.outline, (), each.placement, each.height_mm, "edge on-rail")
    return scene


@dataclass(frozen=True, slots=True)
class Stroke:
    """A piece of an edge as it is seen: its ends in the picture, its class, and the part that it belongs to."""

    start: complex
    end: complex
    kind: str
    of: str


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of a scene: the strokes, and the bounds of all of it, hidden lines too."""

    strokes: tuple[Stroke, ...]
    bounds: tuple[float, float, float, float]

    def paths(self) -> list[str]:
        """The strokes as markup, those of a class together."""
        of_kind: dict[str, list[str]] = {}
        for stroke in self.strokes:
            words = f"M{point(_tidy(stroke.start))}L{point(_tidy(stroke.end))}"
            of_kind.setdefault(stroke.kind, []).append(words)
        return [element("path", d="".join(d), class_=kind) for kind, d in of_kind.items()]


def seen(scene: Scene) -> Seen:
    """The visible pieces of a scene's edges, looked at from :data:`TOWARDS_EYE`."""
    turn = _turn(TOWARDS_EYE)
    facets = [Facet(tuple(loop @ turn.T for loop in facet.loops)) for facet in scene.facets]
    facing = [facet.normal[2] > 0.0 for facet in facets]
    edges = [e for e in scene.edges if e.between is None or facing[e.between[0]] != facing[e.between[1]]]
    starts, ends = (np.array([getattr(e, which) for e in edges]) @ turn.T for which in ("start", "end"))
    strokes = []
    for edge, start, end, pieces in zip(edges, starts, ends, seen_pieces(starts, ends, facets), strict=True):
        for begin, finish in pieces:
            p, q = (complex(*(start + (end - start) * t)[:2]) for t in (begin, finish))
            if abs(q - p) > 1e-3:
                strokes.append(Stroke(p, q, edge.kind, edge.of))
    return Seen(tuple(strokes), _bounds(np.concatenate([starts, ends])))


def projected(at: Vector) -> complex:
    """Where a point of space stands in the picture."""
    x, y, _ = _turn(TOWARDS_EYE) @ np.array(at)
    return complex(x, y)


def drawn(scene: Scene, name: str, title: str, description: str) -> str:
    """The visible edges of a scene as a picture."""
    found = seen(scene)
    return framed(name, title, description, found.bounds, found.paths())


def _turn(towards_eye: Vector) -> Points:
    """Rotation that brings ``towards_eye`` to z and keeps v upright on the page."""
    z = np.array(towards_eye) / np.linalg.norm(towards_eye)
    x = np.cross((0.0, 1.0, 0.0), z)
    x /= np.linalg.norm(x)
    rotation: Points = np.array([x, np.cross(z, x), z])
    return rotation


def _bounds(points: Points) -> tuple[float, float, float, float]:
    low, high = points[:, :2].min(axis=0), points[:, :2].max(axis=0)
    margin = 0.03 * float((high - low).max())
    return (*(float(x) - margin for x in low), *(float(x) + margin for x in high))  # type: ignore[return-value]


def _tidy(p: complex) -> complex:
    """A hundredth of a millimetre is as fine as a picture needs."""
    return complex(round(p.real, 2), round(p.imag, 2))


def _add_rail(scene: Scene, bracket: Bracket, rail: Rail, wall_mm: float) -> None:
    """The rail as a bent sheet of its wall's thickness."""
    low, high = along_pin(bracket.plates)
    planes = [fitted.trace.plane_mm for fitted in rail.traces]
    if len(planes) == 1:
        low, high = low - BEYOND_MM, high + BEYOND_MM
    stations = sorted({min(low, planes[0]), max(high, planes[-1]), *planes[1:-1]})
    sections = [rail.section(w) for w in stations]
    alike = len({len(section) for section in sections}) == 1
    turns = [max(abs(s.sweep_rad) for s in edges) for edges in zip(*sections, strict=True)] if alike else []
    counts = [max(1, math.ceil(turn / FLAT_RAD)) for turn in turns]
    rings = []
    for w, section in zip(stations, sections, strict=True):
        if alike:
            places = [(s, k / n, k == 0) for s, n in zip(section, counts, strict=True) for k in range(n)]
        else:
            steps = (section.at(section.length * k / 48) for k in range(48))
            places = [(section.segments[i], t, False) for i, t in steps]
        places.append((section.segments[-1], 1.0, True))
        skin: list[tuple[Vector, str | None]] = []
        back: list[tuple[Vector, str | None]] = []
        for index, (segment, t, joint) in enumerate(places):
            p = segment.point(t)
            at_end = index in (0, len(places) - 1)
            kind = "rail" if at_end else "bend-line" if joint else None
            skin.append(((p.real, p.imag, w), kind))
            q = p + segment.tangent(t) * 1j * wall_mm
            back.append(((q.real, q.imag, w), kind))
        rings.append(skin + back[::-1])
    scene.add_loft(rings, "rail")


def _add_pin(scene: Scene, bracket: Bracket, barrel_mm: float | None, until_mm: float) -> None:
    """The pin, and the eye of the cylinder with as much of its barrel as stands over the rail."""
    pin = bracket.pin
    u, v, w = pin.centre
    centre, radius = complex(u, v), pin.diameter_mm / 2
    low, high = held_along_pin(bracket)
    over = pin.diameter_mm / 4
    scene.add_prism(Circle(centre, radius), (), across_pin(low - over), high - low + 2 * over, "edge pin")
    if barrel_mm is None:
        return
    begins = barrel_start_mm(bracket, barrel_mm)
    lug = lug_outline(pin, begins)
    for low, width in pin.lugs:
        scene.add_prism(lug, (Circle(centre, radius),), across_pin(low), width, "edge cylinder")
    along = Placement((u + begins, v, w), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    length = max(until_mm - along.origin[0], barrel_mm)
    scene.add_prism(Circle(0j, barrel_mm / 2), (), along, length, "edge cylinder")
