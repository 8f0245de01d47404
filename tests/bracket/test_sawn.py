"""Plates for a saw and a drill, and for a torch led by hand, of every style, against shapely."""

import functools

import msgspec
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from plategen.bracket.sawn import OFF_RAIL_MM, OVER_MM, sawn_edge
from plategen.cut.by_hand import CORNER_DRILL_MM, LEAVE_MM, drilled_corners, torch_line_mm
from plategen.cut.table.cutting import cut_parts, laid_out
from plategen.cut.table.notes import cut_notes
from plategen.flat.chain import Chain
from plategen.flat.loop import Contour
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal
from plategen.job.cutting import BY_HAND, Cutting, Process
from plategen.job.parse import parse_table
from plategen.make import carry_through
from plategen.work import Work
from tests.support.every_example import EXAMPLES, loaded_of, work_of


@functools.cache
def made_with(name: str, process: Process) -> Work:
    loaded = loaded_of(name)
    cutting = msgspec.structs.replace(loaded.job.cutting, process=process, compensate=False, lead_mm=0.0)
    return carry_through(loaded.job.replaced(cutting=cutting), loaded.traces)


def region(contour: Contour) -> shapely.Polygon:
    """The inside of a contour, by 64 chords an arc."""
    points = [s.point(k / 64) for s in contour.segments for k in range(64)]
    return shapely.Polygon([(p.real, p.imag) for p in points])


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_sawn_plate_is_straight_but_for_what_is_drilled(name: str) -> None:
    work = made_with(name, "saw and drill")
    for plate in work.cut_plates:
        drilled = drilled_corners(work.job, plate)
        for edge in (edge for loop in (plate.outline, *plate.openings) for edge in loop if isinstance(edge, Arc)):
            assert any(abs(circle.centre - edge.centre) < 1e-6 for circle in drilled), plate.name
        waste = region(plate.outline)
        for circle in drilled:  # a drill takes nothing of the plate
            beside = region(circle).intersection(waste.difference(shapely.union_all([*map(region, plate.openings)])))
            assert beside.area < 0.01 * circle.area, (plate.name, circle)


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_sawn_plate_gains_steel_outside_its_notch_and_goes_nowhere_into_the_rail(name: str) -> None:
    for old, new in zip(work_of(name).cut_plates, made_with(name, "saw and drill").cut_plates, strict=True):
        lost = region(old.outline).difference(region(new.outline))
        if old.notch is None:
            assert lost.area < 1e-3 * old.area_mm2  # the chords of shapely's own arcs
        else:
            notch = shapely.LineString(
                [(p.real, p.imag) for e in old.notch for p in (e.point(k / 8) for k in range(9))]
            )
            assert lost.difference(notch.buffer(2.0 * OFF_RAIL_MM)).area < 1e-3 * old.area_mm2
        assert region(new.outline).difference(region(old.outline).buffer(OVER_MM + 0.01)).area < 1e-3 * old.area_mm2
        assert new.fit is None or new.fit.overlap_mm <= 0.02


@given(st.floats(2.0, 500.0), st.floats(0.02, 2.0), st.booleans())
def test_a_notch_is_cut_to_the_free_side_of_a_bend_and_stands_little_off_it(
    radius: float, turn: float, left: bool
) -> None:
    bend = Arc.about(0j, radius, 0.3, turn if left else -turn)
    lines = sawn_edge(Chain((bend,)))
    assert all(isinstance(edge, Line) for edge in lines)
    for edge in lines:
        for k in range(33):
            off = abs(edge.point(k / 32)) - radius  # of a bend that turns left the free side is the outer one
            free = off if left else -off
            assert -1e-9 <= free <= OFF_RAIL_MM + 1e-9 or bend.length < 4.0  # a bend shorter than two cuts is one


@pytest.mark.parametrize("process", sorted(BY_HAND))
def test_every_hole_is_drilled_by_hand_and_punched_in_the_files(process: Process) -> None:
    work = made_with("forwarder-split-mount", process)
    assert {hole.made for plate in work.cut_plates for hole in plate.holes} == {"drill"}
    for plate in work.cut_plates:
        assert len(cut_parts(work)[plate.name].punch) == len(plate.holes)
    assert {hole.made for plate in work_of("forwarder-split-mount").cut_plates for hole in plate.holes} == {"cut"}


def test_a_hand_torch_runs_in_a_line_as_wide_as_its_cut_and_what_is_ground_off() -> None:
    work = made_with("sprayer-kicked-rail", "hand torch")
    plate = work.cut_plates[0]
    kerf = work.job.cutting.kerf_mm
    assert kerf > 0.0
    assert torch_line_mm(work.job, plate) == pytest.approx(kerf + LEAVE_MM)
    assert torch_line_mm(work_of("sprayer-kicked-rail").job, plate) == 0.0


def test_no_standard_speaks_for_an_edge_that_is_led_by_hand() -> None:
    work = made_with("quarry-screen-corner", "saw and drill")
    parts = cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    assert all(note.size_mm is None and note.lean_mm is None and note.pierces == 0 for note in notes.plates)
    assert any(note.drilled_corners for note in notes.plates)
    # a drill of radius r leaves r (1 / cos 45 deg - 1) in a square inner corner, and less in a flatter one
    square = CORNER_DRILL_MM["mm"] / 2 * (2**0.5 - 1.0)
    assert max(note.left_in_corners_mm for note in notes.plates) <= square + 0.01


@pytest.mark.parametrize("key", ["compensate", "lead", "ream_under"])
@pytest.mark.parametrize("process", sorted(BY_HAND))
def test_what_only_a_table_does_is_refused(process: Process, key: str) -> None:
    with pytest.raises(Refusal, match=f'no file moves a {process}.* leave "{key}" out'):
        parse_table(Cutting, {"process": process, "kerf": "1/16", key: True if key == "compensate" else "1/8"}, "in")
