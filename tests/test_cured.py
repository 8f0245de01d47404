"""``judge --apply``: the cures of what stops, in a copy of the job file that is read, built and judged as any other."""

import json
import os
import random
import re
import shutil
import tomllib
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from plategen.checks.finding import Finding
from plategen.cli import main
from plategen.cured import Cured, cured
from plategen.ground.cure import Change
from plategen.ground.message import mm, mpa, number, rad, size
from plategen.job.change import written
from plategen.job.load import LoadedJob, load_job
from plategen.job.toml_edit import path_of, set_value
from tests.support.fitted import carried
from tests.support.orchard import ROLLING

PROFILES = Path(__file__).parents[1] / "profiles"
WEAK = {"weld.leg": "1/16", "cylinder.pressure": "2200 psi"}
CASES = int(os.environ.get("PLATEGEN_CASES", "1"))
"""Random jobs on each example's rail."""

ON_MARKS = re.compile(r"\d+( \d+/\d+)?|\d+/\d+")


def spoilt(tmp_path: Path, name: str, values: dict[str, object]) -> Path:
    """A copy of an example with some keys set."""
    folder = tmp_path / name
    shutil.copytree(PROFILES / name, folder)
    file = folder / "job.toml"
    text = file.read_text(encoding="utf-8")
    for key, value in values.items():
        text = set_value(text, path_of(key), value)
    file.write_text(text, encoding="utf-8")
    return folder


def stops(findings: tuple[Finding, ...]) -> set[tuple[str, str]]:
    return {(f.check, f.part.words) for f in findings if f.verdict == "stop" and f.decides}


def judged(folder: Path) -> tuple[Finding, ...]:
    loaded = load_job(folder)
    return carried(loaded.job, loaded.traces).findings


def run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(word) for word in words])


def snapshot(folder: Path) -> dict[str, bytes]:
    return {str(p.relative_to(folder)): p.read_bytes() for p in sorted(folder.rglob("*")) if p.is_file()}


def remarks(text: str) -> list[str]:
    return [line[line.index("#") :] for line in text.splitlines() if "#" in line]


def test_the_copy_holds_and_the_original_is_untouched(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", WEAK)
    before = snapshot(job)
    assert stops(judged(job))
    result = run("judge", job, "--apply")
    assert result.exit_code == 0, result.output
    assert snapshot(job) == before
    copy = tmp_path / "sprayer-kicked-rail-cured"
    assert not stops(judged(copy))
    after = snapshot(copy)
    assert after.keys() == {"job.toml", "front.csv", "rear.csv"}
    assert {name for name in after if after[name] != before[name]} == {"job.toml"}
    assert remarks(after["job.toml"].decode()) == remarks(before["job.toml"].decode())
    leg = tomllib.loads(after["job.toml"].decode())["weld"]["leg"]
    assert ON_MARKS.fullmatch(leg)
    assert f'weld.leg = "1/16" → "{leg}"' in result.stdout
    assert run("judge", copy).exit_code == 0


def test_the_program_reads_the_same(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", WEAK)
    result = run("judge", job, "--apply", "--json", "--out", tmp_path / "new" / "copy")
    told = json.loads(result.stdout)
    assert told["file"] == str(tmp_path / "new" / "copy" / "job.toml")
    assert told["open"] == []
    written_keys = tomllib.loads(Path(told["file"]).read_text())
    assert {c["key"]: c["now"] for c in told["changes"]}["weld.leg"] == written_keys["weld"]["leg"]


def test_a_folder_that_is_there_stays_as_it_is(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", WEAK)
    taken = tmp_path / "sprayer-kicked-rail-cured"
    taken.mkdir()
    result = run("judge", job, "--apply")
    assert result.exit_code == 2
    assert "is there already" in result.stderr
    assert list(taken.iterdir()) == []
    assert sorted(p.name for p in tmp_path.iterdir()) == sorted([job.name, taken.name])


def test_a_job_that_holds_is_not_copied(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", {})
    result = run("judge", job, "--apply")
    assert (result.exit_code, [p.name for p in tmp_path.iterdir()]) == (0, [job.name])
    assert "nothing stops" in result.stdout


def test_what_many_stops_have_in_common_is_cured_first(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", {"mount.foot": [10, 12]})
    before = tomllib.loads((job / "job.toml").read_text(encoding="utf-8"))
    result = run("judge", job, "--apply")
    assert result.exit_code == 0, result.output
    assert "mount.foot = [10, 12] → left out" in result.stdout
    copy = tmp_path / "sprayer-kicked-rail-cured"
    after = tomllib.loads((copy / "job.toml").read_text(encoding="utf-8"))
    del before["mount"]["foot"]
    assert after == before, "no other size was changed for it"
    assert not stops(judged(copy))


def test_a_fact_of_the_machine_is_told_and_not_changed(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", {"mount.pin_station": 300})
    result = run("judge", job, "--apply")
    assert result.exit_code == 1
    assert "because of the pin's station of 300 in" in result.stdout
    assert "mount.pin_station =" not in result.stdout


def test_a_stop_that_no_key_cures_is_open(tmp_path: Path) -> None:
    # so much oil that no rod under this bore takes the side load that the drawn steering puts on it
    held = {"steering.cylinder_mount.holds_roll": "end"}
    job = spoilt(tmp_path, ROLLING.name, {"cylinder.pressure": "4700 psi", "rules.set": "en-1993", **held})
    result = run("judge", job, "--apply", "--json")
    told = json.loads(result.stdout)
    assert result.exit_code == 1
    (still,) = told["open"]
    assert (still["finding"]["check"], still["finding"]["part"]) == ("rod side load", "cylinder rod")
    assert "no single number cures it" in still["why"]
    again = run("judge", tmp_path / f"{ROLLING.name}-cured", "--json")
    assert again.exit_code == 1
    findings = json.loads(again.stdout)["findings"]
    assert [f["check"] for f in findings if f["verdict"] == "stop" and not f["opinion"]] == ["rod side load"]


def test_without_a_cure_there_is_no_copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("plategen.cured.MOST_TRIED", 0)
    job = spoilt(tmp_path, "sprayer-kicked-rail", WEAK)
    result = run("judge", job, "--apply")
    assert (result.exit_code, [p.name for p in tmp_path.iterdir()]) == (1, [job.name])
    assert "its cure was not tried" in result.stdout
    assert "there is no copy" in result.stdout


def test_what_no_plate_can_do_is_said_to_be_so(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "quarry-straight-rail", {"cylinder.pressure": "5000 psi", "weld.leg": 2})
    lines = run("judge", job, "--apply").stdout.splitlines()
    (skew,) = [line for line in lines if line.startswith("  rules.skew = left out")]
    assert "an assumption" in skew
    after = lines[lines.index(skew) + 1]
    assert after.startswith("    a promise, no change of the bracket: you must then line the cylinder up to within ")
    assert [line for line in lines if "a promise" in line] == [after]
    assert all("another cylinder" in line for line in lines if line.startswith("  cylinder."))
    assert not any("another" in line or "assumption" in line for line in lines if line.startswith("  weld."))


def test_a_promise_is_a_field_of_its_own_for_other_programs(tmp_path: Path) -> None:
    job = spoilt(tmp_path, "quarry-straight-rail", {"cylinder.pressure": "5000 psi", "weld.leg": 2})
    changes = json.loads(run("judge", job, "--apply", "--json").stdout)["changes"]
    promised = {change["key"]: change["promise"] for change in changes if change["promise"] is not None}
    assert list(promised) == ["rules.skew"]
    assert len(changes) > 1
    (now,) = [change["now"] for change in changes if change["key"] == "rules.skew"]
    assert f"{now}".strip("°") in promised["rules.skew"]


@pytest.mark.parametrize("words", [["--apply", "--vary", "weld.leg=1/8:1/4:1/8"], ["--out", "x"], ["--apply", "--csv"]])
def test_options_that_do_not_go_together(tmp_path: Path, words: list[str]) -> None:
    job = spoilt(tmp_path, "sprayer-kicked-rail", {})
    result = run("judge", job, *words)
    assert result.exit_code == 2
    assert "goes with" in result.stderr


def random_values(chance: random.Random, units: str, seat: bool) -> dict[str, object]:
    """Loads and sizes drawn anew, most of them too weak."""
    inch = units == "in"
    nose = {} if seat else {"bracket.nose_radius": chance.choice(["1", "1 1/4", "1 1/2"] if inch else [24, 30, 40])}
    return nose | {
        "cylinder.pressure": f"{chance.choice([1500, 2500, 3500, 5000])} psi",
        "weld.leg": chance.choice(["1/16", "1/8", "3/16"] if inch else [2, 3, 5]),
        "bracket.thickness": chance.choice(["3/16", "1/4", "3/8"] if inch else [5, 8, 12]),
        "rules.set": (rules := chance.choice(["aisc-asd", "aisc-lrfd", "en-1993"])),
        "rules.bolt_grade": "10.9" if rules == "en-1993" else "A490",
    }


@pytest.mark.parametrize("seed", range(CASES))
@pytest.mark.parametrize("name", sorted(p.name for p in PROFILES.iterdir() if (p / "job.toml").is_file()))
def test_what_is_not_open_passes(tmp_path: Path, name: str, seed: int) -> None:
    units = tomllib.loads((PROFILES / name / "job.toml").read_text(encoding="utf-8"))["units"]
    job = spoilt(tmp_path, name, random_values(random.Random(f"{name} {seed}"), units, name.endswith("seat")))
    loaded = load_job(job)
    first = carried(loaded.job, loaded.traces)
    result = cured(loaded)
    still = {(o.finding.check, o.finding.part.words) for o in result.still}
    assert stops(result.work.findings) == still == stops(rejudged(loaded, result))
    assert len(still) <= len(stops(first.findings))
    assert remarks(result.text) == remarks(loaded.texts["job.toml"])
    assert all(o.why for o in result.still)
    before, after = (tomllib.loads(text) for text in (loaded.texts["job.toml"], result.text))
    assert (before != after) == bool(result.changes)
    for change in result.changes:
        assert change.was != change.now
        for value in change.now if isinstance(change.now, list) else [change.now]:
            if isinstance(value, str) and units == "in" and value[0].isdigit():
                assert ON_MARKS.fullmatch(value) or value.endswith(("psi", "lbf", "lbf-in", "gpm", "lb"))


def rejudged(loaded: LoadedJob, result: Cured) -> tuple[Finding, ...]:
    """The text in a file of its own, read and judged from the start."""
    file = loaded.folder / "again.toml"
    file.write_text(result.text, encoding="utf-8")
    return judged(file)


def test_values_are_written_as_a_shop_writes_them() -> None:
    assert written(size(9.525), "in") == "3/8"
    assert written(size(50.8), "in") == 2
    assert written(size(34.925), "in") == "1 3/8"
    assert (written(size(8.0), "mm"), written(mm(8.5), "mm"), written(mm(-0.001), "mm")) == (8, 8.5, 0)
    assert written((mm(25.4), mm(330.2)), "in") == [1, 13]
    assert (written(rad(0.2617993877991494), "in"), written(number(1.5), "mm")) == (15, 1.5)
    assert (written(mpa(6.894757293168361), "in"), written(mpa(12.0), "mm")) == ("1000 psi", "120 bar")
    assert (written("A514", "in"), written(True, "mm")) == ("A514", True)


def test_a_limit_is_written_to_its_safe_side() -> None:
    assert written(mm(10.0, "up"), "in") == 0.3938
    assert written(mm(10.0, "down"), "in") == 0.3937
    assert (written(mm(10.001, "up"), "mm"), written(mm(10.009, "down"), "mm")) == (10.01, 10.0)


def test_a_cure_is_a_value_that_can_be_remembered() -> None:
    assert len({(Change("weld.leg", size(8.0)),), (Change("weld.leg", size(8.0)),)}) == 1
