"""Where a job's measures begin says nothing of the bracket, nor does what was seen to be right: laws on random jobs.

Station 0 and the straightedge are set where they come to hand; a gap of nothing is no news; a plate that was made fits;
a job made anew changes nothing.
"""

import os
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from plategen.cut.table.cutting import plate_dxf
from plategen.job import Job
from plategen.job.revision import FitNote, Revision
from plategen.rail.trace import Trace
from plategen.revision.compare import compare
from plategen.revision.dxf_open import open_plate
from plategen.revision.trim import trim
from plategen.work import Work
from tests.support.fitted import carried
from tests.support.random_jobs import RandomJob, built
from tests.test_same_job import NEARLY, assert_the_same

CASES = int(os.environ.get("PLATEGEN_CASES", "100"))
"""Random jobs; 2,000 before a release."""

BETTER_KNOWN = {"bind to expect", "gap to expect", "rail as traced, between readings"}
"""Of what a note confirms less is to be expected; the plates stay as they are."""

STEP_MM = 1270.0
"""Whole sixteenths of an inch and whole millimetres, to which rules choose."""


@cache
def jobs() -> tuple[tuple[RandomJob, Work], ...]:
    return tuple(built(47, CASES))


def on_a_rail() -> list[tuple[RandomJob, Work]]:
    """Jobs whose plates stand on a traced rail and whose pin is told in the straightedge's frame alone."""
    return [
        (given, work) for given, work in jobs() if given.traces and not given.job.steering and not given.job.revision
    ]


def moved_trace(trace: Trace, by: complex) -> Trace:
    bend = trace.bend and replace(
        trace.bend,
        beside=tuple(p + by for p in trace.bend.beside),
        point=None if trace.bend.point is None else trace.bend.point + by,
    )
    readings = tuple(replace(reading, point=reading.point + by) for reading in trace.readings)
    return replace(trace, readings=readings, bend=bend, noted=tuple(p + by for p in trace.noted))


def moved(job: Job, by: complex) -> Job:
    """The job with its straightedge set elsewhere; the cylinder's line is told on the side away from the rail."""
    along, off = -0.0 + by.real, -0.0 + by.imag
    mount, bolted, split, gusset = job.mount, job.bolted, job.split, job.gusset
    foot = None if mount.foot_mm is None else tuple(station + along for station in mount.foot_mm)
    entries = []
    for entry in job.rail.trace:
        second = entry.second
        if second is not None:
            at, point = second.at_mm, second.bend_point_mm
            second = second.replaced(at_mm=(at[0] + along, at[1] + off))
            if point is not None:
                second = second.replaced(bend_point_mm=(point[0] + along, point[1] + off))
        entries.append(entry.replaced(second=second))
    features = tuple(each.replaced(station_mm=each.station_mm + along) for each in job.rail.feature)
    return job.replaced(
        rail=job.rail.replaced(trace=tuple(entries), feature=features),
        mount=mount.replaced(
            pin_station_mm=mount.pin_station_mm + along, inline_offset_mm=mount.inline_offset_mm - off, foot_mm=foot
        ),
        bolted=bolted and _station(bolted, along),
        gusset=gusset and _station(gusset, along),
        split=split and _station(split, along).replaced(built_for_mm=split.built_for_mm - off),
    )


def _station(table: object, along: float) -> object:
    return table if table.station_mm is None else table.replaced(station_mm=table.station_mm + along)


@pytest.mark.parametrize("by", [STEP_MM, STEP_MM * 1j], ids=["station 0 elsewhere", "the straightedge farther off"])
def test_where_the_straightedge_lies_says_nothing(by: complex) -> None:
    count = 0
    for given, work in on_a_rail():
        traces = tuple(moved_trace(trace, by) for trace in given.traces)
        assert_the_same(work, carried(moved(given.job, by), traces), given.style, NEARLY)
        count += 1
    assert count > CASES // 3


def test_gaps_of_nothing_change_nothing() -> None:
    count = 0
    for given, work in on_a_rail():
        notes = tuple(noted_as_right(work))
        if not notes or given.job.rail.tilt_rad or given.job.rail.turn_rad:
            continue  # no plate to note, or out of the trace's plane, where notes are refused
        job = given.job.replaced(revision=Revision(fit_note=notes))
        change = compare(work, carried(job, given.traces))
        assert {plate.kind for plate in change.plates} == {"unchanged"}, given.style
        assert {run.kind for run in change.runs} == {"kept"}, given.style
        for found in change.findings:
            assert found.check in BETTER_KNOWN, given.style
            assert found.better or found.now is None or found.now.verdict == "ok", (given.style, found)
        count += 1
    assert count > CASES // 6


def noted_as_right(work: Work) -> Iterator[FitNote]:
    """No gap at three stations of every plate on the rail; of the first where one trace was read, of which the notes of
    two plates would make two, which are then asked whether they are alike."""
    plates = [plate.name for plate in work.bracket.plates if plate.notch is not None and plate.pin_hole is not None]
    for name in plates if len(work.traces) > 1 else plates[:1]:
        for run in [run for run in work.bracket.welds if run.plate == name and run.joint == "rail"][:1]:
            a, b = sorted((run.path.start.real, run.path.end.real))
            for share in (0.2, 0.5, 0.8):
                yield FitNote(plate=name, station_mm=a + share * (b - a), gap_mm=0.0)


def test_a_plate_that_was_made_fits() -> None:
    count = 0
    for given, work in jobs():
        for plate in work.bracket.plates:
            across = abs(plate.placement.normal[2]) < 1.0 - 1e-9
            if plate.pin_hole is None or plate.notch is None or across or work.bracket.folded is not None:
                continue  # it stands on a tube, on bolts, or across the pin, or is bent of one plate with others
            opened = open_plate(plate_dxf(plate, work.job.units, work.bracket.welds).encode())
            answer = trim(work, opened, name=plate.name)
            assert answer.verdict == "fits", (given.style, plate.name)
            count += 1
    assert count > CASES // 3


def test_a_job_made_anew_changes_nothing() -> None:
    for given, work in jobs():
        change = compare(work, carried(given.job, given.traces))
        assert change.nothing, given.style
        assert not change.inputs, given.style
