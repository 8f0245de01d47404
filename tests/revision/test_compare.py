"""What one revision costs after another, on the example jobs."""

import json
import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from plategen.flat.loop import Circle
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.load import load_job
from plategen.job.parse import parse_job
from plategen.job.rules import Rules
from plategen.make import carry_through
from plategen.revision.compare import Comparison, compare
from plategen.tell.report.encode import json_text
from plategen.tell.report.revision import comparison_report
from plategen.tell.revision import comparison_lines
from plategen.tell.revision_page import comparison_page
from plategen.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"
EARS = load_job(PROFILES / "sprayer-kicked-rail")
EARS_WORK = carry_through(EARS.job, EARS.traces)


def moved(offset_mm: float) -> Work:
    mount = EARS.job.mount.replaced(inline_offset_mm=EARS.job.mount.inline_offset_mm + offset_mm)
    return carry_through(EARS.job.replaced(mount=mount), EARS.traces)


def kinds(change: Comparison) -> dict[str, str]:
    return {plate.name: plate.kind for plate in change.plates}


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "forwarder-split-mount", "quarry-clamped-seat"])
def test_a_job_against_itself_says_nothing_changed(name: str) -> None:
    loaded = load_job(PROFILES / name)
    work = carry_through(loaded.job, loaded.traces)
    change = compare(work, work)
    assert change.nothing
    assert comparison_lines(change, Show("in")) == ["nothing changed"]


def test_renamed_reordered_reformatted_is_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "another name"
    shutil.copytree(PROFILES / "sprayer-kicked-rail", folder)
    text = (folder / "job.toml").read_text()
    head, *tables = text.replace('"1500 psi"', '"1500.0 psi"').replace('"3/8"', "0.375").split("\n\n[")
    rail, front, rear = tables[0].split("[[rail.trace]]")
    tables[0] = f"{rail}[[rail.trace]]{rear.rstrip()}\n[[rail.trace]]{front.rstrip()}\n"
    (folder / "job.toml").write_text("\n\n[".join([head.replace("left rail", "LEFT"), *tables[::-1]]))
    lines = (folder / "front.csv").read_text().splitlines()
    first = next(i for i, line in enumerate(lines) if line.startswith("station"))
    (folder / "front.csv").write_text("\n".join([*lines[: first + 1], *reversed(lines[first + 1 :])]) + "\n")
    loaded = load_job(folder)
    change = compare(EARS_WORK, carry_through(loaded.job, loaded.traces))
    assert change.nothing
    assert change.inputs == ()


def test_inches_to_millimetres_is_nothing() -> None:
    text = (PROFILES / "sprayer-kicked-rail" / "job.toml").read_text()
    # the shop's tables stay those in inches: bare, a job in millimetres is judged by the metric ones
    inches = parse_job(text).replaced(rules=Rules(tables="in"))
    change = compare(carry_through(inches, EARS.traces), carry_through(inches.replaced(units="mm"), EARS.traces))
    assert change.nothing
    assert change.inputs == ()


def test_moving_only_the_inline_offset_keeps_every_notch() -> None:
    change = compare(EARS_WORK, moved(12.7))
    assert [plate.notch_kept for plate in change.plates] == [True, True]
    assert kinds(change) == {"ear_near": "cut again", "ear_far": "cut again"}
    assert {run.kind for run in change.runs} == {"ground out and redone"}
    assert change.minutes > 0.0
    assert [dict(plate.holes)["pin"] for plate in change.plates] == pytest.approx([12.7, 12.7])
    assert change.inputs == (message("{}: was {}, now {}", "mount, inline offset", mm(57.15), mm(69.85)),)


def test_in_the_split_style_it_touches_nothing_welded() -> None:
    loaded = load_job(PROFILES / "forwarder-split-mount")
    mount = loaded.job.mount
    other = loaded.job.replaced(mount=mount.replaced(inline_offset_mm=mount.inline_offset_mm + 3.0))
    change = compare(carry_through(loaded.job, loaded.traces), carry_through(other, loaded.traces))
    assert kinds(change)["tab_near"] == kinds(change)["tab_far"] == "unchanged"
    assert {run.kind for run in change.runs} == {"kept"}


def test_a_wider_hole_is_drilled_and_a_smaller_outline_is_trimmed() -> None:
    """Brackets changed by hand, so that only the one thing differs."""
    bracket = EARS_WORK.bracket
    hole = bracket.plates[0].holes[0]
    wider = replace(hole, circle=Circle(hole.circle.centre, hole.circle.radius + 1.0))
    drilled = replace(bracket.plates[0], holes=(wider,))
    change = compare(EARS_WORK, replace(EARS_WORK, bracket=replace(bracket, plates=(drilled, bracket.plates[1]))))
    assert kinds(change) == {"ear_near": "drill only", "ear_far": "unchanged"}
    assert {run.kind for run in change.runs} == {"kept"}
    smaller = EARS.job.replaced(bracket=EARS.job.bracket.replaced(toe_mm=15.0))
    change = compare(EARS_WORK, carry_through(smaller, EARS.traces))
    assert kinds(change) == {"ear_near": "drill only", "ear_far": "drill only"}
    assert all(plate.why == message("the outline stays; only the hole is new") for plate in change.plates)


def test_a_longer_foot_and_a_larger_leg() -> None:
    mount = EARS.job.mount
    longer = EARS.job.replaced(mount=mount.replaced(foot_mm=(mount.foot_mm[0], mount.foot_mm[1] + 5.0)))
    assert set(kinds(compare(EARS_WORK, carry_through(longer, EARS.traces))).values()) == {"cut again"}
    larger = EARS.job.replaced(weld=EARS.job.weld.replaced(leg_mm=8.0))
    change = compare(EARS_WORK, carry_through(larger, EARS.traces))
    assert {run.kind for run in change.runs} == {"built up"}
    assert all(run.ground_mm == 0.0 and 0.0 < run.laid_mm < run.length_mm for run in change.runs)


def test_findings_better_and_worse() -> None:
    thicker = EARS.job.replaced(bracket=EARS.job.bracket.replaced(thickness_mm=12.7))
    there = compare(EARS_WORK, carry_through(thicker, EARS.traces))
    back = compare(carry_through(thicker, EARS.traces), EARS_WORK)
    bearing = next(f for f in there.findings if f.was and f.now and f.now.ratio < f.was.ratio)
    assert bearing.better
    mirrored = next(f for f in back.findings if (f.check, f.part) == (bearing.check, bearing.part))
    assert not mirrored.better


def test_text_json_and_page_say_the_same() -> None:
    change = compare(EARS_WORK, moved(12.7))
    data = json.loads(json_text(comparison_report(change, Show("in"))))
    assert [plate["kind"] for plate in data["plates"]] == [plate.kind for plate in change.plates]
    lines = comparison_lines(change, Show("in"))
    assert any(line.startswith("  ear near: cut again") for line in lines)
    page = comparison_page("a < b", change, lines)
    assert page.count("<svg") == len(change.plates)
    assert "a &lt; b" in page
    assert "http" not in page


def test_a_note_on_a_plate_that_is_not_there_is_refused() -> None:
    loaded = load_job(PROFILES / "bale-trailer-second")
    assert loaded.job.revision is not None
    notes = tuple(note.replaced(plate="ear_left") for note in loaded.job.revision.fit_note)
    job = loaded.job.replaced(revision=loaded.job.revision.replaced(fit_note=notes))
    with pytest.raises(Refusal, match='there is no plate "ear left"'):
        carry_through(job, loaded.traces)


def test_the_story_of_the_bale_trailer() -> None:
    """One trace, the far ear short of the rail, its gaps noted, the next ears on two traces; one note is doubted."""
    first, second = (load_job(PROFILES / f"bale-trailer-{part}") for part in ("first", "second"))
    before, after = carry_through(first.job, first.traces), carry_through(second.job, second.traces)
    assert [len(work.rail.traces) for work in (before, after)] == [1, 2]
    near, far = after.corrections
    assert max(map(abs, near.moved_mm)) < 0.5
    assert min(far.moved_mm) > 2.5
    assert [gap.gap_mm for gap in far.doubtful] == [pytest.approx(1.125 * 25.4)]
    change = compare(before, after)
    assert kinds(change)["ear_far"] == "cut again"
    assert any("1 of them doubtful" in str(line) for line in change.inputs)
