"""The pictures of the measuring form: the straightedge at the rail, the planes, the cylinder's sizes and its ends."""

import cmath
from collections.abc import Sequence

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, polygon
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.plate_station import numbered

HEIGHT_MM = 4.4
"""Height of lettering in a picture of 240 mm: 3.4 mm, or 9 point, on a page of 186 mm."""


def set_up_picture(show: Show) -> str:
    """The straightedge clamped in line with the cylinder, and what is read from it; not to scale."""
    d = Drafter(HEIGHT_MM)
    rail = Chain((Line(8 + 118j, 120 + 112j), Line(120 + 112j, 226 + 128j)))
    stations = [20.0 + 24.0 * i for i in range(9)]
    level, axis, pin = 78.0, 30.0, 128.0
    content = [
        d.path(rail, "notch"),
        d.hatch(rail, 0.9, 0.1j, 0.7 + 1.1j),
        d.words("rail", complex(206, 138), kind="soft"),
        d.band(complex(14, level), 212, 3.0),
        d.words("straightedge, in line with the cylinder", complex(150, level - 7), kind="datum"),
        *(d.line(complex(u, level + 3), complex(u, level - 3), "tick") for u in stations),
        d.words("station 0", complex(20, level - 7), kind="datum strong"),
        *_offsets(rail, stations, level, d),
        d.words("offset", complex(96, 97), anchor="start", kind="strong"),
        d.line(complex(4, axis), complex(236, axis), "centre"),
        d.path(Circle(complex(pin, axis), 5.0), "plate"),
        d.path(polygon((complex(140, 21), complex(226, 21), complex(226, 39), complex(140, 39))), "edge cylinder"),
        d.words("cylinder", complex(184, axis - 0.1), kind="datum"),
        d.dimension(complex(40, level), complex(40, axis), complex(40, axis), "in-line offset"),
        d.dimension(complex(20, level), complex(pin, axis), complex(0, 12), "pin station", along=1 + 0j),
    ]
    told = "Offsets from straightedge to rail at stations; the in-line offset and the pin's station from it."
    return framed("form-set-up", f"Set-up, lengths in {show.units}", told, (0.0, 4.0, 240.0, 146.0), content)


def _offsets(rail: Chain, stations: Sequence[float], level: float, d: Drafter) -> list[str]:
    """An arrow from the straightedge to the rail at every station."""
    strokes = []
    for u in stations:
        segment = rail.segments[0 if u < 120 else 1]
        share = (u - segment.start.real) / (segment.end.real - segment.start.real)
        tip = segment.start + (segment.end - segment.start) * share
        strokes += [d.line(complex(u, level + 3), tip - 1j, "dimension"), d.arrow(tip, 1j)]
    return strokes


def planes_picture(planes_mm: Sequence[float], show: Show) -> str:
    """Where the traces lie along the pin, seen along the rail; not to scale."""
    d = Drafter(HEIGHT_MM)
    rail = Chain((Line(20 + 60j, 220 + 66j),))
    content = [d.path(rail, "notch"), d.hatch(rail, 0.9, 0.1j, 0.7 + 1.1j)]
    ordered = sorted(planes_mm)
    places = [70.0 + 100.0 * i / max(1, len(ordered) - 1) for i in range(len(ordered))]
    for i, (u, plane) in enumerate(zip(places, ordered, strict=True)):
        content += [
            d.line(complex(u, 61 + 0.03 * (u - 20)), complex(u, 16), "tick"),
            d.words(f"plane {numbered(show, plane)} {show.units}", complex(u, 10), kind="datum strong"),
            d.words("nearest side" if i == 0 else "", complex(u - 4, 24), anchor="end", kind="soft"),
        ]
    content += [
        d.line(complex(30, 34), complex(210, 34), "centre"),
        d.words("pin", complex(214, 34), anchor="start", kind="soft"),
        d.words("plane grows this way", complex(120, 2), kind="soft"),
        d.line(complex(147, 2), complex(175, 2), "tick"),
        d.arrow(complex(176, 2), complex(1, 0)),
    ]
    return framed("form-planes", "Planes", "The places along the pin where traces are read.", (0, -2, 240, 78), content)


def cylinder_picture() -> str:
    """What is measured of a cylinder, each size with its name; not to scale."""
    d = Drafter(HEIGHT_MM)
    axis = 60.0
    content = [
        d.path(polygon((36 + 46j, 132 + 46j, 132 + 74j, 36 + 74j)), "plate"),
        d.path(polygon((132 + 54j, 164 + 54j, 164 + 66j, 132 + 66j)), "plate"),
        *(d.line(complex(36, v), complex(132, v), "mark") for v in (51.0, 69.0)),
        *(d.line(complex(164, v), complex(208, v), "mark") for v in (54.0, 66.0)),
        *(d.path(Circle(complex(u, axis), 14.0), "plate") for u in (22.0, 176.0)),
        *(d.path(Circle(complex(u, axis), 6.0), "reading") for u in (22.0, 176.0)),
        d.path(Circle(complex(222, axis), 14.0), "mark"),
        d.line(complex(2, axis), complex(238, axis), "centre"),
        d.dimension(22 + 60j, 176 + 60j, 22j, "closed length, pin to pin, rod in", along=1 + 0j),
        d.dimension(176 + 60j, 222 + 60j, 22j, "stroke", along=1 + 0j),
        d.words("dashed: rod all out", 199 + 14j, kind="soft"),
        d.dimension(50 + 46j, 50 + 74j, 50 + 60j, "body", along=1j),
        d.dimension(78 + 51j, 78 + 69j, 78 + 60j, "bore", along=1j),
        d.dimension(148 + 54j, 148 + 66j, 148 + 60j, "rod", along=1j),
        d.words("bore: inside the barrel, off its plate or from its maker", 92 + 84j, anchor="start", kind="soft"),
        d.words("pressure: the relief valve's plate, or a gauge", 92 + 91j, anchor="start", kind="soft"),
    ]
    told = "Sizes measured of a cylinder: body, bore, rod, closed length and stroke."
    return framed("form-cylinder", "The cylinder", told, (0, 8, 240, 98), content)


def end_picture() -> str:
    """The three kinds of end, each seen along its pin and across it: pin, eye width, eye radius; not to scale."""
    d = Drafter(HEIGHT_MM)
    content = []
    for left, kind, words in (
        (0.0, "eye", "eye width: the eye"),
        (82.0, "fork", "eye width: the gap"),
        (164.0, "rod_end", "eye width: the ball"),
    ):
        middle = complex(left + 26, 92)
        content += [
            d.words(kind, middle + 10 + 30j, kind="strong"),
            d.path(polygon((middle + 12 - 8j, middle + 44 - 8j, middle + 44 + 8j, middle + 12 + 8j)), "plate"),
            d.path(Circle(middle, 16.0), "plate"),
            *([d.path(Circle(middle, 11.0), "mark")] if kind == "rod_end" else []),
            d.path(Circle(middle, 6.0), "reading"),
            d.dimension(middle - 6, middle + 6, middle - 21j, "pin", along=1 + 0j),
            d.line(middle, middle + 16 * cmath.rect(1.0, 0.9), "dimension"),
            d.leader(middle + 16 * cmath.rect(1.0, 0.9), middle + complex(15, 19), "eye radius"),
            *_across_the_pin(d, complex(left + 26, 36), kind),
            d.words(words, complex(left + 40, 8), kind="soft"),
        ]
    told = "An eye, a fork and a rod end, seen along the pin and across it: the pin, the eye's width and its radius."
    return framed("form-end", "The cylinder's end", told, (-2, 3, 242, 128), content)


def _across_the_pin(d: Drafter, middle: complex, kind: str) -> list[str]:
    """One end with its pin upright: what counts as its width, with a dimension."""

    def block(low: complex, high: complex) -> str:
        corners = (low, complex(high.real, low.imag), high, complex(low.real, high.imag))
        return d.path(polygon(tuple(middle + corner for corner in corners)), "plate")

    half = {"eye": 9.0, "fork": 8.0, "rod_end": 11.0}[kind]
    if kind == "fork":
        parts = [block(-14 + half * 1j, 22 + 17j), block(-14 - 17j, 22 - half * 1j), block(22 - 17j, 44 + 17j)]
    elif kind == "rod_end":
        parts = [block(-14 - 7j, 44 + 7j), block(-9 - half * 1j, 9 + half * 1j)]
    else:
        parts = [block(-14 - half * 1j, 44 + half * 1j)]
    pin = (d.line(middle - 20j, middle + 20j, "centre"), d.words("pin", middle + 23j, kind="soft"))
    foot = middle + (-9.0 if kind == "rod_end" else -14.0)
    return [*parts, *pin, d.dimension(foot - half * 1j, foot + half * 1j, middle - 20, "", along=1j)]
