"""The rail before and after fit notes, as drawn."""

import re
import xml.etree.ElementTree as ET

import pytest

from plategen.ground.show import Show
from plategen.tell.picture.moved import moved_picture
from tests.support.every_example import work_of

SVG = "{http://www.w3.org/2000/svg}"


def test_every_station_has_a_stem_as_long_as_it_moved():
    work = work_of("bale-trailer-second")
    for correction in work.corrections:
        trace = min(work.rail.traces, key=lambda f: abs(f.trace.plane_mm - correction.w_mm))
        root = ET.fromstring(moved_picture(trace, correction.at, correction.plate, Show("in")))
        words = [text.text for text in root.iter(f"{SVG}text")]
        times = int(next(w for w in words if w.startswith("moved")).split()[-1])
        stems = [
            [float(x) for x in re.findall(r"-?[\d.]+", path.get("d"))]
            for path in root.iter(f"{SVG}path")
            if path.get("class") == "stem"
        ]
        readings = {round(r.point.real, 6) for r in trace.trace.readings}
        assert {round(stem[0], 6) for stem in stems} == readings
        for u, foot, _, tip in stems:
            assert (foot - tip) / times == pytest.approx(correction.at(u), abs=1e-5)
        assert len(readings) - 1 <= sum(w.isdigit() for w in words) <= len(readings)
