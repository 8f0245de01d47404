"""A bracket on the frame and the seat at the rod's end in one job: by one study, under one verdict, in one delivery."""

import csv
import io
import json
import math
import re
from functools import cache

import pytest

from plategen.checks.finding import Finding, must_stop, stops
from plategen.delivery.deliver import first_files
from plategen.ground.refusal import Refusal
from plategen.job.change import changed
from plategen.job.load import job_of
from plategen.job.parse import parse_job
from plategen.make import carry_through, rebuilt
from plategen.revision.compare import compare
from plategen.revision.keep import welds_lost
from plategen.work import Work
from tests.support.every_example import PROFILES, loaded_of

BOTH = "orchard-sprayer-both-ends"
TEXT = loaded_of(BOTH).texts["job.toml"]


@cache
def work_of(text: str = TEXT) -> Work:
    loaded = job_of(text, loaded_of(BOTH).texts.__getitem__)
    return carry_through(loaded.job, loaded.traces)


def told(old: str, new: str, text: str = TEXT) -> str:
    assert old in text
    return text.replace(old, new)


THIN = told('thickness = "5/16"\nsteel = "A36"\n[rod_end.seat]', 'thickness = "1/8"\nsteel = "A36"\n[rod_end.seat]')
"""Tabs that are too thin, at the rod's end alone."""


def seat_of(work: Work) -> Work:
    assert work.rod_end is not None
    return work.rod_end


def of_seat(work: Work) -> list[Finding]:
    return [f for f in work.findings if "rod end" in f.part.spoken and f.decides]


def test_the_example_holds_at_both_ends() -> None:
    work = work_of()
    assert not work.stopped
    assert not seat_of(work).stopped
    assert len(of_seat(work)) > 50


def test_the_seat_is_judged_as_the_same_seat_alone_with_the_same_steering() -> None:
    # the seat's own job, written out by hand: the one judge answers alike, but for what is asked once of a machine
    seat = seat_of(work_of())
    alone = carry_through(seat.job, ())
    there = {(f.of.row, round(f.demand, 9), round(f.capacity, 9)) for f in seat.findings if f.decides}
    here = {(f.of.row, round(f.demand, 9), round(f.capacity, 9)) for f in alone.findings if f.decides}
    assert there <= here
    assert {row for row, *_ in here - there} & {"weld throat stress", "pin bending", "plate section"} == set()


def test_the_machine_is_judged_once() -> None:
    frame = carry_through(work_of().job.replaced(rod_end=None), loaded_of(BOTH).traces)
    own = [f for f in work_of().findings if f not in of_seat(work_of()) and f.decides]
    assert [(f.key, f.demand) for f in own] == [(f.key, f.demand) for f in frame.findings if f.decides]


def test_the_seats_loads_come_from_the_swing_about_the_moving_pin() -> None:
    work = work_of()
    study, motion = work.steering, seat_of(work).design.motion
    assert study is not None
    (seen,) = study.swings_about("moving pin")
    assert (motion.swing_from, motion.skew_from) == ("drawn", "drawn")
    assert motion.swing_rad == seen.in_plane_range_rad
    assert motion.skew_rad == seen.out_of_plane_range_rad
    assert motion.swing_rad != work.design.motion.swing_rad
    push = max(case.size_n for case in motion.cases if case.push)
    assert push == pytest.approx(max(case.size_n for case in work.design.motion.cases if case.push))


def test_the_moving_pin_stands_as_far_beside_the_rod_as_the_study_draws_it() -> None:
    # from the job's own points: the drag link's balls and the moving pin, inches
    start, end, pin = (-42, 18.5, 20), (0, 20.5, 16), (-36, 21.75, 19.4375)
    line = [b - a for a, b in zip(start, end, strict=True)]
    apart = [b - a for a, b in zip(start, pin, strict=True)]
    square = [
        line[1] * apart[2] - line[2] * apart[1],
        line[2] * apart[0] - line[0] * apart[2],
        line[0] * apart[1] - line[1] * apart[0],
    ]
    beside_mm = 25.4 * math.hypot(*square) / math.hypot(*line)
    assert seat_of(work_of()).rail.inline_offset_mm == pytest.approx(beside_mm, abs=1e-9)
    here = 'pin = "study"                 # the moving pin as it is drawn below, so far beside the link\'s line\n'
    elsewhere = work_of(told(here, "", told("inline_offset = 3 ", 'inline_offset = "3 3/16" ')))
    (stop,) = stops(elsewhere.findings)
    assert stop.check == "bracket holds the pin where the study wants it"
    assert stop.demand == pytest.approx(3.1875 * 25.4 - beside_mm)
    assert stop.cure is not None
    assert [change.key for change in stop.cure.changes] == ["rod_end.mount.pin"]
    assert not rebuilt(elsewhere, changed(elsewhere.job, stop.cure.changes)).stopped


def test_a_stop_at_one_end_is_a_stop_of_both() -> None:
    thin = work_of(THIN)
    assert must_stop(of_seat(thin))
    assert not must_stop([f for f in thin.findings if f not in of_seat(thin)])
    assert thin.stopped
    weak = told('leg = "1/4"\n', 'leg = "1/16"\n')
    weak = work_of(told("[rod_end.eye]", '[rod_end.weld]\nleg = "1/4"\n[rod_end.eye]', weak))
    assert weak.stopped
    assert not must_stop(seat_of(weak).findings)
    assert seat_of(weak).stopped
    files = first_files(weak, solid=False).files
    for name in ("rod_end_tab_near.svg", "rod_end.html", "sheet.html", "cut_note.txt"):
        assert b"STOP" in files[name], name
    sheet = files["rod_end.html"].decode()
    status = re.search(r'role="status">([^<]*)', sheet)
    assert status is not None
    assert status[1].startswith("STOP: a check of the same job&#39;s other end fails")


def test_what_cures_the_seat_names_its_own_keys_and_cures() -> None:
    thin = work_of(THIN)
    tried = 0
    for stop in (f for f in stops(thin.findings) if f.cure is not None and f.cure.changes):
        assert stop.cure is not None
        assert all(change.key.startswith(("rod_end.", "rules.", "cylinder.")) for change in stop.cure.changes)
        after = rebuilt(thin, changed(thin.job, stop.cure.changes))
        assert stop.judged not in {f.judged for f in stops(after.findings)}, stop.judged
        tried += 1
    assert tried


def test_all_of_both_ends_is_delivered_under_one_revision() -> None:
    files = first_files(work_of(), solid=False).files
    plates = {"ear_near", "ear_far", "stop_pad", "rod_end_tab_near", "rod_end_tab_far", "rod_end_pad"}
    assert plates <= {name.removesuffix(".dxf") for name in files} & {name.removesuffix(".svg") for name in files}
    report = json.loads(files["report.json"])
    assert {plate["name"] for plate in report["plates"]} == plates
    assert {run["name"] for run in report["rod_end"]["welds"]} == {f"R{n}" for n in range(1, 7)}
    assert report["rod_end"]["steering"] is None
    assert len(report["findings"]) > len(report["rod_end"]["findings"]) > 50
    rows = list(csv.DictReader(io.StringIO(files["parts.csv"].decode())))
    assert {"pin", "rod end pin"} <= {row["item"] for row in rows}
    assert {row["file"].removesuffix(".dxf") for row in rows if row["what"] == "plate"} == plates
    stamps = {re.search(rb"inputs ([0-9a-f]{12})", files[name])[1] for name in ("cut_note.txt", "rod_end_pad.dxf")}
    assert len(stamps) == 1
    assert b"rod_end.html" in files["sheet.html"]


def test_revise_tells_of_the_seat_too() -> None:
    work = work_of()
    other = work_of(told('[rod_end.seat.pad]\nthickness = "5/16"', '[rod_end.seat.pad]\nthickness = "3/8"'))
    change = compare(work, other)
    kinds = {plate.name: plate.kind for plate in change.plates}
    assert kinds["ear_near"] == "unchanged"
    assert kinds["rod_end_pad"] == "cut again"
    assert welds_lost(work, other)
    frame = carry_through(work.job.replaced(rod_end=None), loaded_of(BOTH).traces)
    assert {p.name for p in compare(frame, work).plates if p.kind == "new"} == {
        "rod_end_tab_near", "rod_end_tab_far", "rod_end_pad",
    }  # fmt: skip
    assert {r.kind for r in compare(work, frame).runs if r.name.startswith("R")} == {"ground out"}


@pytest.mark.parametrize(
    ("old", "new", "right"),
    [
        ('across = "2 1/2"', "across = 3", "rod_end.seat.across: 3 in (3.000) here, and 2 1/2 in (2.500) at the steer"),
        ('wall = "5/16"\nsteel = "A513-5"', 'wall = "1/4"\nsteel = "A513-5"', "rod_end.rail.wall: "),
        ('style = "seat"', 'style = "ears"', 'rod_end.bracket.style: the rod\'s end is held by a seat; style = "seat"'),
        ('tube = "round"', 'tube = "round"\nalong = "pin"', "rod_end.seat.along: "),
        ('foot = ["1/2", "5 1/2"]', 'foot = ["1/2"]', "rod_end.mount.foot: a tube has no corner"),
    ],
)
def test_what_does_not_go_together_is_refused_by_its_own_key(old: str, new: str, right: str) -> None:
    with pytest.raises(Refusal) as refused:
        work_of(told(old, new))
    assert right in str(refused.value.in_units("in"))


def test_a_seats_own_job_has_no_second_seat() -> None:
    text = (PROFILES / "vineyard-drag-link-seat" / "job.toml").read_text(encoding="utf-8")
    seat = TEXT[TEXT.index("[rod_end.eye]") : TEXT.index("[steering]")]
    with pytest.raises(Refusal, match="rod_end: a seat holds the rod's end itself"):
        parse_job(f"{text}\n{seat}")


LEVER = """
[rod_end.eye]
pin = 25
eye_width = 25
eye_radius = 28
[rod_end.rail]
wall = 8
steel = "S355"
[rod_end.mount]
inline_offset = 95
pin_station = 150
[rod_end.bracket]
style = "seat"
plane = 0
thickness = 12
steel = "S355"
[rod_end.seat]
tube = "round"
across = 60
along = "pin"
made = "plain"
"""
"""A cross tube at the end of a lever, the tabs across it."""


def test_a_lever_is_seated_too_and_its_tube_is_compared_with_no_rod() -> None:
    loaded = loaded_of("bowser-leaf-axle")
    job = job_of(loaded.texts["job.toml"] + LEVER, loaded.texts.__getitem__).job
    work = carry_through(job, loaded.traces)
    swing = seat_of(work).design.motion
    assert swing.swing_from == "drawn"
    # the box's arm turns under the cylinder by more than the cylinder turns about its fixed pin
    low, high = swing.swing_rad
    assert high - low > math.radians(40)
    assert not [f for f in of_seat(work) if "where the study wants it" in f.check]
    assert {f.check for f in of_seat(work)} >= {"weld throat stress", "pin bending", "swing clearance"}


def test_revise_tells_of_every_run() -> None:
    # a pad has two runs on one side, and neither is left out
    work = work_of()
    told = [run.name for run in compare(work, work).runs]
    assert told == [run.name for end in work.ends for run in end.bracket.welds]


def test_a_tube_that_leans_is_the_same_rod_in_a_frame_that_is_turned() -> None:
    lean = math.radians(3.0)
    leaning = work_of(told('made = "plain"', 'made = "plain"\nlean = "3 deg"'))
    straight, turned = seat_of(work_of()), seat_of(leaning)
    assert turned.design.motion.swing_rad == pytest.approx([a + lean for a in straight.design.motion.swing_rad])
    assert turned.design.motion.skew_rad == pytest.approx(straight.design.motion.skew_rad)
    # the pin stays as far from the rod's line as the study draws it
    assert turned.rail.inline_offset_mm * math.cos(lean) == pytest.approx(straight.rail.inline_offset_mm)


def test_a_weld_run_of_the_seat_is_named_as_short_as_one_of_the_frame() -> None:
    """Its part was built again for the whole job and lost the run's own name: the sheet listed every run in full."""
    work = work_of()
    runs = {run.name for run in work.runs}
    named = {f.part.short for f in work.findings if f.part.names[:1] and f.part.names[0] in runs}
    assert named == runs
