"""What lies in an output folder is a stranger's: refused by name in one line, and nothing outside is touched."""

import json
import os
import shutil
import stat
from pathlib import Path
from typing import Any

import msgspec
import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.delivery.deliver import deliver
from plategen.delivery.folder import EARLIER, locked, put
from plategen.delivery.record import RECORD, read_record
from plategen.ground.refusal import Refusal
from tests.delivery.test_folder import FOREIGN, NEW, OLD, in_child, lay
from tests.support.example_work import example_work

UNFINISHED = ".plategen-unfinished"
DAMAGE = {
    "empty": b"", "a list": b"[]", "no keys": b"{}", "binary": bytes(range(256)), "cut": b'{"new": ["ear.dxf"',
    "deep": b"[" * 200_000, "deep keys": b'{"a":' * 100_000, "words": b'"plan"', "no utf-8": b'{"new": ["\xff"]}',
}  # fmt: skip


def snapshot(folder: Path) -> dict[str, bytes]:
    """Every file and link below a folder."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_symlink():
            found[str(path)] = os.fsencode(os.readlink(path))
        elif stat.S_ISREG(path.lstat().st_mode):
            found[str(path)] = path.read_bytes()
    return found


@pytest.fixture
def out(tmp_path: Path) -> Path:
    """An output folder beside a job that must not be touched."""
    (tmp_path / "job").mkdir()
    (tmp_path / "job" / "rear.csv").write_text("station,offset\n")
    lay(tmp_path / "out")
    return tmp_path / "out"


def planned(folder: Path, plan: bytes) -> None:
    (folder / UNFINISHED / "new").mkdir(parents=True)
    (folder / UNFINISHED / "plan.json").write_bytes(plan)


def refused(folder: Path, place: str) -> None:
    """The next run is refused in one line that names ``place``, and changes nothing anywhere."""
    before = snapshot(folder.parent)
    with pytest.raises(Refusal) as caught, locked(folder):
        put(folder, NEW, ["gone.dxf"], "A")
    line = str(caught.value)
    assert place in line and line.isprintable() and len(line) < 400  # noqa: PT018
    assert snapshot(folder.parent) == before


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_plan(out: Path, damage: str) -> None:
    planned(out, DAMAGE[damage])
    refused(out, "plan.json")


@pytest.mark.parametrize(
    "name", ["../job/rear.csv", "..", "/etc/hostname", "a/b", "a\\b", "c:x", "", ".", EARLIER, UNFINISHED, "x" * 300]
)
@pytest.mark.parametrize("role", ["new", "old", "kept"])
def test_a_plan_that_leads_out_of_the_folder(out: Path, name: str, role: str) -> None:
    plan: dict[str, Any] = {"new": [], "old": ["ear.dxf"], "kept": "A"}
    plan[role] = name if role == "kept" else [name]
    planned(out, json.dumps(plan).encode())
    (out / UNFINISHED / "new" / "rear.csv").write_bytes(b"theirs")
    refused(out, "plan.json")


def test_a_plan_whose_names_are_no_words_of_any_system(out: Path) -> None:
    planned(out, b'{"new": ["a\\u0000b", "a\\nb"], "old": [], "kept": ""}')
    refused(out, "plan.json")


@pytest.mark.parametrize("link", [UNFINISHED, f"{UNFINISHED}/new", EARLIER, f"{EARLIER}/A", f"{UNFINISHED}/plan.json"])
def test_links_are_never_followed_out(out: Path, link: str) -> None:
    elsewhere = out.parent / "elsewhere"
    planned(elsewhere, b'{"new": ["ear.dxf"], "old": ["ear.dxf"], "kept": "A"}')
    if link != UNFINISHED:
        shutil.copytree(elsewhere / UNFINISHED, out / UNFINISHED)
    (out / UNFINISHED / "new" / "ear.dxf").write_bytes(b"new") if link != UNFINISHED else None
    (out / link).parent.mkdir(exist_ok=True)
    if (out / link).is_dir():
        shutil.rmtree(out / link)
    (out / link).unlink(missing_ok=True)
    target = elsewhere / link if link.startswith(UNFINISHED) else elsewhere
    (out / link).symlink_to(target)
    refused(out, link)


def test_a_link_called_earlier_is_refused_before_anything_is_kept_in_it(out: Path) -> None:
    (out.parent / "elsewhere").mkdir()
    (out / EARLIER).symlink_to(out.parent / "elsewhere")
    refused(out, EARLIER)


def test_a_pipe_where_a_plan_belongs_is_not_waited_for(out: Path) -> None:
    planned(out, b"")
    (out / UNFINISHED / "plan.json").unlink()
    os.mkfifo(out / UNFINISHED / "plan.json")
    refused(out, "plan.json")


def test_a_link_is_kept_as_a_link_though_its_target_is_kept_already(out: Path) -> None:
    """A plan stopped after keeping: what is told by content alone would take the target's copy for the link."""
    planned(out, b'{"new": [], "old": ["gone.dxf"], "kept": "A"}')
    (out / EARLIER / "A").mkdir(parents=True)
    (out / EARLIER / "A" / "gone.dxf").write_bytes(OLD["gone.dxf"])
    (out.parent / "target.dxf").write_bytes(OLD["gone.dxf"])
    (out / "gone.dxf").unlink()
    (out / "gone.dxf").symlink_to(out.parent / "target.dxf")
    with locked(out):
        pass
    links = [path for path in out.rglob("gone.dxf*") if path.is_symlink()]
    assert links
    assert (out.parent / "target.dxf").read_bytes() == OLD["gone.dxf"]


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only the super-user makes another user's folder")
@pytest.mark.parametrize("kind", ["sticky", "earlier"])
def test_another_users_folder_is_left_whole(tmp_path: Path, kind: str) -> None:
    out = tmp_path / "out"
    lay(out)
    for path in (tmp_path, *tmp_path.parents[:3]):
        path.chmod(path.stat().st_mode | 0o011)
    out.chmod(0o1777 if kind == "sticky" else 0o777)
    if kind == "earlier":
        (out / EARLIER).mkdir(mode=0o755)
    before = snapshot(out)

    def as_nobody() -> None:
        os.setuid(65534)
        with pytest.raises(Refusal, match="another user"), locked(out):
            put(out, NEW, ["gone.dxf"], "A")

    assert in_child(as_nobody) == 0
    assert snapshot(out) == before
    assert (out / EARLIER).exists() == (kind == "earlier")
    assert set(FOREIGN) <= {path.name for path in out.iterdir()}


@pytest.fixture(scope="module")
def record() -> dict[str, Any]:
    """The record of an example, as it is written."""
    from plategen.delivery.deliver import first_files

    work = example_work()
    return dict(json.loads(first_files(work, solid=False).files[RECORD]))


@pytest.mark.parametrize("damage", [*DAMAGE, "pipe", "link", "folder"])
def test_a_damaged_record(tmp_path: Path, damage: str) -> None:
    file = tmp_path / RECORD
    match damage:
        case "pipe":
            os.mkfifo(file)
        case "link":
            file.symlink_to("/etc/hostname")
        case "folder":
            file.mkdir()
        case _:
            file.write_bytes(DAMAGE[damage])
    with pytest.raises(Refusal, match=r"revision\.json"):
        deliver(example_work(), tmp_path, solid=False)
    assert [path.name for path in tmp_path.iterdir()] == [RECORD]


def _without_traces(inputs: dict[str, Any]) -> None:
    inputs["traces"] = []


def _thin(inputs: dict[str, Any]) -> None:
    inputs["job"]["bracket"]["thickness"] = 0.0


def _negative(inputs: dict[str, Any]) -> None:
    inputs["job"]["cylinder"]["bore"] = -63.0


def _far(inputs: dict[str, Any]) -> None:
    inputs["traces"][0]["readings"][1][1] = 1e300


def _few(inputs: dict[str, Any]) -> None:
    del inputs["traces"][0]["readings"][2:]


def _no_title(inputs: dict[str, Any]) -> None:
    inputs["job"]["title"] = " "


def _long(inputs: dict[str, Any]) -> None:
    inputs["job"]["title"] = "x" * 5000


def _no_error(inputs: dict[str, Any]) -> None:
    inputs["traces"][0]["read_error_mm"] = 0.0


@pytest.mark.parametrize(
    "spoil", [_without_traces, _thin, _negative, _far, _few, _no_title, _long, _no_error, lambda inputs: inputs.clear()]
)
def test_inputs_that_no_job_file_gives(tmp_path: Path, record: dict[str, Any], spoil: Any) -> None:
    spoiled = json.loads(json.dumps(record))
    spoil(spoiled["inputs"])
    (tmp_path / RECORD).write_bytes(msgspec.json.encode(spoiled))
    found = read_record(tmp_path)
    assert found is not None
    with pytest.raises(Refusal, match="does not hold the inputs"):
        found.job()
    done = CliRunner().invoke(main, ["revise", str(tmp_path), "profiles/sprayer-kicked-rail"])
    assert done.exit_code == 2
    assert len(done.stderr.splitlines()) == 1
    assert "revision.json" in done.stderr


@pytest.mark.parametrize(
    ("key", "value"), [("letter", "Y" * 5000), ("letter", "i"), ("files", {"../job/rear.csv": "0"})]
)
def test_a_record_of_no_delivery(tmp_path: Path, record: dict[str, Any], key: str, value: Any) -> None:
    (tmp_path / RECORD).write_bytes(json.dumps({**record, key: value}).encode())
    with pytest.raises(Refusal, match=r"revision\.json"):
        read_record(tmp_path)
