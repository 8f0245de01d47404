"""The whole study from a job file: complete, in agreement with itself, and refused in one line when it cannot be."""

import json
import math
import random
import re
import subprocess
import sys
from html.parser import HTMLParser
from xml.etree import ElementTree

import numpy as np
import pytest

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.parse import parse_steering
from plategen.steering.skeleton import skeleton
from plategen.steering.study import SteeringStudy, study
from plategen.tell.report.encode import json_text
from plategen.tell.report.steering import steer_report, steering_report
from plategen.tell.steering import pictures
from plategen.tell.steering.equipment import order_words
from plategen.tell.steering.section import steering_section
from plategen.tell.steering.svg import numbered, round_ticks, spread_labels
from plategen.tell.steering.tables import steer_lines
from plategen.tell.steering.views import three_views
from tests.support.orchard import HELD

TEXT = HELD


@pytest.fixture(scope="module")
def found() -> SteeringStudy:
    return study(parse_steering(TEXT))


def section_of(study: SteeringStudy, show: Show) -> str:
    return steering_section(study, steering_report(study), show)


def changed(old: str, new: str, count: int = 1) -> str:
    assert old in TEXT
    return TEXT.replace(old, new, count)


def test_the_example_is_studied_in_full(found: SteeringStudy) -> None:
    assert found.sweep is not None
    assert found.sweep.lock_steer_rad(-1)["left"] == pytest.approx(math.radians(35.0))
    assert found.stroke is not None
    assert found.stroke.enough
    assert found.in_line is not None
    assert found.in_line.best is not None
    assert found.in_line.best.worst_rad < found.in_line.aligned.worst_rad
    assert len(found.ports) == 2
    assert found.pad is not None
    assert [len(part) for part in (found.clearances, found.marks)] == [14, 5]
    assert [f.check for f in findings(found) if f.verdict == "stop"] == []


def test_the_bracket_gets_its_loads(found: SteeringStudy) -> None:
    forces, (swing,) = found.thrust, found.swings_about("fixed pin")
    assert forces is not None
    assert forces.push_n > forces.pull_n > 0.0
    assert swing.in_plane_range_rad[0] < swing.in_plane_range_rad[1]
    assert max(map(abs, swing.out_of_plane_range_rad)) < math.radians(12.0)


def test_the_fixed_pin_may_be_moved_where_it_is_advised_and_then_stays(found: SteeringStudy) -> None:
    assert found.stroke is not None
    assert found.stroke.fixed_mm is not None
    place = ", ".join(f'"{c:.9f} mm"' for c in found.stroke.fixed_mm)
    again = study(parse_steering(changed('fixed_pin = [-55, "20 3/4", "21 1/4"]', f"fixed_pin = [{place}]")))
    assert again.stroke is not None
    assert again.stroke.moved_mm == pytest.approx(0.0, abs=1e-6)
    assert again.stroke.limit_mm == pytest.approx(found.stroke.limit_mm, abs=1e-6)


def test_the_report_is_json_and_tells_the_same_numbers(found: SteeringStudy) -> None:
    report = json.loads(json_text(steer_report(found)))
    # M / W of a tube 1 3/4 in outside with a wall of 1/4 in, W = pi (D^4 - d^4) / (32 D)
    bending, outside, inside = report["in_line"]["bending"], 44.45, 31.75
    modulus = math.pi * (outside**4 - inside**4) / (32.0 * outside)
    assert bending["stress_mpa"] == pytest.approx(bending["moment_nmm"] / modulus)
    assert report["format"] == 1
    assert found.stroke is not None
    assert report["stroke"]["limit_mm"] == pytest.approx(found.stroke.limit_mm)
    assert report["sweep"]["lock_left_deg"]["left"] == pytest.approx(35.0)
    assert max(rod["closure_error"] for rod in report["rods"]) < 1e-9
    assert len(report["findings"]) == len(findings(found))


@pytest.mark.parametrize("units", ["in", "mm"])
def test_the_text_and_the_section_say_the_same_rows(found: SteeringStudy, units: str) -> None:
    show = Show(units)  # type: ignore[arg-type]
    lines = steer_lines(found, show)
    section = section_of(found, show)
    assert found.stroke is not None
    limit = show.length(found.stroke.limit_mm)
    assert any(limit in line for line in lines)
    assert limit in section
    assert "nan" not in " ".join(lines).lower()


class _Balanced(HTMLParser):
    """Checks that every element is closed in its order, and gathers ids and links."""

    EMPTY = frozenset({"br", "img", "meta", "link", "input", "hr"})

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.ids: list[str] = []
        self.links: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag not in self.EMPTY:
            self.open.append(tag)
        self._note(attrs)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self._note(attrs)

    def _note(self, attrs: list[tuple[str, str | None]]) -> None:
        self.ids += [value or "" for key, value in attrs if key == "id"]
        self.links += [value or "" for key, value in attrs if key in ("src", "href")]

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag


def test_the_section_is_sound_html_and_needs_no_other_file(found: SteeringStudy) -> None:
    section = section_of(found, Show("in"))
    parser = _Balanced()
    parser.feed(section)
    assert parser.open == []
    assert len(parser.ids) == len(set(parser.ids))
    assert parser.links == []
    assert "<script" not in section
    for words in ("Job card: marks on the steering box", "The ARM STAYS ON the box", "Ports capped"):
        assert words in section
    assert "Steering kills" in section


def test_words_of_the_job_cannot_become_markup() -> None:
    text = changed('name = "tie rod"', 'name = "<b>tie</b> & rod"')
    section = section_of(study(parse_steering(text)), Show("in"))
    assert "<b>tie" not in section
    assert "&lt;b&gt;tie&lt;/b&gt; &amp; rod" in section


def test_every_picture_is_sound_svg_that_says_what_it_is(found: SteeringStudy) -> None:
    show = Show("in")
    assert found.circuit is not None
    drawn = [
        *pictures.plots(found, show),
        *three_views(found),
        pictures.trade_picture(found, show),
        pictures.circuit_picture(found.circuit, found, show),
        pictures.marks_picture(found),
    ]
    assert len(drawn) == 14
    for text in drawn:
        root = ElementTree.fromstring(text)
        names = [child.tag.rpartition("}")[2] for child in root][:2]
        assert names == ["title", "desc"]
        assert all(child.text for child in list(root)[:2])
        assert "nan" not in re.sub(r">[^<]*<", "><", text)
        assert "currentColor" in text


def test_the_skeleton_is_drawn_at_three_positions_on_the_true_places(found: SteeringStudy) -> None:
    lines = {line.name: line for line in skeleton(found)}
    assert found.sweep is not None
    assert found.in_line is not None
    rod = lines["tie rod, left lock"]
    start, end = found.sweep.motion.rod_ends_mm("tie rod")
    np.testing.assert_allclose(rod.points_mm, [start[-1], end[-1]])
    assert lines["cylinder, straight ahead"].points_mm[0] == found.in_line.mount.fixed_mm
    lengths = [
        float(np.linalg.norm(np.subtract(*lines[f"drag link, {where}"].points_mm)))
        for where in ("right lock", "straight ahead", "left lock")
    ]
    assert max(lengths) - min(lengths) < 1e-9
    assert len(lines) == len(skeleton(found))  # every name once


def test_a_travel_alone_is_enough() -> None:
    head = TEXT[: TEXT.index("[steering]")]
    found = study(parse_steering(head + '[steering.travel]\ntravel = "7 5/8"\n'))
    assert found.sweep is None
    assert found.stroke is not None
    assert found.stroke.limit_mm == pytest.approx(0.375 * 25.4)
    assert found.swings_about("fixed pin") == ()
    lines = steer_lines(found, Show("in"))
    assert any("limit the stroke by" in line and "3/8 in" in line for line in lines)
    assert "Job card" not in section_of(found, Show("in"))
    json_text(steer_report(found))


def test_the_levers_alone_are_enough() -> None:
    end = TEXT.index("[[steering.point]]")
    start = TEXT.index("[steering]")
    found = study(parse_steering('title = "x"\nunits = "in"\n' + TEXT[start:end]))
    assert found.sweep is not None
    assert (found.stroke, found.in_line, found.stops, found.circuit) == (None, None, None, None)
    section_of(found, Show("in"))
    json_text(steer_report(found))


def test_without_a_cylinder_bore_and_rod_are_advised_for_a_pressure() -> None:
    start = TEXT.index("[steering]")
    text = 'title = "x"\nunits = "in"\n' + TEXT[start:].replace(
        'joint = "12 deg"', 'joint = "12 deg"\npressure = "1500 psi"'
    )
    found = study(parse_steering(text))
    assert found.sizing is not None
    assert found.sizing.bore is not None
    assert found.stroke is not None
    assert found.stroke.stroke_mm == pytest.approx(9 * 25.4)  # the margin, and what the marks on the box may be out
    assert found.thrust is None
    lines = steer_lines(found, Show("in"))
    assert any("closed length that suits the drawn pins" in line for line in lines)
    section_of(found, Show("in"))
    json_text(steer_report(found))


def test_the_text_of_an_inch_job_names_no_millimetres(found: SteeringStudy) -> None:
    assert not [line for line in steer_lines(found, Show("in")) if re.search(r"\d mm\b", line)]


def test_scipy_is_not_loaded() -> None:
    code = "import sys, plategen.tell.steering.section, plategen.tell.report.steering; sys.exit('scipy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_mirrored_job_gives_mirrored_loads() -> None:
    def flip(text: str) -> str:
        """Left and right exchanged, every place and every axis with its y turned round."""
        swapped = text.replace("left sp", "@@").replace("right sp", "left sp").replace("@@", "right sp")
        swapped = re.sub(
            r'wheel = "(left|right)"', lambda m: f'wheel = "{"right" if m[1] == "left" else "left"}"', swapped
        )
        keys = "pivot|axis|drag|tie|at|moving_pin|fixed_pin|hose_to|from|to|centre"

        def mirror(m: re.Match[str]) -> str:
            x, y, z = m[2].split(",")
            bare = y.strip().strip('"')
            turned = bare[1:] if bare.startswith("-") else f"-{bare}"
            return f'{m[1]} = [{x}, "{turned}",{z}]'

        return re.sub(rf"^({keys}) = \[([^\]]*)\]", mirror, swapped, flags=re.M)

    head = "box = { low = [-58, 19, 18], high = [-53, 23, 24] }\n"
    one = study(parse_steering(changed(head, "")))
    two = study(parse_steering(flip(changed(head, ""))))
    assert one.stroke is not None
    assert two.stroke is not None
    assert one.in_line is not None
    assert two.in_line is not None
    assert two.stroke.travel_mm == pytest.approx(one.stroke.travel_mm, abs=1e-9)
    assert two.stroke.at_cap_mm == pytest.approx(one.stroke.at_cap_mm, abs=1e-9)
    np.testing.assert_allclose(two.in_line.aligned.angle_rad, one.in_line.aligned.angle_rad[::-1], atol=1e-9)
    np.testing.assert_allclose(two.in_line.aligned.level_rad, -one.in_line.aligned.level_rad[::-1], atol=1e-9)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ('from = "box arm.drag"', 'from = "box arm"', '"box arm" names no ball joint'),
        ('to = "left spindle.drag"', 'to = "left spindle.knuckle"', "has no ball 'knuckle'"),
        ('pushes = "drag link"', 'pushes = "drag rod"', "there is no lever or rod 'drag rod'"),
        ("pin_axis = [-0.095, 0, -1]", "pin_axis = [0, 0, 0]", "the fixed pin's axis has no direction"),
        ('left = "35 deg"', 'left = "110 deg"', "come in one line"),
        ('of = "inner wheel"', 'of = "outer wheel"', "there is no lever 'outer wheel'"),
        ('wheel = "right"', 'wheel = "left"', "two levers carry the same wheel"),
        ('wall = "1/4"\nyield', 'wall = "1"\nyield', "at most half its `diameter`"),
        ("axis = [0, 1, 0]", "axis = [0, 0, 0]", "the axis of lever 'box arm' has no direction"),
        ("axis = [0, 1, 0]", "axis = [0, 0.5, -8]", "lies on the axis of its own lever 'box arm'"),
        ("low = [-58, 19, 18]", "low = [-50, 19, 18]", "turned inside out"),
        ('hole = "9/16"', 'hole = "1 1/2"', "to the edge of the pad"),
        ('to = "right spindle.tie"', 'to = "right spindle.tie"\nlength = 20', "rod 'tie rod' (508.0 mm) is too short"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(old: str, new: str, words: str) -> None:
    with pytest.raises(Refusal) as told:
        study(parse_steering(changed(old, new)))
    assert words in str(told.value)
    assert "\n" not in str(told.value)
    assert told.value.where


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('units = "in"\ntitle = "x"\n[steering]\n', "give the levers"),
        ('units = "in"\ntitle = "x"\n', "there is no [steering]"),
        ('units = "in"\ntitle = "x"\n[steering.travel]\n', "give `travel` alone"),
        (
            'units = "in"\ntitle = "x"\n[steering.travel]\ntravel = 7\n[steering.cylinder_mount]\npushes = "a"\n',
            "steering",
        ),
    ],
)
def test_an_incomplete_steering_says_what_is_missing(text: str, words: str) -> None:
    with pytest.raises(Refusal, match=re.escape(words)):
        study(parse_steering(text))


def test_bad_news_is_judged_so() -> None:
    def verdicts(text: str) -> dict[str, str]:
        return {f"{f.check}, {f.part}": f.verdict for f in findings(study(parse_steering(text)))}

    assert verdicts(changed("stroke = 8", "stroke = 6"))["stroke covers travel, cylinder"] == "stop"
    dry = {f.check: f for f in findings(study(parse_steering(changed("reservoir = 44", "reservoir = 28"))))}
    assert dry["pump flooded"].verdict == "stop"
    assert Show("in").finding(dry["pump flooded"].capacity, "mm") == "-2 in (-2.000)"
    assert (
        verdicts(changed('joint = "12 deg"', 'joint = "2 deg"'))["joint tilts far enough, fixed end's joint"] == "stop"
    )
    assert verdicts(changed('at = "34 deg"', 'at = "20 deg"'))["stops met together, right lock"] == "caution"
    box = verdicts(changed('kind = "box"\nat = "40 deg"', 'kind = "box"\nat = "20 deg"'))
    assert box["spindle stop before the box's own, left lock"] == "stop"
    near = verdicts(changed("from = [-34, 12, 14]", "from = [-10, 27, 14]"))
    assert near["tyre clears, deflected, left spindle, radius arm"] == "stop"
    start = TEXT.index("[[steering.stops.stop]]")
    no_bolts = TEXT[:start] + TEXT[TEXT.index("[steering.marks]") :]
    assert verdicts(no_bolts)["spindle stops missing, left lock"] == "stop"


def test_the_job_card_says_which_stop_the_marks_may_lose(found: SteeringStudy) -> None:
    # by hand: 1/16 in on a hub of 1 3/4 in is 4.1 deg; the box comes 12 deg after the bolt, the cylinder 2.2
    report = steering_report(found)
    assert report.stops is not None
    bolt, cylinder, box = report.stops.left
    assert (bolt.after_deg, bolt.after_marked_deg) == (None, None)
    assert cylinder.after_deg is not None
    assert cylinder.after_marked_deg == pytest.approx(cylinder.after_deg - math.degrees(1.0 / 16.0 / 0.875))
    assert box.after_marked_deg is not None
    assert box.after_marked_deg > 0.0
    words = order_words(report, Show("in"))
    assert "4.1° of the box out" in words
    assert "cylinder open, turning left, only 3.9°" in words
    assert "box, inside" not in words
    finer = steering_report(study(parse_steering(changed('reading_error = "1/16"', 'reading_error = "1/64"'))))
    assert "keeps its place" in order_words(finer, Show("in"))


def test_round_ticks_and_labels() -> None:
    assert round_ticks(0.0, 9.4) == [0, 2, 4, 6, 8, 10]
    assert round_ticks(-0.3, 0.3, 3) == pytest.approx([-0.4, -0.2, 0.0, 0.2, 0.4])
    assert len(round_ticks(5.0, 5.0)) > 1
    assert spread_labels([10.0, 12.0, 40.0], 15.0) == [10.0, 25.0, 40.0]


@pytest.mark.parametrize("seed", range(25))
def test_numbers_gone_wrong_are_refused_or_studied_but_never_break(seed: int) -> None:
    chance = random.Random(seed)

    def spoiled(m: re.Match[str]) -> str:
        return (
            chance.choice(["0", "-1", "1e4", "0.001", "-3.7", "45", "1000", "-200"]) if chance.random() < 0.03 else m[0]
        )

    start = TEXT.index("[steering]")
    body = re.sub(r"(?<=[\[ =])-?\d+(\.\d+)?(?=[,\]\n ])", spoiled, TEXT[start:])
    try:
        found = study(parse_steering(TEXT[:start] + body))
    except Refusal as refusal:
        refused = str(refusal)
    else:
        refused = ""
    if refused:
        assert "\n" not in refused
        return
    json_text(steer_report(found))
    section_of(found, Show("in"))


def test_a_spacer_that_would_be_thinner_than_nothing_is_told_as_stroke_that_is_missing() -> None:
    lines = steer_lines(study(parse_steering(TEXT.replace("stroke = 8\n", "stroke = 6\n"))), Show("in"))
    (missing,) = (line for line in lines if line.strip().startswith("spacer on the rod"))
    assert re.search(r"none: .* of stroke is missing there", missing), missing
    assert not any(re.search(r"spacer .* -\d", line) for line in lines)


def test_the_swing_at_the_moving_pin_is_told_as_its_plates_see_it() -> None:
    found = study(parse_steering(TEXT))
    (seen,) = found.swings_about("moving pin")
    report = steering_report(found).in_line
    assert report is not None
    assert report.moving_swing_deg == pytest.approx(tuple(map(math.degrees, seen.in_plane_range_rad)))
    assert report.moving_out_of_plane_deg == pytest.approx(tuple(map(math.degrees, seen.out_of_plane_range_rad)))
    assert any("as plates that ride on it see it" in line for line in steer_lines(found, Show("in")))


def test_numbers_beside_dots_stand_clear_and_dots_in_one_place_share_theirs() -> None:
    rng = random.Random(11)
    dots = [(rng.uniform(60, 420), rng.uniform(40, 240)) for _ in range(12)]
    found = numbered([*dots, dots[0], (dots[1][0] + 1.0, dots[1][1])])
    assert [words for *_, words in found] == ["1, 13", "2, 14", *map(str, range(3, 13))]
    boxes = [(x, y - 10.0, x + 7.0 * len(words), y + 3.0) for x, y, words in found]
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            assert a[2] <= b[0] or b[2] <= a[0] or a[3] <= b[1] or b[3] <= a[1]
        x, y = [*dots][i]
        assert math.hypot(max(a[0] - x, x - a[2], 0.0), max(a[1] - y, y - a[3], 0.0)) < 40.0
