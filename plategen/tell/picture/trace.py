"""A trace drawn as it was read: readings, the flats and bends fitted to them, and the residuals, exaggerated.

And the same before and after fit notes: both lines, and under them how far the rail moved at each station.
"""

import math
from collections.abc import Callable, Iterator

from plategen.draw.svg import element, path_data
from plategen.flat.loop import polygon
from plategen.flat.segment import Arc
from plategen.ground.message import message
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.rail.trace import FittedTrace, bead_words, free_words, step_words
from plategen.tell.picture.drafter import Drafter, framed, readable
from plategen.tell.picture.place import Box, box_about, words_box
from plategen.tell.picture.plate_features import tape
from plategen.tell.picture.plate_station import numbered, step_mm

LETTERING = 0.0215
"""Height of the lettering over the picture's width."""

CORNER_RAD = math.radians(0.05)
"""Pieces whose directions differ by more than this meet at a corner; less is what rounding leaves of a tangent."""


def trace_picture(fitted: FittedTrace, units: Units) -> str:
    """The trace's drawing as SVG that stands in a page, in the straightedge's frame."""
    show = Show(units)
    points = [r.point for r in fitted.trace.readings] + [p for s in fitted.chain for p in (s.start, s.end)]
    u0, u1 = (f(p.real for p in points) for f in (min, max))
    v1 = max(s.point(t).imag for s in fitted.chain for t in (0.0, 0.5, 1.0))
    height = max(LETTERING * (u1 - u0) / (1.0 - 20 * LETTERING), 0.5 * LETTERING * (max(p.imag for p in points)))
    drafter = Drafter(height)
    base = min(0.0, *(p.imag for p in points))
    strip = base - 8.2 * height
    content = (
        *_straightedge(u0, u1, base, drafter, show, units),
        drafter.hatch(fitted.chain, 0.8, 0.25j, 0.9 + 1.3j),
        *_fit(fitted, base, drafter),
        *_labels(fitted, drafter, show),
        *_residuals(fitted, strip, u0, u1, drafter, show),
        *_open(fitted, strip - 5.2 * height, u0, u1, drafter),
    )
    top = max([v1 + 5.5 * height, *(p.imag + 3.0 * height for p in points)])
    low = strip - (5.0 + 1.9 * any(question.heard for question in fitted.questions)) * height
    bounds = (u0 - 9.0 * height, low, u1 + 9.0 * height, top)
    name = fitted.trace.file.rsplit(".", 1)[0]
    return framed(
        "trace-" + "".join(c if c.isalnum() else "-" for c in f"{name}-{fitted.trace.plane_mm:.6g}"),
        f"Trace {fitted.trace.file}",
        _description(fitted, show),
        bounds,
        content,
    )


def pieces_in_words(fitted: FittedTrace, show: Show) -> tuple[str, ...]:
    """Each piece as the trade says it: a flat with its length and lie, a bend with radius and kick, corner and step."""
    pieces: list[str] = []
    steps = {riser.edge: riser for riser in fitted.risers}
    for i, piece in enumerate(fitted.chain):
        if i in steps:
            pieces.append(f"step of {tape(show, piece.length)} {show.units} {_way(steps[i].height_mm)}")
            continue
        if fitted.in_bead(piece.point(0.5).real):
            continue
        if i and abs(corner := _corner(fitted, i)) > CORNER_RAD:
            pieces.append(f"corner, kick {_degrees(corner)} {_way(corner)}")
        if isinstance(piece, Arc):
            sweep = piece.sweep_rad
            pieces.append(f"bend R {tape(show, piece.radius)} {show.units}, kick {_degrees(sweep)} {_way(sweep)}")
        else:
            lie = math.atan2(piece.start_tangent.imag, piece.start_tangent.real)
            pieces.append(f"flat, {tape(show, piece.length)} {show.units} long, {_lie(lie)}")
    return tuple(pieces)


def fit_in_words(fitted: FittedTrace, show: Show) -> tuple[str, ...]:
    """The pieces of a fit in words; of a free edge that it is one, and its steps."""
    beads = (show.text(message("a bead of {}", bead_words(bead))) for bead in fitted.beads)
    if fitted.model == "chain":
        return (*pieces_in_words(fitted, show), *beads)
    steps = (show.text(message("a step of {}", step_words(riser))) for riser in fitted.risers)
    return (show.text(free_words(fitted)), *steps, *beads)


def _corner(fitted: FittedTrace, edge: int) -> float:
    """How far the rail turns at the start of an edge; 0 where a step stands."""
    if any(riser.edge in (edge - 1, edge) for riser in fitted.risers):
        return 0.0
    return _turn(fitted.chain.segments[edge - 1].end_tangent, fitted.chain.segments[edge].start_tangent)


def _turn(before: complex, after: complex) -> float:
    ratio = after / before
    return math.atan2(ratio.imag, ratio.real)


def _way(turn_rad: float) -> str:
    """Towards the rail's metal, seen from the straightedge, is away; the other way is towards."""
    return "away from the straightedge" if turn_rad > 0 else "towards the straightedge"


def _lie(angle_rad: float) -> str:
    if abs(angle_rad) < CORNER_RAD:
        return "in line with the straightedge"
    return f"{_degrees(angle_rad)} {'away' if angle_rad > 0 else 'in'}"


def _degrees(angle_rad: float) -> str:
    """Tenths of a degree, as a bench's angle finder reads (common practice, no source)."""
    return f"{abs(math.degrees(angle_rad)):.1f}°"


def _description(fitted: FittedTrace, show: Show) -> str:
    left_out = len(fitted.doubtful)
    doubt = f" {left_out} doubtful, ringed and left out of the fit." if left_out else " None doubtful."
    return (
        f"{len(fitted.trace.readings)} readings.{doubt} Fitted: {'; '.join(fit_in_words(fitted, show))}. "
        f"About two of three kept readings lie within {show.length(fitted.rms_mm)} of it."
    )


def _straightedge(u0: float, u1: float, base: float, drafter: Drafter, show: Show, units: Units) -> Iterator[str]:
    """The straightedge with its stations."""
    h = drafter.height_mm
    step = step_mm(u1 - u0, units, int((u1 - u0) / (2.2 * h)))
    left, right, low = u0 - h, u1 + h, base - 2.2 * h
    edge = (complex(left, base), complex(right, base), complex(right, low), complex(left, low))
    yield drafter.path(polygon(edge), "band")
    yield drafter.line(edge[0], edge[1], "dimension")
    for i in range(math.ceil(u0 / step - 1e-6), math.floor(u1 / step + 1e-6) + 1):
        at = complex(i * step, base)
        yield drafter.line(at, at - 0.5j * h, "tick")
        yield drafter.words(numbered(show, i * step), at - 1.35j * h, kind="datum on-steel")
    yield drafter.words("straightedge,", complex(u0 - 1.6 * h, base - 0.3 * h), anchor="end", kind="datum", size=0.9)
    yield drafter.words("station", complex(u0 - 1.6 * h, base - 1.4 * h), anchor="end", kind="datum", size=0.9)
    yield drafter.words(units, complex(u1 + 1.6 * h, base - 1.35 * h), anchor="start", kind="datum", size=0.9)


def _fit(fitted: FittedTrace, base: float, drafter: Drafter) -> Iterator[str]:
    """Offsets, the fitted pieces (bends heavy, their joints marked), and the readings, doubtful ones ringed."""
    if not fitted.trace.round_corner:
        for reading in fitted.trace.readings:
            yield drafter.line(complex(reading.point.real, base), reading.point, "grid")
    for piece in fitted.chain:
        yield drafter.path([piece], "fit bend" if isinstance(piece, Arc) else "fit")
    for piece in fitted.chain.segments[1:] if fitted.model == "chain" else ():
        yield drafter.dot(piece.start, 0.28 * drafter.height_mm, "joint")
    for i, reading in enumerate(fitted.trace.readings):
        doubtful = i in fitted.doubtful
        yield drafter.dot(reading.point, 0.32 * drafter.height_mm, "reading doubtful" if doubtful else "reading")
        if doubtful:
            yield drafter.dot(reading.point, 0.85 * drafter.height_mm, "ring")


def _labels(fitted: FittedTrace, drafter: Drafter, show: Show) -> Iterator[str]:
    """Doubtful readings, bends, corners and flats in words, none over another: the first free place is taken."""
    h = drafter.height_mm
    taken: list[Box] = []
    for i in fitted.doubtful:
        at = fitted.trace.readings[i].point
        words = f"left out: off by {tape(show, abs(fitted.residuals_mm[i]))} {show.units}"
        taken += [
            box_about(at, 2.2 * h, 2.2 * h),
            box_about(at + 1.4 * h + drafter.width(words) / 2, drafter.width(words), 1.6 * h),
        ]
        yield drafter.words(words, at + 1.4 * h, anchor="start", kind="doubt")
    for tip, words, kind in _turns(fitted, drafter, show):
        if fitted.in_bead(tip.real):
            continue
        tried = [
            (tip + complex(x, y) * h, words_box(tip + complex(x, y) * h, x > 0, drafter.width(words), h))
            for y in (3.4, 5.2, 7.0, 8.8)
            for x in (-2.0, 2.0)
        ]
        elbow, box = next((t for t in tried if not _covers(tip, *t, taken)), tried[-1])
        taken.append(box)
        yield drafter.leader(tip, elbow, words, kind=kind)
    for piece in fitted.chain:
        if fitted.model == "free" or isinstance(piece, Arc) or piece.length < 12.0 * h:
            continue
        words = f"flat {tape(show, piece.length)}"
        if abs(lie := math.atan2(piece.start_tangent.imag, piece.start_tangent.real)) > CORNER_RAD:
            words += f", {_lie(lie)}"
        spots = [piece.point(t) + piece.tangent(t) * 2.2j * h for t in (0.5, 0.35, 0.65, 0.25, 0.75)]
        size = abs(piece.start_tangent.imag) * drafter.width(words) + 1.6 * h
        boxes = [(at, box_about(at, drafter.width(words), size)) for at in spots]
        at, box = next((b for b in boxes if not any(b[1].meets(other) for other in taken)), boxes[0])
        taken.append(box)
        yield drafter.words(words, at, kind="strong", turn_rad=readable(piece.start_tangent))


def _covers(tip: complex, elbow: complex, words: Box, taken: list[Box]) -> bool:
    """Whether a leader or its words run over words that stand already."""
    spots = [tip + (elbow - tip) * i / 12 for i in range(1, 13)]
    return any(words.meets(other) or any(box_about(p, 1e-6, 1e-6).meets(other) for p in spots) for other in taken)


def _turns(fitted: FittedTrace, drafter: Drafter, show: Show) -> Iterator[tuple[complex, str, str]]:
    """Bends, corners and steps: where the arrow points, the words, and how they are lettered."""
    up = 0.3j * drafter.height_mm
    steps = [riser.edge for riser in fitted.risers]
    for i, piece in enumerate(fitted.chain):
        if i in steps:
            yield piece.point(0.5), f"step {tape(show, piece.length)}", "doubt"
        elif fitted.model == "free":
            continue  # its arcs are no bends of the rail
        elif i and abs(corner := _corner(fitted, i)) > CORNER_RAD:
            yield piece.start + up, f"corner, kick {_degrees(corner)}", "strong"
        if isinstance(piece, Arc):
            words = f"bend R {tape(show, piece.radius)}, kick {_degrees(piece.sweep_rad)}"
            yield piece.point(0.5) + piece.tangent(0.5) * up, words, "weld"


def exaggeration(fitted: FittedTrace, room_mm: float) -> int:
    """How many times too large the residuals are drawn: the largest round number that keeps them in the room."""
    kept = [abs(r) for i, r in enumerate(fitted.residuals_mm) if i not in fitted.doubtful]
    largest = max([2.2 * fitted.read_error_mm, *kept])
    return next((n for n in (200, 100, 50, 20, 10, 5, 2) if n * largest <= room_mm), 1)


def _residuals(fitted: FittedTrace, axis: float, u0: float, u1: float, drafter: Drafter, show: Show) -> Iterator[str]:
    """A strip under the drawing: how far each reading lies off the fit, along the rail for a trace round a corner."""
    h = drafter.height_mm
    room = 4.6 * h
    times = exaggeration(fitted, room)
    band = 2.0 * fitted.read_error_mm * times
    yield drafter.band(complex(u0 - h, axis), u1 - u0 + 2 * h, band)
    yield drafter.line(complex(u0 - h, axis), complex(u1 + h, axis), "dimension")
    for i, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True)):
        doubtful = i in fitted.doubtful
        foot = complex(place_along(fitted, reading.point, u0, u1), axis)
        tip = foot + 1j * max(-room, min(room, residual * times))
        kind = " doubtful" if doubtful else ""
        yield drafter.line(foot, tip, f"stem{kind}") if abs(tip - foot) > 1e-9 else ""
        if abs(residual * times) > room:
            yield drafter.arrow(tip, tip - foot)
        else:
            yield drafter.dot(tip, 0.26 * h, f"reading{kind}")
    beside = complex(u0 - 1.6 * h, axis)
    yield drafter.words(f"off the fit, × {times}", beside + 0.6j * h, anchor="end", kind="strong", size=0.9)
    yield drafter.words("up: rail farther", beside - 0.7j * h, anchor="end", kind="soft", size=0.9)
    if fitted.trace.round_corner:
        yield drafter.words("along the rail", beside - 1.8j * h, anchor="end", kind="soft", size=0.9)
    for sign, level in (("+", axis + band), ("-", axis - band)):
        words = f"{sign} {show.short(2.0 * fitted.read_error_mm)} {show.units}"
        yield drafter.words(words, complex(u1 + 1.6 * h, level), anchor="start", kind="soft", size=0.9)


def _open(fitted: FittedTrace, axis: float, u0: float, u1: float, drafter: Drafter) -> Iterator[str]:
    """Under the residuals, the stretches that the fit leaves open, and where readings would tell most."""
    heard = [question for question in fitted.questions if question.heard]
    h = drafter.height_mm
    for question in heard:
        first, last = (complex(place_along(fitted, point, u0, u1), axis) for point in question.stretch)
        yield drafter.line(first - 0.2 * h, last + 0.2 * h, "stem doubtful")
        for point in question.read_at:
            yield drafter.words("?", complex(place_along(fitted, point, u0, u1), axis - h), kind="doubt")
    if heard:
        for words, down in (("open", 0.0), ("? read here", 0.9)):
            beside = complex(u0 - 1.6 * h, axis - down * h)
            yield drafter.words(words, beside, anchor="end", kind="doubt", size=0.9)


def place_along(fitted: FittedTrace, at: complex, u0: float, u1: float) -> float:
    """Where a reading stands in the strip: at its station, or by its share of the way along a rail that turns back."""
    if not fitted.trace.round_corner:
        return at.real
    index, t = fitted.chain.nearest(at)
    before = sum(s.length for s in fitted.chain.segments[:index])
    return u0 + (u1 - u0) * (before + t * fitted.chain.segments[index].length) / fitted.chain.length


TIMES = (20, 10, 5, 2, 1)
"""How many times too large a move may be drawn: more would make much of what no rule reads."""


def moved_picture(fitted: FittedTrace, moved_mm: Callable[[float], float], plate: str, show: Show) -> str:
    """The drawing, of the trace as corrected and its plate's name, as SVG that stands in a page.

    ``moved_mm`` says how far the rail moved at a station, positive away from the straightedge.
    """
    after = [reading.point for reading in fitted.trace.readings]
    before = [p - 1j * moved_mm(p.real) for p in after]
    u0, u1 = min(p.real for p in after), max(p.real for p in after)
    h = LETTERING * (u1 - u0) / (1.0 - 20 * LETTERING)
    drafter = Drafter(h)
    low = min(p.imag for p in (*after, *before)) - 8.0 * h
    content = (
        drafter.polyline(sorted(before, key=lambda p: p.real), "mark"),
        *(drafter.dot(p, 0.42 * h, "joint") for p in before),
        element("path", class_="fit", d=path_data(fitted.chain)),
        *(drafter.dot(p, 0.3 * h, "reading") for p in after),
        *_strip(after, moved_mm, complex(u0, low), u1, drafter, show),
    )
    most = max((moved_mm(p.real) for p in after), key=abs)
    moved = show.bound(abs(most), up=True)
    description = f"Dashed with rings: as first traced. Full with dots: as corrected. It moved by up to {moved}."
    bounds = (u0 - 9.0 * h, low - 7.5 * h, u1 + 9.0 * h, max(p.imag for p in (*after, *before)) + 3.0 * h)
    return framed(
        f"moved-{plate}", f"{plate.replace('_', ' ')}: before and after the notes", description, bounds, content
    )


def _strip(
    after: list[complex], moved_mm: Callable[[float], float], axis: complex, u1: float, drafter: Drafter, show: Show
) -> Iterator[str]:
    """A stem a station, up where the rail lies farther than it was traced, and the stations under them."""
    h = drafter.height_mm
    room = 4.0 * h
    largest = max(abs(moved_mm(p.real)) for p in after)
    times = next((n for n in TIMES if n * largest <= room), 1)
    u0, level = axis.real, axis.imag
    yield drafter.band(axis - h, u1 - u0 + 2 * h, room)
    yield drafter.line(axis - h, complex(u1 + h, level), "dimension")
    clear = u0 - 9.0 * h
    for p in sorted(after, key=lambda p: p.real):
        foot = complex(p.real, level)
        tip = foot + 1j * max(-room, min(room, times * moved_mm(p.real)))
        if abs(tip - foot) > 1e-9:
            yield drafter.line(foot, tip, "stem")
        yield drafter.dot(tip, 0.26 * h, "reading")
        words = numbered(show, p.real)
        if p.real - drafter.width(words) / 2 > clear:
            yield drafter.words(words, complex(p.real, level - room - 1.2 * h), kind="datum")
            clear = p.real + drafter.width(words) / 2 + 0.6 * h
    left = u0 - 1.6 * h
    yield drafter.words(f"moved × {times}", complex(left, level + 0.6 * h), anchor="end", kind="strong", size=0.9)
    yield drafter.words("up: farther", complex(left, level - 0.7 * h), anchor="end", kind="soft", size=0.9)
    yield drafter.words("station", complex(left, level - room - 1.2 * h), anchor="end", kind="datum", size=0.9)
    right, most = u1 + 1.6 * h, f"{show.short(room / times)} {show.units}"
    yield drafter.words(show.units, complex(right, level - room - 1.2 * h), anchor="start", kind="datum", size=0.9)
    for sign, at in (("+", level + room), ("-", level - room)):
        yield drafter.words(f"{sign} {most}", complex(right, at), anchor="start", kind="soft", size=0.9)
