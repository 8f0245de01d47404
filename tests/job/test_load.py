"""Reading a job folder: nothing outside it, nothing too large, nothing that is no text; and nothing on disk changed."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from plategen.ground.refusal import Refusal
from plategen.job.load import MOST_JOB_BYTES, load_job, load_trace
from tests.job.examples import RIGHT, TRACE


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "a job"
    folder.mkdir()
    (folder / "job.toml").write_text(RIGHT)
    (folder / "front.csv").write_text(TRACE)
    (folder / "rear.csv").write_text(TRACE)
    return folder


def with_front(folder: Path, name: str) -> Path:
    (folder / "job.toml").write_text(RIGHT.replace("front.csv", name, 1))
    return folder


def test_a_job_is_loaded_by_its_folder_or_its_file(folder: Path) -> None:
    loaded = load_job(folder)
    assert (loaded.name, loaded.folder) == ("a job", folder.resolve())
    assert [(t.file, t.plane_mm, len(t.readings)) for t in loaded.traces] == [
        ("front.csv", 0, 3),
        ("rear.csv", 63.5, 3),
    ]
    assert load_job(folder / "job.toml") == loaded


def test_a_folder_named_by_a_dot_has_its_real_name(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(folder)
    assert load_job(Path()).name == "a job"


def test_windows_text_is_read(folder: Path) -> None:
    (folder / "job.toml").write_bytes(b"\xef\xbb\xbf" + RIGHT.replace("\n", "\r\n").encode())
    (folder / "front.csv").write_bytes(b"\xef\xbb\xbf" + TRACE.replace("\n", "\r\n").encode())
    assert len(load_job(folder).traces[0].readings) == 3


def test_traces_may_lie_in_a_folder_within(folder: Path) -> None:
    (folder / "traces").mkdir()
    (folder / "traces" / "front.csv").write_text(TRACE)
    assert load_job(with_front(folder, "traces/front.csv")).traces[0].file == "traces/front.csv"


def test_a_second_straightedge_is_joined(folder: Path) -> None:
    second = 'plane = 0\nsecond = {file = "side.csv", at = [3, 2], angle = 90}\n'
    (folder / "job.toml").write_text(RIGHT.replace("plane = 0\n", second, 1))
    (folder / "side.csv").write_text("station,offset\n0,1/2\n1,1/2\n2,1/2\n")
    trace = load_job(folder).traces[0]
    assert trace.round_corner
    assert trace.readings[3].point == pytest.approx((2.5 + 2j) * 25.4)
    (folder / "side.csv").write_text("u,v\n0,1/2\n1,1/2\n2,1/2\n")
    with pytest.raises(
        Refusal, match=r"^side\.csv: one of the two straightedge files is not headed `station,offset`; write that$"
    ):
        load_job(folder)


@pytest.mark.parametrize(
    "name", ["../outside.csv", "/etc/hostname", "traces/../../outside.csv", "..", "link.csv", "~/x"]
)
def test_a_file_outside_the_folder_is_refused(folder: Path, name: str) -> None:
    (folder.parent / "outside.csv").write_text(TRACE)
    (folder / "link.csv").symlink_to(folder.parent / "outside.csv")
    right = (
        "there is no such file" if name == "~/x" else "is outside the job's folder; a file beside the job file is right"
    )
    with pytest.raises(Refusal, match=right):
        load_job(with_front(folder, name))


def test_a_link_within_the_folder_is_followed(folder: Path) -> None:
    (folder / "link.csv").symlink_to("front.csv")
    assert len(load_job(with_front(folder, "link.csv")).traces[0].readings) == 3


def _no_folder(folder: Path) -> Path:
    return folder / "missing"


def _missing_trace(folder: Path) -> Path:
    (folder / "front.csv").unlink()
    return folder


def _trace_is_a_folder(folder: Path) -> Path:
    (folder / "front.csv").unlink()
    (folder / "front.csv").mkdir()
    return folder


def _trace_is_a_pipe(folder: Path) -> Path:
    (folder / "front.csv").unlink()
    os.mkfifo(folder / "front.csv")
    return folder


def _binary_trace(folder: Path) -> Path:
    (folder / "front.csv").write_bytes(bytes(range(256)) * 20)
    return folder


def _spreadsheet_text(folder: Path) -> Path:
    (folder / "front.csv").write_bytes(TRACE.encode("utf-16"))
    return folder


def _large_job(folder: Path) -> Path:
    (folder / "job.toml").write_text("# note\n" * (MOST_JOB_BYTES // 7 + 1))
    return folder


def _large_trace(folder: Path) -> Path:
    with (folder / "front.csv").open("wb") as stream:
        stream.truncate(60_000_000)
    return folder


def _ring_of_links(folder: Path) -> Path:
    (folder / "front.csv").unlink()
    (folder / "front.csv").symlink_to("front.csv")
    return folder


def _empty_name(folder: Path) -> Path:
    return with_front(folder, "")


def _long_name(folder: Path) -> Path:
    return Path("x" * 5000)


@pytest.mark.parametrize(
    ("spoil", "message"),
    [
        (_no_folder, "missing: there is no such file; check the name and the folder"),
        (_missing_trace, "front.csv: there is no such file; check the name and the folder"),
        (_trace_is_a_folder, "front.csv: is not a file; a text file is right"),
        (_trace_is_a_pipe, "front.csv: is not a file; a text file is right"),
        (_binary_trace, 'front.csv: was not saved as plain text; save it again as "CSV UTF-8"'),
        (_spreadsheet_text, 'front.csv: was not saved as plain text; save it again as "CSV UTF-8"'),
        (_large_job, "job.toml: is larger than 1 MB; a file of that size at most is right"),
        (_large_trace, "front.csv: is larger than 50 MB; a file of that size at most is right"),
        (_ring_of_links, "front.csv"),  # outside, or too many links: Python 3.13 tells them apart
        (_empty_name, "job.toml: rail.trace[1].file: no name; the trace file beside the job file is right"),
        (_long_name, "cannot be read"),
    ],
)
def test_what_cannot_be_read_is_refused_in_one_line(folder: Path, spoil: Callable[[Path], Path], message: str) -> None:
    path = spoil(folder)
    with pytest.raises(Refusal) as refused:
        load_job(path)
    assert message in str(refused.value)
    assert len(str(refused.value).splitlines()) == 1


def test_an_unreadable_file_is_refused(folder: Path) -> None:
    (folder / "front.csv").chmod(0)
    if os.access(folder / "front.csv", os.R_OK):
        pytest.skip("the super-user reads everything")
    with pytest.raises(Refusal, match=r"^front\.csv: cannot be read \(permission denied\)"):
        load_job(folder)


def test_one_trace_alone_is_read(folder: Path) -> None:
    trace = load_trace(folder / "front.csv").trace
    assert (trace.file, trace.plane_mm, trace.readings[2].point) == ("front.csv", 0.0, pytest.approx(50.8 + 38.1j))


def test_reading_leaves_the_folder_as_it_is(folder: Path) -> None:
    before = {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in folder.iterdir()}
    load_job(folder)
    assert {path: (path.stat().st_mtime_ns, path.read_bytes()) for path in folder.iterdir()} == before


def test_reading_a_job_loads_no_heavy_library() -> None:
    code = "import plategen.job.load, sys; print(*{'scipy', 'cadquery', 'ezdxf', 'shapely', 'OCP'} & set(sys.modules))"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout.strip() == ""
