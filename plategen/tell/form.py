"""The blank form that a job is measured with: on a clipboard, in the order in which the job file asks.

A picture of each measurement comes first, then a line for each number with the key that takes it and room to write.
The order is the starter's: one goes down both together.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import get_args

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from plategen import __version__
from plategen.ground.show import Show
from plategen.ground.unit import INCH_MM, Units
from plategen.job.job import Job
from plategen.job.quantities import Table
from plategen.job.rail import TraceEntry
from plategen.job.schema import Field, allowed_of, choices_of, fields, one_of, table_of
from plategen.tell.form_picture import cylinder_picture, end_picture, planes_picture, set_up_picture
from plategen.tell.form_picture_part import foot_picture, seat_picture, section_picture, tube_picture
from plategen.tell.picture.drafter import style
from plategen.tell.picture.plate_station import numbered
from plategen.tell.steering.form import HOW, form_blocks, form_pictures
from plategen.tell.steering.section import css
from plategen.tell.table import Block

STEP_MM = {"in": float(INCH_MM) / 2.0, "mm": 20.0}
"""From station to station where the job has no readings yet: close enough that no usual bend falls between two."""

BEYOND = 2
"""Steps that are read beyond each end of the foot."""

USUAL_FOOT_MM = (0.0, 330.0)
"""Stations that are read where the job tells no foot."""

RAIL: tuple[str, str, tuple[str, ...]] = ("rail", "The rail", ("wall", "steel"))
"""What is asked of every rail: its table, a title, its keys."""

TUBE_WALL = "The wall of the tube"
"""The title of the same where a bracket stands on a tube."""

FACE = ("section", "face", "face_from", "face_to", "plates_lie")
"""What is asked besides of a rail that is traced."""

ASKED: tuple[tuple[str, str, tuple[str, ...]], ...] = (
    ("cylinder", "The cylinder", ("bore", "rod", "stroke", "closed_length", "body_diameter", "pressure")),
    ("cylinder.base", "The end that this bracket holds", ("kind", "pin", "eye_width", "eye_radius")),
    ("mount", "Where the pin goes", ("inline_offset", "pin_station", "front", "foot")),
)
"""What is asked of every job after its rail and traces, in the starter's order."""

TUBE_ASKED = ("seat", "The tube", ("tube", "across", "corner", "made", "along", "axis"))
"""What is asked at last where a bracket stands on a tube."""

ROD_END_ASKED = (
    ("rod_end.eye", "The end that is seated on the rod", ("kind", "pin", "eye_width", "eye_radius")),
    ("rod_end.rail", f"{TUBE_WALL} at the rod's end", ("wall", "steel")),
    ("rod_end.mount", "Where the pin goes at the rod's end", ("inline_offset", "pin_station", "foot")),
    ("rod_end.seat", "The tube at the rod's end", TUBE_ASKED[2]),
)
"""What is asked besides where the job has the seat at the rod's end as well."""

ENDS = ("cylinder.base", "rod_end.eye")
"""The tables of a cylinder's end, beside which the kinds of end are drawn."""

BEFORE = (
    "Machine level on hard ground, engine off, pressure let out. Wipe the rail; scrape paint and spatter off where the "
    "rule will stand.",
    "Every number twice, the second time from the other end; write what was read, not what it should be.",
    "A steel rule, a straightedge longer than the foot, two clamps, calipers, chalk.",
)
BEFORE_TUBE = (
    "Machine level on hard ground, engine off, pressure let out. Wipe the tube; scrape paint and spatter off where the "
    "calipers will lie.",
    BEFORE[1],
    "A steel rule, calipers that span the tube, chalk.",
)
"""What comes before any measuring of a rail, and of a tube (common practice, no source)."""

SECOND = ("its station 0 along the first, and square from it", "its angle to the first", "radius of the bend")
"""What is asked of a second straightedge beside its readings."""

READINGS = (
    "Clamp the straightedge in line with the cylinder. Mark station 0 on straightedge and rail. At every station hold "
    "the rule square to the straightedge and write the offset to the rail. Note beside it what the rule stood on where "
    "it was not the plain rail: bead, step, hole, edge."
)
"""How a trace is read."""


@dataclass(frozen=True, slots=True)
class Line:
    """A number to be measured: what it is, the key that takes it, and its unit."""

    what: str
    key: str
    unit: str


def trace_stations(job: Job, read: Mapping[str, Sequence[float]]) -> dict[str, tuple[float, ...]]:
    """The stations at which each trace is read: those it was read at before, else by steps over the foot, mm."""
    return {name: tuple(sorted(set(read.get(name, ())))) or tuple(_over_foot(job)) for name in job.rail.trace_files}


def _over_foot(job: Job) -> Iterator[float]:
    step, foot = STEP_MM[job.units], job.mount.foot_mm
    ends = (foot[0], foot[-1]) if foot else USUAL_FOOT_MM
    first, last = int(ends[0] // step) - BEYOND, -int(-ends[1] // step) + BEYOND
    return (step * i for i in range(max(0, first), last + 1))


def lines_of(job: Job) -> Iterator[tuple[str, tuple[Line, ...]]]:
    """What is asked beside the traces, which come after the rail: a title, and its lines."""
    path, title, keys = RAIL
    rail = (path, title, (*keys, *FACE)) if job.rail.trace else (path, TUBE_WALL, keys)
    seat = (*(() if job.rail.trace else (TUBE_ASKED,)), *(() if job.rod_end is None else ROD_END_ASKED))
    for path, title, keys in (rail, *ASKED, *seat):
        known = {field.key: field for field in fields(_table(path))}
        yield title, tuple(_line(path, known[key], job) for key in keys if key in known)


def _table(path: str) -> type[Table]:
    table: type[Table] = Job
    for name in path.split("."):
        inner = table_of(next(field.form for field in fields(table) if field.key == name))
        assert inner is not None
        table = inner
    return table


def _line(path: str, field: Field, job: Job) -> Line:
    return Line(field.doc.replace("``", "").rstrip("."), f"[{path}] {field.key}", _unit(field, job.units))


def _unit(field: Field, units: Units) -> str:
    """What is written there: a unit, words to choose from, or words of one's own."""
    allowed = field.allowed or allowed_of(next(iter(get_args(field.form)), None))
    if allowed is not None:
        return allowed.bare(units) or "with its unit"
    choices = choices_of(field.form)
    return one_of(choices) if choices else "in words"


def form_html(job: Job, read: Mapping[str, Sequence[float]]) -> str:
    """The form as one HTML file to be printed; ``read`` has the stations of the traces that are there, by file, mm."""
    show = Show(job.units)
    stations = trace_stations(job, read)
    steering = job.steering
    linkage = form_blocks(steering, job.units) if steering is not None and form_pictures(steering) else ()
    return _template().render(
        version=__version__,
        title=job.title,
        style=Markup(style() + css()),
        before=BEFORE if job.rail.trace else BEFORE_TUBE,
        readings=READINGS,
        set_up=Markup(set_up_picture(show)),
        section=Markup(section_picture(show)),
        placed=Markup(foot_picture(show) if job.rail.trace else seat_picture(_along(job), show)),
        tube=Markup(tube_picture(job.seat.tube if job.seat else "round", show)),
        planes=Markup(planes_picture([entry.plane_mm for entry in job.rail.trace], show)) if job.rail.trace else "",
        cylinder=Markup(cylinder_picture()),
        end=Markup(end_picture()),
        ends_drawn=[title for path, title, _ in (*ASKED, *ROD_END_ASKED) if path in ENDS],
        traces=[table for entry in job.rail.trace for table in _traces(entry, stations, show)],
        asked=list(lines_of(job)),
        linkage=[_padded(block) for block in linkage if block.rows],
        linkage_pictures=[Markup(picture) for picture in form_pictures(steering)] if steering is not None else [],
        how=HOW,
        units="inches" if job.units == "in" else "millimetres",
    )


def _along(job: Job) -> str:
    return job.seat.along if job.seat else "cylinder"


def _traces(entry: TraceEntry, stations: Mapping[str, Sequence[float]], show: Show) -> Iterator[dict[str, object]]:
    """A trace's table, and that of its second straightedge."""
    plane = f"plane {numbered(show, entry.plane_mm)} {show.units}"
    first = [numbered(show, station) for station in stations[entry.file]]
    yield {"file": entry.file, "where": plane, "stations": first, "also": ()}
    if entry.second is not None:
        where = f"{plane}, second straightedge round the corner"
        second = [numbered(show, station) for station in stations[entry.second.file]]
        yield {"file": entry.second.file, "where": where, "stations": second, "also": SECOND}


def _padded(block: Block) -> Block:
    """A block whose blanks are empty cells: the form draws the lines to write on."""
    rows = tuple(tuple("" if set(cell) == {"_"} else cell for cell in row) for row in block.rows)
    return Block(block.title, block.heading, rows)


@cache
def _template() -> Template:
    text = files("plategen.tell").joinpath("form.html").read_text(encoding="utf-8")
    return Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True).from_string(
        text
    )
