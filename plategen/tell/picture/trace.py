"""A trace drawn as it was read: readings, the flats and bends fitted to them, and the residuals, exaggerated."""

import math
from collections.abc import Iterator

from plategen.flat.loop import polygon
from plategen.flat.segment import Arc
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.drafter import Drafter, framed, readable
from plategen.tell.picture.fit_words import CORNER_RAD, corner_rad, degrees_words, fit_in_words, lie_words
from plategen.tell.picture.place import Box, box_about, words_box
from plategen.tell.picture.plate_features import tape
from plategen.tell.picture.plate_station import numbered, step_mm

LETTERING = 0.0215
"""Height of the lettering over the picture's width."""


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
    drawn: list[tuple[complex, complex]] = []
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
        drawn.append((tip, elbow))
        yield drafter.leader(tip, elbow, words, kind=kind)
    for piece in fitted.chain:
        if fitted.model == "free" or isinstance(piece, Arc) or piece.length < 12.0 * h:
            continue
        words = f"flat {tape(show, piece.length)}"
        if abs(lie := math.atan2(piece.start_tangent.imag, piece.start_tangent.real)) > CORNER_RAD:
            words += f", {lie_words(lie)}"
        spots = [piece.point(t) + piece.tangent(t) * 2.2j * h for t in (0.5, 0.35, 0.65, 0.25, 0.75)]
        wide, up, along = drafter.width(words), abs(piece.start_tangent.imag), abs(piece.start_tangent.real)
        size = (along * wide + 1.6 * up * h, up * wide + 1.6 * along * h)
        boxes = [(at, box_about(at, *size)) for at in spots]
        apart = [b for b in boxes if not any(b[1].meets(other) for other in taken)] or boxes[:1]
        at, box = next((b for b in apart if not any(b[1].crossed(*leader) for leader in drawn)), apart[0])
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
        elif i and abs(corner := corner_rad(fitted, i)) > CORNER_RAD:
            yield piece.start + up, f"corner, kick {degrees_words(corner)}", "strong"
        if isinstance(piece, Arc):
            words = f"bend R {tape(show, piece.radius)}, kick {degrees_words(piece.sweep_rad)}"
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
