"""A file of fit notes, read and refused."""

import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.ground.refusal import Refusal
from plategen.job.fit_notes import read_fit_notes
from plategen.job.load import load_job
from plategen.job.parse import parse_job
from plategen.make import carry_through

PROFILES = Path(__file__).parents[2] / "profiles"
HEAD = "plate,station,gap\n"


def test_shop_fractions_rounds_and_remarks() -> None:
    text = "# held up on the pin\nplate,station,gap,round,note\near_near,6 1/2,1/8,,\near_far,2,-1/64,2,proud\n"
    near, far = read_fit_notes(text, "n.csv", "in")
    assert (near.plate, near.station_mm, near.gap_mm, near.round) == ("ear_near", 165.1, 3.175, 1)
    assert (far.gap_mm, far.round) == (pytest.approx(-25.4 / 64), 2)


@pytest.mark.parametrize("sign", [";", "\t"])
def test_a_spreadsheet_s_own_separators_are_read(sign: str) -> None:
    (note,) = read_fit_notes(f"{HEAD}ear near,6 1/2,1/8\n".replace(",", sign), "n.csv", "in")
    assert (note.plate, note.station_mm, note.gap_mm) == ("ear near", 165.1, 3.175)


@pytest.mark.parametrize("units", ["mm", "Millimetres"])
def test_the_files_own_units_stand_over_the_jobs(units: str) -> None:
    (note,) = read_fit_notes(f"# units: {units}\n{HEAD}ear,100,2.5\n", "n.csv", "in")
    assert (note.station_mm, note.gap_mm) == (100.0, 2.5)


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "holds no notes"),
        (HEAD, "holds no notes"),
        ("plate,station\n", "line 1: the columns are plate, station"),
        ("plate,station,gap,colour\n", "'colour' is no column of fit notes"),
        (f"{HEAD}ear,1\n", "line 2: gap missing; plate, station and gap belong in every line"),
        (f"{HEAD}ear,1,8.3.2024\n", "line 2: gap: '8.3.2024' is a date, .*; set the column to text and write 3/8"),
        (f"{HEAD}ear,1,x\n", "line 2: gap: 'x' is no length"),
        (f"{HEAD}ea\0r,1,1\n", "line 2: plate: .ea.x00r. is no single line"),
        (f"{HEAD}ear,1,1e9 m\n", "line 2: gap: .* is out of range; it must be 3900 in or less"),
        ("plate,station,gap,round\near,1,1,0\n", "line 2: round: 0 is out of range; it must be 1 or more"),
        ("plate,station,gap,round\near,1,1,1 1/2\n", "line 2: round: is no whole number"),
        (
            "plate,station,gap,held\near,1,1,thumb\n",
            'held: "thumb" is not a choice here; write "pin" or "home"',
        ),
        (HEAD + "ear,1,1\n" * 241, "more than 240 notes"),
        ("# units: cm\n" + HEAD + "ear,1,1\n", "line 1: 'cm' is no unit to read in"),
        (HEAD + "ear,1,1\n# units: mm\n", "line 3: the units are said below readings already"),
    ],
)
def test_refused_with_file_and_line(text: str, why: str) -> None:
    with pytest.raises(Refusal, match=why) as refused:
        read_fit_notes(text, "n.csv", "in")
    assert str(refused.value).startswith("n.csv")


def test_notes_of_the_file_and_of_the_job_count_together() -> None:
    loaded = load_job(PROFILES / "bale-trailer-second")
    assert loaded.job.revision is not None
    assert len(loaded.job.revision.fit_note) == 12
    text = (PROFILES / "bale-trailer-second" / "job.toml").read_text()
    more = '\n[[revision.fit_note]]\nplate = "ear_near"\nstation = 5\ngap = "1/16"\nround = 2\n'
    job = parse_job(text + more)
    assert job.revision is not None
    assert job.revision.fit_note[0].gap_mm == pytest.approx(25.4 / 16)
    with pytest.raises(Refusal, match=r"revision\.fit_note\[1\]\.round|fit_note.*round"):
        parse_job(text + more.replace("round = 2", 'round = "1 1/2"'))


def test_a_file_outside_the_folder_is_refused(tmp_path: Path) -> None:
    for file in (PROFILES / "bale-trailer-second").iterdir():
        (tmp_path / file.name).write_bytes(file.read_bytes())
    text = (tmp_path / "job.toml").read_text()
    (tmp_path / "job.toml").write_text(text.replace('"fit_notes.csv"', '"../fit_notes.csv"'))
    with pytest.raises(Refusal, match="outside the job's folder"):
        load_job(tmp_path)


def refused_with(folder: Path, *rows: str, job: str = "") -> str:
    """What a copy of the example says with more rows below its fit notes, or more lines below its job file."""
    for file in (PROFILES / "bale-trailer-second").iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    for name, more in (("fit_notes.csv", "".join(f"{row}\n" for row in rows)), ("job.toml", job)):
        (folder / name).write_text((folder / name).read_text() + more)
    loaded = load_job(folder)
    with pytest.raises(Refusal) as refused:
        carry_through(loaded.job, loaded.traces)
    return str(refused.value)


def test_gaps_that_are_millimetres_by_mistake_are_refused(tmp_path: Path) -> None:
    said = refused_with(tmp_path, *(f"ear near,{station},1.6" for station in range(2, 10)))
    assert "half of the gaps at ear near are 1 19/32 in (1.600) or more" in said
    assert said.endswith("check their unit")


@pytest.mark.parametrize("station", ["400", "40", "14", "12 3/32", "-3"])
def test_a_note_off_the_rail_that_was_read_is_refused_with_its_line(tmp_path: Path, station: str) -> None:
    said = refused_with(tmp_path, f"ear near,{station},1/16")
    assert said.startswith(f"fit_notes.csv: line 15: station {station} in (")
    assert "of ear near is off the rail that was read" in said
    assert "from 0 in to 12 in (12.000)" in said


def test_a_note_at_the_very_end_of_what_was_read_or_beyond_a_foot_that_was_shortened_is_heeded() -> None:
    loaded = load_job(PROFILES / "bale-trailer-second")
    revision = loaded.job.revision
    assert revision is not None
    first, *others = revision.fit_note
    for station in (0.0, 11.5, 12 + 1 / 16):
        notes = (first.replaced(station_mm=25.4 * station), *others)
        carry_through(loaded.job.replaced(revision=revision.replaced(fit_note=notes)), loaded.traces)


def test_a_note_out_of_the_job_file_is_named_by_its_number_there(tmp_path: Path) -> None:
    first, second = (f'\n[[revision.fit_note]]\nplate = "ear near"\nstation = {s}\ngap = 0\n' for s in (5, 14))
    assert refused_with(tmp_path, job=first + second).startswith("revision.fit_note[2]: station 14 in (14.000) of")


def test_a_plate_that_is_not_there_and_one_held_both_ways_are_named_with_their_line(tmp_path: Path) -> None:
    assert refused_with(tmp_path, "left ear,3,0").startswith('fit_notes.csv: line 15: there is no plate "left ear"')
    held = '[[revision.fit_note]]\nplate = "ear near"\nstation = 5\ngap = 0\nheld = "home"\n'
    said = refused_with(tmp_path, job=held)
    assert said.startswith("fit_notes.csv: line 3: in round 1 some of ear near's notes say pin, others home")


def test_where_a_rule_chooses_the_foot_a_note_lies_within_what_was_read(tmp_path: Path) -> None:
    for file in (PROFILES / "bale-trailer-second").iterdir():
        (tmp_path / file.name).write_text(file.read_text().replace("foot = [2, 11]\n", ""))
    notes = tmp_path / "fit_notes.csv"
    notes.write_text(notes.read_text() + "ear far,12 1/8,0\n")
    loaded = load_job(tmp_path)
    with pytest.raises(Refusal, match=r"line 15: .*from 0 in to 12 in") as refused:
        carry_through(loaded.job, loaded.traces)
    assert "of ear far is off" in str(refused.value)


def test_a_command_says_once_in_which_file_a_note_is_wrong(tmp_path: Path) -> None:
    shutil.copytree(PROFILES / "bale-trailer-second", job := tmp_path / "job")
    notes = (job / "fit_notes.csv").read_text(encoding="utf-8").replace("ear_near", "ear_left")
    (job / "fit_notes.csv").write_text(notes, encoding="utf-8")
    for line in (["judge", str(job)], ["make", str(job), "--no-solid", "--out", str(tmp_path / "out")]):
        answer = CliRunner().invoke(main, line)
        assert answer.exit_code == 2
        assert answer.stderr.startswith('fit_notes.csv: line 3: there is no plate "ear left"'), answer.stderr
