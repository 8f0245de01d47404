"""The command as a mechanic meets it: what cannot be is refused in one line that names the part, the rest is told."""

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from plategen.cli import main
from tests.support.orchard import HELD

TEXT = HELD
HEAD = TEXT[: TEXT.index("[steering]")]


def steered(text: str, folder: Path, *options: str) -> Result:
    (folder / "job.toml").write_text(text, encoding="utf-8")
    return CliRunner().invoke(main, ["steer", str(folder), *options])


DRAG = 'drag = [-42, "18 1/2", 20]'
TIE_END = 'to = "right spindle.tie"'
FIXED = 'fixed_pin = [-55, "20 3/4", "21 1/4"]'
PIN_AXIS = "pin_axis = [-0.095, 0, -1]"
EXTRA_ROD = '[[steering.rod]]\nname = "x"\nfrom = "box arm.drag"\nto = "right spindle.tie"\n[steering.sweep]'
LOOSE = '[[steering.lever]]\nname = "idler"\npivot = [0, 0, 0]\n[steering.lever.balls]\na = [0, 9, 0]\n[steering.sweep]'

REFUSED = {
    "rod too short": (TIE_END, TIE_END + "\nlength = 20", "steering.rod 'tie rod'", "too short to join 'left spindle'"),
    "rod too long": (TIE_END, TIE_END + "\nlength = 90", "steering.rod 'tie rod'", "too long to join"),
    "no length": (DRAG, 'drag = [0, "20 1/2", 16]', "steering.rod 'drag link'", "has no length"),
    "zero length": (TIE_END, TIE_END + "\nlength = 0", "steering.rod[2].length", "more than 0"),
    "ball on its axis": (DRAG, 'drag = [-42, "18 1/2", 28]', "'box arm'.balls.drag", "on the axis of its own lever"),
    "no axis": ("axis = [0, 1, 0]", "axis = [0, 0, 0]", "'box arm'.axis", "has no direction"),
    "rod along an axis": (
        "axis = [-0.07, 0.14, 1]", "axis = [0, 1, 0]", "steering.rod 'tie rod'", "runs parallel to the axis of lever"
    ),
    "rod through an axis": (
        'drag = [0, "20 1/2", 16]', 'drag = [-42, "18 1/2", 16]', "steering.rod 'drag link'", "are drawn in one line"
    ),
    "lock beyond a dead point": (
        'right = "35 deg"', 'right = "75 deg"', "steering.lever 'right spindle'",
        "come in one line: 'box arm' turns lever 'right spindle' no further than -67"
    ),
    "box beyond a dead point": (
        'of = "inner wheel"\nleft = "35 deg"', 'of = "box arm"\nleft = "90 deg"', "steering.rod 'drag link'",
        "come in one line"
    ),
    "flat kingpin": ("axis = [-0.07, -0.14, 1]", "axis = [1, 0, 0]", "'left spindle'.axis", "lies too flat"),
    "second loop": ("[steering.sweep]", EXTRA_ROD, "steering.rod 'x'", "would lock the steering"),
    "loose lever": ("[steering.sweep]", LOOSE, "steering.lever 'idler'", "no rod joins lever 'idler'"),
    "two of a name": ('name = "tie rod"', 'name = "drag link"', "steering.rod", "two rods are called 'drag link'"),
    "unknown lever": ('of = "inner wheel"', 'of = "boxarm"', "steering.sweep.of", "there is no lever 'boxarm'"),
    "unknown pushed": (
        'pushes = "drag link"', 'pushes = "drag"', "steering.cylinder_mount.pushes", "there is no lever or rod 'drag'"
    ),
    "unknown stop": (
        'lever = "right spindle"', 'lever = "knuckle"', "steering.stops.stop[2].lever", "there is no lever 'knuckle'"
    ),
    "nameless": ('name = "tie rod"', 'name = " "', "steering.rod[2].name", "what the shop calls the rod"),
    "pins in one place": (
        FIXED, 'fixed_pin = [-36, "21 3/4", "19 7/16"]', "steering.cylinder_mount", "drawn in the same place"
    ),
    "pin along the cylinder": (PIN_AXIS, "pin_axis = [1, 0.05, -0.09]", "cylinder_mount.pin_axis", "pin goes across"),
    "pin without direction": (PIN_AXIS, "pin_axis = [0, 0, 0]", "cylinder_mount.pin_axis", "has no direction"),
    "cylinder at a dead point": (
        'pushes = "drag link"', 'pushes = "left spindle"', "steering.cylinder_mount",
        "the cylinder and its lever come in one line"
    ),
    "box inside out": ("low = [-58, 19, 18]", "low = [-50, 19, 18]", "cylinder_mount.box", "turned inside out"),
    "hose too short": (
        "hose_to = [-52, 17, 27]", "hose_to = [-52, 17, 27]\nhose_length = 3", "steering.port 'cap'", "has to reach"
    ),
    "tyre without a place": ("centre = [0, 36, 12]\n", "", "steering.tyre.centre", "go together"),
    "travel twice": (
        "[steering.tyre]", "[steering.travel]\ntravel = 7\n[steering.tyre]", "steering.travel", "leave one of the two"
    ),
    "pad without count": ("hole_spacing = 0", "hole_spacing = 0, count = 0", "stops.pad.count", "from 1 to 100"),
}  # fmt: skip


@pytest.mark.parametrize("trial", REFUSED)
def test_what_cannot_be_is_refused_in_one_line_naming_the_part(trial: str, tmp_path: Path) -> None:
    old, new, where, words = REFUSED[trial]
    assert old in TEXT
    done = steered(TEXT.replace(old, new, 1), tmp_path)
    assert done.exit_code == 2
    assert done.stdout == ""
    (line,) = done.stderr.splitlines()
    assert where in line
    assert words in line
    assert " mm" not in line  # an inch job is told in inches


@pytest.mark.parametrize(
    ("travel", "words"),
    [
        ("travel = -7", "steering.travel.travel: -7 in"),
        ("left_length = 16\nright_length = 16", "no travel between them"),
        ("left_length = 16", "give `travel` alone"),
        ("left_length = 16\nright_length = 22\nstraight_length = 30", "steering.travel.straight_length"),
    ],
)
def test_measured_travel_that_cannot_be_is_refused(travel: str, words: str, tmp_path: Path) -> None:
    done = steered(f"{HEAD}[steering.travel]\n{travel}\n", tmp_path)
    assert done.exit_code == 2
    (line,) = done.stderr.splitlines()
    assert words in line


def test_a_travel_no_cylinder_has_stops_with_a_cure(tmp_path: Path) -> None:
    done = steered(f"{HEAD}[steering.travel]\ntravel = 900\n", tmp_path)
    assert done.exit_code == 1
    assert "no standard stroke covers it" in done.stdout


def test_it_tells_the_same_to_people_and_to_programs(tmp_path: Path) -> None:
    told, data = steered(TEXT, tmp_path), steered(TEXT, tmp_path, "--json")
    assert (told.exit_code, data.exit_code) == (0, 0)
    report = json.loads(data.stdout)
    assert f"({report['stroke']['limit_mm'] / 25.4:.3f})" in told.stdout
    assert all(block in told.stdout for block in ("Push and pull in their parts", "one spline of the column"))
    dead = [row for row in report["attachments"] if row["dead_deg"] is not None]
    assert dead
    assert len(report["in_line"]["push_parts"]) == 3
