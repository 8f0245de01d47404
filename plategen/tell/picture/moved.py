"""A trace before and after fit notes: both lines, and under them how far the rail moved at each station."""

from collections.abc import Callable, Iterator

from plategen.draw.svg import element, path_data
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.plate_station import numbered
from plategen.tell.picture.trace import LETTERING

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
