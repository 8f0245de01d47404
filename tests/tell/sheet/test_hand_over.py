"""The list of parts and the note to the cutting shop hold what the job has, once each."""

import csv
import io
import zipfile
from dataclasses import replace
from pathlib import Path

import pytest

from plategen.checks.finding import Check, part
from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.delivery.deliver import deliver
from plategen.delivery.zipped import hand_over
from plategen.ground.stamp import Stamp
from plategen.tell.report.job import job_report
from plategen.tell.sheet.hand_over import HEADS, STOPPED, cut_note, parts_csv
from tests.support.every_example import EXAMPLES, work_of


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_list_has_every_plate_bolt_and_pin(name: str) -> None:
    work = replace(work_of(name), stamp=Stamp("C", "3f9a12bc4d5e77"))
    report, parts = job_report(work), cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    rows = list(csv.DictReader(io.StringIO(parts_csv(work, report, notes), newline="")))
    assert tuple(rows[0]) == HEADS
    plates = [row for row in rows if row["what"] == "plate"]
    assert [(row["file"], int(row["count"]), row["mark"]) for row in plates] == [
        (p.file, p.count, p.shape) for p in report.plates
    ]
    bolts = [int(row["count"]) for row in rows if row["what"].startswith("bolt")]
    both = [report.hardware, *([report.rod_end.hardware] if report.rod_end else [])]
    assert bolts == [b.count for hardware in both for b in hardware.bolts]
    assert sum(row["what"] == "pin" for row in rows) == sum(hardware.pin is not None for hardware in both)
    assert {(row["revision"], row["inputs"]) for row in rows} == {("C", "3f9a12bc4d5e")}
    assert {row["stop"] for row in rows} == {STOPPED if work.stopped else ""}


def test_every_row_of_a_job_that_must_not_be_built_begins_with_stop() -> None:
    work = work_of("quarry-clamped-seat")
    failing = Check("pin shear", "pin", "N").strength(part("pin"), 2.0, 1.0)
    parts = cut_parts(work)
    table = parts_csv(
        replace(work, findings=(failing,)), job_report(work), cut_notes(work, parts, laid_out(work, parts))
    )
    head, *rows = table.splitlines()
    assert head.startswith("stop,item,")
    assert rows
    assert all(row.startswith('"STOP: a check fails, do not cut or buy",') for row in rows)


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "quarry-clamped-seat"])
def test_the_note_tells_the_cutter_each_file_and_that_a_stopped_job_is_not_cut(name: str) -> None:
    work = work_of(name)
    parts = cut_parts(work)
    notes, report = cut_notes(work, parts, laid_out(work, parts)), job_report(work)
    told = cut_note(work, report, notes)
    for p in report.plates:
        assert told.count(f"{p.file}: cut {p.count}, ") == 1
        assert p.shape in told
    assert "STOP" not in told
    assert work.job.cutting.process in told
    failing = Check("pin shear", "pin", "N").strength(part("pin"), 2.0, 1.0)
    assert "STOP: a check of this job fails" in cut_note(replace(work, findings=(failing,)), report, notes)


def test_one_file_named_by_job_and_revision_holds_all_that_was_delivered(tmp_path: Path) -> None:
    work = work_of("quarry-straight-rail")
    delivered = deliver(work, tmp_path / "out", solid=False)
    path = hand_over(delivered, tmp_path / "out", "quarry straight")
    assert path == tmp_path / "quarry_straight_A.zip"
    with zipfile.ZipFile(path) as whole:
        assert {name: whole.read(name) for name in whole.namelist()} == {
            f.name: f.read_bytes() for f in delivered.files
        }
    first = path.read_bytes()
    assert hand_over(delivered, tmp_path / "out", "quarry straight").read_bytes() == first
