"""The pictures of the measuring form: the straightedge at the rail, the planes along the pin, the cylinder's sizes."""

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
    axis = 52.0
    content = [
        d.path(polygon((36 + 38j, 150 + 38j, 150 + 66j, 36 + 66j)), "plate"),
        d.path(polygon((150 + 46j, 206 + 46j, 206 + 58j, 150 + 58j)), "plate"),
        *(
            d.path(Circle(complex(u, axis), r), kind)
            for u in (22.0, 218.0)
            for r, kind in ((14.0, "plate"), (6.0, "reading"))
        ),
        d.line(complex(2, axis), complex(238, axis), "centre"),
        d.dimension(22 + 52j, 218 + 52j, 16j, "closed length, pin to pin, rod in", along=1 + 0j),
        d.dimension(60 + 38j, 60 + 66j, 60 + 52j, "body", along=1j),
        d.leader(192 + 46j, 200 + 38j, "rod"),
        d.leader(22 + 58j, 40 + 82j, "pin"),
        d.leader(12 + 62j, 24 + 94j, "eye radius: pin's centre to the outside"),
        d.words("bore: inside the barrel, off its plate or the maker", 96 + 74j, anchor="start", kind="soft"),
        d.words("eye width: across the eye, along the pin", 96 + 30j, anchor="start", kind="soft"),
        d.words("stroke: rod all out, less closed length", 96 + 24j, anchor="start", kind="soft"),
    ]
    return framed("form-cylinder", "The cylinder", "Sizes measured of a cylinder.", (0, 6, 240, 100), content)
