"""Ways to keep every weld: verified by making the bracket and looking at the files of what is welded."""

import itertools
import json
import re
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.cut.table.cutting import plate_dxf
from plategen.job.load import LoadedJob, load_job
from plategen.make import carry_through
from plategen.revision.compare import compare
from plategen.revision.keep import Kept, keep_welds
from plategen.work import Work

PROFILES = Path(__file__).parents[2] / "profiles"


def pair(name: str, by_mm: float) -> tuple[Work, Work]:
    loaded: LoadedJob = load_job(PROFILES / name)
    mount = loaded.job.mount
    other = loaded.job.replaced(mount=mount.replaced(inline_offset_mm=mount.inline_offset_mm + by_mm))
    return carry_through(loaded.job, loaded.traces), carry_through(other, loaded.traces)


def tried(kept: Kept) -> dict[str, bool]:
    return {way.change: way.holds for way in kept.ways}


def outlines(work: Work) -> dict[str, object]:
    return {plate.name: plate.outline for plate in work.bracket.plates if plate.welded}


@pytest.mark.parametrize("by_mm", [-9.0, -4.0, 3.0, 8.0])
def test_split_the_next_ear_leaves_the_welded_files_as_they_are(by_mm: float) -> None:
    old, new = pair("forwarder-split-mount", by_mm)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "another ear"
    assert best.work is not None
    for plate, then in zip(old.bracket.plates, best.work.bracket.plates, strict=True):
        if plate.welded:
            assert plate_dxf(plate, "mm", old.bracket.welds) == plate_dxf(then, "mm", best.work.bracket.welds)
    assert {run.kind for run in compare(old, best.work).runs} == {"kept"}


@pytest.mark.parametrize(
    ("name", "by_mm"),
    [
        *itertools.product(["sprayer-kicked-rail", "forwarder-rolled-channel"], [-5.0, 2.0, 7.0, 20.0]),
        *itertools.product(["quarry-straight-rail"], [-45.0, -30.0, 2.0, 7.0, 20.0]),
    ],
)
def test_every_way_that_holds_leaves_the_welded_files_as_they_are(name: str, by_mm: float) -> None:
    """By the bytes; another hole adds that hole to them and nothing else."""
    old, new = pair(name, by_mm)
    for way in keep_welds(old, new).ways:
        if not way.holds:
            continue
        assert way.work is not None
        for plate, then in zip(old.bracket.plates, way.work.bracket.plates, strict=True):
            as_welded = replace(then, holes=plate.holes) if way.change == "another hole" else then
            assert plate_dxf(as_welded, "mm", way.work.bracket.welds) == plate_dxf(plate, "mm", old.bracket.welds)


def test_every_means_is_named_the_smallest_change_first() -> None:
    ways = [way.change for way in keep_welds(*pair("sprayer-kicked-rail", 90.0)).ways]
    assert ways == ["another hole", "another ear", "shims", "spacers", "another rod end", "cylinder limit"]


@pytest.mark.parametrize(("by_mm", "holds"), [(1.0, True), (5.0, False)])
def test_packing_moves_bolted_ears_along_the_pin(by_mm: float, holds: bool) -> None:
    """Both go the same way: what is packed behind the one comes out from behind the other; the tabs stay."""
    loaded = load_job(PROFILES / "forwarder-split-mount")
    split, bracket = loaded.job.split, loaded.job.bracket
    assert split is not None
    packed = loaded.job.replaced(split=split.replaced(shim_mm=2.0))
    along = packed.replaced(bracket=bracket.replaced(plane_mm=bracket.plane_mm + by_mm))
    old, new = carry_through(packed, loaded.traces), carry_through(along, loaded.traces)
    shims = next(way for way in keep_welds(old, new).ways if way.change == "shims")
    assert shims.holds is holds, str(shims.advice)
    if holds:
        assert [(q.value, q.unit) for q in shims.advice.quantities] == [
            (pytest.approx(2.0 + 1.0), "mm"),
            (pytest.approx(2.0 - 1.0), "mm"),
        ]
        assert shims.advice.values[1::2] == ("ear_near", "ear_far")
        assert shims.work is not None
        assert outlines(shims.work) == outlines(old)
        origin = {plate.name: plate.placement.origin for plate in new.bracket.plates if not plate.welded}
        for plate in shims.work.bracket.plates:
            assert plate.welded or plate.placement.origin == pytest.approx(origin[plate.name])
    else:
        assert "into their tabs" in shims.advice.template
        assert [q.value for q in shims.advice.quantities] == [pytest.approx(5.0 - 2.0)]


def test_another_hole_where_the_old_ear_is_large_enough() -> None:
    old, new = pair("quarry-straight-rail", -45.0)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "another hole"
    assert best.work is not None
    assert outlines(best.work) == outlines(old)
    assert {run.kind for run in compare(old, best.work).runs} == {"kept"}
    for plate, was in zip(best.work.bracket.plates, old.bracket.plates, strict=True):
        pin = next(hole for hole in plate.holes if hole.name == "pin")
        assert abs(pin.circle.centre - was.holes[0].circle.centre) == pytest.approx(45.0)
        assert plate.outline.distance(pin.circle.centre) >= pin.edge_required_mm
    assert best.work.findings != old.findings


def test_a_hole_that_breaks_into_the_old_one_does_not_serve() -> None:
    kept = keep_welds(*pair("sprayer-kicked-rail", 3.0))
    assert tried(kept)["another hole"] is False
    assert "too near to the old hole" in str(kept.ways[0].advice)
    assert kept.best is not None
    assert kept.best.change == "off its line"


def test_when_nothing_can_be_done_it_says_what_must_be_cut() -> None:
    old, new = pair("sprayer-kicked-rail", 90.0)
    kept = keep_welds(old, new)
    assert kept.best is None
    assert any(line.values[:2] == ("ear near", "cut again") for line in kept.must_cut)
    assert any("ground out and redone" in line.values for line in kept.must_cut)


def test_spacers_take_up_a_narrower_eye() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    cylinder = loaded.job.cylinder
    bracket = loaded.job.bracket
    narrow = loaded.job.replaced(
        cylinder=cylinder.replaced(base=cylinder.base.replaced(eye_width_mm=cylinder.base.eye_width_mm - 6.0)),
        bracket=bracket.replaced(plane_mm=bracket.plane_mm + 4.0),
    )
    old, new = carry_through(loaded.job, loaded.traces), carry_through(narrow, loaded.traces)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "spacers"
    assert best.work is not None
    # room 31.75 + 2 x 0.79; the eye's middle moves by 4 - 3 = 1 mm along the pin
    play = bracket.side_play_mm
    assert [q.value for q in best.advice.quantities] == pytest.approx([3.0 + play + 1.0, 3.0 + play - 1.0])
    assert outlines(best.work) == outlines(old)


def test_the_pin_where_it_was_is_nothing_to_do() -> None:
    old, new = pair("sprayer-kicked-rail", 0.0)
    best = keep_welds(old, new).best
    assert best is not None
    assert best.change == "nothing"


def job_folder(into: Path, name: str) -> Path:
    shutil.copytree(PROFILES / name, into / name)
    return into / name


def with_offset(job: Path, offset: str) -> None:
    text = (job / "job.toml").read_text()
    text = re.sub(r"(?m)^inline_offset = .*$", f"inline_offset = {offset}", text)
    (job / "job.toml").write_text(text if "[revision]" in text else text + '\n[revision]\nkeep = "welds"\n')


def files(folder: Path) -> dict[str, bytes]:
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_make_leaves_the_files_of_what_is_welded_alone(tmp_path: Path) -> None:
    job, out = job_folder(tmp_path, "forwarder-split-mount"), tmp_path / "out"
    make = ["make", str(job), "--out", str(out), "--no-solid"]
    assert CliRunner().invoke(main, make).exit_code in (0, 1)
    before = files(out)
    with_offset(job, '"4 1/16"')
    made = CliRunner().invoke(main, make)
    assert made.exit_code in (0, 1), made.output
    assert made.output.startswith('keep = "welds": every welded edge stays where it is')
    after = files(out)
    assert json.loads(after["revision.json"])["letter"] == "B"
    tabs = [name for name in before if name.startswith("tab_") and name.endswith(".dxf")]
    assert len(tabs) == 2
    assert all(after[name] == before[name] for name in tabs)
    assert any(after[name] != before[name] for name in before if name.startswith("ear_"))
    assert CliRunner().invoke(main, make).exit_code in (0, 1)
    assert files(out) == after  # the same again changes nothing


def test_make_refuses_to_touch_a_weld_and_says_what_would_do(tmp_path: Path) -> None:
    job, out = job_folder(tmp_path, "quarry-straight-rail"), tmp_path / "out"
    make = ["make", str(job), "--out", str(out), "--no-solid"]
    assert CliRunner().invoke(main, make).exit_code in (0, 1)
    before = files(out)
    offset = load_job(job).job.mount.inline_offset_mm
    with_offset(job, f'"{offset - 45} mm"')
    refused = CliRunner().invoke(main, make)
    assert refused.exit_code == 2
    assert refused.stderr.count("\n") == 1
    assert 'revision.keep: "welds" cannot be kept against' in refused.stderr
    assert "what keeps them: another hole" in refused.stderr
    assert files(out) == before
    told = CliRunner().invoke(main, ["revise", str(out), str(job)])
    assert "keeping every weld:\n  DO: another hole" in told.output  # the key alone asks for it


def test_the_first_make_has_nothing_to_keep(tmp_path: Path) -> None:
    job = job_folder(tmp_path, "quarry-straight-rail")
    with (job / "job.toml").open("a") as text:
        text.write('\n[revision]\nkeep = "welds"\n')
    made = CliRunner().invoke(main, ["make", str(job), "--out", str(tmp_path / "out"), "--no-solid"])
    assert "holds no bracket made before" in made.output


def test_a_thicker_pin_wants_its_holes_bored_out_and_a_thinner_one_has_none_to_go_through() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    base = loaded.job.cylinder.base

    def ways(pin_mm: float) -> Kept:
        other = loaded.job.replaced(cylinder=loaded.job.cylinder.replaced(base=base.replaced(pin_mm=pin_mm)))
        return keep_welds(*(carry_through(job, loaded.traces) for job in (loaded.job, other)))

    best = ways(base.pin_mm + 3.0).best
    assert best is not None
    assert best.change == "another hole"
    assert best.advice.quantities[0].value == base.pin_mm + 3.0
    assert best.work is not None
    assert all(len(plate.holes) == 1 for plate in best.work.bracket.plates)
    thinner = ways(base.pin_mm - 3.0)
    assert thinner.best is None
    assert "nothing" not in tried(thinner)


def test_a_way_is_judged_by_all_that_the_new_job_is_judged_by() -> None:
    """The steering study's findings too: a pin that is left where the study does not want it stops."""
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    old = carry_through(loaded.job, loaded.traces)
    pin, steering = old.design.pin, loaded.job.steering
    assert steering is not None
    assert steering.cylinder_mount is not None
    drawn = steering.cylinder_mount.replaced(fixed_pin_mm=pin.fixed_mm)
    placed = loaded.job.replaced(
        bracket=loaded.job.bracket.replaced(plane_mm=pin.plane_mm), steering=steering.replaced(cylinder_mount=drawn)
    )
    off = placed.mount.replaced(pin_station_mm=pin.station_mm, inline_offset_mm=pin.inline_offset_mm - 4.0, pin="here")
    wrong = carry_through(placed.replaced(mount=off), loaded.traces)
    kept = keep_welds(wrong, old)  # what stands holds the pin 4 mm off where the study wants it
    assert not kept.job_stops
    assert not any(way.holds for way in kept.ways)
    left = next(way for way in kept.ways if way.change == "off its line")
    assert {(f.check, f.part.words) for f in left.stops} == {
        ("bracket holds the pin where the study wants it", "across it, to the rail")
    }
    assert left.work is not None
    assert len(left.work.findings) == len(old.findings)


def test_what_stops_in_the_new_job_is_forgiven_to_no_way() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    harder = loaded.job.replaced(cylinder=loaded.job.cylinder.replaced(pressure_mpa=30.0))
    old, new = (carry_through(job, loaded.traces) for job in (loaded.job, harder))
    assert not any(f.verdict == "stop" and not f.opinion for f in old.findings)
    kept = keep_welds(new, new)
    assert kept.job_stops
    assert kept.best is None
    assert [way.stops for way in kept.ways] == [kept.job_stops]
    nearly = kept.best_but_for_the_job
    assert nearly is not None
    assert not kept.own_stops(nearly)
    assert kept.must_cut == ()


def test_a_stop_that_is_worse_in_a_way_than_in_the_new_job_is_the_ways_own() -> None:
    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    bracket = loaded.job.bracket
    thin = loaded.job.replaced(bracket=bracket.replaced(thickness_mm=bracket.thickness_mm / 2))
    harder = loaded.job.replaced(cylinder=loaded.job.cylinder.replaced(pressure_mpa=60.0))
    kept = keep_welds(*(carry_through(job, loaded.traces) for job in (thin, harder)))
    (way,) = kept.ways
    assert kept.job_stops
    worse = {(f.check, str(f.part)) for f in kept.own_stops(way)}
    assert worse & {(f.check, str(f.part)) for f in kept.job_stops}
    assert kept.best_but_for_the_job is None
