"""The dimensions of a plate's drawing, each in a lane of its own."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from itertools import pairwise

from plategen.bracket.model import Plate
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.plate_features import (
    Datum,
    bolt_places,
    corners,
    inner_places,
    inward,
    meeting,
    tab_places,
    tape,
)
from plategen.tell.picture.plate_station import Station, numbered


def ordinates(plate: Plate, ticks: tuple[Station, ...], datum: Datum, drafter: Drafter, show: Show) -> Iterator[str]:
    """In a strip above the plate: each whole station, and how far the notch lies from the datum's level line."""
    if not ticks:
        return
    v1, h = plate.outline.bounds[3], drafter.height_mm
    fine, first, second = v1 + 3.5 * h, v1 + 4.7 * h, v1 + 6.8 * h
    left, right = (f(tick.point.real for tick in ticks) for f in (min, max))
    read = [tape(show, abs(tick.point.imag - datum.at.imag)).partition(" (")[::2] for tick in ticks]
    tight = _too_near(ticks, max(drafter.width(value) for value, _ in read) + h)
    for number, (tick, (value, decimals)) in enumerate(zip(ticks, read, strict=True)):
        at, drop = tick.point, 1.2 * h if tight and number % 2 else 0.0
        yield drafter.line(at - 0.5j * h, complex(at.real, fine - drop - (0.7 if decimals else -0.2) * h), "tick")
        yield drafter.words(value, complex(at.real, first - drop), kind="strong")
        if decimals:
            yield drafter.words(decimals.rstrip(")"), complex(at.real, fine - drop), kind="soft", size=0.95)
        yield drafter.words(numbered(show, tick.along_mm), complex(at.real, second), kind="datum strong")
    yield drafter.words("station", complex(left - 2.5 * h, second), anchor="end", kind="datum", size=0.95)
    yield drafter.words("notch above", complex(left - 2.5 * h, first), anchor="end", kind="soft", size=0.95)
    yield drafter.words(datum.short, complex(left - 2.5 * h, first - h), anchor="end", kind="soft", size=0.95)
    for at, kind in ((second, "datum"), (first, "soft")):
        yield drafter.words(show.units, complex(right + 2.5 * h, at), anchor="start", kind=kind, size=0.95)
    rule = complex(0, second - 1.05 * h)
    yield drafter.line(left - 6.5 * h + rule, right + 3.2 * h + rule, "grid")


def _too_near(ticks: Sequence[Station], wide_mm: float) -> bool:
    """Whether figures of that width, side by side, would read as one: every second then stands a line lower."""
    return any(abs(b.point.real - a.point.real) < wide_mm for a, b in pairwise(ticks))


def risen(plate: Plate, ticks: tuple[Station, ...], datum: Datum, drafter: Drafter, show: Show) -> Iterator[str]:
    """In a column beside a notch that goes up the rail's side: each whole height, and how far it lies from the pin."""
    if not ticks:
        return
    h, (u0, _, u1, _) = drafter.height_mm, plate.outline.bounds
    at_left = inward(plate, ticks[0].point, 1j).real > 0.0
    side, edge = (-1.0, u0) if at_left else (1.0, u1)
    anchor = "end" if at_left else "start"
    first = edge + side * 0.6 * h
    for tick in ticks:
        at, level = tick.point, datum.at
        value = tape(show, abs(at.real - level.real))
        yield drafter.line(at + side * 0.5 * h, complex(edge, at.imag), "tick")
        yield drafter.words(
            f"{numbered(show, tick.along_mm)}:", complex(first, at.imag + 0.7 * h), anchor=anchor, kind="datum strong"
        )
        yield drafter.words(value, complex(first, at.imag - 0.6 * h), anchor=anchor, kind="strong")
    head = complex(first, ticks[-1].point.imag + 3.6 * h)
    yield drafter.words("height:", head, anchor=anchor, kind="datum", size=0.95)
    yield drafter.words("notch beside pin", head - 1.2j * h, anchor=anchor, kind="soft", size=0.95)


def across(plate: Plate, datum: Datum | None, drafter: Drafter, show: Show) -> Iterator[str]:
    """Below the plate: from hole to hole and to the ends of the foot, and the width over all."""
    u0, v0, u1, _ = plate.outline.bounds
    h = drafter.height_mm
    points = [*bolt_places(plate), *(corners(plate) or ())]
    if datum is not None:
        points = [complex(p.real, v0) if abs(p.real - datum.at.real) < 1e-6 else p for p in points]
    chain = _distinct(points, lambda p: p.real)
    for one, other in pairwise(chain):
        words = tape(show, other.real - one.real)
        yield drafter.dimension(one, other, complex(0.0, v0 - 2.4 * h), words, along=1 + 0j)
    inner = [complex(p.real, v0) if datum and p == datum.at else p for p in second_lane(plate, datum)]
    lane = complex(0.0, v0 - 5.0 * h)
    for one, other in pairwise(_distinct(inner, lambda p: p.real)):
        yield drafter.dimension(one, other, lane, tape(show, other.real - one.real), along=1 + 0j)
    words, lane = f"{tape(show, u1 - u0)} {show.units} over all", complex(0.0, v0 - (7.6 if inner else 5.2) * h)
    yield drafter.dimension(_extreme(plate, -1 + 0j), _extreme(plate, 1 + 0j), lane, words, along=1 + 0j)


def second_lane(plate: Plate, datum: Datum | None) -> list[complex]:
    """What has a lane of dimensions of its own: openings and reliefs from the datum, tabs from the plate's edges."""
    if datum is not None:
        inner = inner_places(plate)
        return [datum.at, *inner] if inner else []
    tabs = tab_places(plate)
    return [complex(tabs[0].real, plate.outline.bounds[1]), *tabs] if tabs else []


def upright(plate: Plate, datum: Datum | None, drafter: Drafter, show: Show) -> Iterator[str]:
    """Beside the plate: from the datum's level line to holes and corners of the foot, and the height over all."""
    u0, v0, u1, v1 = plate.outline.bounds
    h = drafter.height_mm
    if datum is not None:
        ends = corners(plate)
        left, right = u0 - 5.2 * h, u1 + 3.2 * h
        level = complex(left, datum.at.imag)
        chain = _distinct([level, *bolt_places(plate), *((ends[0],) if ends else ())], lambda p: p.imag)
        for one, other in pairwise(chain):
            words = tape(show, other.imag - one.imag)
            yield drafter.dimension(one, other, complex(left, 0.0), words, along=1j)
        if ends and abs(ends[1].imag - datum.at.imag) > h:
            words = tape(show, abs(ends[1].imag - datum.at.imag))
            yield drafter.dimension(complex(right, datum.at.imag), ends[1], complex(right, 0.0), words, along=1j)
    beyond = complex(u0 - (8.0 if datum else 3.0) * h, 0.0)
    inner = [complex(beyond.real, p.imag) if datum and p == datum.at else p for p in second_lane(plate, datum)]
    for one, other in pairwise(_distinct(inner, lambda p: p.imag)):
        yield drafter.dimension(one, other, beyond, tape(show, other.imag - one.imag), along=1j)
    high, lane = tape(show, v1 - v0), complex(u1 + 7.6 * h, 0.0)
    words = f"{high} {show.units} over all"
    if drafter.width(words) + h > v1 - v0:  # beside their line there is room for the figure alone
        words = high
    yield drafter.dimension(_extreme(plate, -1j), _extreme(plate, 1j), lane, words, along=1j)


def _distinct(points: Iterable[complex], key: Callable[[complex], float]) -> list[complex]:
    """The points in order of ``key``, those that a tape cannot tell apart only once."""
    distinct: list[complex] = []
    for p in sorted(points, key=key):
        if not distinct or key(p) - key(distinct[-1]) > 0.05:
            distinct.append(p)
    return distinct


def toes(plate: Plate, drafter: Drafter, show: Show) -> Iterator[str]:
    """The height of the end faces at the rail, once when both are alike."""
    written: list[str] = []
    for corner, side in zip(corners(plate) or (), (-1j, 1j), strict=False):
        foot = _end_of_face(plate, corner)
        words = f"toe {tape(show, abs(foot - corner))}" if foot is not None else ""
        if foot is None or words in written:
            continue
        written.append(words)
        out = (foot - corner) / abs(foot - corner) * side
        yield drafter.dimension(corner, foot, corner + out * 1.9 * drafter.height_mm, words)


def of_notch(plate: Plate, segment: Segment) -> bool:
    """Whether an edge of the outline is one of the notch's, whichever way the notch is walked."""
    ends = {segment.start, segment.end}
    return any(max(min(abs(end - p) for p in (s.start, s.end)) for end in ends) < 1e-6 for s in plate.notch or ())


def _end_of_face(plate: Plate, corner: complex) -> complex | None:
    """Where the end face that begins at a corner of the notch would meet the next flank, a rounding undone."""
    for loop in (plate.outline.segments, plate.outline.reversed().segments):
        for i, face in enumerate(loop):
            if abs(face.start - corner) > 1e-6 or isinstance(face, Arc) or of_notch(plate, face):
                continue
            corner_arc, flank = loop[(i + 1) % len(loop)], loop[(i + 2) % len(loop)]
            if isinstance(corner_arc, Arc) and isinstance(flank, Line):
                return meeting(face, flank)
            return face.end
    return None


def _extreme(plate: Plate, direction: complex) -> complex:
    """The outline's farthest point in one of the four directions along the axes; the lowest or leftmost of several."""
    u0, v0, u1, v1 = plate.outline.bounds
    edge = {1 + 0j: u1, -1 + 0j: u0, 1j: v1, -1j: v0}[direction]
    across = direction.real != 0.0
    spots = [s.point(i / 64) for s in plate.outline for i in range(64)]
    lies = [(p.real, p.imag) if across else (p.imag, p.real) for p in spots]
    _, beside = min(lies, key=lambda lie: (round(abs(lie[0] - edge), 3), lie[1]))
    return complex(edge, beside) if across else complex(beside, edge)
