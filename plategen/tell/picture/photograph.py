"""A photograph straightened, with what was read off it drawn over it: to be looked at before anything is cut."""

import base64
from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.draw.svg import element, number, path_data, polyline_data
from plategen.ground.show import Show
from plategen.photo.camera import Floats, View
from plategen.photo.measure import Complexes
from plategen.photo.pattern import Pattern
from plategen.photo.picture import Picture
from plategen.photo.plate import PhotographedPlate
from plategen.photo.straight import straightened
from plategen.tell.picture.drafter import Drafter, alone, framed

MARGIN_MM = 25.0
"""Floor shown about the piece."""

BOX_PX = 1600
"""Of the longer side: finer shows no more at the size of a screen or a page."""

QUALITY = 80
"""Of the picture's JPEG: with so many pixels it stays under a megabyte."""

READ, DOUBT, FRAME = "#00c8ff", "#ff2020", "#ffd000"
"""Colours of what was read, of what could not be told, and of the straightedge's frame: no floor's and no card's."""

EVERY_STATION = 5
"""Stations that are numbered."""


def checked(read: Pattern, picture: Picture, view: View, thickness_mm: float, scale: float, show: Show) -> str:
    """The pattern's picture as SVG that stands by itself."""
    bounds = bounds_of(read.ring)
    drafter = Drafter(0.02 * _size(bounds))
    words = [f"read to {show.length(read.read_error_mm)}", *map(show.text, read.doubts)]
    low, high = bounds
    content = [
        embedded(picture, view, bounds, thickness_mm, scale, (read.origin, read.along)),
        *marks(read, bounds, show),
        *(
            _words(
                drafter,
                line,
                complex(low[0] + drafter.height_mm, high[1] - (1.2 + 1.5 * k) * drafter.height_mm),
                "start",
            )
            for k, line in enumerate(words)
        ),
    ]
    description = "The photograph straightened; the edge and the stations read off it; red where it could not be told."
    whole = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return alone(framed("photograph", f"Pattern of {picture.file}", description, whole, content))


Bounds: TypeAlias = tuple[Floats, Floats]
"""Lower left and upper right corner of what a picture shows, (2,) each, mm."""


def bounds_of(ring: Complexes) -> Bounds:
    """What a picture shows of a piece: it, and some floor about it."""
    return (
        np.array([ring.real.min(), ring.imag.min()]) - MARGIN_MM,
        np.array([ring.real.max(), ring.imag.max()]) + MARGIN_MM,
    )


def _size(bounds: Bounds) -> float:
    return float((bounds[1] - bounds[0]).max())


def outline_marks(ring: Complexes, good: NDArray[np.bool_], bounds: Bounds) -> list[str]:
    """An outline as elements of an SVG, in the one colour where it was told and in the other where it was not."""
    return _runs(ring, good, 0.0022 * _size(bounds))


def marks(read: Pattern, bounds: Bounds, show: Show) -> list[str]:
    """What was read of a pattern as elements of an SVG: its outline, straight edge, readings and stations."""
    wide, drafter = 0.0022 * _size(bounds), Drafter(0.02 * _size(bounds))
    content = [
        *_runs(read.ring, read.good, wide),
        element(
            "path", d=polyline_data([0j, complex(read.length_mm, 0.0)]), stroke=FRAME, stroke_width=wide, fill="none"
        ),
        *(_dot(p, 1.4 * wide, READ) for p in read.points.tolist()),
    ]
    for p in read.points[::EVERY_STATION].tolist():
        content += [
            element(
                "path", d=polyline_data([complex(p.real, 0.0), p]), stroke=FRAME, stroke_width=0.4 * wide, fill="none"
            ),
            _words(drafter, show.short(p.real), complex(p.real, -1.2 * drafter.height_mm)),
        ]
    content += [
        element("path", d=polyline_data([a, b]), stroke=DOUBT, stroke_width=2.0 * wide, fill="none")
        for a, b in read.left_out
    ]
    return content


def plate_checked(
    read: PhotographedPlate, picture: Picture, view: View, thickness_mm: float, scale: float, show: Show
) -> str:
    """The plate's picture as SVG that stands by itself."""
    u0, v0, u1, v1 = read.outline.bounds
    low, high = np.array([u0, v0]) - MARGIN_MM, np.array([u1, v1]) + MARGIN_MM
    size = float((high - low).max())
    drafter, wide = Drafter(0.02 * size), 0.0022 * size
    content = [embedded(picture, view, (low, high), thickness_mm, scale, (read.origin, 1 + 0j))]
    for ring in read.rings:
        content += _runs(ring.points - read.origin, ring.good, wide)
    drawn = path_data(read.outline, *read.inside)
    content.append(element("path", d=drawn, stroke=FRAME, stroke_width=0.5 * wide, fill="none"))
    words = [f"read to {show.length(read.error_mm)}", *map(show.text, read.doubts)]
    content += [
        _words(
            drafter, line, complex(low[0] + drafter.height_mm, high[1] - (1.2 + 1.5 * k) * drafter.height_mm), "start"
        )
        for k, line in enumerate(words)
    ]
    bounds = (float(low[0]), float(low[1]), float(high[0]), float(high[1]))
    return alone(
        framed(
            "photograph",
            f"Plate of {picture.file}",
            "The photograph straightened; the plate read off it.",
            bounds,
            content,
        )
    )


def embedded(
    picture: Picture,
    view: View,
    bounds_mm: Bounds,
    thickness_mm: float,
    scale: float,
    frame: tuple[complex, complex],
) -> str:
    """The photograph straightened between two corners of a frame of true mm, as an element of an SVG."""
    data, *size_px = straight_jpeg(picture, view, bounds_mm, thickness_mm, scale, frame)
    left, low, wide, tall = lies_mm(bounds_mm, size_px)
    href = "data:image/jpeg;base64," + base64.b64encode(data).decode()
    return element("image", x=left, y=-(low + tall), width=wide, height=tall, href=href)


def lies_mm(bounds_mm: Bounds, size_px: Sequence[int]) -> tuple[float, float, float, float]:
    """Where a straightened photograph so many pixels wide and tall lies: left, low, wide, tall, mm.

    Its pixels' middles stand on the bounds.
    """
    step = _size(bounds_mm) / BOX_PX
    left, low = (float(edge) - step / 2 for edge in bounds_mm[0])
    return left, low, size_px[0] * step, size_px[1] * step


def straight_jpeg(
    picture: Picture,
    view: View,
    bounds_mm: Bounds,
    thickness_mm: float,
    scale: float,
    frame: tuple[complex, complex],
) -> tuple[bytes, int, int]:
    """The photograph straightened between two corners of a frame of true mm, as JPEG, and how wide and tall it is."""
    low, high = bounds_mm
    step = _size(bounds_mm) / BOX_PX
    flat = straightened(
        picture, view, (low / scale, high / scale), step / scale, thickness_mm / scale, (frame[0] / scale, frame[1])
    )
    tall, wide = flat.pixels.shape[:2]
    return flat.jpeg(QUALITY), wide, tall


def _runs(z: Complexes, good: NDArray[np.bool_], wide: float) -> list[str]:
    """An outline, in one colour where it was seen and another where it was not."""
    cuts = np.flatnonzero(good != np.roll(good, 1))
    if not len(cuts):
        return [_run([*z.tolist(), complex(z[0])], bool(good[0]), wide)]
    runs = []
    for a, b in zip(cuts, [*cuts[1:], cuts[0] + len(z)], strict=True):
        runs.append(_run(z[np.arange(a, b + 1) % len(z)].tolist(), bool(good[a]), wide))
    return runs


def _run(points: list[complex], good: bool, wide: float) -> str:
    return element(
        "path", d=polyline_data(points), stroke=READ if good else DOUBT, stroke_width=0.5 * wide, fill="none"
    )


def _dot(p: complex, radius: float, colour: str) -> str:
    return element(
        "circle", cx=p.real, cy=-p.imag, r=number(radius), fill="none", stroke=colour, stroke_width=radius / 3
    )


def _words(drafter: Drafter, words: str, at: complex, anchor: str = "middle") -> str:
    lettering = {"font-size": number(drafter.height_mm)}
    halo = element(
        "text", words.replace("&", "&amp;").replace("<", "&lt;"), x=at.real, y=-at.imag, text_anchor=anchor,
        font_family="sans-serif", fill="#000", stroke="#fff", stroke_width=0.25 * drafter.height_mm,
        paint_order="stroke",
        **lettering,
    )  # fmt: skip
    return halo
