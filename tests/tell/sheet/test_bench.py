"""The bench sheet's steps and measures say of a job what its bracket is."""

import re

import pytest

from plategen.bracket.measure import along_pin
from plategen.ground.show import Show
from plategen.rail.tube import Tube
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.report.job import job_report
from plategen.tell.sheet import bench, weld_tables
from plategen.tell.sheet.facts import facts
from plategen.tell.sheet.places import in_place, places
from plategen.tell.sheet.tables import fit_up
from plategen.tell.sheet.weld_tables import leg_to_lay
from tests.support.every_example import EXAMPLES, work_of
from tests.support.sheets import delivered_sheet, read_words


@pytest.mark.parametrize("name", EXAMPLES)
def test_steps_and_measures_hold_the_bracket_s_own_numbers(name: str) -> None:
    work = work_of(name)
    show, report = Show(work.job.units), job_report(work)
    steps = bench.steps(work, report, show)
    told = " ".join(steps)
    assert show.length(work.design.pin.station_mm) in told
    order = re.search(r"Weld in this order: ([W\d, ]+);", told)
    assert bool(order) == bool(report.welds)
    assert not order or order[1].split(", ") == [run.name for run in sorted(report.welds, key=lambda run: run.order)]
    assert ("Bolt up" in told) == bool(report.hardware.bolts)
    held = sorted(along_pin([plate]) for plate in work.bracket.plates if plate.pin_hole is not None)
    measures = {row[0].words: row[1].words for row in bench.measured(work, report, show).rows}
    if len(held) > 1:
        spacer = show.length(held[-1][0] - held[0][1])
        assert (f"a spacer of {spacer}" if work.bracket.folded is None else f"at their feet: {spacer}") in told
        assert spacer in measures.values()
    laid = {leg_to_lay(run, report.plates, show) for run in report.welds}
    assert laid == {words for what, words in measures.items() if what.startswith("leg of ")}
    assert measures["pin's centre from station 0"] == show.length(work.design.pin.station_mm)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_leg_to_lay_allows_for_the_gap_that_the_steps_expect(name: str) -> None:
    work = work_of(name)
    show, report = Show(work.job.units), job_report(work)
    told = {row[0].words: row[6].words for row in weld_tables.welds(report.welds, report.plates, show).rows}
    expected = {plate.name: plate.fit.expected_gap_mm for plate in report.plates if plate.fit}
    for run in report.welds:
        on_rail = run.to not in {plate.name for plate in report.plates}
        gap_mm = max(run.gap_mm, expected.get(run.plate, 0.0) if on_rail else 0.0)
        most_mm = run.leg_mm + (gap_mm if gap_mm > GAP_AS_IS_MM else 0.0)
        if gap_mm <= GAP_LARGEST_MM:
            assert told[run.name].endswith(show.bound(most_mm, up=True)), run.name
        grows = on_rail and run.gap_mm <= GAP_AS_IS_MM < gap_mm
        assert ("where the gap is over" in told[run.name]) == grows, run.name


def test_some_example_has_a_leg_that_may_have_to_grow() -> None:
    work = work_of("sprayer-kicked-rail")
    report = job_report(work)
    assert "1/4 in (0.250); where the gap is over 1/16 in (0.062), up to 21/64 in (0.315)" in {
        leg_to_lay(run, report.plates, Show("in")) for run in report.welds
    }


def test_plates_alike_stand_in_one_row_of_the_cut_list() -> None:
    from plategen.tell.sheet.tables import cut_list

    work = work_of("quarry-clamped-seat")
    rows = cut_list(job_report(work).plates, Show("mm")).rows
    assert sum(int(row[1].words) for row in rows) == len(work.cut_plates)
    assert [row[1].words for row in rows] == ["2", "2", "4"]


@pytest.mark.parametrize("name", EXAMPLES)
def test_what_is_not_welded_to_the_machine_is_welded_off_it(name: str) -> None:
    work = work_of(name)
    steps = bench.steps(work, job_report(work), Show(work.job.units))
    if not work.bracket.welds:
        assert any(words.startswith("Nothing is welded") and "no earth clamp" in words for words in steps)
        assert not any("Weld in this order" in words or "Tack " in words for words in steps)
        return
    weld = next(i for i, words in enumerate(steps) if words.startswith("Weld in this order"))
    marked = next(i for i, words in enumerate(steps) if "Mark the pin's station" in words)
    on_machine = any(run.joint in ("rail", "tube") for run in work.bracket.welds)
    assert (marked < weld) == on_machine
    assert any("no earth clamp" in words for words in steps) != on_machine


def _told(name: str) -> list[str]:
    work = work_of(name)
    return list(bench.steps(work, job_report(work), Show(work.job.units)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_part_that_is_cut_is_named_in_the_steps(name: str) -> None:
    told = " ".join(_told(name))
    for plate in work_of(name).loose:
        assert f"{plate.name.replace('_', ' ')}, {plate.count} to cut" in told


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_trace_is_named_beside_the_picture_and_has_its_columns_named(name: str) -> None:
    work, html = work_of(name), delivered_sheet(name)
    named = dict(facts(work, Show(work.job.units)))["traces"]
    for entry in work.job.rail.trace:
        assert {*entry.files} <= {*named.split(", ")}, "that of a second straightedge, too"
    assert not {"u", "v", "w"} & {*read_words(html)}


def test_a_part_beside_a_spacer_begins_where_the_spacer_ends() -> None:
    work = work_of("vineyard-drag-link-seat")
    show = Show("in")
    spans = {row[0].words: row[3].words for row in places(work.bracket.plates, (), show).rows}
    assert spans["tab near"].endswith(" to 0 in")
    spacer = re.search(r"a spacer of ([^)]*\))", " ".join(_told("vineyard-drag-link-seat")))
    assert spacer
    assert spans["tab far"].startswith(f"{spacer[1]} to ")


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_bar_to_measure_is_in_the_job_s_units(name: str) -> None:
    bar = "4 in" if work_of(name).job.units == "in" else "100 mm"
    assert f"with a steel rule: {bar} reads" in delivered_sheet(name)


def test_some_example_has_parts_that_stand_elsewhere() -> None:
    assert work_of("orchard-sprayer-steering").loose


@pytest.mark.parametrize("name", ["quarry-clamped-seat", "forestry-bolted-channel"])
def test_where_parts_stand_on_a_plate_is_marked_before_they_are_tacked(name: str) -> None:
    steps = _told(name)
    marked = next(i for i, words in enumerate(steps) if words.startswith("Mark on "))
    tacked = next(i for i, words in enumerate(steps) if words.startswith("Tack "))
    assert marked < tacked
    assert "table of places" in steps[marked]


def test_what_bolts_hold_is_bolted_before_it_is_tacked() -> None:
    steps = _told("forwarder-split-mount")
    bolted = next(i for i, words in enumerate(steps) if words.startswith("Bolt up "))
    tacked = next(i for i, words in enumerate(steps) if words.startswith("Tack "))
    tight = next(i for i, words in enumerate(steps) if words.startswith("Tighten "))
    assert bolted < tacked < tight


def test_the_gap_at_the_marked_face_is_that_of_the_face_the_places_name() -> None:
    """Measured anew, from the rail's section in the plane that the sheet gives the marked face."""
    work = work_of("sprayer-kicked-rail")
    show, plates = Show("in"), {plate.name: plate for plate in job_report(work).plates}
    told = {row[0].words: row for row in fit_up(list(plates.values()), "rail", show).rows}
    for plate in work.bracket.plates:
        assert plate.notch is not None
        back_mm = plate.placement.origin[2]
        marked_mm = back_mm + plate.thickness_mm
        assert in_place(plate, show).endswith(f"marked face lies at plane {show.length(marked_mm)}.")
        along = [at for at, _ in plate.notch.spaced(5.0)][2:-2]
        gaps = [max(map(work.rail.section(w).distance, along)) for w in (marked_mm, back_mm)]
        said = [told[plate.name.replace("_", " ")][column].words for column in (1, 2)]
        assert max(gaps) > 0.5 > min(gaps), "one face touches, the other stands off"
        assert (gaps[0] > gaps[1]) == (said[1] == "none")


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_job_on_a_tube_asks_for_nothing_of_a_rail(name: str) -> None:
    on_tube = isinstance(work_of(name).rail, Tube)
    html = delivered_sheet(name)
    assert ("against the rail" in html) != on_tube
    heads = re.findall(r"<(?:h2|h3|caption|summary)[^>]*>(.*?)</", html)
    assert on_tube == (not any("rail" in head for head in heads))
    assert on_tube == ("meet the tube" in html)
    assert "away from the tube" in html or not on_tube
