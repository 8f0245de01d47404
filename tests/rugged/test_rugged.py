"""``make`` as a process of its own under bad luck: nothing lost, no file half, one clear line, the right status."""

import os
import resource
import shutil
import stat
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.rugged import save_kill
from tests.rugged.kill import killed
from tests.rugged.program import PROFILE, another_job, command, contents, make, said

DRAWN = {f"{plate}.{kind}" for plate in ("ear_near", "ear_far") for kind in ("dxf", "svg")}
NAMES = DRAWN | {
    "plates.dxf",
    "template.pdf",
    "sheet.html",
    "parts.csv",
    "cut_note.txt",
    "report.json",
    "revision.json",
}


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """The example made once, as it should be."""
    out = tmp_path_factory.mktemp("whole") / "out"
    assert make(PROFILE, out).returncode == 0
    found = contents(out)
    assert set(found) == NAMES
    return found


@pytest.fixture
def made(tmp_path: Path, whole: dict[str, bytes]) -> Path:
    """A folder with the example's delivery in it."""
    out = tmp_path / "out"
    out.mkdir()
    for name, data in whole.items():
        (out / name).write_bytes(data)
    return out


@pytest.mark.slow
def test_killed_a_few_times(tmp_path: Path) -> None:
    """Five hundred times by ``python -m tests.rugged.kill``."""
    assert killed(4, tmp_path, 1, "--no-solid").total() >= 4


def test_a_full_disk(made: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    """No file may grow beyond 20 kB: the sheet does not fit, and nothing at all has changed."""
    limit = "import resource, signal; signal.signal(signal.SIGXFSZ, signal.SIG_IGN);"
    limit += f"resource.setrlimit(resource.RLIMIT_FSIZE, (20_000, {resource.RLIM_INFINITY}))"
    done = make(another_job(tmp_path / "job"), made, before=limit)
    assert done.returncode == 2
    assert len(said(done).splitlines()) == 1
    assert "nothing in it was changed" in said(done)
    assert contents(made) == whole
    assert {path.name for path in made.iterdir()} == NAMES


@pytest.fixture
def small_disk(tmp_path: Path, whole: dict[str, bytes]) -> Iterator[Path]:
    """A disk with room for one and a half deliveries, where the system lets us have one."""
    place = tmp_path / "small"
    place.mkdir()
    mount = ["mount", "-t", "tmpfs", "-o", f"size={sum(map(len, whole.values())) * 3 // 2}", "none", str(place)]
    if (
        os.geteuid()
        or shutil.which("mount") is None
        or subprocess.run(mount, capture_output=True, check=False).returncode
    ):
        pytest.skip("only the super-user mounts a disk of its own")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_disk_that_fills_up(small_disk: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    out, job = small_disk / "out", another_job(tmp_path / "job")
    assert make(PROFILE, out).returncode == 0
    done = make(job, out)
    assert (done.returncode, len(said(done).splitlines())) == (2, 1)
    assert "no space left" in said(done)
    assert contents(out) == whole
    assert {path.name for path in out.iterdir()} == NAMES


def without_override() -> list[str]:
    """Words before a command that take from the super-user the right to write where nobody may."""
    if os.geteuid():
        return []
    if shutil.which("setpriv") is None:
        pytest.skip("the super-user writes anywhere")
    return ["setpriv", "--bounding-set", "-dac_override,-dac_read_search"]


@pytest.mark.parametrize("below", ["", "new/deeper"])
def test_a_folder_that_may_not_be_written(made: Path, whole: dict[str, bytes], tmp_path: Path, below: str) -> None:
    job = another_job(tmp_path / "job")
    made.chmod(stat.S_IRUSR | stat.S_IXUSR)
    try:
        words = [*without_override(), *command("make", job, "--no-solid", "--out", made / below)]
        done = subprocess.run(words, cwd=tmp_path, capture_output=True, check=False)
    finally:
        made.chmod(0o700)
    assert (done.returncode, len(said(done).splitlines())) == (2, 1)
    assert "cannot be written" in said(done)
    assert contents(made) == whole


def test_files_that_may_not_be_read(tmp_path: Path) -> None:
    job = another_job(tmp_path / "job")
    (job / "front.csv").chmod(0)
    words = [*without_override(), *command("judge", job)]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, check=False)
    assert (done.returncode, len(said(done).splitlines())) == (2, 1)
    assert "front.csv: cannot be read" in said(done)


def test_files_open_elsewhere_and_files_missing(made: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    """Who holds a file open keeps what he reads; what is missing is made again."""
    (made / "ear_far.dxf").unlink()
    with (made / "sheet.html").open("rb") as held:
        done = make(another_job(tmp_path / "job"), made)
        assert done.returncode == 0, said(done)
        assert held.read() == whole["sheet.html"]
    assert set(contents(made)) == NAMES
    assert contents(made / "earlier" / "A") == {n: d for n, d in whole.items() if n != "ear_far.dxf"}
    gone = made / "template.pdf"
    gone.unlink()
    assert make(another_job(tmp_path / "again"), made).returncode == 0
    assert gone.is_file()


def test_a_clock_that_runs_backwards(made: Path, whole: dict[str, bytes], tmp_path: Path) -> None:
    for path in made.iterdir():
        os.utime(path, (4e9, 4e9))  # as if written in the year 2096
    backwards = """
import time, itertools
count = itertools.count()
time.time = lambda: 1e8 - next(count)
time.time_ns = lambda: 10**17 - next(count)
"""
    assert make(PROFILE, made, before=backwards).returncode == 0
    assert contents(made) == whole
    done = make(another_job(tmp_path / "job"), made, before=backwards)
    assert done.returncode == 0, said(done)
    assert contents(made / "earlier" / "A") == whole


@pytest.mark.parametrize(
    "environment",
    [
        {"PYTHONHASHSEED": "1", "TZ": "Pacific/Kiritimati", "LC_ALL": "C"},
        {"PYTHONHASHSEED": "2", "TZ": "America/Adak", "LANG": "de_DE.ISO-8859-1", "LC_ALL": "de_DE.ISO-8859-1"},
        {"PYTHONHASHSEED": "3", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0", "LC_ALL": "POSIX", "COLUMNS": "40"},
        {"PYTHONHASHSEED": "4", "PYTHONOPTIMIZE": "1", "PYTHONIOENCODING": "latin-1", "HOME": "/nowhere"},
    ],
    ids=["C", "german", "ascii", "optimised"],
)
def test_the_same_bytes_everywhere(tmp_path: Path, whole: dict[str, bytes], environment: dict[str, str]) -> None:
    done = make(PROFILE, tmp_path / "out", environment=environment)
    assert done.returncode == 0, said(done)
    assert contents(tmp_path / "out") == whole


@pytest.mark.parametrize("name", ["two words", "Größe 1½", "ряд", 'quote\'s "plate"', "semi;colon & co", "-dash", "🔩"])
def test_names_of_folders(tmp_path: Path, whole: dict[str, bytes], name: str) -> None:
    job = tmp_path / "jobs" / name
    shutil.copytree(PROFILE, job)
    done = make(
        job, tmp_path / "made of" / name, environment={"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"}
    )
    assert done.returncode == 0, said(done)
    found = contents(tmp_path / "made of" / name)
    assert set(found) == NAMES
    assert found["ear_near.dxf"] == whole["ear_near.dxf"]


def test_a_crowded_folder(tmp_path: Path, whole: dict[str, bytes]) -> None:
    out = tmp_path / "out"
    out.mkdir()
    others = {f"foreign {number}.dxf": b"not ours" for number in range(10_000)}
    for name, data in others.items():
        (out / name).write_bytes(data)
    assert make(PROFILE, out).returncode == 0
    assert make(another_job(tmp_path / "job"), out).returncode == 0
    found = contents(out)
    assert {name: found[name] for name in others} == others
    assert contents(out / "earlier" / "A") == whole


def test_two_at_once(tmp_path: Path, whole: dict[str, bytes]) -> None:
    """Both finish; the folder holds one of them whole, and the other is kept whole."""
    out, jobs = tmp_path / "out", [PROFILE, another_job(tmp_path / "job")]
    makers = [
        subprocess.Popen(command("make", job, "--no-solid", "--out", out), cwd=tmp_path, stdout=subprocess.DEVNULL)
        for job in jobs
    ]
    assert [maker.wait(timeout=120) for maker in makers] == [0, 0]
    here, kept = contents(out), contents(out / "earlier" / "A")
    assert set(here) == set(kept) == NAMES
    plates = {whole["report.json"].split(b'"plates"')[1].split(b'"welds"')[0]}
    of = [data["report.json"].split(b'"plates"')[1].split(b'"welds"')[0] for data in (here, kept)]
    assert of[0] != of[1]
    assert plates < set(of)


MISSING = """
import sys, importlib.abc
class Gone(importlib.abc.MetaPathFinder):
    def find_spec(self, name, path=None, target=None):
        if name.partition(".")[0] in ("cadquery", "OCP"):
            raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")
sys.meta_path.insert(0, Gone())
"""


def test_a_solid_kernel_that_cannot_load(tmp_path: Path, whole: dict[str, bytes]) -> None:
    """Every other file is written, the line says what to install, and the status is that of the job."""
    out = tmp_path / "out"
    # nor in the process that holds the kernel beside the command's own
    fake = tmp_path / "fake" / "OCP"
    fake.mkdir(parents=True)
    (fake / "__init__.py").write_text('raise ImportError("libGL.so.1: cannot open shared object file")')
    paths = os.pathsep.join([str(fake.parent), os.environ.get("PYTHONPATH", "")])
    before = f"{MISSING}\nimport os\nos.environ['PYTHONPATH'] = {paths!r}\n"
    done = make(PROFILE, out, "--paper", "letter", before=before)
    assert done.returncode == 0
    (line,) = said(done).splitlines()
    assert line.startswith("no STEP file")
    assert "libGL.so.1" in line
    assert "libgl1" in line
    assert set(contents(out)) == NAMES
    assert {name: data for name, data in contents(out).items() if name.endswith((".dxf", ".pdf"))} == {
        name: data for name, data in whole.items() if name.endswith((".dxf", ".pdf"))
    }


@pytest.mark.parametrize("words", [("make", "--no-solid"), ("judge",), ("judge", "--json")])
def test_a_reader_that_goes_away(tmp_path: Path, words: tuple[str, ...]) -> None:
    """As in ``plategen judge JOB | head -1``."""
    done = subprocess.run(
        ["sh", "-c", '"$@" | head -c 1', "sh", *command(words[0], PROFILE, *words[1:])],
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )
    assert said(done) == ""


def test_no_screen_at_all(tmp_path: Path, whole: dict[str, bytes]) -> None:
    """Started without open streams, as by some schedulers."""

    def blind(*words: object) -> int:
        return subprocess.run(["sh", "-c", '"$@" <&- >&- 2>&-', "sh", *command(*words)], cwd=tmp_path).returncode

    assert blind("make", PROFILE, "--no-solid", "--out", tmp_path / "out") == 0
    assert contents(tmp_path / "out") == whole
    for words in (("--json",), *(("--vary", "weld.leg=3/16:1/4:1/16", *how) for how in ((), ("--csv",), ("--json",)))):
        assert blind("judge", PROFILE, *words) == 0, words
    assert blind("judge", tmp_path / "gone") == 2


def test_the_pages_save_killed_leaves_one_save_whole(tmp_path):
    """The long run is ``python -m tests.rugged.save_kill``."""
    assert save_kill.killed(4, tmp_path, seed=11)
