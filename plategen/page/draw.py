"""The drawing that moves: bracket, rail and cylinder seen along the pin, in the straightedge's frame.

The straightedge stays where it is clamped, so what is dragged is what a hand would move at the machine: the pin along
and off it, the foot's ends along the rail, a reading off its mark. What may be held carries ``data-hold``.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plategen.bracket.envelope import barrel_start_mm
from plategen.bracket.measure import box_corners
from plategen.bracket.model import Plate
from plategen.checks.finding import failing_parts
from plategen.draw.svg import element, number, path_data, text_of
from plategen.flat.chain import Chain
from plategen.flat.convex import convex_hull
from plategen.flat.loop import Circle, Loop, polygon
from plategen.flat.segment import Line, Segment
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.page.handles import feet, handles, shift_of
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.on_rail import side_shape
from plategen.tell.picture.plate_features import LIE_ON_RAIL
from plategen.tell.picture.plate_station import numbered, step_mm
from plategen.work import Work

LETTERING = 0.028
"""Height of lettering as a share of the drawing's width: 11 px on a phone of 390 px, half as much again on a desk."""

Box = tuple[float, float, float, float]
"""Left, top, width and height of what is seen."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A plate as it is seen along the pin: its contours in the straightedge's frame, and where its middle lies."""

    name: str
    outline: tuple[Segment, ...]
    rings: tuple[Circle, ...]
    openings: tuple[tuple[Segment, ...], ...]
    w_mm: float

    @property
    def data(self) -> str:
        """Every contour as path data."""
        return path_data(*(Loop(edges) for edges in (self.outline, *self.openings)), *self.rings)


def drawing(work: Work, saved: Work | None, trace: str = "") -> str:
    """The drawing as SVG that stands in the page.

    The plates of ``saved``, the job as last saved, are drawn as ghosts where they differ. Shown are the readings of the
    trace of that name, of the first if there is none.
    """
    show, shift, plates = Show(work.job.units), shift_of(work), seen(work)
    fitted = next((f for f in work.rail.traces if f.trace.file == trace), next(iter(work.rail.traces), None))
    bounds = _bounds(plates, work, shift)
    drafter = Drafter(LETTERING * (bounds[2] - bounds[0]) / (1.0 - 6.0 * LETTERING))
    h = drafter.height_mm
    failing = failing_parts(work.findings)
    ghosts = () if saved is None else seen(saved)
    content = (
        *(_rail(work, fitted, drafter) if fitted else ()),
        *_cylinder(work, shift, bounds, drafter),
        *_lying(work, shift, failing),
        *(element("path", d=p.data, class_=_look(p.name, failing, near=p is plates[-1])) for p in plates),
        *_on_rail(work, shift, drafter),
        *(_straightedge(work.job.units, bounds, drafter, show) if fitted else ()),
        *(element("path", d=g.data, class_="ghost") for g in ghosts if g not in plates),
        *(_readings(fitted, drafter, show) if fitted else ()),
        *(_feet(work, shift, drafter, show) if fitted else ()),
        *_slides(work, drafter, show),
        _pin(work, shift, bounds, drafter, show, movable=fitted is not None and work.job.mount.pin == "here"),
    )
    box = (bounds[0] - 3 * h, bounds[1] - 3.4 * h, bounds[2] + 3 * h, bounds[3] + 2.6 * h)
    return _framed(box, _description(work, show, any(g not in plates for g in ghosts)), content)


def sketch(points: Sequence[complex], units: Units) -> str:
    """The readings of a trace that cannot be carried through yet, as they hang from the straightedge."""
    show = Show(units)
    u0, u1 = (f(p.real for p in points) for f in (min, max))
    v0, v1 = (f(0.0, *(p.imag for p in points)) for f in (min, max))
    margin = 0.15 * max(u1 - u0, v1 - v0, 25.4)
    bounds = (u0 - margin, v0 - margin, u1 + margin, v1 + margin)
    drafter = Drafter(LETTERING * (bounds[2] - bounds[0]) / (1.0 - 6.0 * LETTERING))
    h = drafter.height_mm
    content = (
        *_straightedge(units, bounds, drafter, show),
        drafter.polyline(tuple(points), "rail-face"),
        *(drafter.line(complex(p.real, 0), p, "grid") for p in points),
        *(element("path", d=path_data(Circle(p, 0.3 * h)), class_="reading") for p in points),
    )
    box = (bounds[0] - 3 * h, bounds[1] - 3.4 * h, bounds[2] + 3 * h, bounds[3] + 2.6 * h)
    return _framed(box, f"{len(points)} readings as typed; the bracket follows.", content, "What is typed of the rail")


def seen(work: Work) -> tuple[Seen, ...]:
    """The plates that lie across the pin, the farthest first."""
    found = [_seen(plate, shift_of(work)) for plate in work.bracket.plates if abs(plate.placement.normal[2]) > 0.5]
    return tuple(sorted(found, key=lambda s: s.w_mm, reverse=True))


def _seen(plate: Plate, shift: complex) -> Seen:
    place = plate.placement
    turn, at = complex(place.u[0], place.u[1]), complex(place.origin[0], place.origin[1]) + shift
    flipped = place.normal[2] < 0.0

    def moved(loop: Loop) -> tuple[Segment, ...]:
        chain = Chain(loop.segments)
        return (chain.mirrored() if flipped else chain).moved(turn, at).segments

    rings = tuple(
        Circle((h.circle.centre.conjugate() if flipped else h.circle.centre) * turn + at, h.circle.radius)
        for h in plate.holes
    )
    middle = place.point(0j, plate.thickness_mm / 2)[2]
    return Seen(plate.name, moved(plate.outline), rings, tuple(moved(o) for o in plate.openings), middle)


def _bounds(plates: Iterable[Seen], work: Work, shift: complex) -> Box:
    pin, centre = work.bracket.pin, _pin_at(work, shift)
    reach = complex(1, 1) * max(pin.eye_radius_mm, work.job.cylinder.body_diameter_mm / 2)
    points = [centre - reach, centre + reach]
    points += [s.point(t) for plate in plates for s in plate.outline for t in (0.0, 0.25, 0.5, 0.75)]
    for fitted in work.rail.traces:
        points += [s.point(t) for s in fitted.chain for t in (0.0, 0.5, 1.0)] + [0j]
        points += [r.point for r in fitted.trace.readings]
    (u0, v0), (u1, v1) = ((f(p.real for p in points), f(p.imag for p in points)) for f in (min, max))
    return u0, v0, u1, v1


def _pin_at(work: Work, shift: complex) -> complex:
    return complex(*work.bracket.pin.centre[:2]) + shift


def _straightedge(units: Units, bounds: Box, drafter: Drafter, show: Show) -> Iterator[str]:
    u0, u1, h = bounds[0], bounds[2], drafter.height_mm
    yield element("rect", x=u0 - h, y=0.0, width=u1 - u0 + 2 * h, height=1.9 * h, class_="rule")
    step = step_mm(u1 - u0, units, int((u1 - u0) / (2.4 * h)))
    for i in range(math.ceil(u0 / step - 1e-6), math.floor(u1 / step + 1e-6) + 1):
        yield drafter.line(complex(i * step, 0), complex(i * step, -0.45 * h), "tick")
        yield drafter.words(numbered(show, i * step), complex(i * step, -1.2 * h), kind="datum", size=0.85)


def _rail(work: Work, shown: FittedTrace, drafter: Drafter) -> Iterator[str]:
    for fitted in work.rail.traces:
        if fitted is not shown:
            yield drafter.path(fitted.chain, "other-trace")
    yield drafter.hatch(shown.chain, 0.75, 0.12j, 0.7 + 1.1j)
    yield drafter.path(shown.chain, "rail-face")


def _look(name: str, failing: frozenset[str], *, near: bool = False) -> str:
    return f"plate {'near' if near else 'far'}{' failing' if name in failing else ''}"


def _lying(work: Work, shift: complex, failing: frozenset[str]) -> Iterator[str]:
    """A base and what lies behind the wall, seen from the side."""
    for plate in work.bracket.plates:
        if plate.role in LIE_ON_RAIL:
            corners = [complex(p[0], p[1]) + shift for p in box_corners(plate)]
            yield element(
                "path", d=path_data(polygon(convex_hull(corners, 1e-6).tolist())), class_=_look(plate.name, failing)
            )


def _on_rail(work: Work, shift: complex, drafter: Drafter) -> Iterator[str]:
    """What is on the rail, each with its name."""
    for feature in work.features:
        shape = side_shape(feature, work.job.rail.wall_mm).moved(shift=shift)
        yield element("path", d=path_data(shape), class_="on-rail")
        u0, _, u1, v1 = shape.bounds
        at = complex((u0 + u1) / 2, v1 + 0.8 * drafter.height_mm)
        yield drafter.words(feature.name, at, kind="doubt", size=0.85)


def _cylinder(work: Work, shift: complex, bounds: Box, drafter: Drafter) -> Iterator[str]:
    """Centre line, eye and as much of the barrel as stands in the picture."""
    pin, at, h = work.bracket.pin, _pin_at(work, shift), drafter.height_mm
    half = work.job.cylinder.body_diameter_mm / 2
    begins = at.real + barrel_start_mm(work.bracket, 2 * half)
    right = bounds[2] + 1.4 * h
    if right > begins:
        yield element("rect", x=begins, y=-at.imag - half, width=right - begins, height=2 * half, class_="barrel")
    yield drafter.dot(at, pin.eye_radius_mm, "eye")
    yield drafter.line(complex(bounds[0] - 2 * h, at.imag), complex(right, at.imag), "centre")


def _readings(fitted: FittedTrace, drafter: Drafter, show: Show) -> Iterator[str]:
    h, file = drafter.height_mm, fitted.trace.file
    for i, reading in enumerate(fitted.trace.readings):
        at, doubtful = reading.point, i in fitted.doubtful
        if not fitted.trace.round_corner:
            yield drafter.line(complex(at.real, 0), at, "grid")
        look = {"d": path_data(Circle(at, 0.3 * h)), "class_": "reading doubtful" if doubtful else "reading"}
        words = f"Reading at {show.length(at.real)}: {show.length(at.imag)}"
        yield element("path", "", **look, **_hold("reading", at, file=file, line=reading.line, words=words))
        if doubtful:
            yield drafter.dot(at, 0.95 * h, "ring")
            right = at.real < fitted.trace.readings[-1].point.real - 8 * h
            beside, anchor = (1.4 * h, "start") if right else (-1.4 * h, "end")
            yield drafter.words(f"read {show.short(at.real)} again", at + beside, anchor=anchor, kind="doubt")


def _feet(work: Work, shift: complex, drafter: Drafter, show: Show) -> Iterator[str]:
    h = drafter.height_mm
    for i, foot in enumerate(feet(work)):
        at = foot + shift
        mark = drafter.polyline((at, at + (-0.8 + 1.6j) * h, at + (0.8 + 1.6j) * h, at), "knob")
        stem = drafter.line(at, at - 1.2j * h, "knob-stem")
        name, words = ("Foot begins", "Foot ends")[i], show.length(foot.real)
        held = _hold(f"foot {i}", at, words=f"{name}: {words}")
        yield element("g", mark + stem, class_="hold", **held, **_slider(name, foot.real, words))
        yield drafter.words(show.short(foot.real), at + 2.5j * h, kind="strong on-steel", size=1.0)


def _pin(work: Work, shift: complex, bounds: Box, drafter: Drafter, show: Show, *, movable: bool) -> str:
    pin, at, h = work.bracket.pin, _pin_at(work, shift), drafter.height_mm
    ring = drafter.dot(at, pin.diameter_mm / 2, "pin-hole")
    knob = drafter.dot(at, 0.62 * h, "knob")
    cross = [Line(at - d * 1.5 * h, at + d * 1.5 * h) for d in (1, 1j)]
    marks = "".join(drafter.path([line], "centre") for line in cross)
    words = f"pin {show.short(pin.centre[0])}, {show.short(work.rail.inline_offset_mm)} off" if movable else "pin"
    label = drafter.words(words, complex(at.real, bounds[1] - 1.6 * h), kind="datum strong", size=1.0)
    if not movable:
        return ring + marks + label
    words = f"station {show.length(pin.centre[0])}, in-line offset {show.length(work.rail.inline_offset_mm)}"
    slider = _slider("Pin", pin.centre[0], words)
    return element("g", ring + marks + knob, class_="hold", **_hold("pin", at, words=f"Pin: {words}"), **slider) + label


def _slides(work: Work, drafter: Drafter, show: Show) -> Iterator[str]:
    """What slides one way, as a lozenge that points there and back."""
    h = drafter.height_mm
    for each in handles(work):
        along, across = 0.95 * h * each.way, 0.5j * h * each.way
        lozenge = (each.at + along, each.at + across, each.at - along, each.at - across, each.at + along)
        words = show.length(each.value_mm)
        told = f"{each.name}: {words}"
        mark = element("title", text_of(told)) + drafter.polyline(lozenge, "knob")
        slider = _slider(each.name, each.value_mm, words)
        yield element(
            "g",
            mark,
            class_="hold",
            **_hold(each.what, each.at, words=told, way=f"{each.way.real:g} {each.way.imag:g}"),
            **slider,
        )


def _hold(what: str, at: complex, **more: object) -> dict[str, object]:
    """What the page's script needs to take hold of something: what it is, and where, mm."""
    extra = {f"data_{key}": str(value) for key, value in more.items()}
    return {"data_hold": what, "data_u": number(at.real), "data_v": number(at.imag), **extra}


def _slider(name: str, value_mm: float, words: str) -> dict[str, object]:
    """What makes a mark a control for the keyboard and for those who hear the page."""
    return {
        "tabindex": "0",
        "role": "slider",
        "aria_label": f"{name}: drag, or arrow keys",
        "aria_valuenow": number(round(value_mm, 2)),
        "aria_valuetext": words,
    }


def _description(work: Work, show: Show, ghosts: bool) -> str:
    pin = work.bracket.pin
    doubtful = sum(len(f.doubtful) for f in work.rail.traces)
    return (
        f"{len(work.bracket.plates)} plates, the pin at station {show.length(pin.centre[0])}, in-line offset "
        f"{show.length(work.rail.inline_offset_mm)}."
        + (f" {doubtful} doubtful readings are ringed." if doubtful else "")
        + (" Dashed lines: the plates as last saved." if ghosts else "")
    )


def _framed(box: Box, words: str, content: Iterable[str], title: str = "The bracket, seen along the pin") -> str:
    u0, v0, u1, v1 = box
    return element(
        "svg",
        "".join((element("title", title), element("desc", text_of(words)), *content)),
        xmlns="http://www.w3.org/2000/svg",
        class_="picture live",
        role="group",
        aria_label=f"{title}. {words}",
        viewBox=" ".join(number(x) for x in (u0, -v1, u1 - u0, v1 - v0)),
    )
