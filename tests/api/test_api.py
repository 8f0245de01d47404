"""The public face: what a script of a few lines can do, held against general-purpose reference libraries."""

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

import plategen
from plategen.delivery.deliver import first_files

ROOT = Path(__file__).parents[2]
KICKED = ROOT / "profiles" / "sprayer-kicked-rail"

TABLES = {
    "title": "Tipper gate",
    "units": "mm",
    "rail": {"wall": 10, "steel": "S355", "trace": [{"file": "rail.csv", "plane": 0}]},
    "cylinder": {
        "bore": 50, "rod": 28, "stroke": 150, "closed_length": 355, "body_diameter": 60, "pressure": "160 bar",
        "base": {"pin": 25, "eye_width": 20, "eye_radius": 28},
    },
    "mount": {"inline_offset": 40, "pin_station": 150, "foot": [50, 250]},
    "bracket": {"style": "ears", "plane": 0, "thickness": 12, "steel": "S355"},
    "weld": {"leg": 6, "electrode": "G42"},
    "rules": {"set": "en-1993"},
}  # fmt: skip
RAIL = np.array([(station, 40 + station / 8) for station in range(0, 320, 20)])


@pytest.fixture(scope="module")
def bracket() -> plategen.Bracket:
    return plategen.read(KICKED).make()


@pytest.mark.parametrize("name", ["quarry-screen-corner", "quarry-clamped-seat", "forestry-bolted-channel"])
def test_a_plate_is_the_same_in_other_libraries(name: str) -> None:
    for plate in plategen.read(ROOT / "profiles" / name).make().plates:
        polygon = plate.to_shapely()
        assert polygon.is_valid
        assert polygon.area == pytest.approx(plate.area_mm2, rel=2e-3)
        drawing = plate.to_ezdxf()
        assert not drawing.audit().errors
        assert plate._repr_svg_().startswith("<svg")
        origin = plate.placement @ np.array([0, 0, 0, 1])
        assert origin[:3] == pytest.approx(plate.plate.placement.origin)
        assert np.linalg.det(plate.placement[:3, :3]) == pytest.approx(1.0)


def test_a_dict_is_judged_as_its_file_is(tmp_path: Path) -> None:
    """The same words from a folder, from its tables and from its text: one answer."""
    import tomllib

    tables = tomllib.loads((KICKED / "job.toml").read_text())
    texts = {file.name: file.read_text() for file in KICKED.glob("*.csv")}
    from_file, from_tables = plategen.read(str(KICKED)).make(), plategen.read(tables, texts).make()
    assert from_file.judge() == from_tables.judge()
    assert first_files(from_file.work, solid=False).files == first_files(from_tables.work, solid=False).files


def test_arrays_are_readings_in_the_jobs_units() -> None:
    text = "station,offset\n" + "".join(f"{a},{b}\n" for a, b in RAIL.tolist())
    by_array, by_text = plategen.read(TABLES, {"rail.csv": RAIL}), plategen.read(TABLES, {"rail.csv": text})
    assert by_array.loaded.traces == by_text.loaded.traces
    assert by_array.design() == by_array.make().work.design


def test_what_is_wrong_is_refused_in_one_line() -> None:
    for tables, traces, words in [
        (TABLES, None, "rail.csv: is not among the traces given; they are none"),
        (TABLES, {"rail.csv": RAIL[:, 0]}, r"rail.csv: has the shape \(16,\)"),
        ({**TABLES, "units": "cm"}, {"rail.csv": RAIL}, "job.toml: units"),
        ({**TABLES, "title": object()}, {"rail.csv": RAIL}, "title: is of type object"),
    ]:
        with pytest.raises(plategen.Refusal, match=words) as refused:
            plategen.read(tables, traces)
        assert "\n" not in str(refused.value)


def test_a_change_is_a_job_of_its_own() -> None:
    job = plategen.read(TABLES, {"rail.csv": RAIL})
    thick = job.changed({"bracket.thickness": 16, "weld.leg": 8})
    assert [plate.thickness_mm for plate in thick.make().plates] == [16.0, 16.0]
    assert job.make().plates[0].thickness_mm == 12.0
    with pytest.raises(plategen.Refusal, match=r"weld\.legs"):
        job.changed({"weld.legs": 8})


def test_the_verdict_says_what_was_not_covered(bracket: plategen.Bracket) -> None:
    assert bracket.headline == bracket.report().headline
    assert bracket.not_covered == bracket.report().not_covered
    assert bracket.stopped is any(f.verdict == "stop" and not f.opinion for f in bracket.judge())
    assert bracket.cautions


def test_a_delivery_and_its_plate_tried_again(bracket: plategen.Bracket, tmp_path: Path) -> None:
    delivered = bracket.deliver(tmp_path / "out", solid=False)
    names = [file.name for file in delivered.files]
    assert "sheet.html" in names
    assert bracket.trim(tmp_path / "out" / f"{bracket.plates[0].name}.dxf").verdict == "fits"


@pytest.mark.usefixtures("kernel")
def test_a_script_goes_from_a_dict_to_an_assembly_with_a_part_of_its_own() -> None:
    """Fifteen lines, as someone would type them into a notebook."""
    script = f"""
import cadquery as cq
import numpy as np
import plategen

job = plategen.read({TABLES!r}, {{"rail.csv": np.array({RAIL.tolist()!r})}})
bracket = job.make()
assembly = bracket.assembly()
pin = bracket.work.bracket.pin.centre
guard = cq.Workplane("XY", origin=(pin[0], pin[1], pin[2])).box(120, 120, 80)
fitted = guard
for plate in bracket.plates:
    placed = assembly.objects[plate.name]
    fitted = fitted.cut(cq.Workplane(placed.obj.moved(placed.loc)))
assembly.add(fitted, name="guard", color=cq.Color(0.9, 0.8, 0.1))
assembly.constrain("guard", "Fixed").solve()
print(guard.val().Volume(), fitted.val().Volume(), len(assembly.objects))
for plate in bracket.plates:
    print(*assembly.objects[plate.name].loc.toTuple()[0], *plate.plate.placement.origin)
"""
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True, cwd=ROOT)
    first, *places = [[float(x) for x in line.split()] for line in done.stdout.splitlines() if line[0] in "-0123456789"]
    assert first[1] < first[0] - 1000, "the guard was cut by the plates"
    assert first[2] == 1 + 2 + 3 + 1, "the whole, two ears, rail, cylinder and pin, and the guard"
    for row in places:
        assert row[:3] == pytest.approx(row[3:], abs=1e-6), "solving leaves the plates where they stand"


def test_the_package_alone_loads_nothing() -> None:
    code = "import sys, plategen; print(*(m for m in sys.modules if m.startswith(('numpy', 'plategen.'))))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True, cwd=ROOT)
    assert done.stdout.split() == []


def test_only_what_is_exported_is_public() -> None:
    assert {name for name in plategen.__all__ if not hasattr(plategen, name)} == set()
    with pytest.raises(AttributeError):
        plategen.nothing  # noqa: B018
