"""The weld map: the bracket seen along the cylinder, with every run that crosses the view numbered where it lies.

Ringed numbers and the plates' names stand so that none covers another or a plate's edge.
"""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from operator import attrgetter

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate, WeldRun
from plategen.draw.pen import chords
from plategen.flat.chain import Chain
from plategen.flat.convex import convex_hull
from plategen.flat.loop import polygon
from plategen.flat.segment import Line, Segment, unit
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.rail.tube import Tube
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.place import Box, box_about
from plategen.tell.picture.plate_features import spoken
from plategen.work import Work

RING, APART, CLEAR = 1.15, 2.5, 1.35
"""Radius of a ring, least distance of two rings' middles, and of a ring's from an edge or a bead: in letterings."""

FAR = (2.2, 2.9, 3.7, 4.6, 5.6, 6.8, 8.2, 9.8, 11.6, 13.6)
"""Distances tried from a bead to its ring, in letterings."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What rings and names keep clear of: lines, words, beads and rings."""

    lines: tuple[Segment, ...]
    words: tuple[Box, ...]
    beads: tuple[complex, ...]


def ring_place(at: complex, way: complex, rings: Sequence[tuple[complex, complex]], taken: Taken, h: float) -> complex:
    """The middle of the ring of a bead at ``at``: near, on the side ``way`` (a unit vector), clear where that can be.

    ``rings`` are bead and middle of every ring that is placed already; ``h`` is the height of lettering.
    """
    best, least = at, math.inf
    for far in FAR:
        for k in range(24):
            p = at + far * h * cmath.rect(1.0, math.radians(15 * k))
            near, off = abs(p - at) / h, 1.2 * abs(cmath.phase((p - at) / way))
            if near + off < least and (cost := _covered(p, at, rings, taken, h) + near + off) < least:
                best, least = p, cost
    return best


def _covered(p: complex, at: complex, rings: Sequence[tuple[complex, complex]], taken: Taken, h: float) -> float:
    """What a ring at ``p`` and the line to its bead would cover, the worst dearest."""
    leader = Line(at, p)
    price = sum(400.0 for _, other in rings if abs(other - p) < APART * h)
    price += sum(400.0 for box in taken.words if box.meets(box_about(p, 2 * CLEAR * h, 2 * CLEAR * h)))
    price += sum(60.0 for bead in taken.beads if abs(bead - at) > 0.3 * h and abs(bead - p) < (CLEAR + 0.4) * h)
    price += sum(40.0 for line in taken.lines if _apart(line, p) < CLEAR * h)
    price += sum(25.0 for _, other in rings if _apart(leader, other) < CLEAR * h)
    price += sum(90.0 for box in taken.words if box.crossed(at, p))
    return price + sum(4.0 for start, end in rings if _cross(leader, Line(start, end)))


def _apart(line: Segment, p: complex) -> float:
    return abs(line.point(line.nearest(p)) - p)


def _cross(a: Line, b: Line) -> bool:
    """Whether two straight edges cross between their ends."""

    def side(line: Line, p: complex) -> float:
        return ((line.end - line.start).conjugate() * (p - line.start)).imag

    return side(a, b.start) * side(a, b.end) < 0.0 and side(b, a.start) * side(b, a.end) < 0.0


CHORD_RAD = math.radians(7.5)
"""Arcs are drawn in flats of this turn."""

LETTERING = 0.030
"""Height of lettering as a share of the picture's width: the map is shown half as wide as a plate's drawing."""


def weld_maps(work: Work) -> tuple[str, ...]:
    """The maps as SVG: seen along the cylinder, and along the pin where runs lie along it and would hide each other."""
    along_pin = tuple(run for run in work.bracket.welds if _lies_along_pin(run))
    others = tuple(run for run in work.bracket.welds if run not in along_pin)
    return tuple(_map(work, runs, view) for runs, view in ((others, END), (along_pin, SIDE)) if runs)


@dataclass(frozen=True, slots=True)
class View:
    """One way to look at the bracket: which axis of space runs across the picture, and its words."""

    axis: int
    name: str
    words: str


END = View(2, "weld-map", "Weld map, seen along the cylinder")
SIDE = View(0, "weld-map-side", "Weld map, seen along the pin from the far side")
"""Both views of the weld map."""


def _lies_along_pin(run: WeldRun) -> bool:
    """Whether a run lies mostly along the pin, so that along the cylinder its place cannot be told from others'."""
    start, end = (run.placement.point(p) for p in (run.path.start, run.path.end))
    return abs(end[2] - start[2]) > math.hypot(end[0] - start[0], end[1] - start[1])


def _map(work: Work, runs: Sequence[WeldRun], view: View) -> str:
    """A map: one direction of space across, the way to the rail upwards, cut at the middle of the runs."""
    roots = [(run, _root(run, view)) for run in runs]
    bodies = [
        (plate, _cut(plate, [at for run, at in roots if run.plate == plate.name], view))
        for plate in work.bracket.plates
    ]
    points = [p for _, corners in bodies for p in corners] + [at for _, at in roots]
    points += _tube_corners(work, view)
    w0, w1 = (f(p.real for p in points) for f in (min, max))
    v0, v1 = (f(p.imag for p in points) for f in (min, max))
    h = LETTERING * 2.2 * max(w1 - w0, 0.72 * (v1 - v0))
    drafter = Drafter(h)
    pin = work.bracket.pin
    eye = complex(pin.centre[view.axis], pin.centre[1])
    faces = list(_faces(roots, h)) if view is END else []
    names = _names(bodies, drafter)
    edges: list[Segment] = [edge for plate, corners in bodies for edge in polygon(_hull(plate, corners, view))]
    across = attrgetter("real")
    rails = [Line(min(face, key=across) - 5.0 * h, max(face, key=across) + 5.0 * h) for face in faces if face[1:]]
    edges += [Line(rail.start + up * h, rail.end + up * h) for rail in rails for up in (0j, 1.2j)]
    edges += polygon(_pin(eye, pin.diameter_mm, w0, w1, h)) if view is END else []
    taken = Taken(tuple(edges), tuple(box for _, _, box in names), tuple(at for _, at in roots))
    beads = _Beads({plate.name: sum(corners) / 4 for plate, corners in bodies}, taken, drafter, Show(work.job.units))
    content = [
        *(stroke for face in faces for stroke in _rail(face, drafter)),
        *_tube(work, view, drafter),
        *(drafter.path(polygon(_hull(plate, corners, view)), "plate") for plate, corners in bodies),
        *(
            _eye(pin.eye_width_mm, pin.eye_radius_mm, eye, pin.diameter_mm, w0, w1, drafter)
            if view is END
            else (drafter.dot(eye, pin.diameter_mm / 2, "pin-body"),)
        ),
        *beads.drawn(roots),
        *(drafter.words(words, at, kind="strong", anchor="middle") for words, at, _ in names),
    ]
    description = "; ".join(in_words(f"{r.name}: {r.plate} to {r.other}, {r.side}") for r in runs)
    boxes = [*(box for _, _, box in names), *beads.boxes]
    bounds = (
        min(w0 - 7.5 * h, *(box.low.real - 0.5 * h for box in boxes)),
        min(v0 - 3.0 * h, *(box.low.imag - 0.5 * h for box in boxes)),
        max(w1 + 7.5 * h, *(box.high.real + 0.5 * h for box in boxes)),
        max(v1 + 3.0 * h, *(box.high.imag + 0.5 * h for box in boxes)),
    )
    return framed(view.name, view.words, f"{description}.", bounds, content)


def _names(bodies: Sequence[tuple[Plate, tuple[complex, ...]]], drafter: Drafter) -> list[tuple[str, complex, Box]]:
    """The plates' names, their middles and their rectangles: in a plate that is wide enough and alone, else under all.

    Plates that hide each other in this view share a name's place.
    """
    h = drafter.height_mm
    alike: dict[tuple[complex, ...], list[str]] = {}
    for plate, corners in bodies:
        alike.setdefault(tuple(complex(round(p.real, 1), round(p.imag, 1)) for p in corners), []).append(spoken(plate))
    lowest = min(corners[0].imag for corners in alike)
    named: list[tuple[str, complex, Box]] = []
    free: list[float] = []
    for corners, names in sorted(alike.items(), key=lambda item: sum(item[0]).real):
        words, middle = ", ".join(names), sum(corners) / 4
        wide, size = drafter.width(words) + h, corners[2] - corners[0]
        others = [Box(c[0], c[2]) for c in alike if c is not corners]
        inside = box_about(middle, wide, 1.6 * h)
        if wide < size.real and 1.6 * h < size.imag and not any(inside.meets(other) for other in others):
            named.append((words, middle, inside))
            continue
        row = next((i for i, until in enumerate(free) if middle.real - wide / 2 >= until), len(free))
        free[row:] = [middle.real + wide / 2, *free[row + 1 :]]
        at = complex(middle.real, lowest - (1.2 + 1.4 * row) * h)
        named.append((words, at, box_about(at, wide, 1.4 * h)))
    return named


def _cut(plate: Plate, roots: list[complex], view: View) -> tuple[complex, ...]:
    """The corners of the plate's box in the view, anticlockwise; with a notch, cut at the middle of its highest run."""
    seen = _corners(plate, view)
    w0, w1 = (f(q.real for q in seen) for f in (min, max))
    v0, v1 = (f(q.imag for q in seen) for f in (min, max))
    if view is END and plate.notch is not None and roots:
        v1 = max(at.imag for at in roots)
    return complex(w0, v0), complex(w1, v0), complex(w1, v1), complex(w0, v1)


def _corners(plate: Plate, view: View) -> list[complex]:
    """Points along the plate's edges, as they lie in the view."""
    outside, _, place, height = drawn_out(plate, plate.placement)
    points = (place.point(p, depth) for p in chords(outside, CHORD_RAD) for depth in (0.0, height))
    return [complex(q[view.axis], q[1]) for q in points]


def _hull(plate: Plate, box: tuple[complex, ...], view: View) -> tuple[complex, ...]:
    """The plate's outline in the view: its box along the cylinder, where it is cut, and along the pin what is seen."""
    outside, _, place, _ = drawn_out(plate, plate.placement)
    looked_along = 0 if view is END else 2
    if abs(place.normal[looked_along]) > 1.0 - 1e-9 and (plate.rolled_mm or view is SIDE):
        points = [place.point(p, 0.0) for p in chords(outside, CHORD_RAD)]
        return tuple(complex(q[view.axis], q[1]) for q in points)
    if view is END:
        return box
    return tuple(complex(p) for p in convex_hull(_corners(plate, view)))


def _root(run: WeldRun, view: View) -> complex:
    """Where a run's middle lies in the view."""
    q = run.placement.point(run.path.point(run.path.length / 2))
    return complex(q[view.axis], q[1])


def _faces(roots: list[tuple[WeldRun, complex]], h: float) -> list[list[complex]]:
    """The rail's roots, those of one face of it together: their middles are level but for the face's slant."""
    faces: list[list[complex]] = []
    for at in sorted((at for run, at in roots if run.joint == "rail"), key=lambda p: p.imag):
        if faces and at.imag - faces[-1][-1].imag < 4.0 * h:
            faces[-1].append(at)
        else:
            faces.append([at])
    return faces


def _rail(roots: list[complex], drafter: Drafter) -> Iterator[str]:
    """The rail's face through the roots, as it slants along the pin, hatched behind."""
    if len(roots) < 2:
        return
    first, *_, last = sorted(roots, key=lambda p: p.real)
    along = unit(last - first) if last.real > first.real else 1 + 0j
    over = 5.0 * drafter.height_mm * along
    line = Line(first - over, last + over)
    yield drafter.path((line,), "notch")
    yield drafter.hatch(Chain((line,)), 0.8, 0.1j, 0.7 + 1.1j)


def _eye(
    width: float, radius: float, at: complex, pin_diameter: float, w0: float, w1: float, drafter: Drafter
) -> Iterator[str]:
    """The eye between the plates and the pin through all of them."""
    half = complex(width / 2, radius)
    corners = (at - half, at + half.conjugate(), at + half, at - half.conjugate())
    yield drafter.path(polygon(corners), "eye")
    pin = _pin(at, pin_diameter, w0, w1, drafter.height_mm)
    yield drafter.path(polygon(pin), "pin-body")
    yield drafter.line(
        complex(w0 - 3 * drafter.height_mm, at.imag), complex(w1 + 3 * drafter.height_mm, at.imag), "centre"
    )
    yield drafter.words("pin", complex(w0 - 3.4 * drafter.height_mm, at.imag), anchor="end", kind="datum")


def _pin(at: complex, diameter: float, w0: float, w1: float, h: float) -> tuple[complex, ...]:
    """The pin's four corners in the view."""
    over, r = 0.8 * h, diameter * 0.5j
    low, high = complex(w0 - over, at.imag) - r, complex(w1 + over, at.imag) + r
    return low, complex(high.real, low.imag), high, complex(low.real, high.imag)


def _tube_corners(work: Work, view: View) -> list[complex]:
    """The points along the tube, where it is seen end on."""
    tube = work.rail
    if not isinstance(tube, Tube):
        return []
    place = tube.across(0.0)
    if abs(place.normal[0 if view is END else 2]) < 1.0 - 1e-9:
        return []
    points = (place.point(p, 0.0) for p in chords(tube.profile(), CHORD_RAD))
    return [complex(q[view.axis], q[1]) for q in points]


def _tube(work: Work, view: View, drafter: Drafter) -> Iterator[str]:
    """The tube that the bracket stands on, where it is seen end on."""
    if corners := _tube_corners(work, view):
        yield drafter.path(polygon(corners), "rail")


@dataclass(slots=True)
class _Beads:
    """A filled triangle for each run, and its number in a ring; ``boxes`` are where rings and legs came to stand."""

    middles: dict[str, complex]
    taken: Taken
    drafter: Drafter
    show: Show
    boxes: list[Box] = field(default_factory=list)

    def drawn(self, roots: Sequence[tuple[WeldRun, complex]]) -> Iterator[str]:
        """Beads and leaders first, then the rings over them."""
        h, drafter = self.drafter.height_mm, self.drafter
        rings: list[tuple[complex, complex]] = []
        for run, at in roots:
            middle = self.middles.get(run.plate, at - 1j)
            side = 1.0 if at.real > middle.real else -1.0
            up = 1.0 if middle.imag > at.imag else -1.0  # the bead lies on the face of its plate, which stands or hangs
            leg = max(run.leg_mm, 0.6 * h)
            yield drafter.path(polygon((at, at + side * leg, at + up * leg * 1j)), "bead")
            start = at + side * 0.4 * leg + up * 0.4j * leg
            way = cmath.rect(1.0, up * (0.6 if run.side == "outside" else 1.1))
            ring = ring_place(start, complex(side * way.real, way.imag), rings, self.taken, h)
            rings.append((start, ring))
            yield drafter.line(start, ring, "dimension")
        self.boxes = [box_about(ring, 2.6 * h, 2.6 * h) for _, ring in rings]
        yield from self._legs(roots, [ring for _, ring in rings])
        for (run, _), (_, ring) in zip(roots, rings, strict=True):
            yield drafter.dot(ring, RING * h, "ring-weld")
            yield drafter.words(run.name, ring, kind="weld in-ring")

    def _legs(self, roots: Sequence[tuple[WeldRun, complex]], rings: Sequence[complex]) -> Iterator[str]:
        """The leg beside a ring where there is room; the table beside the map has every one."""
        h, drafter = self.drafter.height_mm, self.drafter
        for (run, at), ring in zip(roots, rings, strict=True):
            words = f"{self.show.short(self.show.next_mark_mm(run.laid_leg_mm))} leg"
            side = 1.0 if ring.real > at.real else -1.0
            box = box_about(ring + side * (1.6 * h + drafter.width(words) / 2), drafter.width(words), 1.2 * h)
            if any(box.meets(other) for other in (*self.boxes, *self.taken.words)) or any(
                box.meets(_around(line)) for line in self.taken.lines
            ):
                continue
            self.boxes.append(box)
            yield drafter.words(words, ring + side * 1.6 * h, anchor="start" if side > 0 else "end", kind="soft")


def _around(line: Segment) -> Box:
    """The rectangle of a straight edge; one that slants takes more than it covers."""
    u, v = sorted((line.start.real, line.end.real)), sorted((line.start.imag, line.end.imag))
    return Box(complex(u[0], v[0]), complex(u[1], v[1]))
