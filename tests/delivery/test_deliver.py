"""A whole delivery: every file there, whole, stamped, the same bytes each time, the earlier one kept and compared."""

import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import ezdxf
import msgspec
import pypdf
import pytest

from plategen.delivery.deliver import Delivered, deliver
from plategen.delivery.record import RECORD, RecordedTrace, read_record
from plategen.ground.refusal import Refusal
from plategen.ground.stamp import LETTERS, following
from plategen.job import Job
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.rail.reading import read_trace
from plategen.solid import kernel as solid
from plategen.work import Work

PROFILE = Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail"
FILES = [
    "ear_near.dxf", "ear_far.dxf", "plates.dxf", "bracket.step", "template.pdf", "ear_near.svg", "ear_far.svg",
    "sheet.html", "parts.csv", "cut_note.txt", "report.json",
]  # fmt: skip
LOADED = load_job(PROFILE)


def work_of(job: Job = LOADED.job) -> Work:
    return carry_through(job, LOADED.traces)


def with_offset(mm: float) -> Work:
    return work_of(LOADED.job.replaced(mount=LOADED.job.mount.replaced(inline_offset_mm=mm)))


def quick(work: Work, folder: Path) -> Delivered:
    return deliver(work, folder, solid=False)


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def make(folder: Path, job: Path = PROFILE, *extra: str, **environment: str) -> "subprocess.Popen[bytes]":
    code = "from plategen.cli import main; main()"
    return subprocess.Popen(
        [sys.executable, "-c", code, "make", str(job), "--out", str(folder), *extra],
        env={**os.environ, **environment}, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE,
    )  # fmt: skip


@pytest.mark.usefixtures("kernel")
def test_every_file_is_there_and_carries_its_stamp(tmp_path: Path) -> None:
    delivered = deliver(work_of(), tmp_path / "out")
    assert [path.name for path in delivered.files] == [*FILES, RECORD]
    assert delivered.missing == ()
    assert delivered.changes == ()
    words = delivered.stamp.words
    assert re.fullmatch(r"revision A, inputs [0-9a-f]{12}", words)
    out = tmp_path / "out"
    for name in ("ear_near.dxf", "ear_far.dxf", "plates.dxf"):
        assert words in (out / name).read_text().splitlines()[1]
        assert not ezdxf.readfile(out / name).audit().has_errors
    assert words.encode() in (out / "bracket.step").read_bytes()[:400]
    assert f'content="{words}"' in (out / "sheet.html").read_text()
    assert json.loads((out / "report.json").read_text())["revision"]["letter"] == "A"
    assert (pypdf.PdfReader(out / "template.pdf").metadata or {})["/Keywords"] == words
    for name in ("ear_near.svg", "ear_far.svg"):
        assert f"<desc>{words}</desc>" in (out / name).read_text()
    record = read_record(out)
    assert record is not None
    assert sorted(record.files) == sorted(FILES)


def test_the_record_gives_the_same_job_again(tmp_path: Path) -> None:
    quick(work_of(), tmp_path / "out")
    record = read_record(tmp_path / "out")
    assert record is not None
    job, traces = record.job()
    again = carry_through(job, traces)
    assert [plate.outline for plate in again.bracket.plates] == [plate.outline for plate in work_of().bracket.plates]


def test_the_record_keeps_marks_and_notes() -> None:
    trace = read_trace("station,offset,mark,note\n0,1,edge,torn\n1,2,bead,\n2,3,,by hand\n", "t.csv", "in")
    data = msgspec.json.encode(RecordedTrace.of(trace))
    assert msgspec.json.decode(data, type=RecordedTrace).trace == trace


@pytest.mark.usefixtures("kernel")
def test_the_same_job_gives_the_same_bytes(tmp_path: Path) -> None:
    """Over processes, memory addresses, hash seeds, languages and hours."""
    makers = [
        make(tmp_path / "a", PYTHONHASHSEED="1", TZ="UTC"),
        make(tmp_path / "b", PYTHONHASHSEED="2", TZ="Asia/Tokyo", LC_ALL="C"),
    ]
    assert [maker.wait() in (0, 1) for maker in makers] == [True, True]
    assert contents(tmp_path / "a") == contents(tmp_path / "b")
    assert len(contents(tmp_path / "a")) == len(FILES) + 1


@pytest.mark.usefixtures("kernel")
def test_the_date_of_the_usual_variable_is_taken(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SOURCE_DATE_EPOCH", "1700000000")
    deliver(work_of(), tmp_path / "out")
    assert b"'2023-11-14T22:13:20'" in (tmp_path / "out" / "bracket.step").read_bytes()


def test_the_next_revision_says_what_differs_and_keeps_the_last(tmp_path: Path) -> None:
    out = tmp_path / "out"
    quick(work_of(), out)
    first = contents(out)
    delivered = quick(with_offset(60.0), out)
    assert delivered.stamp.letter == "B"
    assert delivered.changes[0].startswith("mount, inline offset: was 2 1/4 in (2.250), now ")
    assert delivered.earlier == out / "earlier" / "A"
    assert contents(out / "earlier" / "A") == first
    same = quick(with_offset(60.0), out)
    assert same.earlier is None
    assert same.changes == ()


def test_a_plate_no_longer_made_does_not_stay_to_be_cut(tmp_path: Path) -> None:
    out = tmp_path / "out"
    quick(work_of(), out)
    record = json.loads((out / RECORD).read_text())
    record["files"]["brace.dxf"] = "0" * 64
    (out / RECORD).write_text(json.dumps(record))
    (out / "brace.dxf").write_text("a plate of the revision before")
    (out / "mine.dxf").write_text("not of any revision")
    delivered = quick(with_offset(60.0), out)
    assert "no longer made: brace.dxf" in delivered.changes
    assert not (out / "brace.dxf").exists()
    assert (out / "earlier" / "A" / "brace.dxf").read_text() == "a plate of the revision before"
    assert (out / "mine.dxf").read_text() == "not of any revision"


def test_units_and_names_are_no_revision(tmp_path: Path) -> None:
    out = tmp_path / "out"
    quick(work_of(), out)
    delivered = quick(work_of(LOADED.job.replaced(title="The same under another name", units="mm")), out)
    assert delivered.stamp.letter == "A"
    assert all(not line.startswith(("mount", "cylinder", "title", "units")) for line in delivered.changes)


def test_without_the_solid_kernel_everything_else_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    real = solid.importlib.import_module

    def broken(name: str) -> object:
        if name.startswith("OCP"):
            raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")
        return real(name)

    solid.kernel.cache_clear()
    monkeypatch.setattr(solid.importlib, "import_module", broken)
    try:
        delivered = deliver(work_of(), tmp_path / "out")
    finally:
        solid.kernel.cache_clear()
    assert [path.name for path in delivered.files] == [n for n in FILES if n != "bracket.step"] + [RECORD]
    assert len(delivered.missing) == 1
    assert "apt install libgl1" in delivered.missing[0]


def test_a_damaged_record_is_refused_and_nothing_touched(tmp_path: Path) -> None:
    out = tmp_path / "out"
    quick(work_of(), out)
    (out / RECORD).write_text('{"letter": "A"')
    before = contents(out)
    with pytest.raises(Refusal, match="is damaged; move it away and make the job anew"):
        quick(with_offset(60.0), out)
    assert contents(out) == before


def test_paper_that_is_not_there_changes_nothing(tmp_path: Path) -> None:
    with pytest.raises(Refusal):
        deliver(work_of(), tmp_path / "out", paper="papyrus")
    assert not (tmp_path / "out").exists()


def test_revision_letters_run_on() -> None:
    letter, seen = "A", []
    for _ in range(len(LETTERS) * 21):
        seen.append(letter)
        letter = following(letter)
    assert len(set(seen)) == len(seen)
    assert seen == sorted(seen, key=lambda s: (len(s), s))
    assert not set("IOQSXZ") & set("".join(seen))


@pytest.mark.slow
def test_two_makes_of_different_jobs_at_once(tmp_path: Path) -> None:
    """Both finish; the folder holds one of them whole, and the other is kept whole."""
    jobs = []
    for offset in ("2 1/4", "2 1/2"):
        job = tmp_path / offset[-1]
        shutil.copytree(PROFILE, job)
        text = (job / "job.toml").read_text()
        (job / "job.toml").write_text(re.sub(r"inline_offset = .*", f'inline_offset = "{offset}"', text))
        jobs.append(job)
    for extra in ((), ("--no-solid",)):
        out = tmp_path / f"out{len(extra)}"
        makers = [make(out, job, *extra) for job in jobs]
        assert all(maker.wait() in (0, 1) for maker in makers)
        record = read_record(out)
        assert record is not None
        assert record.letter == "B"
        for folder, letter in ((out, "B"), (out / "earlier" / "A", "A")):
            for name, data in contents(folder).items():
                if name.endswith((".dxf", ".html", ".step")):
                    assert f"revision {letter}".encode() in data, name


@pytest.mark.slow
def test_make_killed_at_random(tmp_path: Path) -> None:
    """The whole program, killed at moments spread over its run; putting in place has a test of its own."""
    out, chance = tmp_path / "out", random.Random(5)
    quick(work_of(), out)
    whole = contents(out)
    job = tmp_path / "job"
    shutil.copytree(PROFILE, job)
    text = (job / "job.toml").read_text()
    (job / "job.toml").write_text(re.sub(r"inline_offset = .*", 'inline_offset = "2 1/2"', text))
    begun = time.perf_counter()
    assert make(tmp_path / "timed", job).wait() in (0, 1)
    takes = time.perf_counter() - begun
    for _ in range(2):  # tests/rugged kills it hundreds of times without the solid kernel
        folder = tmp_path / "again"
        shutil.copytree(out, folder)
        maker = make(folder, job)
        time.sleep(chance.uniform(0.5, 1.1) * takes)
        maker.send_signal(signal.SIGKILL)
        maker.wait()
        everywhere = {path.read_bytes() for path in folder.rglob("*") if path.is_file()}
        assert set(whole.values()) <= everywhere
        assert make(folder, job).wait() in (0, 1)
        assert read_record(folder).letter == "B"  # type: ignore[union-attr]
        assert contents(folder / "earlier" / "A") == whole
        shutil.rmtree(folder)
