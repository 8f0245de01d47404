"""The list of deliverables: what it says is what is made, and what the read-me tells."""

import re
from pathlib import Path

import pytest

from plategen.delivery.manifest import DELIVERABLES, FORMATS, Item, format_of, items, proved
from plategen.delivery.record import RECORD
from plategen.delivery.render import Source
from plategen.ground.refusal import Refusal
from plategen.ground.stamp import Stamp
from plategen.job.cutting import Cutting, SheetStock, SolidEntry
from plategen.job.load import load_job
from plategen.job.paper import Paper
from plategen.make import carry_through
from plategen.paper.size import PAPERS, USUAL_PAPER
from plategen.work import Work
from tests.support.delivered import delivered
from tests.support.every_example import work_of

ROOT = Path(__file__).parents[2]
PROFILES = sorted(path.parent.name for path in (ROOT / "profiles").glob("*/job.toml"))
README = (ROOT / "README.md").read_text(encoding="utf-8")
KICKED = "sprayer-kicked-rail"


def changed(profile: str, **tables: object) -> Work:
    """A job with other tables."""
    loaded = load_job(ROOT / "profiles" / profile)
    return carry_through(loaded.job.replaced(**tables), loaded.traces)


def listed(work: Work, *, solid: bool = True) -> dict[str, Item]:
    return {item.name: item for item in items(Source(work, USUAL_PAPER, solid=solid))}


SMALL_SHEET = SheetStock(length_mm=262.0, width_mm=205.0)


def test_the_read_me_has_each_of_them_in_its_words():
    table = README.split("| file | what | when |\n|---|---|---|\n")[1].split("\n\n")[0]
    assert table.splitlines() == ["| `{}` | {} | {} |".format(*kind.row) for kind in DELIVERABLES]


def test_the_read_me_names_every_paper():
    told = re.search(r"`--paper` is one of (.*?)\. ", README.replace("\n", " "))
    assert told is not None
    assert re.findall(r"`(\w+)`", told[1]) == list(PAPERS)


@pytest.mark.parametrize("profile", PROFILES)
def test_what_is_listed_is_what_is_made(profile):
    work = work_of(profile)
    rendered = delivered(profile)
    assert list(rendered.files) == list(listed(work, solid=False))
    assert list(rendered.files)[-1] == RECORD
    whole = listed(work)
    assert [name for name in whole if whole[name].kind.kernel != "makes"] == list(rendered.files)
    assert "bracket.step" in whole
    assert ("steering.step" in whole) == (work.steering is not None and work.steering.sweep is not None)
    assert len({item.words for item in whole.values()}) == len(whole), "each file is told apart from the others"
    assert all(item.words and "{" not in item.words for item in whole.values())
    drilled = {"rail_drilling"} if work.bracket.wall is not None else set()
    assert {plate.name for plate in work.cut_plates} | drilled == {n[:-4] for n in whole if n.endswith(".svg")}


def test_sheets_have_a_file_each_where_there_are_several():
    whole = listed(work_of(KICKED)).keys()
    assert listed(changed(KICKED, sheet_stock=SMALL_SHEET)).keys() - whole == {"plates_1.dxf", "plates_2.dxf"}
    r12 = listed(changed(KICKED, sheet_stock=SMALL_SHEET, cutting=Cutting(dxf="R12")))
    drawings = {name for name in r12 if name.endswith(".dxf")}
    assert drawings == {f"{name}_r12_in.dxf" for name in ("ear_near", "ear_far", "plates", "plates_1", "plates_2")}


def test_every_kind_is_made_by_some_job():
    asked = {"sheet_stock": SMALL_SHEET, "solid": SolidEntry(mesh="glb"), "paper": Paper(outline=True)}
    work = changed("orchard-sprayer-both-ends", **asked)
    made = (*listed(work).values(), *listed(work_of("forestry-bolted-channel")).values())
    assert {item.kind.file for item in made} == {kind.file for kind in DELIVERABLES}


def test_every_file_has_a_format_and_each_format_is_of_some_file():
    mesh = {f"bracket.{form}" for form in ("stl", "3mf", "glb")}
    names = {name for profile in PROFILES for name in listed(work_of(profile))} | mesh
    assert {name.rpartition(".")[2] for name in names} == set(FORMATS)
    assert all(format_of(name) for name in names)


@pytest.mark.parametrize("name", ["ear_near.dxf", "ear_near.svg", "sheet.html", "report.json", "template.pdf", RECORD])
def test_a_file_cut_short_or_without_its_revision_is_never_delivered(name):
    rendered = delivered(KICKED)
    data = rendered.files[name]
    stamp = Stamp("A", re.search(rb'"fingerprint": "(\w+)"', rendered.files[RECORD])[1].decode())
    assert proved(name, data, stamp) == data
    with pytest.raises(Refusal, match="incomplete"):
        proved(name, data[: len(data) // 2], stamp)
    with pytest.raises(Refusal, match="without its revision"):
        proved(name, data, Stamp("A", "0123456789abcdef"))
