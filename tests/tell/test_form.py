"""The measuring form asks for what the job file asks, at the job's own stations, with room to write."""

import re
import tomllib
from itertools import pairwise
from pathlib import Path
from typing import get_args

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.delivery.starter import Start, lay_out, starter_text
from plategen.ground.unit import Units
from plategen.job.load import job_to_measure
from plategen.tell.form import form_html, lines_of, trace_stations
from plategen.tell.steering.form import form_pictures
from tests.support.access import broken
from tests.support.every_example import EXAMPLES, PROFILES


def form_of(folder: Path) -> str:
    read = job_to_measure(folder)
    return form_html(read.job, read.stations_mm)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_number_of_the_cylinder_and_the_mount_is_asked_with_its_key(name: str) -> None:
    html = form_of(PROFILES / name)
    data = tomllib.loads((PROFILES / name / "job.toml").read_text(encoding="utf-8"))
    base = data["cylinder"].pop("base")
    for key in (key for key, value in data["cylinder"].items() if not isinstance(value, bool)):
        assert f"[cylinder] {key}<" in html
    for key in ("pin", "eye_width", "eye_radius"):
        assert key in base
        assert f"[cylinder.base] {key}<" in html
    for key in ("inline_offset", "pin_station", "foot"):
        assert f"[mount] {key}<" in html
    for file in job_to_measure(PROFILES / name).job.rail.trace_files:
        assert f"<caption>{file}, plane " in html


def test_a_trace_is_asked_at_the_stations_it_was_read_at_and_else_over_the_foot(tmp_path: Path) -> None:
    read = job_to_measure(PROFILES / "quarry-straight-rail")
    assert trace_stations(read.job, read.stations_mm)["rail.csv"][:3] == (0.0, 25.0, 50.0)
    (tmp_path / "job.toml").write_bytes((PROFILES / "sprayer-kicked-rail" / "job.toml").read_bytes())
    bare = job_to_measure(tmp_path)
    assert bare.stations_mm == {}
    stations = trace_stations(bare.job, bare.stations_mm)["front.csv"]
    first, last = bare.job.mount.foot_mm
    assert stations[0] <= first
    assert stations[-1] >= last
    assert {round(b - a, 6) for a, b in pairwise(stations)} == {12.7}


def test_the_linkage_is_asked_only_where_one_is_drawn() -> None:
    assert "The linkage" in form_of(PROFILES / "orchard-sprayer-steering")
    assert "left spindle, pivot" in form_of(PROFILES / "orchard-sprayer-steering")
    assert "The linkage" not in form_of(PROFILES / "sprayer-kicked-rail")


def test_a_tube_is_asked_instead_of_traces() -> None:
    read = job_to_measure(PROFILES / "vineyard-drag-link-seat")
    titles = [title for title, _ in lines_of(read.job)]
    assert "The tube" in titles
    assert "station" not in re.findall(r"<caption>(.*?)</caption>", form_of(PROFILES / "vineyard-drag-link-seat"))


def test_the_command_writes_it_and_keeps_what_was_there(tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_bytes((PROFILES / "sprayer-kicked-rail" / "job.toml").read_bytes())
    answer = CliRunner().invoke(main, ["form", str(tmp_path)])
    assert answer.exit_code == 0, answer.output
    assert (tmp_path / "form.html").read_text(encoding="utf-8").rstrip().endswith("</html>")


def asked_in(html: str) -> list[str]:
    """What a form asks for, from the top: every name in the file, and the traces as one."""
    found = re.findall(r'class="key">(.*?)</td>|<h2>(Traces)</h2>', html)
    return [key or traces for key, traces in found]


def told_in(toml: str) -> list[str]:
    """What a job file tells, from the top, the lines that are notes as well."""
    found, table = [], ""
    for line in toml.splitlines():
        if head := re.match(r"\[+([a-z_.]+)\]+", line):
            table = head[1]
            found += ["Traces"] if table == "rail.trace" else []
        elif key := re.match(r"(?:# )?([a-z_]+) = ", line):
            found.append(f"[{table}] {key[1]}")
    return list(dict.fromkeys(found))


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("start", get_args(Start))
def test_the_starter_tells_what_the_form_asks_in_the_same_order(tmp_path: Path, units: Units, start: Start) -> None:
    lay_out(tmp_path / "job", units, start)
    asked, told = asked_in(form_of(tmp_path / "job")), told_in(starter_text("job.toml", units, start))
    assert len(asked) > 15
    assert ("Traces" in asked) == (start != "seat")
    assert [key for key in told if key in asked] == asked


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_form_shows_what_it_asks_for_and_says_it_in_plain_words(name: str) -> None:
    html, traced = form_of(PROFILES / name), bool(job_to_measure(PROFILES / name).job.rail.trace)
    pictures = re.findall(r"<title[^>]*>(.*?)</title>", html)
    for what in ("Set-up", "The cylinder", *(("The rail", "Planes", "The foot") if traced else ("The tube",))):
        assert any(title.startswith(what) for title in pictures), what
    assert ("[rail] section<" in html) == ("[rail] face_from<" in html) == traced
    units = re.findall(r"<td>([^<]*)</td></tr>", html)
    assert not {"list of lengths", "text", "table", "length"} & set(units)
    assert not re.search(r">\d* *(box arm|left spindle|right spindle)\.\w+", html)


def test_what_grows_this_way_has_an_arrow_that_shows_the_way() -> None:
    (picture,) = re.findall(
        r"<svg[^>]*>(?:(?!</svg>).)*plane grows this way.*?</svg>", form_of(PROFILES / EXAMPLES[0]), re.S
    )
    (words,) = re.findall(r'<text x="([\d.]+)" y="(-?[\d.]+)"[^>]*>plane grows this way', picture)
    (head,) = re.findall(r'<path d="M([\d.]+) (-?[\d.]+)L([\d.]+) [^"]*" class="arrow"', picture)
    x, y, back = map(float, head)
    assert back < x, "it points the way that planes grow, to the right"
    assert x > float(words[0])
    assert y == float(words[1])


@pytest.mark.parametrize("name", ["forestry-bolted-channel", "quarry-clamped-seat", "vineyard-drag-link-seat"])
def test_the_pictures_of_rail_foot_and_tube_have_words_that_stand_clear(browser, tmp_path: Path, name: str) -> None:
    from tests.support.seen import assert_words_clear
    from tests.tell.sheet.test_every_example import LETTERING

    path = tmp_path / "form.html"
    path.write_text(form_of(PROFILES / name), encoding="utf-8")
    page = browser.new_page(viewport={"width": 1000, "height": 900})
    page.goto(path.as_uri())
    assert_words_clear(page.evaluate(LETTERING))
    page.close()


@pytest.mark.parametrize(
    "name",
    ["sprayer-kicked-rail", "orchard-sprayer-both-ends", "peat-carrier-two-relays", "quarry-loader-cylinder-pair"],
)
def test_it_reads_on_a_telephone_and_on_a_desk(browser, tmp_path: Path, name: str) -> None:
    from tests.support.seen import assert_words_clear
    from tests.tell.sheet.test_every_example import LETTERING, SMALLEST, TELEPHONE_PX

    path = tmp_path / "form.html"
    path.write_text(form_of(PROFILES / name), encoding="utf-8")
    page = browser.new_page(viewport={"width": 390, "height": 800})
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert [told for told in page.evaluate(SMALLEST) if told[1] < TELEPHONE_PX] == []
    assert broken(page) == []
    page.set_viewport_size({"width": 1000, "height": 900})
    assert_words_clear(page.evaluate(LETTERING))
    page.close()


@pytest.mark.parametrize("name", ["orchard-sprayer-steering", "peat-carrier-two-relays"])
def test_the_linkage_s_points_are_drawn_with_axes_and_what_joins_them(name: str) -> None:
    job = job_to_measure(PROFILES / name).job
    steering = job.steering
    above, side = form_pictures(steering)
    for picture, axes in ((above, "yx"), (side, "xz")):
        assert re.findall(r">([xyz])</text>", picture) == list(axes)
        assert picture.count('class="b"') == len(steering.rod)
        numbers = " ".join(re.findall(r">([\d ]+)</text>", picture)).split()
        assert sorted(map(int, numbers)) == list(range(1, len(steering.points_mm) + 1))


def test_the_end_and_the_cylinder_are_drawn_with_every_size_that_is_asked() -> None:
    html = form_of(PROFILES / "orchard-sprayer-both-ends")
    for words in ("eye radius", "eye width: the gap", "eye width: the ball", "stroke", "bore", "body", "rod", "wall"):
        assert f">{words}</text>" in html
    assert html.count('<title id="form-end-title">') == 2, "once at either end of the cylinder"
