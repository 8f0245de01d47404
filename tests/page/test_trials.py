"""What is tried with a job on the page: the words and numbers of the commands, beside the page, by the same rules."""

import math
import re
import shutil
import time
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from click.testing import CliRunner

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.cli import main
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.page.chart import HIGH, LEFT, RIGHT, WIDE, Chart, Mark, chart_svg
from plategen.page.disk import Folder
from plategen.page.trial_choice import numbers_of
from plategen.vary import judged, measured, read_axes, sweep_of
from tests.page.conftest import PROFILES, Served, serving

FIRST, SECOND = "bale-trailer-first", "bale-trailer-second"
RANGE = {"key": "bracket.thickness", "begin": "1/4", "end": "1/2", "step": "1/16"}


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Path:
    """A folder with two jobs, of which the second was delivered once and changed since."""
    folder = tmp_path_factory.mktemp("shop")
    for profile in (FIRST, SECOND):
        shutil.copytree(PROFILES / profile, folder / profile)
    out = folder / "outputs" / SECOND
    assert CliRunner().invoke(main, ["make", str(folder / SECOND), "--no-solid", "--out", str(out)]).exit_code == 0
    job = folder / SECOND / "job.toml"
    job.write_text(job.read_text().replace('leg = "1/4"', 'leg = "5/16"'))
    return folder


@pytest.fixture(scope="module")
def page(shop) -> Served:
    with serving(shop / SECOND, cwd=shop) as served:
        yield served


def tried(page: Served, path: str, told: dict) -> dict:
    return waited(page, page.post(f"/trial/{path}", told).json())


def waited(page: Served, begun: dict) -> dict:
    assert "id" in begun, begun
    for _ in range(600):
        answer = page.post("/trial/look", {"id": begun["id"]}).json()
        if answer.get("done") or answer.get("refused"):
            return {**answer, "id": begun["id"]}
        time.sleep(0.05)
    raise AssertionError(answer)


def plate(page: Served, data: bytes, **asked: str) -> dict:
    with page.client() as client:
        headers = {"content-type": "application/octet-stream"}
        answer = client.post("/trial/plate", params={"name": "plate.dxf", **asked}, content=data, headers=headers)
    return waited(page, answer.json()) if answer.status_code == 200 else answer.json()


def words_of(markup: str) -> str:
    return " ".join("".join(ET.fromstring(f"<div>{markup.replace('&nbsp;', ' ')}</div>").itertext()).split())


def said(markup: str) -> list[str]:
    """The lines that stand as the command says them."""
    import html

    return html.unescape(re.search(r"<pre[^>]*>(.*?)</pre>", markup, re.DOTALL)[1]).splitlines()


def test_what_can_be_chosen(page):
    told = page.post("/trial/choices", {}).json()
    assert "letter A" in told["beside"]
    title = load_job(PROFILES / FIRST).job.title
    assert any(name.startswith(title) for name in told["beside"]), told["beside"]
    assert {"weld.leg", "cylinder.pressure", "mount.inline_offset"} <= {each["key"] for each in told["numbers"]}
    assert told["plates"] == ["ear_near", "ear_far"]


@pytest.mark.parametrize("profile", ["bale-trailer-first", "quarry-straight-rail", "orchard-sprayer-steering"])
def test_every_range_that_is_offered_can_be_run_and_holds_the_jobs_own_number(profile):
    loaded = load_job(PROFILES / profile)
    offered = [n for n in numbers_of(Folder(PROFILES / profile).read()) if n.begin]
    assert len(offered) > 10
    for number in offered:
        (axis,) = read_axes(loaded.job, [f"{number.key}={number.begin}:{number.end}:{number.step}"])
        assert 2 <= len(axis.values) <= 41, number
        own: object = loaded.job
        for name in axis.path:
            own = getattr(own, name)
        assert min(axis.values) <= own + 1e-6, number
        assert own - 1e-6 <= max(axis.values), number


def test_a_number_is_run_as_the_command_runs_it(page, shop):
    answer = tried(page, "number", RANGE)
    result = CliRunner().invoke(main, ["judge", str(shop / SECOND), "--vary", "bracket.thickness=1/4:1/2:1/16"])
    words = words_of(answer["shown"])
    assert result.output.splitlines()[-1] in words
    for row in result.output.splitlines()[1:-1]:
        for cell in re.split(r"\s{2,}", row.strip()):
            assert cell in words
    assert answer["shown"].count('class="here"') == answer["shown"].count('class="chart"') >= 3, (
        "the job's place on each"
    )


@pytest.mark.parametrize(
    ("told", "words"),
    [
        ({**RANGE, "key": "bracket.colour"}, "no number of that name"),
        ({**RANGE, "step": "0"}, "more than zero is right"),
        ({**RANGE, "begin": "2", "end": "90", "step": "1/32"}, "400 or fewer"),
    ],
)
def test_a_range_that_makes_no_sense_is_refused_in_a_line(page, told, words):
    answer = tried(page, "number", told)
    assert words in answer["refused"]
    assert answer["shown"] == ""


def test_jobs_are_laid_beside_each_other_with_the_numbers_of_the_engine(page):
    answer = tried(page, "compare", {"beside": ["letter A"]})
    words = words_of(answer["shown"])
    loaded = load_job(page.folder)
    of = measured((), carry_through(loaded.job, loaded.traces))
    assert f"{of.mass_kg / 0.45359237:.4g}"[:4] in words, "1 lb is 0.45359237 kg (international pound, 1959)"
    assert of.finding.check in words
    assert answer["shown"].count('class="over over-') >= 2, "drawn over each other"
    for row in ("verdict", "worst check", "weld", "plates", "cost", "cutting", "gap to expect"):
        assert row in words


def test_a_job_that_cannot_be_built_stands_beside_with_its_refusal(page, shop):
    shutil.copytree(PROFILES / FIRST, shop / "broken", dirs_exist_ok=True)
    job = shop / "broken" / "job.toml"
    job.write_text(job.read_text().replace("title = ", "title = 'No rail' # ").replace("bore = ", "bore = 'two' # "))
    answer = tried(page, "compare", {"beside": ["No rail"]})
    assert "REFUSED" in answer["shown"]
    assert "bore" in answer["shown"]
    shutil.rmtree(shop / "broken")
    assert page.post("/trial/compare", {"beside": ["No rail"]}).status_code == 409, "gone meanwhile"


def test_what_changed_since_a_letter_is_told_as_the_command_tells_it(page, shop):
    answer = tried(page, "revise", {"old": "letter A", "keep": "welds"})
    command = ["revise", str(shop / "outputs" / SECOND), str(shop / SECOND), "--keep-welds"]
    assert said(answer["shown"]) == CliRunner().invoke(main, command).output.splitlines()
    assert "built up" in answer["shown"], "a larger leg is laid over the old one"
    assert '<path class="old"' in answer["shown"]


def test_a_plate_is_tried_as_the_command_tries_it_and_its_files_are_handed_out(page, shop):
    drawing = shop / "outputs" / SECOND / "ear_near.dxf"
    answer = plate(page, drawing.read_bytes(), called="ear_near")
    command = ["trim", str(shop / SECOND), str(drawing), "--as", "ear_near", "--out", str(shop / "trimmed")]
    lines = CliRunner().invoke(main, command).output.splitlines()
    assert [line for line in lines if not line.startswith(str(shop))] == said(answer["shown"])
    assert {"plate_trim.dxf", "plate_trim.pdf", "plate_trim.html"} == set(answer["files"])
    with page.client() as client:
        got = client.get(f"/trial/files/{answer['id']}/plate_trim.dxf")
        assert got.content.endswith(b"EOF\n")
        assert "default-src 'none'" in got.headers["content-security-policy"]
        assert client.get(f"/trial/files/{answer['id']}/job.toml").status_code == 404
        assert client.get("/trial/files/guessed/plate_trim.dxf").status_code == 404


@pytest.mark.parametrize(
    ("data", "asked", "words"),
    [
        (b"no drawing", {}, "plate.dxf"),
        (b"no photograph", {"name": "plate.jpg", "thickness": "3/8"}, "photograph"),
        (b"", {"turn": "much"}, "number of degrees"),
        (b"", {"play": "9 ft"}, "play from 0"),
    ],
)
def test_what_is_no_plate_is_refused_in_a_line(page, data, asked, words):
    answer = plate(page, data, **asked)
    assert words in answer["refused"]
    assert len(answer["refused"].splitlines()) == 1


def test_what_is_no_photograph_is_refused_by_its_name(page):
    pytest.importorskip("cv2", reason="pip install 'plategen[photo]' brings it")
    answer = plate(page, b"\xff\xd8\xff\xe0" + bytes(100), name="plate.jpg", thickness="3/8")
    assert "plate.jpg" in answer["refused"]


def test_a_photographed_ear_is_tried_as_the_commands_try_it(page, shop, tmp_path):
    """The job's own near ear, photographed: what the page says of it is what ``pattern`` and ``trim`` say."""
    pytest.importorskip("cv2", reason="pip install 'plategen[photo]' brings it")
    from tests.support.photographed_ear import photographed_ear

    data, thickness = photographed_ear(shop / SECOND)
    answer = plate(page, data, name="ear.jpg", thickness=thickness, bar="100 mm", called="ear_near", play="1/4")
    assert not answer["refused"], answer
    assert set(answer["files"]) >= {"ear_trim.dxf", "ear_trim.pdf", "ear_trim.html"}
    (tmp_path / "ear.jpg").write_bytes(data)
    drawn, trimmed = str(tmp_path / "ear.dxf"), str(tmp_path / "trimmed")
    photo = ["pattern", str(tmp_path / "ear.jpg"), "--plate", "--thickness", thickness, "--bar", "100 mm", "-o", drawn]
    assert CliRunner().invoke(main, photo).exit_code == 0
    words = ["trim", str(shop / SECOND), drawn, "--as", "ear_near", "--play", "1/4", "--out", trimmed]
    lines = [line for line in CliRunner().invoke(main, words).output.splitlines() if str(tmp_path) not in line]
    assert len(lines) > 3
    assert [line for line in lines if line not in said(answer["shown"])] == []


def test_what_is_called_off_is_gone_and_the_page_answers_meanwhile(page):
    begun = page.post("/trial/number", {**RANGE, "step": "1/1024"}).json()
    since = time.perf_counter()
    page.version()
    assert time.perf_counter() - since < 2.0
    assert page.post("/trial/stop", {"id": begun["id"]}).status_code == 200
    assert page.post("/trial/look", {"id": begun["id"]}).status_code == 409


@pytest.mark.parametrize("path", ["choices", "number", "compare", "cure", "revise", "look", "stop", "plate"])
def test_strangers_are_refused(page, path):
    with page.client() as client:
        headers = {"origin": "http://evil.example", "content-type": "application/json"}
        assert client.post(f"/trial/{path}", content=b"{}", headers=headers).status_code == 403
        foreign = client.post(f"/trial/{path}", content=b"{}", headers={"host": "evil.example"})
        assert foreign.status_code == 421
        assert "default-src 'none'" in foreign.headers["content-security-policy"]
        assert client.get(f"/trial/{path}").status_code == 405
        assert client.post(f"/trial/{path}", json={"what": 1}).status_code in (415, 422)


def test_a_variant_is_kept_without_leaving_the_job(page, shop):
    mark = re.search(r'data-job="(\w+)"', page.client().get("/").text)[1]
    assert page.post("/jobs/copy", {"title": "Thicker", "job": mark, "stay": True}).status_code == 200
    assert "Thicker" in page.post("/trial/choices", {}).json()["beside"]
    assert page.post("/state", {"job": mark}).status_code == 200, "the job is open as before"
    shutil.rmtree(shop / "thicker")


def test_a_chart_puts_each_mark_where_its_number_is():
    marks = [Mark(1.0, 2.0, "ok", "a"), Mark(2.0, None, "refused", "b"), Mark(3.0, 4.0, "stop", "c")]
    svg = chart_svg(Chart(title="t", marks=marks, ends=("1", "3"), here=(2.0, "now 2"), values=("2", "4")))
    places = [tuple(map(float, found)) for found in re.findall(r"translate\(([\d.]+) ([\d.]+)\)", svg)]
    middle = LEFT + (WIDE - LEFT - RIGHT) / 2
    assert [x for x, _ in places] == pytest.approx([LEFT, middle, WIDE - RIGHT])
    assert places[0][1] > places[2][1], "more is higher"
    assert places[1][1] < HIGH
    assert f'd="M{middle:g} ' in svg, "the job's place"
    ET.fromstring(svg)


def test_the_strength_that_is_used_most_is_none_of_sizes_and_finite():
    loaded = load_job(PROFILES / FIRST)
    sweep = sweep_of(loaded.job, loaded.traces, read_axes(loaded.job, ["cylinder.pressure=1000 psi:2000 psi:1000 psi"]))
    low, high = judged(sweep, range(2))
    assert math.isfinite(low.most_used.ratio)
    assert low.most_used.unit not in ("mm", "deg")
    assert high.most_used.ratio > low.most_used.ratio, "more pressure, more used"
