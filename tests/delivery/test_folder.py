"""Putting files in place: killed at every step and at random moments, crowded, full, refused, two at once."""

import itertools
import os
import random
import resource
import shutil
import signal
import sys
import time
from collections.abc import Callable
from multiprocessing import get_context
from pathlib import Path

import pytest

from plategen.delivery.folder import EARLIER, locked, put
from plategen.ground.refusal import Refusal

OLD = {"ear.dxf": b"old ear\n" * 500, "sheet.html": b"old sheet\n" * 900, "gone.dxf": b"a plate no longer made\n"}
NEW = {"ear.dxf": b"new ear\n" * 700, "sheet.html": b"new sheet\n" * 800, "extra.dxf": b"new plate\n" * 50}
FOREIGN = {"my notes.txt": b"call the yard", "Zeichnung \u00e4.dxf": b"not ours"}
EVERY = 3
STEPS = ("replace", "link", "unlink", "fsync", "mkdir", "rmdir", "open", "close")


def lay(folder: Path) -> None:
    folder.mkdir(parents=True)
    for name, data in {**OLD, **FOREIGN}.items():
        (folder / name).write_bytes(data)


def deliver(folder: Path) -> Path | None:
    with locked(folder):
        return put(folder, NEW, ["gone.dxf"], "A")


def in_child(work: Callable[[], object]) -> int:
    """Run in a forked process; its exit status, or minus the signal that killed it."""
    pid = os.fork()
    if pid == 0:
        try:
            work()
            os._exit(0)
        except BaseException:
            os._exit(1)
    return os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1])


def refuse_harm(folder: Path) -> None:
    """Every name shows the old file or the new one, whole; nothing that was there is lost."""
    for name, data in FOREIGN.items():
        assert (folder / name).read_bytes() == data
    everywhere = {path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    for name, data in OLD.items():
        assert data in everywhere, f"{name} is lost"
        if name in NEW:
            assert (folder / name).read_bytes() in (data, NEW[name])
    if (folder / "extra.dxf").exists():
        assert (folder / "extra.dxf").read_bytes() == NEW["extra.dxf"]


def refuse_unfinished(folder: Path) -> None:
    for name, data in NEW.items():
        assert (folder / name).read_bytes() == data
    assert not (folder / "gone.dxf").exists()
    kept = [path for path in (folder / EARLIER).rglob("*") if path.is_file()]
    assert sorted((path.name, path.read_bytes()) for path in kept) == sorted(OLD.items())
    assert sorted(path.name for path in folder.iterdir()) == sorted({*NEW, *FOREIGN, EARLIER})


def test_earlier_files_are_kept_and_the_same_again_moves_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    lay(folder)
    assert deliver(folder) == folder / EARLIER / "A"
    refuse_unfinished(folder)
    before = {path: path.stat().st_ino for path in folder.rglob("*")}
    assert deliver(folder) is None
    assert {path: path.stat().st_ino for path in folder.rglob("*")} == before


def test_a_name_taken_in_earlier_is_never_written_over(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    lay(folder)
    (folder / EARLIER / "A").mkdir(parents=True)
    (folder / EARLIER / "A" / "ear.dxf").write_bytes(b"the one before that")
    assert deliver(folder) == folder / EARLIER / "A-2"
    assert (folder / EARLIER / "A" / "ear.dxf").read_bytes() == b"the one before that"


def dies_at(step: int, folder: Path) -> bool:
    """Deliver in a process that dies at this call of the operating system; whether it came so far."""

    def doomed() -> None:
        count = 0

        def dying(call: Callable[..., object]) -> Callable[..., object]:
            def wrapper(*args: object, **extra: object) -> object:
                nonlocal count
                if count == step:
                    os._exit(77)
                count += 1
                return call(*args, **extra)

            return wrapper

        for name in STEPS:
            setattr(os, name, dying(getattr(os, name)))
        deliver(folder)

    status = in_child(doomed)
    assert status in (0, 77)
    return status == 77


def _killed_at_every_step(home: Path) -> tuple[int, int]:
    """How many steps there were, and how many recoveries died too."""
    steps = again = 0
    for step in itertools.count():
        died = False
        for second in itertools.count(step % EVERY, EVERY):
            folder = home / f"{step} {second}"
            lay(folder)
            died = dies_at(step, folder)
            refuse_harm(folder)
            fell = dies_at(second, folder)
            refuse_harm(folder)
            if fell:
                again += 1
                deliver(folder)
            refuse_unfinished(folder)
            shutil.rmtree(folder)
            if not fell or not died:
                break
        if not died:
            break
        steps += 1
    return steps, again


def test_killed_at_every_step_and_again_in_the_recovery(tmp_path: Path) -> None:
    """The process dies at its n-th call of the operating system, for every n, the next run at its m-th, for every third
    m, which third changing with n; the one after it completes the delivery."""
    # from a process that holds little, as a fork takes as long as what it copies is large
    with get_context("spawn").Pool(1) as small:
        steps, again = small.apply(_killed_at_every_step, (tmp_path,))
    assert steps > 30  # the count proves that the steps were really seen
    assert again > 250


@pytest.mark.slow
def test_killed_60_times_at_random(tmp_path: Path) -> None:
    chance = random.Random(7)
    killed = 0
    for trial in range(60):
        folder = tmp_path / str(trial)
        lay(folder)
        pid = os.fork()
        if pid == 0:
            deliver(folder)
            os._exit(0)
        time.sleep(chance.uniform(0.0, 0.006))
        os.kill(pid, signal.SIGKILL)
        killed += os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) != 0
        refuse_harm(folder)
        deliver(folder)
        refuse_unfinished(folder)
    assert killed > 6


def test_what_a_user_puts_there_after_a_kill_is_kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "out"
    lay(folder)
    real, done = os.replace, []

    def fails_at_the_second(source: object, target: object) -> None:
        done.append(target)
        if len(done) == 3:  # the first is the plan, the second the first file
            raise OSError(5, "input/output error")
        real(source, target)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "replace", fails_at_the_second)
    with pytest.raises(Refusal, match="run the command again: it will finish, nothing is lost"):
        deliver(folder)
    monkeypatch.setattr(os, "replace", real)
    (folder / "gone.dxf").unlink()
    (folder / "gone.dxf").write_bytes(b"the user's own plate")
    (folder / "sheet.html").unlink()
    (folder / "sheet.html").write_bytes(b"the user's own sheet")
    deliver(folder)
    everywhere = {path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    assert {b"the user's own plate", b"the user's own sheet", *OLD.values(), *NEW.values()} <= everywhere


def test_two_at_once_and_twenty(tmp_path: Path) -> None:
    """All finish, and what stays is one of them whole; every other one is kept whole."""
    folder = tmp_path / "out"
    pids = []
    for maker in range(20):
        pid = os.fork()
        if pid == 0:
            with locked(folder):
                put(folder, {f"{n}.dxf": f"{maker} {n}\n".encode() * 999 for n in range(5)}, aside="A")
            os._exit(0)
        pids.append(pid)
    assert [os.waitstatus_to_exitcode(os.waitpid(pid, 0)[1]) for pid in pids] == [0] * 20
    deliveries = [folder, *(folder / EARLIER).iterdir()]
    makers = [{path.read_bytes().split()[0] for path in each.glob("*.dxf")} for each in deliveries]
    assert all(len(of_one) == 1 for of_one in makers)
    assert len({next(iter(of_one)) for of_one in makers}) == 20


def test_a_full_disk_changes_nothing(tmp_path: Path) -> None:
    """A limit on file size stands for the disk: the write stops half way, as it does on a full one."""
    folder = tmp_path / "out"
    lay(folder)
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}

    def on_a_full_disk() -> None:
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (6000, 6000))
        with pytest.raises(Refusal, match="nothing in it was changed"):
            deliver(folder)

    assert in_child(on_a_full_disk) == 0
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere")
def test_a_folder_that_may_not_be_written(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    lay(folder)
    folder.chmod(0o555)
    try:
        with pytest.raises(Refusal, match="give a folder of your own"):
            deliver(folder)
    finally:
        folder.chmod(0o755)
    refuse_harm(folder)


def test_a_refusal_leaves_no_empty_folders(tmp_path: Path) -> None:
    with pytest.raises(Refusal, match="for a reason"), locked(tmp_path / "a" / "b"):
        raise Refusal("for a reason")
    assert list(tmp_path.iterdir()) == []


def test_a_file_where_the_folder_should_be(tmp_path: Path) -> None:
    (tmp_path / "out").write_text("mine")
    with pytest.raises(Refusal, match="is a file, not a folder"):
        deliver(tmp_path / "out")
    assert (tmp_path / "out").read_text() == "mine"


def test_a_folder_where_a_file_should_be(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    lay(folder)
    (folder / "ear.dxf").unlink()
    (folder / "ear.dxf").mkdir()
    (folder / "ear.dxf" / "x").write_text("mine")
    with pytest.raises(Refusal, match="is a folder"):
        deliver(folder)
    assert (folder / "ear.dxf" / "x").read_text() == "mine"
    assert (folder / "sheet.html").read_bytes() == OLD["sheet.html"]


@pytest.mark.quiet
def test_ten_thousand_files_of_others(tmp_path: Path) -> None:
    folder = tmp_path / "out"
    lay(folder)
    for number in range(10_000):
        (folder / f"photo {number}.jpg").write_bytes(b"%d" % number)
    begun = time.perf_counter()
    deliver(folder)
    assert time.perf_counter() - begun < 5.0
    assert all((folder / f"photo {n}.jpg").read_bytes() == b"%d" % n for n in range(10_000))


def test_files_open_elsewhere_and_links(tmp_path: Path) -> None:
    """A reader that holds the old file reads on in it; a link gives way as a link, and its target is not touched."""
    folder, elsewhere = tmp_path / "out", tmp_path / "elsewhere.html"
    lay(folder)
    elsewhere.write_bytes(b"target")
    (folder / "sheet.html").unlink()
    (folder / "sheet.html").symlink_to(elsewhere)
    with (folder / "ear.dxf").open("rb") as held:
        deliver(folder)
        assert held.read() == OLD["ear.dxf"]
    assert elsewhere.read_bytes() == b"target"
    assert (folder / EARLIER / "A" / "sheet.html").is_symlink()
    assert (folder / "sheet.html").read_bytes() == NEW["sheet.html"]


def test_where_links_cannot_be_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def no_links(*_: object, **__: object) -> None:
        raise OSError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    lay(tmp_path / "out")
    deliver(tmp_path / "out")
    refuse_unfinished(tmp_path / "out")


@pytest.mark.skipif(sys.platform == "win32", reason="forks")
def test_a_killed_holder_lets_go_of_the_lock(tmp_path: Path) -> None:
    pid = os.fork()
    if pid == 0:
        with locked(tmp_path / "out"):
            (tmp_path / "held").touch()
            time.sleep(60)
    while not (tmp_path / "held").exists():
        time.sleep(0.005)
    os.kill(pid, signal.SIGKILL)
    os.waitpid(pid, 0)
    deliver(tmp_path / "out")
    shutil.rmtree(tmp_path / "out")
