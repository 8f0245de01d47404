"""What is fuzzed: each target takes any bytes, and either makes a sound value of them or refuses them in one line."""

import io
import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import msgspec

from plategen.cut.table.cutting import plate_dxf
from plategen.delivery.folder import Plan, is_file_name, plan_of
from plategen.delivery.record import record_bytes, record_of
from plategen.delivery.render import Source
from plategen.ground import quantity
from plategen.ground.refusal import Refusal
from plategen.ground.stamp import Stamp
from plategen.ground.unit import Units
from plategen.job.fit_notes import read_fit_notes
from plategen.job.load import read_traces, with_notes
from plategen.job.parse import parse_job, parse_steering
from plategen.make import carry_through
from plategen.photo.picture import FEWEST_PIXELS
from plategen.photo.read import photographed, sighted, trace_of
from plategen.rail.reading import read_trace
from plategen.revision.dxf_open import open_plate
from plategen.tell.report.encode import json_text
from plategen.tell.report.job import job_report
from tests.support.every_example import work_of

ROOT = Path(__file__).parents[2]
KINDS = tuple(value for value in vars(quantity).values() if isinstance(value, quantity.Kind))
LONGEST_LINE = 1000
UNITS: tuple[Units, ...] = ("in", "mm")

Target = Callable[[bytes], None]


def one_line(refusal: Refusal) -> None:
    """Hold a refusal to what a user can read: one line, not endless, saying something."""
    line = str(refusal)
    assert line.strip()
    assert len(line) <= LONGEST_LINE, line
    assert line.isprintable(), repr(line)


def as_read(data: bytes) -> str | None:
    """A file's bytes as the program decodes them from the disk; None where it would refuse them."""
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        return None


def a_quantity(data: bytes) -> None:
    """Text as a quantity of every kind, in both units."""
    text = data.decode("utf-8", "replace")
    for kind in KINDS:
        for units in UNITS:
            try:
                number = kind.read(text, units if kind is quantity.LENGTH else "")
            except Refusal as refusal:
                one_line(refusal)
            else:
                assert math.isfinite(number)


def a_trace(data: bytes) -> None:
    """Text as a trace."""
    if (text := as_read(data)) is None:
        return
    try:
        trace = read_trace(text, "rail.csv", UNITS[len(data) % 2])
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert len(trace.readings) >= 3
        assert all(math.isfinite(r.point.real) and math.isfinite(r.point.imag) for r in trace.readings)


def a_job(data: bytes) -> None:
    """Text as a job, and as the steering part of one."""
    if (text := as_read(data)) is None:
        return
    for parse in (parse_job, parse_steering):
        try:
            parse(text)
        except Refusal as refusal:
            one_line(refusal)


def a_drawing(data: bytes) -> None:
    """Bytes as a drawing of a plate."""
    try:
        plate = open_plate(data)
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert plate.outline.area > 0.0
        assert math.isfinite(plate.outline.area)


def fit_notes(data: bytes) -> None:
    """Text as a file of fit notes."""
    if (text := as_read(data)) is None:
        return
    try:
        notes = read_fit_notes(text, "fit_notes.csv", UNITS[len(data) % 2])
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert all(math.isfinite(note.gap_mm) for note in notes)


def kept_state(data: bytes) -> None:
    """Bytes as what the program keeps in a folder: the plan of a delivery under way, and the record of one, with all
    that is made from it."""
    try:
        plan = plan_of(data, Path("plan.json"))
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert all(map(is_file_name, (*plan.new, *plan.old)))
    try:
        record = record_of(data, Path("revision.json"))
        assert all(map(is_file_name, record.files))
        job, traces = record.job()
        carry_through(job, traces)
    except Refusal as refusal:
        one_line(refusal)


def a_photograph(data: bytes) -> None:
    """Bytes as a photograph of a pattern, read to its trace."""
    try:
        seen = photographed([sighted(data, "front.jpg")], 3.0)
        read = trace_of(seen, "in")
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert math.isfinite(read.read_error_mm)
        assert read.read_error_mm > 0.0


def a_whole_job(data: bytes) -> None:
    """A job file and its traces in one text, carried through to the report and every plate's drawing."""
    if (text := as_read(data)) is None:
        return
    job_text, *rest = text.split(FOLDS)
    files = dict(one.partition("\n")[::2] for one in rest)

    def text_of(name: str) -> str:
        if name not in files:
            raise Refusal("there is no such file", name)
        return files[name]

    try:
        job = parse_job(job_text)
        traces = read_traces(job, text_of)
        work = carry_through(with_notes(job, text_of), traces)
        json_text(job_report(work))
        for plate in work.bracket.plates:
            plate_dxf(plate, job.units, work.bracket.welds)
    except Refusal as refusal:
        one_line(refusal)
    else:
        assert all(not math.isnan(finding.ratio) for finding in work.findings)


FOLDS = "\n\x1c"
"""Between a job file and each of its traces, which begins with its file's name and a line's end."""

TARGETS: dict[str, Target] = {
    "quantity": a_quantity,
    "trace": a_trace,
    "job": a_job,
    "dxf": a_drawing,
    "notes": fit_notes,
    "state": kept_state,
    "photo": a_photograph,
    "whole": a_whole_job,
}

_SHOP_NOTATION = (
    "1 3/8", "1-3/8", '4.125"', "2 ft 3 1/2 in", "5'-6 1/4\"", "35 mm", "1500 psi", "10 MPa", "7 1/2 deg", "1200 lbf",
    "40 lbf-ft", "55 N*m", "4 gpm", "2.5 s", "24 in³", "180 lb", "½", "1¾ in", "3⁄8", "-1/32", "+.5", "1e3 mm",
)  # fmt: skip


def seeds(name: str) -> list[bytes]:
    """Right inputs to begin from: the examples, and for drawings plates of our own and of other hands."""
    match name:
        case "quantity":
            return [text.encode() for text in _SHOP_NOTATION]
        case "trace":
            return [path.read_bytes() for path in sorted((ROOT / "profiles").glob("*/*.csv"))]
        case "job":
            return [path.read_bytes() for path in sorted((ROOT / "profiles").glob("*/job.toml"))]
        case "notes":
            return [path.read_bytes() for path in sorted((ROOT / "profiles").glob("*/fit_notes.csv"))]
        case "state":
            return _states()
        case "photo":
            return _photographs()
        case "whole":
            return [_folder(path) for path in sorted((ROOT / "profiles").iterdir()) if path.is_dir()]
        case _:
            return _drawings()


def _states() -> list[bytes]:
    work = work_of("quarry-straight-rail")
    source = Source(replace(work, stamp=Stamp("B", "3f9a12bc4d5e77")), "letter", solid=False)
    plan = Plan(new=["ear_near.dxf", "sheet.html"], old=["ear_near.dxf"], kept="A")
    return [record_bytes(source), msgspec.json.encode(plan)]


def _photographs() -> list[bytes]:
    """The example's photograph, made as small as one may be and, so that it is read, no smaller."""
    from PIL import Image

    image = Image.open(ROOT / "profiles" / "skidder-photographed-rail" / "front.jpg")
    scale = math.sqrt(1.05 * FEWEST_PIXELS / (image.width * image.height))
    made = io.BytesIO()
    image.resize((round(scale * image.width), round(scale * image.height))).save(made, "JPEG", quality=75)
    return [made.getvalue()]


def _folder(path: Path) -> bytes:
    traces = (f"{trace.name}\n{trace.read_text()}" for trace in sorted(path.glob("*.csv")))
    return FOLDS.join([(path / "job.toml").read_text(), *traces]).encode()


def _drawings() -> list[bytes]:
    import ezdxf

    found = []
    for version in ("R12", "R2000"):
        document = ezdxf.new(version, units=1)
        space = document.modelspace()
        corners = [(0, 0, 0, 0, 0.2), (9, 0), (9, 5, 0, 0, -0.3), (0, 5)]
        if version == "R12":
            space.add_polyline2d([c[:2] for c in corners], close=True)
            space.add_line((1, 1), (2, 1))
        else:
            space.add_lwpolyline(corners, close=True)
            space.add_spline([(1, 1), (2, 2), (3, 1)])
            space.add_ellipse((4, 2), (1, 0), 0.5)
        space.add_circle((6, 2), 0.5)
        space.add_arc((2, 3), 0.5, 10, 200)
        text = io.StringIO()
        document.write(text)
        found.append(text.getvalue().encode())
    return [*found, *map(only_entities, found)]


def only_entities(data: bytes) -> bytes:
    """The drawing without its tables: mutations then fall on what is drawn."""
    start = data.index(b"  2\nENTITIES") if b"  2\nENTITIES" in data else 0
    end = data.index(b"  0\nENDSEC", start)
    return b"  0\nSECTION\n" + data[start:end] + b"  0\nENDSEC\n  0\nEOF\n"
