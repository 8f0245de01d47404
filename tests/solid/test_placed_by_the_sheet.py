"""The sheet's places carried out: each part put where its printed numbers say stands where the solid stands."""

import cmath
import math
import re
from fractions import Fraction

import pytest

from plategen.solid.bodies import plate_bodies
from plategen.solid.kernel import kernel, location
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


@pytest.mark.parametrize("name", EXAMPLES)
def test_each_part_stands_where_its_solid_stands(name: str) -> None:
    work = work_of(name)
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
