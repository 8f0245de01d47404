"""A file of fit notes, read and refused."""

from pathlib import Path

import pytest

from plategen.ground.refusal import Refusal
from plategen.job.load import load_job, read_fit_notes
from plategen.job.parse import parse_job

PROFILES = Path(__file__).parents[2] / "profiles"
HEAD = "plate,station,gap\n"


def test_shop_fractions_rounds_and_remarks() -> None:
    text = "# held up on the pin\nplate,station,gap,round,note\near_near,6 1/2,1/8,,\near_far,2,-1/64,2,proud\n"
    near, far = read_fit_notes(text, "n.csv", "in")
    assert (near.plate, near.station_mm, near.gap_mm, near.round) == ("ear_near", 165.1, 3.175, 1)
    assert (far.gap_mm, far.round) == (pytest.approx(-25.4 / 64), 2)


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
        (f"{HEAD}ear,1\n", "line 2: gap: missing"),
        (f"{HEAD}ear,1,x\n", "line 2: gap: 'x' is no length"),
        (f"{HEAD}ea\0r,1,1\n", "line 2: plate: .ea.x00r. is no single line"),
        (f"{HEAD}ear,1,1e9 m\n", "line 2: gap: .* is out of range; .* up to 3937 in"),
        ("plate,station,gap,round\near,1,1,0\n", "line 2: round: 0 is out of range; 1.00 or more and up to 20.0 is"),
        ("plate,station,gap,round\near,1,1,1 1/2\n", "line 2: round: is no whole number"),
        ("plate,station,gap,held\near,1,1,thumb\n", 'line 2: held: "thumb" is none of the choices; "pin" or "home"'),
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
