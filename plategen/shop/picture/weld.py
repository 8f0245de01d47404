"""The weld map: the bracket seen along the cylinder, with every run that crosses the view numbered where it lies."""

from collections.abc import Iterator

from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.rolled import rolled_band
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import Line, unit
from plategen.quantity import Show
from plategen.shop.picture.pen import Pen, framed
from plategen.shop.picture.plate_place import spaced
from plategen.shop.picture.plate_words import spoken
from plategen.shop.picture.svg import circle_data, element, path_data
from plategen.shop.work import Work

LETTERING = 0.030
"""Height of lettering as a share of the picture's width: the map is shown half as wide as a plate's drawing."""


def weld_map(work: Work) -> str:
    """The map as SVG: the pin's direction across, the way to the rail upwards, cut at the middle of the runs."""
    roots = [(run, _root(run)) for run in work.bracket.welds]
    bodies = [
        (plate, _cut(plate, [at for run, at in roots if run.plate == plate.name])) for plate in work.bracket.plates
    ]
    points = [p for _, corners in bodies for p in corners] + [at for _, at in roots]
    w0, w1 = (f(p.real for p in points) for f in (min, max))
    v0, v1 = (f(p.imag for p in points) for f in (min, max))
    h = LETTERING * 2.2 * max(w1 - w0, 0.6 * (v1 - v0))
    pen = Pen(h)
    pin = work.bracket.pin
    eye = complex(pin.centre[2], pin.centre[1])
    content = [
        *(stroke for face in _faces(roots, h) for stroke in _rail(face, h)),
        *(element("path", d=path_data(_box(corners), closed=True), class_="plate") for _, corners in bodies),
        *_eye(pin.eye_width_mm, pin.eye_radius_mm, eye, pin.diameter_mm, w0, w1, pen),
        *_beads({plate.name: corners for plate, corners in bodies}, roots, pen, Show(work.job.units)),
        *_names(bodies, v0, pen),
    ]
    told = "; ".join(f"{r.name}: {r.plate.replace('_', ' ')} to {r.other}, {r.side}" for r in work.bracket.welds)
    bounds = (w0 - 7.5 * h, v0 - 4.0 * h, w1 + 7.5 * h, v1 + 3.0 * h)
    return framed("weld-map", "Weld map, seen along the cylinder", f"{told}.", bounds, content)


def _names(bodies: list[tuple[Plate, tuple[complex, ...]]], v0: float, pen: Pen) -> Iterator[str]:
    """The plates' names under them, a line lower where the one before is too near."""
    free: list[float] = []
    for plate, corners in sorted(bodies, key=lambda body: sum(body[1]).real):
        at, half = sum(corners).real / 4, pen.width(spoken(plate)) / 2 + 0.5 * pen.height_mm
        row = next((i for i, until in enumerate(free) if at - half >= until), len(free))
        free[row:] = [at + half] if row == len(free) else [at + half, *free[row + 1 :]]
        yield pen.words(spoken(plate), complex(at, v0 - (1.2 + 1.3 * row) * pen.height_mm), kind="strong")


def _cut(plate: Plate, roots: list[complex]) -> tuple[complex, ...]:
    """The plate's four corners in the view, anticlockwise; with a notch, cut at the middle of its highest run."""
    edges, place, height = plate.outline, plate.placement, plate.thickness_mm
    if plate.rolled_mm:
        edges, place, height = rolled_band(plate, plate.placement)
    seen = [place.point(p, depth) for s in edges for p in (s.start, s.point(0.5)) for depth in (0.0, height)]
    w0, w1 = (f(q[2] for q in seen) for f in (min, max))
    v0, v1 = (f(q[1] for q in seen) for f in (min, max))
    if plate.notch is not None and roots:
        v1 = max(at.imag for at in roots)
    return complex(w0, v0), complex(w1, v0), complex(w1, v1), complex(w0, v1)


def _root(run: WeldRun) -> complex:
    """Where a run's middle lies in the view."""
    q = run.placement.point(run.path.point(run.path.length / 2))
    return complex(q[2], q[1])


def _box(corners: tuple[complex, ...]) -> list[Line]:
    return [Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)]


def _faces(roots: list[tuple[WeldRun, complex]], h: float) -> list[list[complex]]:
    """The rail's roots, those of one face of it together: their middles are level but for the face's slant."""
    faces: list[list[complex]] = []
    for at in sorted((at for run, at in roots if run.other == "rail"), key=lambda p: p.imag):
        if faces and at.imag - faces[-1][-1].imag < 4.0 * h:
            faces[-1].append(at)
        else:
            faces.append([at])
    return faces


def _rail(roots: list[complex], h: float) -> Iterator[str]:
    """The rail's face through the roots, as it slants along the pin, hatched behind."""
    if len(roots) < 2:
        return
    first, *_, last = sorted(roots, key=lambda p: p.real)
    along = unit(last - first) if last.real > first.real else 1 + 0j
    line = Line(first - 5.0 * h * along, last + 5.0 * h * along)
    yield element("path", d=path_data([line]), class_="notch")
    strokes = [
        path_data([Line(at + tangent * 0.1j * h, at + tangent * (0.7 + 1.1j) * h)])
        for at, tangent in spaced(Chain((line,)), 0.8 * h)
    ]
    yield element("path", d="".join(strokes), class_="hatch")


def _eye(
    width: float, radius: float, at: complex, pin_diameter: float, w0: float, w1: float, pen: Pen
) -> Iterator[str]:
    """The eye between the plates and the pin through all of them."""
    half = complex(width / 2, radius)
    corners = (at - half, at + half.conjugate(), at + half, at - half.conjugate())
    yield element("path", d=path_data(_box(corners), closed=True), class_="eye")
    over, r = 0.8 * pen.height_mm, pin_diameter * 0.5j
    low, high = complex(w0 - over, at.imag) - r, complex(w1 + over, at.imag) + r
    pin = (low, complex(high.real, low.imag), high, complex(low.real, high.imag))
    yield element("path", d=path_data(_box(pin), closed=True), class_="pin-body")
    yield pen.path([Line(complex(w0 - 3 * pen.height_mm, at.imag), complex(w1 + 3 * pen.height_mm, at.imag))], "centre")
    yield pen.words("pin", complex(w0 - 3.4 * pen.height_mm, at.imag), anchor="end", kind="datum")


def _beads(
    plates: dict[str, tuple[complex, ...]], roots: list[tuple[WeldRun, complex]], pen: Pen, show: Show
) -> Iterator[str]:
    """A filled triangle for each run, and its number in a ring that covers no other."""
    h = pen.height_mm
    rings: list[complex] = []
    legs = {run.leg_mm for run, _ in roots}
    for run, at in roots:
        middle = sum(plates[run.plate]) / 4 if run.plate in plates else at
        side = 1.0 if at.real > middle.real else -1.0
        leg = max(run.leg_mm, 0.6 * h)
        bead = path_data([Line(at, at + side * leg), Line(at + side * leg, at - leg * 1j)], closed=True)
        yield element("path", d=bead, class_="bead")
        beside = side * (leg + (1.6 if run.side == "outside" else 0.7) * h)
        first = 1.6 if run.side == "outside" else 2.4
        tried = [
            at + beside * (1 + 0.8 * away) - (first + 1.3 * down) * 1j * h for away in range(4) for down in range(9)
        ]
        ring = next((p for p in tried if all(abs(p - other) > 2.5 * h for other in rings)), tried[-1])
        rings.append(ring)
        yield pen.path([Line(at + side * 0.4 * leg - 0.4j * leg, ring)], "dimension")
        if run.side == "outside" and len(legs) == 1:
            anchor = "start" if side > 0 else "end"
            yield pen.words(f"{show.short(run.leg_mm)} leg", ring + side * 1.6 * h, anchor=anchor, kind="soft")
    for (run, _), ring in zip(roots, rings, strict=True):
        yield element("path", d=circle_data(Circle(ring, 1.15 * h)), class_="ring-weld")
        yield pen.words(run.name, ring, kind="weld")
