"""The sheet's places carried out: each part put where its printed numbers say stands where the solid stands."""

import cmath
import math
import re
from fractions import Fraction
from html import unescape
from typing import Any

import numpy as np
import pytest

from plategen.flat.placement import Placement
from plategen.solid.bodies import plate_bodies
from plategen.solid.kernel import kernel, location, plate_solid
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import EXAMPLES, loaded_of, work_of

PLACED_MM = 0.5


def printed(html: str) -> dict[str, list[tuple[float, float]]]:
    """The three spans of each part, mm, read off the table as a person reads them."""
    parts = {}
    for cells in rows_of(html, "Where each part stands"):
        parts[cells[0].replace(" ", "_")] = [tuple(length_mm(end) for end in cell.split(" to ")) for cell in cells[1:4]]
    return parts


def rows_of(html: str, caption: str) -> list[list[str]]:
    """A table's cells."""
    table = re.search(rf"<caption>{caption}</caption>(.*?)</table>", html, re.S)
    rows = re.findall(r"<tr role=\"row\">(.*?)</tr>", table[1], re.S)[1:] if table else []
    return [[re.sub(r"<[^>]+>", "", cell).strip() for cell in re.findall(r"<td.*?</td>", row, re.S)] for row in rows]


def length_mm(words: str) -> float:
    """``'1 3/8 in (1.375)'`` by its decimals, ``'0.012 in'``, ``'34.9 mm'``."""
    inches = re.fullmatch(r"[-\d /]+ in \((-?[\d.]+)\)", words)
    if inches:
        return float(inches[1]) * 25.4
    number, unit = words.rsplit(" ", 1)
    return float(Fraction(number)) * {"in": 25.4, "mm": 1.0}[unit]


SHEETS = [(name, 0) for name in EXAMPLES] + [(name, 1) for name in EXAMPLES if loaded_of(name).job.rod_end]
"""Every shop sheet: an example's own, and that of the seat at its rod's end."""


@pytest.mark.parametrize(("name", "end"), SHEETS)
def test_each_part_stands_where_its_solid_stands(name: str, end: int) -> None:
    work = work_of(name).ends[end]
    parts = printed(sheet_html(work))
    bodies = {body.name: body.shape.Located(location(body.placement)) for body in plate_bodies(work.bracket)}
    assert sorted(parts) == sorted(plate.name for plate in work.bracket.plates)
    for plate in parts:
        box = kernel("Bnd").Bnd_Box()
        kernel("BRepBndLib").BRepBndLib.AddOptimal_s(bodies[plate], box, False, False)
        low, high = box.CornerMin(), box.CornerMax()
        solid = [(getattr(low, axis)(), getattr(high, axis)()) for axis in ("X", "Y", "Z")]
        for said, real in zip(parts[plate], solid, strict=True):
            assert said == pytest.approx(real, abs=PLACED_MM), plate


def pose(html: str, name: str) -> Placement | None:
    """Where the marked face's 0, 0 stands and its two ways, off the words beneath a part's drawing; None if rolled.

    The ways are made square as a person does who sets a rigid plate by the first, then by the second.
    """
    under = rf"{name.replace('_', ' ')}, not to scale;[^<]*<span class=\"in-place\">(.*?)</span>"
    words = re.search(under, unescape(html))
    if words is None:
        return None
    plane = re.search(r"marked face lies at plane (.*?)\.$", words[1])
    if plane:
        height = re.search(r"their heights (.*?) (more|less);", words[1])
        higher = 0.0 if height is None else length_mm(height[1]) * (1.0 if height[2] == "more" else -1.0)
        return Placement((0.0, higher, length_mm(plane[1])), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    told = re.findall(r"(?:drawing's|;) (.*?), (.*?) at station (.*?), height (.*?), plane (.*?)(?=;|\.$)", words[1])
    (_, first), (across, right), (up, top) = (
        (p[0] if p[0] != "0" else p[1], np.array([length_mm(end) for end in p[2:]])) for p in told
    )
    u = (right - first) * math.copysign(1.0, length_mm(across))
    u /= np.linalg.norm(u)
    v = (top - first) * math.copysign(1.0, length_mm(up))
    v -= u * (u @ v)
    return Placement(tuple(first), tuple(u), tuple(v / np.linalg.norm(v)))


def corners_of(shape: Any) -> list[tuple[float, float, float]]:
    """Every corner of a solid, and the ends of its holes' edges."""
    explorer = kernel("TopExp").TopExp_Explorer(shape, kernel("TopAbs").TopAbs_ShapeEnum.TopAbs_VERTEX)
    found = []
    while explorer.More():
        point = kernel("BRep").BRep_Tool.Pnt_s(kernel("TopoDS").TopoDS.Vertex_s(explorer.Current()))
        found.append((point.X(), point.Y(), point.Z()))
        explorer.Next()
    return found


@pytest.mark.parametrize(("name", "end"), SHEETS)
def test_each_corner_and_hole_of_a_part_stands_where_its_solid_s_does(name: str, end: int) -> None:
    work = work_of(name).ends[end]
    html = sheet_html(work)
    bodies, folded = {body.name: body for body in plate_bodies(work.bracket)}, work.bracket.folded
    bent = {folded.base, *(bend.ear for bend in folded.bends)} if folded else set()  # the table of bends places them
    for plate in (plate for plate in work.bracket.plates if plate.name not in bent):
        said = pose(html, plate.name)
        assert (said is None) == bool(plate.rolled_mm), plate.name
        if said is None:
            continue
        body = bodies[plate.name]
        real = corners_of(body.shape.Located(location(body.placement)))
        own = corners_of(plate_solid(plate))
        assert len(own) == len(real) > 8
        # the marked face is the one that the solid's thickness ends at
        put = [said.point(complex(x, y), z - plate.thickness_mm) for x, y, z in own]
        assert max(map(math.dist, put, real)) < PLACED_MM, plate.name
        drilled = {cells[0]: cells for cells in rows_of(html, f"Holes of {plate.name.replace('_', ' ')}")}
        for hole in plate.holes:
            at, unit = drilled[hole.name][4].rsplit(" ", 1)
            centre = complex(*(length_mm(f"{fraction_of(part)} {unit}") for part in at.split(", ")))
            assert (
                math.dist(said.point(centre), plate.placement.point(hole.circle.centre, plate.thickness_mm)) < PLACED_MM
            )


def fraction_of(words: str) -> Fraction:
    """``'6 1/2'``, ``'-1 3/8'``, ``'6.362'`` as a number."""
    parts = [Fraction(part) for part in words.lstrip("-").split()]
    return -sum(parts) if words.startswith("-") else sum(parts)


def has_pads(name: str) -> bool:
    steering = loaded_of(name).job.steering
    return steering is not None and steering.stops is not None and steering.stops.pad is not None


@pytest.mark.parametrize("name", filter(has_pads, EXAMPLES))
def test_each_stop_pad_stands_where_its_stop_meets_it(name: str) -> None:
    work = work_of(name)
    said = {(cells[1], cells[2], cells[3]): cells for cells in rows_of(sheet_html(work), "Where the stop pads stand")}
    stops = [stop for stop in work.job.steering.stops.stop if stop.kind == "spindle"]
    assert {(stop.name, stop.turn, stop.lever) for stop in stops} == set(said)
    for stop in stops:
        cells = said[stop.name, stop.turn, stop.lever]
        assert all(f"{pad.name.replace('_', ' ')}, {pad.count} to cut" in cells[0] for pad in work.loose)
        radius_mm = length_mm(cells[5])
        turned_rad = math.radians(float(cells[4].rstrip("°")))
        met = stop.contact_radius_mm * cmath.rect(1.0, stop.at_rad)
        assert abs(cmath.rect(radius_mm, turned_rad) - met) < PLACED_MM
