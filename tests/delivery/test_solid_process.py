"""The solid kernel in a process of its own: the same bytes, the same refusals, and no loss when it dies."""

import os
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.commands import make as command
from plategen.delivery.deliver import Delivered, deliver
from plategen.delivery.solid_process import CLEARANCES, SolidProcess
from plategen.ground.refusal import Refusal
from tests.support.every_example import PROFILES, work_of

KICKED = "sprayer-kicked-rail"


def contents(delivered: Delivered) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in delivered.files}


@pytest.mark.slow
@pytest.mark.parametrize("name", ["orchard-sprayer-steering", "quarry-clamped-seat"])
def test_every_file_is_the_same_to_the_byte(name: str, tmp_path: Path) -> None:
    here = deliver(work_of(name), tmp_path / "here")
    with SolidProcess() as beside:
        there = deliver(work_of(name), tmp_path / "there", beside=beside)
        assert beside.answer(CLEARANCES) is not None, "it was not made here after all"
        if work_of(name).steering is not None:
            assert beside.answer("steering.step") == contents(there)["steering.step"]
    assert contents(here) == contents(there)
    assert list(contents(here)) == list(contents(there)), "listed in the same order"


@pytest.mark.usefixtures("kernel")
@pytest.mark.parametrize("when", ["before it is asked", "while it works"])
def test_what_a_dead_process_does_not_make_is_made_here(when: str, tmp_path: Path) -> None:
    with SolidProcess() as beside:
        if when == "before it is asked":
            beside._process.kill()
            beside._process.wait()
        else:
            beside.answer, answer = lambda name: (beside._process.kill(), answer(name))[1], beside.answer  # type: ignore[method-assign]
        delivered = deliver(work_of(KICKED), tmp_path / "out", beside=beside)
    assert delivered.missing == ()
    assert contents(delivered)["bracket.step"].rstrip().endswith(b"END-ISO-10303-21;")


def test_a_kernel_that_does_not_load_is_told_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    broken = tmp_path / "broken" / "OCP"
    broken.mkdir(parents=True)
    (broken / "__init__.py").write_text('raise ImportError("libGL.so.1: cannot open shared object file")')
    paths = [str(broken.parent), str(PROFILES.parent), os.environ.get("PYTHONPATH", "")]
    monkeypatch.setenv("PYTHONPATH", os.pathsep.join(paths))
    with SolidProcess() as beside:
        delivered = deliver(work_of(KICKED), tmp_path / "out", beside=beside)
        with pytest.raises(Refusal, match=r"libGL\.so\.1"):
            beside.answer("bracket.step")
    assert len(delivered.missing) == 1
    assert "apt install libgl1" in delivered.missing[0]
    assert "bracket.step" not in contents(delivered)
    assert "sheet.html" in contents(delivered)


def test_the_kernel_has_a_core_of_its_own_where_there_is_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On one core it would only stand in the way."""
    begun = []
    monkeypatch.setattr(SolidProcess, "begin", lambda self, work: begun.append(work))
    monkeypatch.setattr(SolidProcess, "answer", lambda self, name: None)
    for cores, expected in ((1, 0), (2, 1)):
        monkeypatch.setattr(command, "_cores", lambda cores=cores: cores)
        words = ["make", str(PROFILES / KICKED), "--out", str(tmp_path / str(cores))]
        assert CliRunner().invoke(main, words).exit_code == 0
        assert len(begun) == expected


def test_a_refused_job_leaves_no_process_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    begun = []
    first = SolidProcess.__init__

    def heard(self: SolidProcess) -> None:
        first(self)
        begun.append(self)

    monkeypatch.setattr(SolidProcess, "__init__", heard)
    monkeypatch.setattr(command, "_cores", lambda: 2)
    done = CliRunner().invoke(main, ["make", str(tmp_path / "nowhere"), "--out", str(tmp_path / "out")])
    assert done.exit_code == 2
    assert [process._process.returncode is not None for process in begun] == [True]
