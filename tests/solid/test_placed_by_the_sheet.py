"""The sheet's places carried out: each part put where its printed numbers say stands where the solid stands."""

import re
from fractions import Fraction

import pytest

from plategen.solid.bodies import plate_bodies
from plategen.solid.kernel import kernel, location
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import EXAMPLES, work_of

PLACED_MM = 0.5


def printed(html: str) -> dict[str, list[tuple[float, float]]]:
    """The three spans of each part, mm, read off the table as a person reads them."""
    table = re.search(r"<caption>Where each part stands</caption>(.*?)</table>", html, re.S)
    assert table
    parts = {}
    for row in re.findall(r"<tr role=\"row\">(.*?)</tr>", table[1], re.S)[1:]:
        cells = [re.sub(r"<[^>]+>", "", cell).strip() for cell in re.findall(r"<td.*?</td>", row, re.S)]
        parts[cells[0].replace(" ", "_")] = [tuple(length_mm(end) for end in cell.split(" to ")) for cell in cells[1:4]]
    return parts


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
