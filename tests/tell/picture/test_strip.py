"""The figures above a plate's notch, which are scribed by: each stands far enough from the next to be read alone."""

import re
from itertools import pairwise

import pytest

from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.plate_dimension import ordinates
from plategen.tell.picture.plate_features import datum_of
from plategen.tell.picture.plate_station import stations, step_mm
from tests.support.every_example import EXAMPLES, work_of

FIGURE = re.compile(r'<text[^>]* x="(-?[\d.]+)" y="(-?[\d.]+)"[^>]*>(\d[^<]*)</text>')


@pytest.mark.parametrize("letters", [3.9, 4.2, 6.0])
@pytest.mark.parametrize("name", EXAMPLES)
def test_no_two_figures_on_a_line_read_as_one(name: str, letters: float) -> None:
    work = work_of(name)
    step = step_mm(200.0, work.job.units, 10)
    drafter = Drafter(step / letters)
    for plate in work.cut_plates:
        datum = datum_of(work, plate)
        if plate.notch is None or datum is None:
            continue
        ticks = stations(plate, step)
        strip = "".join(ordinates(plate, ticks, datum, drafter, Show(work.job.units)))
        lines: dict[str, list[tuple[float, float]]] = {}
        for x, y, words in FIGURE.findall(strip):
            lines.setdefault(y, []).append((float(x), drafter.width(words)))
        for figures in lines.values():
            for (a, wide_a), (b, wide_b) in pairwise(sorted(figures)):
                assert b - a - (wide_a + wide_b) / 2 > 0.2 * drafter.height_mm, (plate.name, figures)
