"""Every file of a split bracket and of a seat can be written, and the same job writes the same bytes."""

import json
from pathlib import Path

import pytest

from plategen.delivery.deliver import first_files
from plategen.job.load import load_job
from plategen.make import carry_through

PROFILES = Path(__file__).parents[2] / "profiles"
NAMES = (
    "forwarder-split-mount",
    "vineyard-drag-link-seat",
    "quarry-clamped-seat",
    "forestry-bolted-channel",
    "hay-rake-formed-bracket",
)


@pytest.mark.parametrize("name", NAMES)
def test_every_file_is_written(name: str) -> None:
    loaded = load_job(PROFILES / name)
    work = carry_through(loaded.job, loaded.traces)
    assert all(f.verdict != "stop" for f in work.findings if not f.opinion)
    files = first_files(work).files
    plates = {plate.name for plate in work.cut_plates}
    drawn = {f"{plate}.{kind}" for plate in plates for kind in ("dxf", "svg")}
    assert drawn | {"plates.dxf", "template.pdf", "sheet.html"} <= set(files)
    told = json.loads(files["report.json"])
    assert {plate["name"] for plate in told["plates"]} == plates
    assert bool(told["traces"]) == ("seat" not in name)
    step = files["bracket.step"].decode()
    assert all(f"'{plate}'" in step for plate in plates)
    assert ("'tube'" in step) == ("seat" in name)
    assert ("'rail'" in step) == ("seat" not in name)
    again = first_files(carry_through(loaded.job, loaded.traces)).files
    assert again["sheet.html"] == files["sheet.html"]


def test_the_report_tells_slots_and_rolled_blanks() -> None:
    split = load_job(PROFILES / "forwarder-split-mount")
    told = json.loads(first_files(carry_through(split.job, split.traces), solid=False).files["report.json"])
    slots = [slot for plate in told["plates"] for slot in plate["slots"]]
    assert len(slots) == 4
    assert all(slot["edge_distance_mm"] >= slot["edge_distance_required_mm"] for slot in slots)
    seat = load_job(PROFILES / "vineyard-drag-link-seat")
    told = json.loads(first_files(carry_through(seat.job, seat.traces), solid=False).files["report.json"])
    assert [p["rolled_mm"] for p in told["plates"] if p["name"] == "pad"] == [pytest.approx(31.75)]
