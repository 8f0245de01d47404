"""The measuring form asks for what the job file asks, at the job's own stations, with room to write."""

import re
import tomllib
from itertools import pairwise
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.job.load import job_to_measure
from plategen.tell.form import form_html, lines_of, trace_files, trace_stations
from tests.support.every_example import EXAMPLES, PROFILES


def form_of(folder: Path) -> str:
    read = job_to_measure(folder)
    return form_html(read.job, read.stations_mm)


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_number_of_the_cylinder_and_the_mount_is_asked_with_its_key(name: str) -> None:
    html = form_of(PROFILES / name)
    data = tomllib.loads((PROFILES / name / "job.toml").read_text(encoding="utf-8"))
    base = data["cylinder"].pop("base")
    for key in data["cylinder"]:
        assert f"[cylinder] {key}<" in html
    for key in ("pin", "eye_width", "eye_radius"):
        assert key in base
        assert f"[cylinder.base] {key}<" in html
    for key in ("inline_offset", "pin_station", "foot"):
        assert f"[mount] {key}<" in html
    for file in trace_files(job_to_measure(PROFILES / name).job):
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
    assert "left spindle.pivot" in form_of(PROFILES / "orchard-sprayer-steering")
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


def test_it_prints_with_words_that_stand_clear(browser, tmp_path: Path) -> None:
    from tests.support.seen import assert_words_clear
    from tests.tell.sheet.test_every_example import LETTERING

    path = tmp_path / "form.html"
    path.write_text(form_of(PROFILES / "sprayer-kicked-rail"), encoding="utf-8")
    page = browser.new_page(viewport={"width": 390, "height": 800})
    page.goto(path.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    page.set_viewport_size({"width": 1000, "height": 900})
    assert_words_clear(page.evaluate(LETTERING))
    page.close()
