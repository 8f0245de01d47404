"""Built as a wheel and as an archive of sources, installed somewhere clean, and run far from the checkout."""

import os
import subprocess
import sys
import sysconfig
import tarfile
import tomllib
import venv
import zipfile
from collections.abc import Sequence
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
BUILD = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["build-system"]
BACKEND = f"import sys, {BUILD['build-backend']} as back; back.build_{{kind}}(sys.argv[1])"

pytestmark = pytest.mark.slow


def run(words: Sequence[object], folder: Path, **environment: str) -> str:
    """Run a command that must succeed; what it printed."""
    surroundings = {name: value for name, value in os.environ.items() if not name.startswith("PYTHON")}
    done = subprocess.run(
        [str(word) for word in words],
        cwd=folder,
        env={**surroundings, **environment},
        capture_output=True,
        text=True,
        check=False,
        timeout=300,
    )
    assert done.returncode == 0, f"{words}\n{done.stdout}\n{done.stderr}"
    return done.stdout


def kept_files() -> list[str]:
    """Every file that is under version control."""
    return [name for name in run(["git", "ls-files", "-z"], ROOT).split("\0") if name and (ROOT / name).is_file()]


@pytest.fixture(scope="module")
def backend(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The build backend, of the version that the project asks for."""
    place = tmp_path_factory.mktemp("backend")
    run([sys.executable, "-m", "pip", "install", "--quiet", "--target", place, *BUILD["requires"]], place)
    return place


@pytest.fixture(scope="module")
def source(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The files under version control, away from the checkout and what lies about in it."""
    place = tmp_path_factory.mktemp("source")
    for name in kept_files():
        (place / name).parent.mkdir(parents=True, exist_ok=True)
        (place / name).write_bytes((ROOT / name).read_bytes())
    return place


@pytest.fixture(scope="module")
def archive(source: Path, backend: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The archive of sources."""
    out = tmp_path_factory.mktemp("archive")
    run([sys.executable, "-c", BACKEND.format(kind="sdist"), out], source, PYTHONPATH=str(backend))
    (found,) = out.iterdir()
    return found


@pytest.fixture(scope="module")
def wheel(archive: Path, backend: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built from the archive of sources as those who package programs do."""
    out, unpacked = tmp_path_factory.mktemp("wheel"), tmp_path_factory.mktemp("unpacked")
    with tarfile.open(archive) as sources:
        sources.extractall(unpacked, filter="data")
    (inside,) = unpacked.iterdir()
    run([sys.executable, "-c", BACKEND.format(kind="wheel"), out], inside, PYTHONPATH=str(backend))
    (found,) = out.iterdir()
    return found


@pytest.fixture(scope="module")
def installed(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A new environment with the wheel in it; its dependencies are seen where the tests have theirs."""
    place = tmp_path_factory.mktemp("clean") / "venv"
    venv.create(place, with_pip=False, symlinks=True)
    python = place / "bin" / "python"
    site = Path(run([python, "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], place).strip())
    run(
        [sys.executable, "-m", "pip", "--python", python, "install", "--quiet", "--no-deps", "--no-index", wheel], place
    )
    (site / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    where = run([python, "-c", "import plategen; print(plategen.__file__)"], place).strip()
    assert Path(where).is_relative_to(site)
    return place / "bin" / "plategen"


def test_the_wheel_holds_every_file_of_the_package_and_the_examples_and_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as found:
        names = {name for name in found.namelist() if ".dist-info/" not in name}
        (metadata,) = [name for name in found.namelist() if name.endswith(".dist-info/METADATA")]
        told = found.read(metadata).decode()
    inside = {name.rpartition(".data/data/share/plategen/")[2] for name in names}
    assert inside == {name for name in kept_files() if name.startswith(("plategen/", "profiles/"))}
    assert "Requires-Python: >=3.11" in told
    assert "Steering and welding can kill" in told


def test_the_archive_holds_the_examples_and_the_tests(archive: Path) -> None:
    with tarfile.open(archive) as found:
        inside = {name.split("/", 1)[1] for name in found.getnames() if "/" in name}
    wanted = {name for name in kept_files() if name.startswith(("plategen/", "profiles/", "tests/"))}
    assert wanted <= inside, sorted(wanted - inside)
    assert {"README.md", "pyproject.toml"} <= inside


def test_it_runs_far_from_the_checkout(installed: Path, tmp_path: Path) -> None:
    """From the first command to cut files, with nothing but a bare path to look for programs in."""
    bare = {"PATH": "/usr/bin:/bin", "HOME": str(tmp_path)}
    assert "plategen" in run([installed, "--version"], tmp_path, **bare)
    for units in ("in", "mm"):
        run([installed, "start", units, "--units", units], tmp_path, **bare)
        run([installed, "judge", units], tmp_path, **bare)
        run([installed, "make", units, "--no-solid"], tmp_path, **bare)
        made = {path.suffix for path in (tmp_path / "outputs" / units).iterdir()}
        assert made == {".csv", ".dxf", ".html", ".json", ".pdf", ".svg", ".txt"}


def test_the_examples_make_the_same_files_with_it(installed: Path, tmp_path: Path) -> None:
    profiles = installed.parents[1] / "share" / "plategen" / "profiles"
    for job in ("sprayer-kicked-rail", "orchard-sprayer-steering"):
        run([installed, "make", profiles / job, "--out", tmp_path / job, "--no-solid"], tmp_path)
        code = "from plategen.cli import main; main()"
        here = [sys.executable, "-c", code, "make", ROOT / "profiles" / job, "--out", tmp_path / f"{job} here"]
        run([*here, "--no-solid"], ROOT)
        for path in (tmp_path / job).iterdir():
            assert path.read_bytes() == (tmp_path / f"{job} here" / path.name).read_bytes(), path.name
