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
from plategen.draw.pen import chords
from plategen.draw.svg import element, number, path_data, text_of
from plategen.flat.chain import Chain
from plategen.flat.convex import convex_hull
from plategen.flat.loop import Circle, Loop, polygon
from plategen.flat.segment import Segment
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.page.along_pin import strip_marks
from plategen.page.handles import pin_at, plane_strip, shift_of
from plategen.page.held import foot_marks, pin_mark, reading_marks, slide_marks
from plategen.rail.trace import FittedTrace
from plategen.rail.tube import Tube
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.on_rail import side_shape
from plategen.tell.picture.plate_features import LIE_ON_RAIL
from plategen.tell.picture.plate_station import numbered, step_mm
from plategen.tell.picture.weld import CHORD_RAD
from plategen.work import Work

LETTERING = 0.028
"""Height of lettering as a share of the drawing's width: 11 px on a phone of 390 px, half as much again on a desk."""

ROUND_A_TUBE = ("pad", "clamp", "cradle")
"""Roles of plates between a seat's tabs and its tube."""

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
    failing, strip = failing_parts(work.findings), plane_strip(work)
    ghosts = () if saved is None else seen(saved)
    content = (
        *(_rail(work, fitted, drafter) if fitted else _tube(work, drafter)),
        *_cylinder(work, shift, bounds, drafter),
        *_lying(work, shift, failing),
        *(element("path", d=p.data, class_=_look(p.name, failing, near=p is plates[-1])) for p in plates),
        *_on_rail(work, shift, drafter),
        *(_straightedge(work.job.units, bounds, drafter, show) if fitted else ()),
        *(element("path", d=g.data, class_="ghost") for g in ghosts if g not in plates),
        *(reading_marks(fitted, drafter, show) if fitted else ()),
        *(strip_marks(strip, drafter, show, work.design.pin.plane_mm) if strip else ()),
        *foot_marks(work, drafter, show),
        *slide_marks(work, drafter, show),
        pin_mark(work, bounds[1] - 1.6 * h, drafter, show),
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
    pin, centre = work.bracket.pin, pin_at(work)
    reach = complex(1, 1) * max(pin.eye_radius_mm, work.job.cylinder.body_diameter_mm / 2)
    points = [centre - reach, centre + reach]
    points += [s.point(t) for plate in plates for s in plate.outline for t in (0.0, 0.25, 0.5, 0.75)]
    if strip := plane_strip(work):
        points += strip.ends
    for fitted in work.rail.traces:
        points += [s.point(t) for s in fitted.chain for t in (0.0, 0.5, 1.0)] + [0j]
        points += [r.point for r in fitted.trace.readings]
    if tube := _tube_outline(work):  # as deep as it is, and cut off where the plates end
        points += [complex(centre.real, f(p.imag for p in tube)) for f in (min, max)]
        round_it = (plate for plate in work.bracket.plates if plate.role in ROUND_A_TUBE)
        points += [complex(p[0], p[1]) + shift for plate in round_it for p in box_corners(plate)]
    (u0, v0), (u1, v1) = ((f(p.real for p in points), f(p.imag for p in points)) for f in (min, max))
    return u0, v0, u1, v1


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


def _tube(work: Work, drafter: Drafter) -> Iterator[str]:
    """The tube that the plates stand on, as long as it is shown, and its axis."""
    if outline := _tube_outline(work):
        yield element("path", d=path_data(polygon(outline)), class_="barrel")
        if isinstance(work.rail, Tube) and not work.rail.along_pin:
            first, last = (work.rail.across(at_mm).origin for at_mm in work.rail.shown_mm)
            shift = shift_of(work)
            yield drafter.line(complex(*first[:2]) + shift, complex(*last[:2]) + shift, "centre")


def _tube_outline(work: Work) -> list[complex]:
    """The outline of the tube seen along the pin; empty where there is none."""
    tube = work.rail
    if not isinstance(tube, Tube):
        return []
    section, shift = list(chords(tube.profile(), CHORD_RAD)), shift_of(work)
    ends = (tube.across(at_mm).point(p) for at_mm in tube.shown_mm for p in section)
    outline: list[complex] = convex_hull([complex(u, v) + shift for u, v, _ in ends], 1e-6).tolist()
    return outline


def _look(name: str, failing: frozenset[str], *, near: bool = False) -> str:
    return f"plate {'near' if near else 'far'}{' failing' if name in failing else ''}"


def _lying(work: Work, shift: complex, failing: frozenset[str]) -> Iterator[str]:
    """A base, what lies behind the wall, and what holds a seat on its tube, seen from the side."""
    for plate in work.bracket.plates:
        if plate.role in (*LIE_ON_RAIL, *ROUND_A_TUBE):
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
    pin, at, h = work.bracket.pin, pin_at(work), drafter.height_mm
    half = work.job.cylinder.body_diameter_mm / 2
    begins = at.real + barrel_start_mm(work.bracket, 2 * half)
    right = bounds[2] + 1.4 * h
    if right > begins:
        yield element("rect", x=begins, y=-at.imag - half, width=right - begins, height=2 * half, class_="barrel")
    yield drafter.dot(at, pin.eye_radius_mm, "eye")
    yield drafter.line(complex(bounds[0] - 2 * h, at.imag), complex(right, at.imag), "centre")


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
