"""Every file of a split bracket, of a seat and of a bolted base can be written."""

import json

import pytest

from plategen.delivery.deliver import first_files
from tests.support.delivered import delivered
from tests.support.every_example import work_of

NAMES = (
    "forwarder-split-mount",
    "vineyard-drag-link-seat",
    "quarry-clamped-seat",
    "forestry-bolted-channel",
    "hay-rake-formed-bracket",
)


@pytest.mark.parametrize("name", NAMES)
def test_every_file_is_written(name: str) -> None:
    work = work_of(name)
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


def test_the_report_tells_slots_and_rolled_blanks() -> None:
    told = json.loads(delivered("forwarder-split-mount").files["report.json"])
    slots = [slot for plate in told["plates"] for slot in plate["slots"]]
    assert len(slots) == 4
    assert all(slot["edge_distance_mm"] >= slot["edge_distance_required_mm"] for slot in slots)
    told = json.loads(delivered("vineyard-drag-link-seat").files["report.json"])
    assert [p["rolled_mm"] for p in told["plates"] if p["name"] == "pad"] == [pytest.approx(31.75)]
