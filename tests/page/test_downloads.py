"""The downloads: what is delivered has a link, each gives what the command writes, and the page goes on answering."""

import asyncio
import hashlib
import io
import json
import re
import shutil
import threading
import time
import zipfile
from collections.abc import Awaitable, Callable
from html.parser import HTMLParser
from pathlib import Path

import httpx
import pytest
from click.testing import CliRunner

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.cli import main
from plategen.ground.refusal import Refusal
from plategen.page.access import Access
from plategen.page.desk import Desk, application
from plategen.page.disk import Folder
from plategen.page.downloads import Made
from plategen.page.session import Session
from plategen.page.shelf import Shelf
from plategen.paper.size import PAPERS

PROFILES = Path(__file__).parents[2] / "profiles"
HOST = "127.0.0.1:8731"
SHEET = '\n[sheet_stock]\nlength = "10 1/4"\nwidth = "8"\n'


class Links(HTMLParser):
    """The addresses that a page's links of files have."""

    def __init__(self, markup: str) -> None:
        super().__init__()
        self.found: list[str] = []
        self.feed(markup)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        address = dict(attrs).get("href") or ""
        if tag == "a" and address.startswith("/files/"):
            self.found.append(address)


def links_in(markup: str) -> dict[str, str]:
    """Address by the name of the file."""
    return {address.removeprefix("/files/").partition("?")[0]: address for address in Links(markup).found}


def job_with(folder: Path, profile: str, *, dxf: str = "", more: str = "") -> Path:
    shutil.copytree(PROFILES / profile, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    if dxf and "[cutting]" in text:
        text = text.replace("[cutting]", f'[cutting]\ndxf = "{dxf}"')
    elif dxf:
        text += f'\n[cutting]\ndxf = "{dxf}"\n'
    (folder / "job.toml").write_text(text + more, encoding="utf-8")
    return folder


def on_page(folder: Path, use: Callable[[httpx.AsyncClient], Awaitable[None]]) -> None:
    """Use a page of a job, without a server between."""

    async def go() -> None:
        session = Session(Folder(folder))
        desk = Desk(Shelf(folder.parent), Access(frozenset({HOST})), session)
        way = httpx.ASGITransport(application(desk), client=("127.0.0.1", 50000))
        async with httpx.AsyncClient(transport=way, base_url=f"http://{HOST}", timeout=300.0) as client:
            await use(client)
        await session.leave()

    asyncio.run(go())


async def refuse_a_dead_link(client: httpx.AsyncClient, kinds: str = "") -> None:
    """Everything in the ZIP has a link, and every link of those kinds answers with what the ZIP holds."""
    links = links_in((await client.get("/")).text)
    whole = await client.get("/files.zip")
    assert whole.status_code == 200, whole.text
    with zipfile.ZipFile(io.BytesIO(whole.content)) as files:
        assert sorted(links) == sorted(files.namelist())
        for name, address in links.items():
            if re.search(kinds, name):
                answer = await client.get(address)
                assert answer.status_code == 200, f"{address}: {answer.status_code} {answer.text}"
                assert answer.content == files.read(name), name


@pytest.mark.parametrize(("dxf", "more"), [("", SHEET), ("R12", SHEET)])
def test_every_link_gives_its_file_and_every_file_has_a_link(tmp_path, dxf, more):
    folder = job_with(tmp_path / "job", "sprayer-kicked-rail", dxf=dxf, more=more)
    on_page(folder, refuse_a_dead_link)


def test_several_sheets_and_r12_names_are_among_the_links(tmp_path):
    async def look(client: httpx.AsyncClient) -> None:
        links = links_in((await client.get("/")).text)
        assert {"plates_1_r12_in.dxf", "plates_2_r12_in.dxf", "ear_near_r12_in.dxf", "revision.json"} <= links.keys()
        assert not {"ear_near.dxf", "plates.dxf"} & links.keys()
        assert (await client.get("/files/ear_near.dxf")).status_code == 404

    on_page(job_with(tmp_path / "job", "sprayer-kicked-rail", dxf="R12", more=SHEET), look)


def test_a_template_on_any_paper_is_what_the_command_prints(tmp_path):
    folder = job_with(tmp_path / "job", "sprayer-kicked-rail")

    async def look(client: httpx.AsyncClient) -> None:
        offered = re.search(r'<select id="paper">(.*?)</select>', (await client.get("/")).text)
        assert re.findall(r'value="(\w+)"', offered[1]) == list(PAPERS)
        for paper in ("a4", "roll"):
            words = ["make", str(folder), "--no-solid", "--out", str(tmp_path / paper), "--paper", paper]
            assert CliRunner().invoke(main, words).exit_code == 0
            answer = await client.get(f"/files/template.pdf?paper={paper}")
            assert answer.content == (tmp_path / paper / "template.pdf").read_bytes()
        whole = await client.get("/files.zip?paper=a4")
        with zipfile.ZipFile(io.BytesIO(whole.content)) as files:
            assert files.read("template.pdf") == (tmp_path / "a4" / "template.pdf").read_bytes()
            summed = json.loads(files.read("revision.json"))["files"]["template.pdf"]
            assert summed == hashlib.sha256(files.read("template.pdf")).hexdigest()
        refused = await client.get("/files/template.pdf?paper=papyrus")
        assert refused.status_code == 422
        assert all(paper in refused.text for paper in PAPERS)

    on_page(folder, look)


def test_a_file_that_the_kernel_cannot_make_says_why():
    made = Made(b"", {"bracket.step": "the solid kernel cannot load; apt install libgl1"})
    with pytest.raises(Refusal, match="apt install libgl1"):
        made.file("bracket.step")


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
        time.sleep(0.1)  # as long as a quick hand rests
        assert answer.status_code == 200
    assert made[0].status_code == 200
    assert made[0].content.startswith(b"ISO-10303-21;")
    print(f"{len(taken)} changes while the solid was made, the slowest {1e3 * max(taken):.0f} ms")
    assert len(taken) >= 5
    assert sorted(taken)[len(taken) // 2] < 0.5


# one of each kind: what each style and a steering add to the list; ears on a rail are made above, their sheet too
OF_EACH_KIND = ["quarry-screen-corner", "forwarder-split-mount", "quarry-clamped-seat", "forestry-bolted-channel",
                "orchard-sprayer-steering"]  # fmt: skip


@pytest.mark.slow
@pytest.mark.parametrize(
    ("profile", "dxf"),
    [*((name, "") for name in OF_EACH_KIND), ("forwarder-split-mount", "R12")],
)
def test_every_link_of_each_kind_of_example_gives_its_file(tmp_path, profile, dxf):
    folder = job_with(tmp_path / "job", profile, dxf=dxf)
    on_page(folder, lambda client: refuse_a_dead_link(client, r"\.(dxf|pdf|svg)$" if dxf else ""))
