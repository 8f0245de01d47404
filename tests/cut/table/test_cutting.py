"""A job's plates on their way to the cutting table: what the job asks is done, once, and is told."""

import dataclasses
import io
import math
import xml.etree.ElementTree as ET
from pathlib import Path

import ezdxf
import pytest

from plategen.cut.proof import proved_dxf
from plategen.cut.table.cutting import cut_file_name, cut_parts, laid_out, on_one_drawing, single_sheets
from plategen.cut.table.notes import cut_notes
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.cutting import Cutting, SheetStock
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.solid.clearance import Clearance
from plategen.tell.picture.sheet_layout import nest_pictures
from plategen.tell.report.cutting import cutting_report
from plategen.tell.sheet.cut_table import cut_table, cut_words
from plategen.tell.sheet.tables import barrel_words, clearance_table, welded_words
from plategen.work import Work
from tests.support.cut_examples import rectangle
from tests.support.example_work import example_work

SHOW = Show("in")


def asked(stock: SheetStock | None = None, count: int = 1, pin_fit: str = "close", **cutting) -> Work:
    work = example_work()
    bracket = work.job.bracket.replaced(pin_fit=pin_fit)
    job = work.job.replaced(cutting=Cutting(**cutting), sheet_stock=stock, bracket=bracket)
    plates = tuple(dataclasses.replace(plate, count=count) for plate in work.bracket.plates)
    design = dataclasses.replace(work.design, job=job)
    return dataclasses.replace(work, design=design, bracket=dataclasses.replace(work.bracket, plates=plates))


def test_plain_job_is_cut_at_finished_size() -> None:
    work = asked()
    for plate in work.bracket.plates:
        part = cut_parts(work)[plate.name]
        assert part.outside.contour == plate.outline
        assert part.outside.lead_in is None
    assert "finished size" in cut_words(cut_notes(work, cut_parts(work), laid_out(work, cut_parts(work))), SHOW)[0]


def test_kerf_and_leads_when_asked() -> None:
    work = asked(kerf_mm=1.5, compensate=True, lead_mm=6.0)
    for plate in work.bracket.plates:
        part = cut_parts(work)[plate.name]
        assert abs(part.outside.contour.area) > plate.outline.area
        assert part.outside.lead_in is not None
        assert plate.notch.distance(part.outside.lead_in.end) > 9.0 - 0.75
    notes = cut_notes(work, cut_parts(work), laid_out(work, cut_parts(work)))
    assert notes.compensated
    assert notes.led
    words = " ".join(cut_words(notes, SHOW))
    assert "switch the controller's own compensation off" in words
    assert "switch the controller's own leads off" in words
    assert notes.plates[0].pierces == 2


def test_corner_loops_only_with_compensation() -> None:
    looped = cut_parts(asked(kerf_mm=1.5, compensate=True, outer_corner="loop"))["ear_near"].outside.contour
    assert max(abs(math.degrees(s.sweep_rad)) for s in looped) > 180.0
    with pytest.raises(Refusal, match="loops need the path of the torch"):
        Cutting(outer_corner="loop", kerf_mm=1.5)


def test_a_reamed_hole_is_punched_or_cut_small_as_asked() -> None:
    work = asked(pin_fit="ream", ream_under_mm=3.0)
    drilled = tuple(
        dataclasses.replace(plate, holes=tuple(dataclasses.replace(hole, made="drill") for hole in plate.holes))
        for plate in work.bracket.plates
    )
    work = dataclasses.replace(work, bracket=dataclasses.replace(work.bracket, plates=drilled))
    part = cut_parts(work)["ear_near"]
    (cut,) = part.inside
    assert isinstance(cut.contour, Circle)
    assert cut.contour.radius == pytest.approx(drilled[0].holes[0].circle.radius - 1.5)
    assert not part.punch
    words = cut_words(cut_notes(work, cut_parts(work), laid_out(work, cut_parts(work))), SHOW)
    assert "ear near, ear far: cut under size, to be reamed: pin." in words
    plain = dataclasses.replace(work, design=dataclasses.replace(work.design, job=work.job.replaced(cutting=Cutting())))
    assert len(cut_parts(plain)["ear_near"].punch) == 1
    # too small to cut well: it stays a punch mark
    thick = dataclasses.replace(
        work,
        design=dataclasses.replace(
            work.design, job=work.job.replaced(cutting=Cutting(ream_under_mm=3.0, smallest_hole=2.0))
        ),
    )
    assert len(cut_parts(thick)["ear_near"].punch) == 1


def test_a_kerf_too_wide_names_plate_and_key() -> None:
    with pytest.raises(Refusal, match=r"ear near, with a kerf of|ear near is too narrow") as refused:
        cut_parts(asked(kerf_mm=40.0, compensate=True))
    assert refused.value.key == "cutting.kerf"
    assert refused.value.message.quantities[0].value == 40.0


def test_version_entities_and_file_name_follow_the_job() -> None:
    work = asked(dxf="R12", entities="lines and arcs")
    assert cut_file_name(work.job, "ear_near") == "ear_near_r12_in.dxf"
    text = proved_dxf(
        list(cut_parts(work).values())[:1], work.job.units, work.job.cutting.dxf, work.job.cutting.entities
    )
    drawing = ezdxf.read(io.StringIO(text))
    assert drawing.dxfversion == "AC1009"
    assert {e.dxftype() for e in drawing.modelspace().query('*[layer=="CUT-OUTSIDE"]')} == {"LINE", "ARC"}


def test_copies_are_laid_out_and_told() -> None:
    work = asked(SheetStock(length_mm=600.0, width_mm=500.0), count=3)
    parts = cut_parts(work)
    (group,) = laid_out(work, parts)
    assert len(group.parts) == 6
    assert group.layout is not None
    assert len(on_one_drawing([group])) == 6
    notes = cut_notes(work, parts, (group,))
    assert notes.groups[0].time.pierces == 12
    root = ET.fromstring(f"<g>{nest_pictures([group], SHOW)}</g>")
    assert len(root) == group.layout.sheets
    (layout,) = cutting_report(notes, SHOW).layout
    assert layout.sheets == group.layout.sheets
    assert 0.0 < layout.yield_share < 1.0
    assert cut_table(notes, SHOW).rows[0][0].words == "ear near"


def test_what_no_table_reaches_is_reported_in_words() -> None:
    work = asked(SheetStock(length_mm=600.0, width_mm=500.0))
    thick = tuple(dataclasses.replace(plate, thickness_mm=150.0) for plate in work.bracket.plates)
    work = dataclasses.replace(work, bracket=dataclasses.replace(work.bracket, plates=thick))
    parts = cut_parts(work)
    notes = cut_notes(work, parts, laid_out(work, parts))
    assert [q.value for q in notes.plates[0].source.quantities].count(150.0) == 2, "neither size nor edge is tabulated"
    report = cutting_report(notes, SHOW)
    assert report.sheets[0].minutes is None
    for words in (report.sheets[0].source, report.plates[0].source):
        assert SHOW.length(150.0) in words


def test_thicknesses_are_not_mixed_on_a_sheet() -> None:
    work = asked(SheetStock(length_mm=600.0, width_mm=500.0))
    first, second = work.bracket.plates
    thin = dataclasses.replace(second, thickness_mm=6.0)
    work = dataclasses.replace(work, bracket=dataclasses.replace(work.bracket, plates=(first, thin)))
    groups = laid_out(work, cut_parts(work))
    assert [group.thickness_mm for group in groups] == [first.thickness_mm, 6.0]
    placed = on_one_drawing(groups)
    assert placed[1].bounds[0] > 600.0


def test_a_plate_larger_than_the_sheet_is_refused() -> None:
    with pytest.raises(Refusal, match=r"sheet_stock: ear \w+ is .* does not fit"):
        laid_out(work := asked(SheetStock(length_mm=150.0, width_mm=150.0)), cut_parts(work))


def test_sheet_tells_room_barrel_and_weld_tolerance_in_the_jobs_units() -> None:
    work = example_work()
    told = [
        Clearance("ear_near", "eye", 0.79375, 0.0),
        Clearance("ear_near", "pin", 0.0, 0.0),
        Clearance("a", "b", 0, 9.0),
    ]
    cells = [row[2].words for row in clearance_table(told, SHOW).rows]
    assert cells[0].startswith("1/32 in")
    assert cells[1] == "touching"
    assert cells[2].startswith("OVERLAP")
    assert "2 1/2 in" in barrel_words(63.5, SHOW)
    words = welded_words(work.bracket, Show("mm"))
    assert "± 2.0 mm" in words
    assert "EN ISO 13920, class B" in words


def test_a_hole_whose_taper_takes_its_play_is_told_and_a_loose_one_is_not() -> None:
    work = asked(edge_range=4)
    parts = cut_parts(work)
    # the example's hole is the pin's own size: any lean is too much
    note = cut_notes(work, parts, laid_out(work, parts)).plates[0]
    assert note.tapered == ("pin",)
    (pin,) = work.bracket.plates[0].holes
    loose = dataclasses.replace(pin, bolt_mm=2 * pin.circle.radius - 2.1 * note.lean_mm)
    plates = tuple(dataclasses.replace(plate, holes=(loose,)) for plate in work.bracket.plates)
    work = dataclasses.replace(work, bracket=dataclasses.replace(work.bracket, plates=plates))
    notes = cut_notes(work, parts, laid_out(work, parts))
    assert notes.plates[0].tapered == ()
    assert not any(plate.unnamed for plate in notes.plates)


def test_a_plate_too_small_for_its_name_is_told() -> None:
    work = asked()
    small = dataclasses.replace(
        work.bracket.plates[0], outline=rectangle(30.0, 12.0), holes=(), notch=None, fit=None, marks=()
    )
    work = dataclasses.replace(work, bracket=dataclasses.replace(work.bracket, plates=(small,), welds=()))
    parts = cut_parts(work)
    words = cut_words(cut_notes(work, parts, laid_out(work, parts)), SHOW)
    assert "No room to scribe a name on ear near: mark by hand." in words


def test_a_table_holds_one_sheet_so_each_has_a_drawing_of_its_own() -> None:
    stock = SheetStock(length_mm=600.0, width_mm=500.0)
    work = asked(stock)
    parts = cut_parts(work)
    assert single_sheets(laid_out(work, parts)) == (), "plates is that sheet"
    near, far = work.bracket.plates
    thin = dataclasses.replace(work.bracket, plates=(near, dataclasses.replace(far, thickness_mm=6.0)))
    work = dataclasses.replace(work, bracket=thin)
    groups = laid_out(work, parts)
    found = single_sheets(groups)
    assert [(name, group.plates[0].name) for name, group, _ in found] == [
        ("plates_1", "ear_near"),
        ("plates_2", "ear_far"),
    ]
    for _, group, number in found:
        for part in group.placed(number):
            u0, v0, u1, v1 = part.bounds
            assert min(u0, v0) >= stock.margin_mm - 1e-6
            assert u1 <= stock.length_mm
            assert v1 <= stock.width_mm
    notes = cut_notes(work, parts, groups)
    assert [(file, t) for file, t, _ in notes.sheets] == [("plates_1.dxf", near.thickness_mm), ("plates_2.dxf", 6.0)]
    assert any("plates_2.dxf" in words for words in cut_words(notes, SHOW))


def test_the_yield_is_of_plates_not_of_what_the_torch_goes_round() -> None:
    stock = SheetStock(length_mm=900.0, width_mm=500.0)
    work = asked(stock, kerf_mm=3.0, compensate=True, outer_corner="loop")
    (group,) = laid_out(work, cut_parts(work))
    assert group.layout is not None
    area = sum(plate.area_mm2 for plate in work.bracket.plates)
    assert group.layout.yield_share == pytest.approx(area / (sum(group.layout.used_mm) * stock.width_mm))


def test_plates_nearer_than_the_kerf_are_refused() -> None:
    with pytest.raises(Refusal, match=r"sheet_stock\.spacing: .*cut into one another"):
        asked(SheetStock(length_mm=600.0, width_mm=500.0, spacing_mm=1.0), kerf_mm=1.5)


def test_no_example_has_an_edge_that_kerf_makes_too_short() -> None:
    for profile in sorted((Path(__file__).parents[3] / "profiles").glob("*/job.toml")):
        loaded = load_job(profile)
        cutting = loaded.job.cutting.replaced(kerf_mm=1.6, compensate=True, lead_mm=6.0)
        work = carry_through(loaded.job.replaced(cutting=cutting), loaded.traces)
        for part in cut_parts(work).values():
            edges = [s for cut in part.cuts if isinstance(cut.contour, Loop) for s in cut.contour]
            # the lead meets an edge at its middle
            assert min(s.length for s in edges) >= SHORTEST_EDGE_MM / 2
