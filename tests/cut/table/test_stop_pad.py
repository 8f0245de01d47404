"""The stop pad that a steering asks for: cut, listed, laid out and delivered like any plate."""

from pathlib import Path

import ezdxf
import pytest

from plategen.cut.table.cutting import cut_parts
from plategen.delivery.deliver import first_files
from plategen.ground.refusal import Refusal
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.work import Work

FOLDER = Path(__file__).parents[3] / "profiles" / "orchard-sprayer-steering"


def work_of(**pad: object) -> Work:
    loaded = load_job(FOLDER)
    steering = loaded.job.steering
    assert steering is not None
    assert steering.stops is not None
    assert steering.stops.pad is not None
    stops = steering.stops.replaced(pad=steering.stops.pad.replaced(**pad))
    return carry_through(loaded.job.replaced(steering=steering.replaced(stops=stops)), loaded.traces)


def test_it_is_a_file_of_its_own_and_twice_on_the_whole_drawing(tmp_path: Path) -> None:
    work = work_of()
    files = first_files(work, solid=False).files
    for name, pads in (("stop_pad.dxf", 1), ("plates.dxf", 2)):
        file = tmp_path / name
        file.write_bytes(files[name])
        drawing = ezdxf.readfile(file)
        assert drawing.header["$INSUNITS"] == 1
        holes = [e for e in drawing.modelspace().query("CIRCLE") if e.dxf.radius == pytest.approx(9 / 32)]
        assert len(holes) == pads
    outline = next(
        iter(ezdxf.readfile(tmp_path / "stop_pad.dxf").modelspace().query("LWPOLYLINE[layer=='CUT-OUTSIDE']"))
    )
    assert outline.closed
    xs, ys = ([p[k] for p in outline.get_points("xy")] for k in (0, 1))
    assert (max(xs) - min(xs), max(ys) - min(ys)) == pytest.approx((2.0, 3.0))
    report = files["report.json"].decode()
    assert '"stop_pad"' in report
    assert '"stop_pad.dxf"' in report
    assert "stop pad" in files["sheet.html"].decode()


def test_a_small_hole_is_punched_and_kerf_is_allowed_for() -> None:
    part = cut_parts(work_of(hole_mm=6.0, bolt_mm=None))["stop_pad"]
    assert (len(part.punch), len(part.inside)) == (1, 0)
    work = work_of()
    wide = cut_parts(work)["stop_pad"].outside.contour.bounds
    loaded = work.job.replaced(cutting=work.job.cutting.replaced(compensate=True, kerf_mm=2.0))
    grown = cut_parts(carry_through(loaded, load_job(FOLDER).traces))["stop_pad"].outside.contour.bounds
    assert grown[2] - wide[2] == pytest.approx(1.0)


def test_no_bracket_check_looks_at_it_and_its_own_edge_distance_is_judged() -> None:
    work = work_of(hole_mm=25.4, bolt_mm=25.4)
    about = [f for f in work.findings if f.part.words == "stop_pad"]
    assert [(f.check, f.verdict) for f in about] == [("edge distance of the stop pad's hole", "stop")]
    assert [plate.name for plate in work.bracket.plates] == ["ear_near", "ear_far"]


def test_a_pad_that_no_table_can_cut_is_refused() -> None:
    with pytest.raises(Refusal, match="too short to cut"):
        cut_parts(work_of(corner_radius_mm=0.02))


def test_a_steel_that_is_not_known_is_refused_by_its_key() -> None:
    with pytest.raises(Refusal, match=r"steering\.stops\.pad\.steel: .*cheese"):
        work_of(steel="cheese")
    assert work_of(steel="A572-50").loose[0].steel == "A572-50"
