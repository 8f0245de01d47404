"""The first screen: a job of the folder is opened, begun or copied; a tab that shows another one touches none."""

import shutil
import tomllib
from pathlib import Path
from typing import get_args

import pytest

from plategen.delivery.starter import START_WORDS, Start
from plategen.ground.refusal import Refusal
from plategen.page.disk import Folder
from plategen.page.draft import Draft
from plategen.page.shelf import Shelf, folder_name
from tests.page.conftest import PROFILES, Served, serving
from tests.support.access import broken

pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")


@pytest.fixture
def root(tmp_path) -> Path:
    """A folder with two jobs that can be opened, one that cannot, and things that are no jobs."""
    shutil.copytree(PROFILES / "sprayer-kicked-rail", tmp_path / "sprayer")
    shutil.copytree(PROFILES / "forestry-bolted-channel", tmp_path / "channel")
    (tmp_path / "broken").mkdir()
    (tmp_path / "broken" / "job.toml").write_text("units = [[[")
    (tmp_path / "empty").mkdir()
    (tmp_path / ".hidden").mkdir()
    (tmp_path / ".hidden" / "job.toml").write_text("")
    (tmp_path / "link").symlink_to(PROFILES / "sprayer-kicked-rail")
    return tmp_path


@pytest.fixture
def first(root) -> Served:
    with serving(None, cwd=root) as page:
        page.folder = root
        yield page


def new(title: str = "Rear bracket, left", start: str = "ears", units: str = "in", sample: bool = False) -> dict:
    return {"title": title, "start": start, "units": units, "sample": sample}


def shown(page: Served) -> str:
    with page.client() as client:
        return client.get("/").text


def mark_of(page: Served) -> str:
    return shown(page).partition('data-job="')[2].partition('"')[0]


def test_the_jobs_of_the_folder_are_listed_and_nothing_else(root):
    listed = {job.name: job for job in Shelf(root).jobs()}
    assert set(listed) == {"sprayer", "channel", "broken"}
    assert listed["sprayer"].title == "Sprayer steering cylinder, left rail"
    assert "cannot be read" in listed["broken"].trouble


@pytest.mark.parametrize("name", ["..", ".", "", "link", "empty", ".hidden", "sprayer/..", "/etc", "sprayer\0"])
def test_nothing_but_a_job_of_the_folder_is_opened(root, name):
    with pytest.raises(Refusal, match="not among the jobs here"):
        Shelf(root).job(name)


def test_a_name_that_is_taken_gets_a_number(root):
    shelf = Shelf(root)
    names = [shelf.begin("Sprayer", "in", "ears", sample=False).path.name for _ in range(2)]
    assert names == ["sprayer-2", "sprayer-3"]


@pytest.mark.parametrize("title", ["../../x", "a/b\\c", "con", " . ", "é" * 100, "\x07", "-rf", "x" * 100])
def test_a_title_never_leads_out_of_the_folder(tmp_path, title):
    name = folder_name(title)
    assert name not in ("con", ".", "..")
    assert Path(name).name == name
    assert not name.startswith(("-", "."))
    assert len(name.encode()) < 200


def test_a_copy_that_would_name_files_elsewhere_is_refused(root):
    draft = Draft('[[rail.trace]]\nfile = "../away.csv"', {"../away.csv": "station,offset\n"})
    before = sorted(root.rglob("*"))
    with pytest.raises(Refusal, match="outside the job's folder"):
        Shelf(root).copy(draft, "Copy")
    assert sorted(root.rglob("*")) == before


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("start", get_args(Start))
def test_a_job_is_begun_with_nothing_read_and_said_to_hold_the_samples_numbers(tmp_path, start, units):
    with serving(None, cwd=tmp_path) as page:
        assert page.post("/jobs/new", new(start=start, units=units)).status_code == 200
        words = shown(page)
    folder = tmp_path / "rear-bracket-left"
    job = tomllib.loads((folder / "job.toml").read_text())
    assert (job["title"], job["units"]) == ("Rear bracket, left", units)
    assert "Example: not your numbers." in words
    traces = [path.read_text() for path in folder.glob("*.csv")]
    assert len(traces) == (0 if start == "seat" else 1)
    assert all(line.startswith(("#", "station")) for text in traces for line in text.splitlines())


def test_opening_another_job_closes_the_one_before_and_loses_nothing(first):
    assert first.post("/state", {}).status_code == 404, "no job is open yet"
    assert first.post("/jobs/open", {"name": "sprayer"}).status_code == 200
    sprayer = mark_of(first)
    typed = {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}], "job": sprayer}
    assert first.post("/change", typed).status_code == 200
    assert first.post("/jobs/open", {"name": "channel"}).status_code == 200
    assert mark_of(first) != sprayer
    refused = first.post("/change", typed)
    assert refused.status_code == 410, "a tab that shows the other job must not change this one"
    assert "another job was opened" in refused.text
    assert first.post("/jobs/copy", {"title": "Copy", "job": sprayer}).status_code == 410
    with first.client() as client:
        assert "something typed is not saved" in client.get("/jobs").text
    assert first.post("/jobs/open", {"name": "sprayer"}).status_code == 200
    assert "Not saved: job.toml" in shown(first)


def test_a_job_that_cannot_be_opened_leaves_the_one_that_is(first):
    assert first.post("/jobs/open", {"name": "channel"}).status_code == 200
    before = mark_of(first)
    refused = first.post("/jobs/open", {"name": "broken"})
    assert refused.status_code == 422
    assert "job.toml" in refused.text
    assert mark_of(first) == before


def test_a_copy_is_what_stands_on_the_page(first):
    first.post("/jobs/open", {"name": "sprayer"})
    first.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    assert first.post("/jobs/copy", {"title": "Wider", "job": mark_of(first)}).status_code == 200
    copied, old = (Folder(first.folder / name).read() for name in ("wider", "sprayer"))
    assert tomllib.loads(copied.job)["bracket"]["toe"] == 1
    assert tomllib.loads(copied.job)["title"] == "Wider"
    assert copied.files == old.files
    assert old.job == (PROFILES / "sprayer-kicked-rail" / "job.toml").read_text()
    assert "Not saved" not in shown(first)


@pytest.mark.parametrize(
    "asked", [new(start="roof"), new(units="cm"), new(title=""), new(title="  "), new(title="x" * 101), {}]
)
def test_what_is_no_new_job_is_refused(first, asked):
    assert first.post("/jobs/new", asked).status_code == 422
    assert len(list(first.folder.iterdir())) == 6


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1400])
def test_by_hand_a_job_is_begun_copied_and_left(browser, first, width, scheme):
    context = browser.new_context(color_scheme=scheme, viewport={"width": width, "height": 850}, bypass_csp=True)
    tab = context.new_page()
    wrong: list[str] = []
    tab.on("pageerror", lambda error: wrong.append(str(error)))
    tab.goto(first.url)
    assert tab.evaluate("document.documentElement.scrollWidth") <= width
    assert tab.get_by_role("button", name="broken").is_disabled()
    assert [told for told in broken(tab) if told[1] != "minor"] == []
    tab.get_by_label("What it is called").fill("Rear bracket")
    tab.get_by_label(START_WORDS["seat"]).first.check()
    tab.get_by_label("millimetres").check()
    tab.get_by_label("Paper that you print on").select_option("a4")
    tab.get_by_role("button", name="Begin").click()
    tab.wait_for_url(f"{first.url}/")
    assert "Rear bracket" in tab.title()
    assert tab.locator("#paper").input_value() == "a4"
    tab.locator("#copy-title").fill("Its copy")
    tab.get_by_role("button", name="Save a copy").click()
    tab.wait_for_function("document.title.startsWith('Its copy')")
    tab.get_by_role("link", name="Other jobs, or a new one").click()
    tab.get_by_role("button", name="Rear bracket").wait_for()
    assert tab.get_by_text("its-copy, open now").is_visible()
    context.close()
    assert wrong == []


def test_a_tab_that_shows_another_job_is_loaded_anew(browser, first):
    first.post("/jobs/open", {"name": "sprayer"})
    tab = browser.new_page()
    tab.goto(first.url)
    assert tab.title().startswith("Sprayer")
    first.post("/jobs/open", {"name": "channel"})
    tab.wait_for_function("document.title.startsWith('Crane trailer')")
    tab.close()
