"""The bracket as flat faces for the turning view of sheet and page: plain numbers that its script draws.

Every body is closed, and every face looks outwards, so the script can cut through them all: what it sees of a face's
back is the cut. Points are tenths of a millimetre, and a face is said by its points' numbers, so that it stays small.
"""

import math
from collections.abc import Callable, Iterable, Iterator
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any, Literal, TypeAlias, TypedDict

from plategen.bracket.envelope import PIN_OVER, Post, barrel_start_mm, cylinder_bodies, lug_outline
from plategen.bracket.feature import Feature
from plategen.bracket.measure import along_pin, drawn_out
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.unfold import bodies_of
from plategen.checks.finding import failing_parts
from plategen.checks.load_path import BoltJoint, bolt_joints
from plategen.draw.pen import Shape, chords
from plategen.flat.loop import Circle, Contour, polygon
from plategen.flat.placement import Placement, across_pin
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.ground.space import Vector, dot, minus, unit
from plategen.rail.tube import Tube
from plategen.tell.picture.cord import Face, ring, rings, skin
from plategen.tell.picture.hose import DrawnPort, drawn_ports
from plategen.tell.picture.plate_features import spoken
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.bracket.drill_list import Shim

STEP_RAD, ROUND_RAD = math.radians(12), math.radians(15)
"""An arc, and a full circle, is drawn as chords that each turn no more than this."""

RAIL_STRIPS = 40
"""Strips in which the rail's wall is drawn."""

HEAD_HIGH, NUT_HIGH, ACROSS = 0.65, 0.9, 0.87
"""Height of a bolt's head and of its nut, and half the width over corners, in bolts (about ISO 4014; from memory)."""

HOLE_MM = 0.4
"""A hole of the rail is drawn as a dark disk so thick."""

BARREL_SHOWN = 2.5
"""As much of the barrel is drawn, in its diameters."""

HOSE_SIDES, BEAD_SIDES = 8, 6
"""Flats of a hose, and of a bead."""

Kind: TypeAlias = Literal["steel", "rail", "pin", "cylinder", "bead", "bolt", "on-rail", "hose"]
"""What a body is, by which it has its colour."""


class Body(TypedDict):
    """A closed body."""

    kind: Kind
    name: str  # As people call it.
    stops: bool  # Whether a check of it says stop.
    swings: bool  # Whether it turns with the cylinder.
    rings: int  # Of a hose, whose first ring turns with the cylinder and whose last stands still; else 0.
    faces: list[Face]


@cache
def script() -> str:
    """The script that turns the view."""
    return resources.files("plategen.tell.picture").joinpath("turntable.js").read_text(encoding="utf-8")


def turntable(work: Work) -> dict[str, Any]:
    """The bodies, the middle for the view to centre on, and about what and how far the cylinder swings; mm and rad."""
    shown = bodies(work)
    points = [p for body in shown for face in body["faces"] for loop in face for p in loop]
    lows, highs = ([f(p[k] for p in points) for k in range(3)] for f in (min, max))
    low, high = work.design.motion.swing_rad
    about = [round(x, 2) for x in work.bracket.pin.centre[:2]]
    return {
        "bodies": [_packed(body) for body in shown],
        "middle": [round((a + b) / 2, 1) for a, b in zip(lows, highs, strict=True)],
        "along": [round(lows[2], 1), round(highs[2], 1)],
        "swing": {
            "about": about,
            "from": round(low, 4),
            "to": round(high, 4),
        },
    }


def bodies(work: Work) -> list[Body]:
    """Every body that is shown; the plates come first."""
    failing = failing_parts(work.findings)

    def body(kind: Kind, name: str, faces: list[Face], *parts: str, rings: int = 0) -> Body:
        said = in_words(name)
        stops = not failing.isdisjoint((name, *parts))
        swings = kind == "cylinder"
        return {"kind": kind, "name": said, "stops": stops, "swings": swings, "rings": rings, "faces": faces}

    plates, ports = work.bracket.plates, tuple(drawn_ports(work))
    shown = [body("steel", spoken(p), _prism(*drawn_out(p, p.placement)), p.name) for p in bodies_of(work.bracket)]
    shown += [body("bead", f"bead {run.name}", _bead(run), run.name) for run in work.bracket.welds]
    shown += [body("steel", name, faces, part) for name, faces, part in _under_base(work)]
    for joint in bolt_joints(work.bracket):
        behind = work.bracket.of_role("backing") if joint.on_wall else None
        shown += [body("bolt", name, faces, *parts) for name, faces, *parts in _bolts(joint, behind)]
    shown.append(body("pin", "pin", _pin(work)))
    shown += [body("cylinder", name, faces) for name, faces in _cylinder(work, ports)]
    show = Show(work.job.units)
    for port in ports:
        if port.hose:
            name = f"hose at the {port.name} port, {show.length(port.hose_mm)} long, its way not known"
            hose = skin(rings(port.hose, port.radius_mm, HOSE_SIDES))
            shown.append(body("hose", name, hose, rings=len(port.hose)))
    shown += [body("on-rail", feature.name, _on_rail(feature)) for feature in work.features]
    on = "tube" if isinstance(work.rail, Tube) else "rail"
    shown.append(body("rail", on, _rail(work, *along_pin(plates))))
    return shown


def flat_points(shape: Shape) -> list[complex]:
    """The starts of the chords that stand for an outline."""
    return chords(shape, ROUND_RAD if isinstance(shape, Circle) else STEP_RAD)


def _packed(body: Body) -> dict[str, Any]:
    """A body with every point once, in tenths of a millimetre, and faces by their points' numbers."""
    numbers: dict[tuple[int, ...], int] = {}
    faces = [
        [[numbers.setdefault(tuple(round(10.0 * x) for x in p), len(numbers)) for p in loop] for loop in face]
        for face in body["faces"]
    ]
    said = {key: int(body[key]) for key in ("stops", "swings", "rings") if body[key]}
    at = [x for point in numbers for x in point]
    return {"kind": body["kind"], "name": body["name"], **said, "at": at, "faces": faces}


def _prism(outside: Contour, inside: Iterable[Contour], place: Placement, depth: float) -> list[Face]:
    """The faces of a prism: its walls, those of its holes among them, and both ends."""
    return _between(outside, inside, place, lambda p: 0.0, depth)


def _under_base(work: Work) -> Iterator[tuple[str, list[Face], str]]:
    """The packing under a base that is bolted to the rail and the sleeves of its bolts; none without a base."""
    if work.design.base is None:
        return
    from plategen.bracket.drill_list import shim_of
    from plategen.bracket.sleeve import sleeves

    for plate in work.bracket.packing:
        yield spoken(plate), _ground(plate, shim_of(work.design, plate.name)), plate.name
    for tube in sleeves(work.design):
        ring, bore = (Circle(0j, across / 2) for across in (tube.outside_mm, tube.bore_mm))
        yield tube.name, _prism(ring, (bore,), tube.placement, tube.length_mm), tube.name


def _ground(plate: Plate, shim: "Shim") -> list[Face]:
    """A shim as it is ground: from its corners' thickness under the base's plane up to that plane."""
    a, b, c, _ = shim.corners_mm
    along, across = (b - a) / shim.side_mm, (c - b) / shim.side_mm
    stock, middle = plate.thickness_mm, plate.holes[0].circle.centre

    def ground_mm(p: complex) -> float:
        off = p - middle
        return stock - shim.thickness_mm - along * off.real - across * off.imag

    holes = tuple(hole.circle for hole in plate.holes)
    return _between(plate.outline, holes, plate.placement, ground_mm, stock)


def _between(
    outside: Contour, inside: Iterable[Contour], place: Placement, low: Callable[[complex], float], high: float
) -> list[Face]:
    """The faces of what stands between a plane's parallel at a height and another face under it."""
    outer = flat_points(outside)
    holes = [points[::-1] if c.area > 0.0 else points for c in inside for points in (flat_points(c),)]
    faces: list[Face] = []
    for loop in (outer, *holes):
        for a, b in zip(loop, (*loop[1:], loop[0]), strict=True):
            faces.append([[place.point(a, low(a)), place.point(b, low(b)), place.point(b, high), place.point(a, high)]])
    faces.append([[place.point(p, low(p)) for p in loop][::-1] for loop in (outer, *holes)])
    faces.append([[place.point(p, high) for p in loop] for loop in (outer, *holes)])
    return faces


def _bead(run: WeldRun) -> list[Face]:
    """A run as a cord about its root, of which a quarter or so stands out of the steel, as a bead does."""
    points = [*chords(run.path, STEP_RAD), run.path.end]
    place, about = run.placement, []
    for before, p, after in zip((points[0], *points), points, (*points[1:], points[-1]), strict=False):
        along = after - before
        across = place.point(1j * along / (abs(along) or 1.0))
        aside = unit(minus(across, place.origin))
        about.append(ring(place.point(p), aside, place.normal, 0.75 * run.leg_mm, BEAD_SIDES))
    return skin(about)


def _on_rail(feature: Feature) -> list[Face]:
    """What is on the rail as it stands out; a hose round, as far as its height and its width let it."""
    high, place = feature.height_mm or HOLE_MM, feature.placement
    if feature.kind != "hose":
        return _prism(feature.outline, (), place, high)
    (u0, v0, u1, v1), n = feature.outline.bounds, place.normal
    along_u = u1 - u0 >= v1 - v0
    half, at = ((v1 - v0) / 2, complex(u0, 0.0)) if along_u else ((u1 - u0) / 2, complex(0.0, v0))
    begins = place.point(at, high / 2)
    end = Placement(begins, place.v, n) if along_u else Placement(begins, n, place.u)
    round_it = (2.0 * math.pi * k / HOSE_SIDES for k in range(HOSE_SIDES))
    across = [complex(half * math.cos(t), high / 2 * math.sin(t)) for t in round_it]
    section = across if along_u else [complex(p.imag, p.real) for p in across][::-1]
    return _prism(polygon(section), (), end, max(u1 - u0, v1 - v0))


def _bolts(joint: BoltJoint, behind: Plate | None) -> Iterator[tuple[str, list[Face], str, str]]:
    """Each bolt's head and nut, beyond both plates that it holds and what is behind, with the shank between them."""
    upper, lower = joint.upper, joint.lower
    place, normal = upper.placement, upper.placement.normal
    for hole, under in zip(joint.upper_holes, joint.lower_holes, strict=True):
        at, d = hole.circle.centre, hole.bolt_mm
        ends = [lower.placement.point(under.circle.centre, depth) for depth in (0.0, lower.thickness_mm)]
        if behind is not None:
            ends.append(behind.placement.origin)
        levels = [0.0, upper.thickness_mm, *(dot(minus(p, place.origin), normal) for p in ends)]
        low, high = min(levels), max(levels)
        hexagon = polygon([at + ACROSS * d * complex(math.cos(t), math.sin(t)) for t in _sixths()])
        parts = ((hexagon, high, HEAD_HIGH * d), (Circle(at, d / 2), low, high - low), (hexagon, low, -NUT_HIGH * d))
        faces = [
            face
            for shape, level, deep in parts
            for face in _prism(shape, (), _lifted(place, min(level, level + deep)), abs(deep))
        ]
        yield f"{hole.name}, {spoken(upper)} to {lower.name}", faces, upper.name, hole.name


def _sixths() -> list[float]:
    return [k * math.pi / 3.0 for k in range(6)]


def _lifted(place: Placement, depth: float) -> Placement:
    return Placement(place.point(0j, depth), place.u, place.v)


def _pin(work: Work) -> list[Face]:
    """The pin, as far as it stands out of plates and eye."""
    pin = work.bracket.pin
    low, high = along_pin(plate for plate in work.bracket.plates if plate.pin_hole is not None)
    over, half = pin.diameter_mm * PIN_OVER, pin.eye_width_mm / 2
    low, high = min(low, pin.centre[2] - half) - over, max(high, pin.centre[2] + half) + over
    ring = Circle(complex(pin.centre[0], pin.centre[1]), pin.diameter_mm / 2)
    return _prism(ring, (), across_pin(low), high - low)


def _cylinder(work: Work, ports: tuple[DrawnPort, ...]) -> Iterator[tuple[str, list[Face]]]:
    """The cylinder's eye, or the cheeks of its fork, with the stub to the barrel, its beginning, and its ports.

    The barrel is shown as far as the last port that the steering tells.
    """
    pin, job = work.bracket.pin, work.job
    diameter = job.cylinder.body_diameter_mm
    begins = barrel_start_mm(work.bracket, diameter)
    outline = lug_outline(pin, begins + pin.eye_radius_mm)
    for low, width in pin.lugs:
        yield "cylinder's eye", _prism(outline, (), across_pin(low), width)
    (u, v, w), ahead = pin.centre, ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    barrel = Placement((u + begins, v, w), *ahead)
    shown = max(BARREL_SHOWN * diameter, *(port.station_mm + diameter - begins for port in ports), 0.0)
    yield "barrel", _prism(Circle(0j, diameter / 2), (), barrel, shown)
    for screwed in ports:
        post = rings((screwed.face_mm, screwed.tip_mm), screwed.radius_mm, HOSE_SIDES)
        if screwed.face_mm != screwed.tip_mm:
            yield f"{screwed.name} port with its fitting", skin(post)
    for port in cylinder_bodies(job, begins):
        if port.part != "port" or not isinstance(port, Post):
            continue
        yield f"port {port.name}, where its hose leaves", _port(port, pin.centre)


def _port(port: Post, pin: Vector) -> list[Face]:
    """A port as it stands out of the barrel, which lies along x."""
    u, v = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) if port.axis == 2 else ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    x, y, z = (pin[k] + (port.low_mm if k == port.axis else port.through[k]) for k in range(3))
    return _prism(Circle(0j, port.radius_mm), (), Placement((x, y, z), u, v), port.high_mm - port.low_mm)


def _rail(work: Work, low: float, high: float) -> list[Face]:
    """The tube, or the rail's wall in strips, ruled between sections a little beyond both ends of the bracket."""
    rail = work.rail
    if isinstance(rail, Tube):
        first, last = rail.shown_mm
        return _prism(rail.profile(), (), rail.across(first), last - first)
    planes = [fitted.trace.plane_mm for fitted in rail.traces]
    beyond = 25.0 if len(planes) == 1 else 0.0
    near, far = (
        [(across_pin(w).point(p), across_pin(w).point(p + along * 1j * work.job.rail.wall_mm)) for p, along in places]
        for w in (min(low, *planes) - beyond, max(high, *planes) + beyond)
        for places in ([rail.section(w).place(k / RAIL_STRIPS) for k in range(RAIL_STRIPS + 1)],)
    )
    faces: list[Face] = []
    for (a, a_in), (b, b_in), (c, c_in), (d, d_in) in zip(near, near[1:], far, far[1:], strict=False):
        faces += [[[a, b, d, c]], [[c_in, d_in, b_in, a_in]], [[a, a_in, b_in, b]], [[d, d_in, c_in, c]]]
    for end, step in ((0, 1), (-1, -1)):
        (a, a_in), (c, c_in) = near[end], far[end]
        faces.append([[a, c, c_in, a_in][::step]])
    return faces
