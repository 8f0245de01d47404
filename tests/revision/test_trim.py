"""Existing plates on the rail as traced now: what is answered, what is drawn, and that it holds."""

import cmath
import io
import json
import re
from dataclasses import replace
from pathlib import Path

import ezdxf
import pypdf
import pytest
from click.testing import CliRunner

from plategen.checks.fit_up import BIND
from plategen.cli import main
from plategen.cut.table.cutting import plate_dxf
from plategen.delivery.trim_files import trim_files
from plategen.flat.distance import offset_from
from plategen.flat.loop import Loop, polygon
from plategen.flat.segment import Line
from plategen.ground.in_words import in_words
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.doubler import Doubler
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.revision.dxf_open import OpenedPlate, open_plate
from plategen.revision.trim import Trimmed, _reasons, trim
from plategen.revision.trim_cut import kept_below
from plategen.revision.trim_place import Place, places, with_plate
from plategen.tell.revision import trim_lines
from plategen.work import Work
from tests.support.every_example import EXAMPLES, loaded_of, work_of

PROFILE = Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail"
LOADED = load_job(PROFILE)
WORK = carry_through(LOADED.job, LOADED.traces)
DRAWN = plate_dxf(WORK.bracket.plates[0], "in", WORK.bracket.welds).encode()
PLATE: OpenedPlate = open_plate(DRAWN)


def square(corner: complex, side_mm: float) -> Loop:
    return polygon(tuple(corner + side_mm * p for p in (0j, 1 + 0j, 1 + 1j, 1j)))


def offset_by(mm: float) -> Work:
    mount = LOADED.job.mount
    job = LOADED.job.replaced(mount=mount.replaced(inline_offset_mm=mount.inline_offset_mm + mm))
    return carry_through(job, LOADED.traces)


def served(by_mm: float) -> Trimmed:
    return trim(offset_by(by_mm), PLATE, name="ear_near")


def test_a_plate_fits_the_rail_it_was_made_for() -> None:
    answer = served(0.0)
    assert answer.verdict == "fits"
    assert answer.gap_mm < 0.02
    assert answer.work.findings == WORK.findings  # it is the job's own plate, and the job's own findings
    assert answer.weld_mm == pytest.approx(answer.weld_asked_mm, abs=1.0)


@pytest.mark.parametrize(
    ("by_mm", "verdict"), [(-3.0, "trim"), (1.0, "fits"), (2.5, "trim and larger leg"), (8.0, "cut new")]
)
def test_the_rail_nearer_and_farther(by_mm: float, verdict: str) -> None:
    answer = served(by_mm)
    assert answer.verdict == verdict
    assert answer.gap_mm == pytest.approx(max(0.0, by_mm), abs=0.1)
    if verdict == "trim and larger leg":
        assert answer.leg_mm == pytest.approx(LOADED.job.weld.leg_mm + answer.gap_mm)
        assert answer.short
    if verdict == "trim":
        assert answer.removed_mm2 == pytest.approx(3.0 * 228.6, rel=0.02)
        line = WORK.bracket.plates[0].notch
        assert line is not None
        assert answer.cuts
    assert answer.before.area - answer.after.area == pytest.approx(answer.removed_mm2)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_plates_that_were_cut_for_a_job_are_known_as_its_own(name: str) -> None:
    """From the drawing as the job's table reads it; a plate turned, or with one hole more, is another plate."""
    work = work_of(name)
    held = [plate for plate in work.bracket.plates if plate.notch and plate.pin_hole]
    assert held or work.bracket.style == "split"
    if work.bracket.folded is not None:
        with pytest.raises(Refusal, match="bent of one plate"):
            trim(work, open_plate(plate_dxf(held[0], work.job.units, ()).encode()))
        return
    for plate in held:
        cutting = work.job.cutting
        drawn = plate_dxf(
            plate, work.job.units, work.bracket.welds, version=cutting.dxf, entities=cutting.entities
        ).encode()
        opened = open_plate(drawn)
        answer = trim(work, opened)
        assert answer.work is work
        assert answer.verdict == "fits"
        other = replace(opened, openings=(*opened.openings, square(0j, 2.0)))
        assert not any(place.made_for_it for place in places(work, other))
        turned = opened.outline.moved(turn=cmath.rect(1.0, 0.02))
        assert not any(place.made_for_it for place in places(work, replace(opened, outline=turned)))


def test_a_plate_round_the_rails_corner_is_only_known_when_it_is_the_jobs_own() -> None:
    work = work_of("quarry-screen-corner")
    plate = work.bracket.plates[0]
    opened = open_plate(plate_dxf(plate, work.job.units, work.bracket.welds).encode())
    with pytest.raises(Refusal, match="round the rail's corner"):
        trim(work, replace(opened, outline=opened.outline.moved(turn=cmath.rect(1.0, 0.02))))


def test_the_welds_of_a_trimmed_plate_keep_their_own_lines() -> None:
    answer = served(2.5)
    asked = offset_by(2.5).bracket.welds
    runs = {run.name: run for run in answer.work.bracket.welds}
    for was in asked:
        now = runs[was.name]
        if was.plate != "ear_near":
            assert now == was
            continue
        assert now.leg_mm == pytest.approx(LOADED.job.weld.leg_mm + answer.gap_mm)
        assert now.length_mm <= was.length_mm + 1e-9
        assert max(was.path.distance(p) for p in (now.path.start, now.path.point(now.path.length / 2))) < 1e-6


def as_it_stands(work: Work, welded: float = 1.0) -> Work:
    """A job with its own ear put in as an existing plate, welded along a share of its foot."""
    ear = next(plate for plate in work.bracket.plates if plate.pin_hole is not None)
    hole = ear.pin_hole
    assert hole is not None
    others = (*(each.circle for each in ear.holes if each is not hole), *ear.openings)
    place = Place(ear, hole, ear.outline, hole.circle, others)
    (low, high), run = place.foot_mm, next(run for run in work.bracket.welds if run.plate == ear.name)
    foot = (low, low + welded * (high - low))
    return with_plate(work, place, ear.outline, hole.circle, others, welded_mm=foot, gap_mm=run.gap_mm,
                      leg_mm=run.leg_mm)  # fmt: skip


@pytest.fixture(scope="module")
def doubled() -> Work:
    loaded = loaded_of("quarry-straight-rail")
    mount = loaded.job.mount.replaced(foot_mm=(70.0, 230.0))
    return carry_through(loaded.job.replaced(doubler=Doubler(thickness_mm=15.0), mount=mount), loaded.traces)


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "forestry-bolted-channel", "doubler"])
def test_an_existing_plate_is_asked_all_that_a_new_one_is(name: str, doubled: Work) -> None:
    """Its wall, base or doubler bends as under a new plate; only what a cut edge binds is left to the trim's answer."""
    work = doubled if name == "doubler" else work_of(name)
    asked, now = ({(f.of.row, f.part.names): f for f in w.findings} for w in (work, as_it_stands(work)))
    assert {row for row, _ in set(asked) - set(now)} <= {BIND.row}
    for key in set(asked) & set(now):
        assert now[key].demand == pytest.approx(asked[key].demand, rel=1e-9, abs=1e-9), key


@pytest.mark.parametrize("name", ["forestry-bolted-channel", "doubler"])
def test_a_plate_that_meets_half_of_what_it_stands_on_has_half_the_weld(name: str, doubled: Work) -> None:
    work = doubled if name == "doubler" else work_of(name)
    half = as_it_stands(work, 0.5)
    ear = half.bracket.plates[[plate.role for plate in half.bracket.plates].index("ear")].name
    runs = [[run for run in each.bracket.welds if run.plate == ear] for each in (work, half)]
    assert sum(r.length_mm for r in runs[1]) == pytest.approx(0.5 * sum(r.length_mm for r in runs[0]), rel=1e-2)


def test_an_ear_cut_for_the_bare_rail_is_trimmed_to_a_doubler(doubled: Work) -> None:
    plain = work_of("quarry-straight-rail").bracket.plates[0]
    answer = trim(doubled, open_plate(plate_dxf(plain, "mm", ()).encode()))
    assert answer.verdict == "trim"
    assert max(0.0, answer.removed_mm2 / 200.0) == pytest.approx(15.0, abs=0.3)


def test_plates_that_hold_no_pin_are_named_by_all_that_is_cut_in_them() -> None:
    loaded = loaded_of("forestry-bolted-channel")
    assert loaded.job.bolted is not None
    slotted = loaded.job.replaced(bolted=loaded.job.bolted.replaced(slot_mm=5.0))
    work = carry_through(slotted, loaded.traces)
    for plate in work.cut_plates:
        if plate.pin_hole is None:
            with pytest.raises(Refusal, match="holds no pin") as refused:
                places(work, open_plate(plate_dxf(plate, "mm", ()).encode()))
            assert f"own {in_words(plate.name)}" in str(refused.value) or plate.role == "shim"


def test_a_job_that_stops_is_passed_by_no_plate() -> None:
    """The job's own stop is told first and once; the plate may fit all the same."""
    harder = LOADED.job.replaced(cylinder=LOADED.job.cylinder.replaced(pressure_mpa=30.0))
    work = carry_through(harder, LOADED.traces)
    answer = trim(work, PLATE, name="ear_near")
    assert answer.verdict == "fits"
    assert answer.job_stops
    assert answer.stops == ()
    assert answer.must_stop
    first, second, *_ = trim_lines(answer, Show("in"))
    assert first.startswith("STOP: the job itself stops: ")
    assert second == "FITS: as ear near"


def test_too_near_the_pin_is_cut_new_for_the_edge_distance() -> None:
    work = offset_by(-24.0)
    answer = trim(work, PLATE, name="ear_near")
    assert answer.gap_mm < 0.1
    line = work.bracket.plates[0].notch
    assert line is not None
    assert answer.edge_mm == pytest.approx(answer.after.distance(answer.hole.centre))
    assert max(offset_from(line, s.point(0.5)) for s in answer.after if s.length > 1) < 0.2


def test_the_pin_hole_must_be_there() -> None:
    with pytest.raises(Refusal, match=r"no hole for the pin of 25\.4 mm; its holes: none at all"):
        trim(WORK, OpenedPlate(outline=PLATE.outline, holes=(), openings=(), punched=(), mm_per_unit=1.0, notes=()))


@pytest.mark.parametrize("under_mm", [0.0, 0.2, 0.4])
def test_a_hole_that_a_photograph_read_a_little_small_takes_the_pin_and_is_told(under_mm: float) -> None:
    pin_mm = WORK.bracket.pin.diameter_mm
    holes = tuple(replace(hole, radius=(pin_mm - under_mm) / 2) for hole in PLATE.holes)
    drawn = replace(PLATE, holes=holes)
    if under_mm > 0.3:
        with pytest.raises(Refusal, match="no hole for the pin"):
            trim(WORK, drawn)
        return
    answer = trim(WORK, drawn)
    assert answer.verdict == "fits"
    assert [Show("mm").text(why) for why in answer.reasons] == [
        "the hole is drawn 0.20 mm smaller than the pin; measure it, and ream it to the pin"
    ] * (under_mm > 0.0)


def test_a_plate_of_that_name_must_be_there() -> None:
    with pytest.raises(Refusal, match='no plate named "ear_left" holds the pin'):
        trim(WORK, PLATE, name="ear_left")


def test_a_line_through_a_square_keeps_what_is_below() -> None:
    corners = [0j, 10 + 0j, 10 + 10j, 10j]
    square = Loop(tuple(Line(a, b) for a, b in zip(corners, [*corners[1:], corners[0]], strict=True)))
    from plategen.flat.chain import Chain

    level = Chain((Line(-5 + 4j, 15 + 4j),))
    (kept,) = kept_below(square, level)
    assert kept.outline.area == pytest.approx(40.0)
    assert [cut.length for cut in kept.cuts] == pytest.approx([10.0])
    assert kept_below(square, level.moved(shift=20j)) == kept_below(square, level.moved(shift=30j))
    assert kept_below(square, level.moved(shift=-20j)) == ()
    vee = Chain((Line(-5 - 2j, 5 + 7j), Line(5 + 7j, 15 - 2j)))
    assert sum(piece.outline.area for piece in kept_below(square, vee.reversed().reversed())) == pytest.approx(
        10 * 10 - (10 * 10 - sum(p.outline.area for p in kept_below(square, vee)))
    )


@pytest.fixture
def runner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> CliRunner:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "old plate.dxf").write_bytes(DRAWN)
    job = tmp_path / "job"
    job.mkdir()
    for file in PROFILE.iterdir():
        (job / file.name).write_bytes(file.read_bytes())
    text = (job / "job.toml").read_text()
    (job / "job.toml").write_text(re.sub(r"inline_offset = .*", 'inline_offset = "2 1/8"', text))
    return CliRunner()


def test_the_command_writes_the_trim_line(runner: CliRunner, tmp_path: Path) -> None:
    result = runner.invoke(main, ["trim", "job", "old plate.dxf", "--as", "ear_near"])
    assert result.exit_code == 0, result.output
    assert result.output.startswith("TRIM: as ear near")
    out = tmp_path / "outputs" / "job" / "trim"
    assert sorted(path.name for path in out.iterdir()) == [f"old_plate_trim.{end}" for end in ("dxf", "html", "pdf")]
    drawn = ezdxf.read(io.StringIO((out / "old_plate_trim.dxf").read_text()))
    assert {e.dxf.layer for e in drawn.modelspace()} >= {"CUT-OUTSIDE", "CUT-INSIDE"}
    assert (out / "old_plate_trim.pdf").read_bytes().startswith(b"%PDF-")
    assert (out / "old_plate_trim.html").read_text().count('class="cut"') >= 1
    for ends in ("dxf", "html"):
        assert re.search(r"revision A, inputs [0-9a-f]{12}", (out / f"old_plate_trim.{ends}").read_text())


def test_the_trimmed_plate_is_drawn_as_the_jobs_table_reads_it(runner: CliRunner, tmp_path: Path) -> None:
    job = tmp_path / "job" / "job.toml"
    job.write_text(job.read_text().replace("[cutting]", '[cutting]\ndxf = "R12"\nentities = "lines and arcs"'))
    assert runner.invoke(main, ["trim", "job", "old plate.dxf", "--as", "ear_near"]).exit_code == 0
    drawn = ezdxf.readfile(tmp_path / "outputs" / "job" / "trim" / "old_plate_trim_r12_in.dxf")
    assert drawn.dxfversion == "AC1009"
    assert {e.dxftype() for e in drawn.modelspace()} <= {"LINE", "ARC", "CIRCLE"}


def test_the_command_speaks_json_and_refuses_in_one_line(runner: CliRunner, tmp_path: Path) -> None:
    result = runner.invoke(main, ["trim", "job", "old plate.dxf", "--json"])
    assert json.loads(result.stdout)["verdict"] == "trim"
    (tmp_path / "junk.dxf").write_bytes(b"junk")
    for arguments in (["junk.dxf"], ["nowhere.dxf"], ["old plate.dxf", "--play", "-1"], ["old plate.dxf", "--as", "x"]):
        result = runner.invoke(main, ["trim", "job", *arguments])
        assert result.exit_code == 2
        assert result.stderr.count("\n") == 1
    assert not (tmp_path / "outputs").exists()


def test_a_new_plate_is_exit_status_one(runner: CliRunner, tmp_path: Path) -> None:
    text = (tmp_path / "job" / "job.toml").read_text()
    (tmp_path / "job" / "job.toml").write_text(re.sub(r"inline_offset = .*", 'inline_offset = "3"', text))
    result = runner.invoke(main, ["trim", "job", "old plate.dxf"])
    assert result.exit_code == 1
    assert result.output.startswith("CUT NEW")


def test_a_drawing_without_unit_is_read_by_its_pin_hole(runner: CliRunner, tmp_path: Path) -> None:
    from plategen.cut.table.cutting import plate_dxf as written

    text = written(WORK.bracket.plates[0], "in", WORK.bracket.welds, "R12")
    (tmp_path / "r12.dxf").write_text(text)
    result = runner.invoke(main, ["trim", "job", "r12.dxf"])
    assert result.exit_code == 0, result.output
    assert result.output.startswith("the file does not say its unit; it was taken from the size of the pin hole")


def test_revise_by_command(runner: CliRunner, tmp_path: Path) -> None:
    assert runner.invoke(main, ["make", str(PROFILE), "--out", "first", "--no-solid"]).exit_code in (0, 1)
    same = runner.invoke(main, ["revise", str(PROFILE), "first"])
    assert same.output.startswith("nothing changed\n")
    result = runner.invoke(main, ["revise", "first", "job", "--out", "page"])
    assert result.exit_code == 0, result.output
    assert "mount, inline offset: was 2 1/4 in (2.250), now 2 1/8 in (2.125)" in result.output
    page = (tmp_path / "page" / "revise.html").read_text()
    assert len(set(re.findall(r"inputs ([0-9a-f]{12})", page))) == 2
    told = json.loads(runner.invoke(main, ["revise", "first", "job", "--json", "--keep-welds"]).stdout)
    assert told["keep_welds"]["ways"]
    empty = tmp_path / "empty"
    empty.mkdir()
    refused = runner.invoke(main, ["revise", "first", "empty"])
    assert refused.exit_code == 2
    assert "holds neither a job.toml nor the revision.json" in refused.stderr


@pytest.mark.parametrize("name", ["quarry-screen-corner", "forwarder-split-mount"])
def test_the_same_job_in_other_units_is_no_revision(runner: CliRunner, tmp_path: Path, name: str) -> None:
    """Sizes that the rules chose in the old units stay; the record holds mm, so only the word for the units differs."""
    profile = PROFILE.parent / name
    assert runner.invoke(main, ["make", str(profile), "--out", "first", "--no-solid"]).exit_code in (0, 1)
    record = tmp_path / "second" / "revision.json"
    record.parent.mkdir()
    told = json.loads((tmp_path / "first" / "revision.json").read_text())
    told["inputs"]["job"]["units"] = {"in": "mm", "mm": "in"}[told["inputs"]["job"]["units"]]
    record.write_text(json.dumps(told))
    for old, new in ((str(profile), "second"), ("second", "first")):
        assert runner.invoke(main, ["revise", old, new]).output.startswith("nothing changed\n")


def test_why_a_plate_stops_is_told_with_what_is_there_and_what_is_allowed() -> None:
    said = [
        Show("in").text(why)
        for answer in (served(by) for by in (-1.0, 1.0, 3.0))
        for why in _reasons(tuple(f for f in answer.work.findings if f.of.limit != "strength")[:4], (), (), 0.0)
    ]
    said += [Show("in").text(why) for why in _reasons(WORK.findings[:6], (), (), 0.0)]
    assert said
    assert all(re.search(r": is .+, (limit .+|at least .+ needed); a new plate holds$", words) for words in said), said


@pytest.mark.parametrize("name", ["forestry-bolted-channel", "orchard-sprayer-steering"])
def test_the_paper_of_a_trim_shows_the_trimmed_plate_alone(name: str) -> None:
    work = work_of(name)
    plate = next(plate for plate in work.bracket.plates if plate.pin_hole is not None)
    assert len(work.paper_plates) > len(work.bracket.plates), "the job prints more: shims and the rail's wall, or pads"
    answer = trim(work, open_plate(plate_dxf(plate, work.job.units, work.bracket.welds).encode()), name=plate.name)
    pages = pypdf.PdfReader(io.BytesIO(trim_files(work, answer, "old", [], "letter")["old_trim.pdf"])).pages
    named = re.search(r"What follows\n(.*?)\nSteering and welding", pages[0].extract_text(), re.S)
    assert named
    assert re.findall(r"^(.*): pages? [0-9]", named[1], re.M) == ["old trim"]
