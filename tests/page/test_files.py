"""The downloads: what the command writes, byte for byte, while the page goes on answering."""

import io
import threading
import time
import zipfile

import pytest
from click.testing import CliRunner

from plategen.cli import main


def test_every_file_is_what_the_command_writes(served, tmp_path):
    out = tmp_path / "made"
    result = CliRunner().invoke(main, ["make", str(served.folder), "--out", str(out)])
    assert result.exit_code in (0, 1), result.output
    with served.client() as client:
        whole = client.get("/files.zip", timeout=200)
        assert whole.status_code == 200
        assert whole.headers["content-disposition"].startswith("attachment")
        with zipfile.ZipFile(io.BytesIO(whole.content)) as files:
            assert sorted(files.namelist()) == sorted(p.name for p in out.iterdir())
            for name in files.namelist():
                assert files.read(name) == (out / name).read_bytes(), name
        for name in ("ear_near.dxf", "ear_far.dxf", "plates.dxf", "template.pdf", "bracket.step", "sheet.html"):
            assert client.get(f"/files/{name}").content == (out / name).read_bytes(), name


def test_no_file_is_made_of_what_is_not_saved(served):
    served.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    with served.client() as client:
        assert client.get("/files/ear_near.dxf").status_code == 409
        assert client.get("/files.zip").status_code == 409
        assert client.post("/save", json={"seen": served.version()}).status_code == 200
        assert client.get("/files/ear_near.dxf", timeout=60).status_code == 200


def test_a_job_that_is_refused_makes_no_files(served):
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.bore", "text": "two"}]})
    assert served.post("/save", {"seen": served.version()}).status_code == 200, "what was typed is never lost"
    with served.client() as client:
        answer = client.get("/files/ear_near.dxf", timeout=60)
    assert answer.status_code == 422
    assert "cylinder.bore" in answer.text


def test_the_page_stays_usable_while_the_solid_is_made(served):
    pytest.importorskip("cadquery", reason="the solid kernel makes the solid")
    done = threading.Event()
    made = []

    def fetch():
        with served.client() as client:
            made.append(client.get("/files/bracket.step", timeout=200))
        done.set()

    threading.Thread(target=fetch, daemon=True).start()
    taken = []
    time.sleep(0.2)
    while not done.is_set():
        # a drag that saves nothing: the files being made are those of the job as saved
        begun = time.perf_counter()
        answer = served.post("/change", {"edits": [{"do": "set", "path": "title", "text": f"t{len(taken)}"}]})
        taken.append(time.perf_counter() - begun)
        assert answer.status_code == 200
    assert made[0].status_code == 200
    assert made[0].content.startswith(b"ISO-10303-21;")
    print(f"{len(taken)} changes while the solid was made, the slowest {1e3 * max(taken):.0f} ms")
    assert len(taken) >= 5
    assert sorted(taken)[len(taken) // 2] < 0.5
