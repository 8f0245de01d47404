"""A new job folder runs as it stands, explains every key, and never writes over anything."""

import re
from pathlib import Path
from typing import get_args

import pytest

from plategen.delivery.starter import FILES, Start, lay_out, starter_text
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.load import load_job
from plategen.job.schema import fields, table_of
from plategen.make import carry_through

MAIN_TABLES = ("rail", "cylinder", "mount", "bracket", "weld", "cutting")


@pytest.mark.parametrize("units", ["in", "mm"])
def test_what_is_laid_out_loads(tmp_path: Path, units: str) -> None:
    paths = lay_out(tmp_path / "new" / "job", units)
    assert [path.name for path in paths] == list(FILES)
    loaded = load_job(tmp_path / "new" / "job")
    assert loaded.job.units == units
    assert len(loaded.traces[0].readings) >= 10


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("table", MAIN_TABLES)
def test_every_key_of_the_main_tables_is_shown(table: str, units: str) -> None:
    text = starter_text("job.toml", units)
    form = table_of(next(field.form for field in fields(Job) if field.key == table))
    assert form is not None
    for field in fields(form):
        assert f"{field.key} = " in text or f"{table}.{field.key}]" in text, f"{table}.{field.key} is not shown"


def test_both_starters_set_the_same_keys() -> None:
    def keys(units: str) -> list[str]:
        return [line.split("=")[0].strip() for line in starter_text("job.toml", units).splitlines() if " = " in line]

    assert keys("in") == keys("mm")


@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_there_stays(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_text("mine")
    with pytest.raises(Refusal, match="is there already and stays as it is; a new folder is right"):
        lay_out(tmp_path, "in")
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [(name, "mine")]


def test_a_folder_that_is_a_file_is_refused(tmp_path: Path) -> None:
    (tmp_path / "job").write_text("mine")
    with pytest.raises(Refusal, match="cannot be written"):
        lay_out(tmp_path / "job", "in")


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("start", get_args(Start))
def test_what_is_laid_out_for_each_style_holds_as_it_stands(tmp_path: Path, units: str, start: str) -> None:
    paths = lay_out(tmp_path / "job", units, start)
    assert (len(paths) == 1) == (start == "seat"), "a tube is not traced"
    loaded = load_job(tmp_path / "job")
    assert loaded.job.units == units
    assert loaded.job.bracket.style == ("ears" if start == "steering" else start)
    assert (loaded.job.steering is not None) == (start == "steering")
    assert not carry_through(loaded.job, loaded.traces).stopped


@pytest.mark.parametrize("units", ["in", "mm"])
@pytest.mark.parametrize("start", get_args(Start))
def test_it_names_the_list_of_all_keys_and_explains_in_the_words_of_a_shop(units: str, start: str) -> None:
    text = starter_text("job.toml", units, start)
    assert "`plategen keys`" in text
    for word in (r"\bu or v\b", r"\bpolylines?\b", r"\bksi\b", r"\bstandard deviation\b", r"\bv, towards\b"):
        assert not re.search(word, text), word
    grain = next(line for line in text.splitlines() if line.startswith("# grain"))
    assert all(f'"{way}"' in grain for way in ("along", "across"))


@pytest.mark.parametrize("units", ["in", "mm"])
def test_a_seat_s_starter_speaks_of_its_tube(units: str) -> None:
    """Whoever has no rail and clamps no straightedge is asked for neither; `[rail]` is the table's name."""
    text = starter_text("job.toml", units, "seat").replace("heat-treated rail", "")
    told = [line for line in text.splitlines() if "straightedge" in line or re.search(r"\brail\b(?!\])", line)]
    assert told == []
