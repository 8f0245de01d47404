"""The steering in motion: every frame is the study's, it is small, and a browser moves it, or leaves it still."""

import json
import re
from pathlib import Path

import numpy as np
import pytest

from plategen.ground.show import Show
from plategen.job.parse import parse_steering
from plategen.steering.study import SteeringStudy, study
from plategen.tell.picture.linkage import linkage_scene, script
from plategen.tell.report.steering import steering_report

ORCHARD = Path(__file__).parents[3] / "profiles" / "orchard-sprayer-steering"
TEXT = re.sub(r"\[steering\.axle\][^\[]*", "", (ORCHARD / "job.toml").read_text(encoding="utf-8"))
ARM = '[steering.axle]\nup = 3\ndown = 3\nroll = "6 deg"\nabout = [-45, 0, 18]\nturns = true\n\n'


@pytest.fixture(scope="module")
def found() -> SteeringStudy:
    return study(parse_steering(TEXT.replace("[steering.sweep]", f"{ARM}[steering.sweep]")))


def at(scene, line: list, frame: int) -> np.ndarray:  # type: ignore[type-arg]
    """A line's points at a frame, (k, 3)."""
    points = [scene["points"][i] for i in line[2:]]
    return np.array([p if len(p) == 3 else p[3 * frame : 3 * frame + 3] for p in points])


def line(scene, kind: str, name: str) -> list:  # type: ignore[type-arg]
    return next(each for each in scene["lines"] if each[:2] == [kind, name])


def test_the_locks_and_straight_ahead_stand_where_the_sweep_has_them(found) -> None:
    scene = linkage_scene(found)
    stage, swept = scene["stages"][0], found.sweep
    for frame, i in ((0, 0), (stage["straight"], swept.straight), (stage["count"] - 1, len(swept) - 1)):
        for rod in swept.linkage.rods:
            ends = np.array([end[i] for end in swept.motion.rod_ends_mm(rod.name)])
            assert at(scene, line(scene, "rod", rod.name), frame) == pytest.approx(ends, abs=0.51)
        pins = at(scene, line(scene, "cylinder", "cylinder"), frame)
        assert np.linalg.norm(pins[1] - pins[0]) == pytest.approx(found.in_line.pins.length_mm[i], abs=1.0)
        for port, shown in zip(found.ports, ("cap", "rod"), strict=True):
            assert at(scene, line(scene, "port", shown), frame)[0] == pytest.approx(port.face_mm[i], abs=0.51)


def test_rods_keep_their_length_at_every_frame_of_every_stage(found) -> None:
    scene = linkage_scene(found)
    frames = sum(stage["count"] for stage in scene["stages"])
    for rod in found.sweep.linkage.rods:
        wanted = found.sweep.linkage.rod_length_mm(rod)
        for frame in range(frames):
            start, end = at(scene, line(scene, "rod", rod.name), frame)
            assert np.linalg.norm(end - start) == pytest.approx(wanted, abs=1.0)


def test_the_axle_s_words_are_the_report_s_numbers(found) -> None:
    scene, show = linkage_scene(found), Show("in")
    turn, axle, rolled = scene["stages"]
    assert [stage["label"] for stage in scene["stages"]] == ["Turn", "Axle", "Axle rolled"]
    assert turn["words"][turn["straight"]][0] == "0.0°"
    mean = {(round(p.rise_mm, 3), round(p.roll_deg, 3)): p.bump_steer_deg for p in steering_report(found).axle.places}
    cases = [(axle, 0, (-76.2, 0.0)), (axle, -1, (76.2, 0.0)), (rolled, 0, (0.0, -6.0)), (rolled, -1, (0.0, 6.0))]
    for stage, frame, place in cases:
        told = dict(zip(stage["names"], stage["words"][frame], strict=True))
        wheels = [float(told[f"{side} wheel"].rstrip("°")) for side in ("left", "right")]
        assert np.mean(wheels) == pytest.approx(mean[place], abs=0.06)
    assert axle["words"][0][0] == f"-{show.length(76.2)}"


def test_the_gap_that_is_marked_is_the_least_of_its_kind_and_as_long_as_it_is_told(found) -> None:
    scene, show = linkage_scene(found), Show("in")
    first = 0
    for stage in scene["stages"]:
        names = [stage["names"][reading] for reading, _ in stage["marks"]]
        assert names == ["nearest to a tyre", "nearest to a fitting"]
        for reading, lines in stage["marks"]:
            for frame, number in enumerate(lines):
                one, other = at(scene, scene["lines"][number], first + frame)
                told_in = float(stage["words"][frame][reading].split("(")[1].rstrip(")"))
                assert told_in * 25.4 == pytest.approx(np.linalg.norm(one - other), abs=1.8), "points are whole mm"
        first += stage["count"]
    turn, swept = scene["stages"][0], found.sweep
    ends = np.array([0, len(swept) - 1])
    tyres = [each.gaps_mm(ends) for each in found.clearances if not each.axle_moved]
    for frame, least in zip((0, -1), np.min(tyres, axis=0), strict=True):
        assert dict(zip(turn["names"], turn["words"][frame], strict=True))["nearest to a tyre"] == show.length(least)


def test_it_is_small_and_there_is_none_without_a_linkage(found) -> None:
    assert len(json.dumps(linkage_scene(found), separators=(",", ":"))) + len(script()) < 60_000
    assert linkage_scene(None) is None
    assert linkage_scene(study(parse_steering('units = "in"\ntitle = "t"\n[steering.travel]\ntravel = 7\n'))) is None


def _sheet(found: SteeringStudy, tmp_path: Path) -> str:
    path = tmp_path / "moving.html"
    data = json.dumps(linkage_scene(found)).replace("<", "\\u003c")
    path.write_text(
        f'<figure id="linkage" hidden><div class="moving"></div></figure>'
        f'<script type="application/json" id="linkage-data">{data}</script><script>{script()}</script>',
        encoding="utf-8",
    )
    return path.as_uri()


@pytest.mark.parametrize("calm", [False, True])
def test_a_browser_moves_it_but_not_for_those_who_ask_for_less_motion(browser, found, tmp_path, calm) -> None:
    context = browser.new_context(offline=True, reduced_motion="reduce" if calm else "no-preference")
    page, wrong = context.new_page(), []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.goto(_sheet(found, tmp_path))
    cylinder, button = page.locator("[data-line=cylinder]").first, page.locator("[data-linkage=play]")
    first = cylinder.get_attribute("d")
    page.wait_for_timeout(600)
    assert (cylinder.get_attribute("d") == first) is calm
    assert button.inner_text() == ("Start the motion" if calm else "Stop the motion")
    button.click()
    held = cylinder.get_attribute("d")
    page.wait_for_timeout(600)
    assert (cylinder.get_attribute("d") == held) is not calm, "pressed once, each does the other"
    slider = page.locator("#linkage-at-1")
    slider.focus()
    slider.press("Home")
    assert button.inner_text() == "Start the motion", "whoever takes hold of it stops it"
    assert page.locator("dd").first.inner_text().startswith("-3 in")
    slider.press("ArrowRight")
    assert page.locator("dd").first.inner_text().startswith("-2 5/8 in")
    told = page.locator("dd").all_inner_texts()[-2:]
    assert told[0].endswith("tie rod")
    assert "fitting of the" in told[1]
    for view in page.locator("#linkage svg").all():
        assert sorted(view.locator(".m-gap text:visible").all_text_contents()) == sorted(t.split(":")[0] for t in told)
    context.close()
    assert not wrong
