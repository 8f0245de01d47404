"""Ways to keep every hole that was drilled in the rail: verified on the holes of the bracket as it then stands."""

import json
import math
import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.job import Job
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.revision.keep_holes import holes_lost, keep_holes
from plategen.revision.rail_hole import rail_holes
from plategen.work import Work

FOLDER = Path(__file__).parents[2] / "profiles" / "forestry-bolted-channel"
LOADED = load_job(FOLDER)


def changed(job: Job, key: str, by: float) -> Job:
    table, field = key.split(".")
    part = getattr(job, table)
    return job.replaced(**{table: part.replaced(**{field: getattr(part, field) + by})})


def pair(key: str, by: float) -> tuple[Work, Work]:
    return carry_through(LOADED.job, LOADED.traces), carry_through(changed(LOADED.job, key, by), LOADED.traces)


def in_rail(work: Work) -> set[tuple[float, float, float]]:
    """Place in space of every bolt's hole in the rail, rounded to a tenth, from the wall that is drawn."""
    wall = work.bracket.wall
    assert wall is not None
    shift = work.rail.inline_offset_mm
    found = (wall.placement.point(hole.circle.centre) for hole in wall.holes if hole.purpose == "bolt")
    return {(round(u, 1) + 0.0, round(v - shift, 1) + 0.0, round(w, 1) + 0.0) for u, v, w in found}


CHANGES = [
    ("mount.inline_offset_mm", 8.0),
    ("mount.pin_station_mm", 6.0),
    ("mount.pin_station_mm", -4.0),
    ("bracket.plane_mm", 4.0),
    ("bracket.thickness_mm", 3.0),
]


@pytest.mark.parametrize(("key", "by"), CHANGES)
def test_every_way_that_holds_leaves_every_hole_of_the_rail_where_it_is(key: str, by: float) -> None:
    old, new = pair(key, by)
    kept = keep_holes(old, new)
    assert kept.best is not None
    for way in kept.ways:
        if way.holds:
            assert way.work is not None
            lies = sorted(in_rail(way.work))
            # the wall lies behind the base, and packing may lift that: the rail's holes stand where they did
            for now, was in zip(lies, sorted(in_rail(old)), strict=True):
                assert math.dist(now, was) < 1.0, way.change
            assert {hole.kind for hole in rail_holes(old, way.work)} == {"kept"}


@pytest.mark.parametrize(("key", "by"), CHANGES)
def test_what_stands_is_judged_on_the_base_that_stands(key: str, by: float) -> None:
    """A kept bracket was once judged on the bolts of the base that the new job would have had."""
    old, new = pair(key, by)
    for way in keep_holes(old, new).ways:
        if way.work is None:
            continue
        base, plan = way.work.bracket.of_role("base"), way.work.design.base
        assert base is not None
        assert plan is not None
        assert base.placement.origin == pytest.approx(plan.placement.origin)
        for hole, bolt in zip(base.holes, plan.bolts, strict=True):
            assert abs(hole.circle.centre - bolt.at) < 1e-9, way.change


def test_a_hole_is_kept_drilled_out_new_or_left_open() -> None:
    old, new = pair("bolted.bolt_mm", 4.0)
    kinds = {hole.name: hole.kind for hole in rail_holes(old, new) if hole.was_mm}
    assert kinds == {
        "bolt 1": "left open",
        "bolt 3": "left open",
        "hanger hole front": "drilled out",
        "hanger hole rear": "drilled out",
    }
    assert [hole.now_mm for hole in rail_holes(old, new) if hole.kind == "new"] == [22.0, 22.0]  # EN 1090-2: M20
    assert {hole.kind for hole in rail_holes(old, old)} == {"kept"}
    assert not holes_lost(old, old)


def run(*args: str, code: int = 0) -> str:
    result = CliRunner().invoke(main, args)
    assert result.exit_code == code, result.output
    return result.output


def test_make_holds_the_holes_and_refuses_to_drill_beside_them(tmp_path: Path) -> None:
    job, out = tmp_path / "job", tmp_path / "out"
    shutil.copytree(FOLDER, job)
    text = (job / "job.toml").read_text(encoding="utf-8")
    run("make", str(job), "--no-solid", "--out", str(out))
    kept = text + '\n[revision]\nkeep = "holes"\n'
    (job / "job.toml").write_text(kept, encoding="utf-8")
    assert 'keep = "holes": every hole in the rail stays as it is' in run(
        "make", str(job), "--no-solid", "--out", str(out)
    )
    moved = kept.replace("pin_station = 220", "pin_station = 226")
    (job / "job.toml").write_text(moved, encoding="utf-8")
    before = {path.name: path.read_bytes() for path in out.iterdir() if path.is_file()}
    told = run("make", str(job), "--no-solid", "--out", str(out), code=2)
    assert '"holes" cannot be kept' in told
    assert "what keeps them: the old holes" in told
    assert before == {path.name: path.read_bytes() for path in out.iterdir() if path.is_file()}
    # what it says is done
    holes = re.findall(r"station (-?[\d.]+) mm, plane (-?[\d.]+) mm, size (-?[\d.]+) mm", told)
    assert len(holes) == 2
    features = "".join(
        f'[[rail.feature]]\nkind = "hole"\nname = "old {k}"\nstation = {u}\nplane = {w}\nsize = {d}\nuse = true\n'
        for k, (u, w, d) in enumerate(holes)
    )
    (job / "job.toml").write_text(moved.replace("[cylinder]\n", features + "\n[cylinder]\n", 1), encoding="utf-8")
    assert "every hole in the rail stays as it is" in run("make", str(job), "--no-solid", "--out", str(out))


def test_revise_says_what_becomes_of_the_rail_as_words_and_as_json(tmp_path: Path) -> None:
    other = tmp_path / "other"
    shutil.copytree(FOLDER, other)
    text = (other / "job.toml").read_text(encoding="utf-8")
    (other / "job.toml").write_text(text.replace("plane = -13", "plane = -9"), encoding="utf-8")
    told = run("revise", str(FOLDER), str(other), "--keep-holes")
    assert "bolt 1 at station 145.0 mm, -53.0 mm along the pin: left open, 18.0 mm dia." in told
    assert "keeping every hole in the rail:" in told
    data = json.loads(run("revise", str(FOLDER), str(other), "--keep-holes", "--json"))
    assert [hole["kind"] for hole in data["rail_holes"]].count("kept") == 2
    assert [way["holds"] for way in data["keep_holes"]["ways"] if way["change"] == "the old holes"] == [True]
    assert "keep_welds" not in data


def test_a_bracket_without_a_base_has_no_holes_to_hold() -> None:
    other = load_job(FOLDER.parent / "quarry-straight-rail")
    work = carry_through(other.job, other.traces)
    moved = carry_through(changed(other.job, "mount.pin_station_mm", 5.0), other.traces)
    kept = keep_holes(work, moved)
    assert kept.ways[-1].work is None
    assert not kept.must_cut
