"""The pictures of the moving axle are true to the numbers: every line and curve is read back out of the SVG."""

import re
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pytest

from plategen.ground.show import Show
from plategen.job.parse import parse_steering
from plategen.steering.study import SteeringStudy, study
from plategen.tell.report.steering import steering_report
from plategen.tell.steering.section import steering_section
from plategen.tell.steering.views import axle_pictures

ORCHARD = Path(__file__).parents[3] / "profiles" / "orchard-sprayer-steering"
TEXT = re.sub(r"\[steering\.axle\][^\[]*", "", (ORCHARD / "job.toml").read_text(encoding="utf-8"))
ARM = '[steering.axle]\nup = 3\ndown = 3\nroll = "6 deg"\nabout = [-45, 0, 18]\nturns = true\n\n'


def with_axle(table: str) -> SteeringStudy:
    return study(parse_steering(TEXT.replace("[steering.sweep]", f"{table}[steering.sweep]")))


def pictures(found: SteeringStudy) -> dict[str, ElementTree.Element]:
    roots = map(ElementTree.fromstring, axle_pictures(found, Show(found.units)))
    return {root.attrib["aria-labelledby"].split()[0].removesuffix("-title"): root for root in roots}


def points(path: ElementTree.Element) -> np.ndarray:  # type: ignore[type-arg]
    return np.array([pair.split(" ") for pair in path.attrib["d"].removeprefix("M").split("L")], dtype=float)


def scale(root: ElementTree.Element, anchor: str, axis: int) -> np.ndarray:  # type: ignore[type-arg]
    """The line that turns a pixel into the number written beside the axis."""
    words = [e for e in root.iter("{http://www.w3.org/2000/svg}text") if e.attrib["text-anchor"] == anchor]
    found = [(float(e.attrib["xy"[axis]]), e.text or "") for e in words]
    pixel, value = np.array([(at, float(text)) for at, text in found if re.fullmatch(r"-?[\d.]+", text)]).T
    if axis == 1:
        pixel = pixel - 4.0  # a number's foot stands that far below its line
    return np.polyfit(pixel, value, 1)


def test_the_curve_passes_through_the_table_s_bump_steer_and_toe() -> None:
    found = with_axle(ARM)
    axle = steering_report(found).axle
    assert axle is not None
    root = pictures(found)["steer-axle-bump"]
    across, up = scale(root, "middle", 0), scale(root, "end", 1)
    drawn = {}
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        if path.attrib["class"] in tuple("abcd"):
            x, y = points(path).T
            drawn[path.attrib["class"]] = np.polyval(across, x), np.polyval(up, y)
    rolls = {0.0: "a", 6.0: "c", -6.0: "d"}
    assert len(axle.places) == 21
    for place in axle.places:
        x, y = drawn[rolls[round(place.roll_deg, 6)]]
        assert np.interp(place.rise_mm / 25.4, x, y) == pytest.approx(place.bump_steer_deg, abs=0.02)
        if place.roll_deg == 0.0:
            assert np.interp(place.rise_mm / 25.4, *drawn["b"]) == pytest.approx(place.toe_in_deg, abs=0.02)


def test_the_linkage_is_drawn_where_the_axle_has_carried_it() -> None:
    # plain: straight up and down, so that what rides on the axle moves by the travel in the view from the side
    found = with_axle("[steering.axle]\nup = 2\ndown = 4\n")
    root = pictures(found)["steer-axle-ahead"]
    rods = {}
    for path in root.iter("{http://www.w3.org/2000/svg}path"):
        if path.attrib["stroke-width"] == "1.6":
            rods.setdefault(path.attrib["class"], []).append(points(path))
    assert sorted(rods) == ["", "a", "b"]
    tie = {style: lines[1] for style, lines in rods.items()}
    assert found.sweep is not None
    left, right = (end[found.sweep.straight] for end in found.sweep.motion.rod_ends_mm("tie rod"))
    per_mm = abs(tie[""][0, 0] - tie[""][1, 0]) / abs(left[1] - right[1])
    middle = {style: line[:, 1].mean() / per_mm for style, line in tie.items()}
    assert middle[""] - middle["a"] == pytest.approx(2 * 25.4, abs=1.0)
    assert middle["b"] - middle[""] == pytest.approx(4 * 25.4, abs=1.0)


def test_an_axle_that_only_rolls_has_its_views_and_no_curve() -> None:
    assert list(pictures(with_axle('[steering.axle]\nroll = "6 deg"\n'))) == [
        "steer-axle-above",
        "steer-axle-side",
        "steer-axle-ahead",
        "steer-axle-key",
    ]


def test_the_sheet_has_them_where_the_travel_is_asked_and_only_there() -> None:
    for found, there in ((with_axle(ARM), True), (with_axle(""), False)):
        section = steering_section(found, steering_report(found), Show("in"))
        assert ("steer-axle-bump" in section) is there
