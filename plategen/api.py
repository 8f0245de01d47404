"""The public face for programs: a job read or written down, made, judged, looked at with other libraries, delivered.

Everything here is frozen. Lengths are mm, angles radians, forces N, whatever units the job is written in; what is
worded for people is in the job's units. Names that this file exports are kept as the project's rules for releases say;
the rooms below it may change with any release.

>>> import plategen  # readings: along the straightedge, and from it to the rail
>>> rail = [(station, 40 + station / 8) for station in range(0, 320, 20)]
>>> job = plategen.read(
...     {
...         "title": "Tipper gate",
...         "units": "mm",
...         "rail": {"wall": 10, "steel": "S355", "trace": [{"file": "rail.csv", "plane": 0}]},
...         "cylinder": {
...             "bore": 50, "rod": 28, "stroke": 150, "closed_length": 355, "body_diameter": 60, "pressure": "160 bar",
...             "base": {"pin": 25, "eye_width": 20, "eye_radius": 28},
...         },
...         "mount": {"inline_offset": 40, "pin_station": 150, "foot": [50, 250]},
...         "bracket": {"style": "ears", "plane": 0, "thickness": 12, "steel": "S355"},
...         "weld": {"leg": 6, "electrode": "G42"},
...         "rules": {"set": "en-1993"},
...     },
...     {"rail.csv": rail},
... )
>>> bracket = job.make()
>>> [plate.name for plate in bracket.plates]
['ear_near', 'ear_far']
>>> thicker = job.changed({"bracket.thickness": 16}).make()
>>> thicker.plates[0].thickness_mm
16.0
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import numpy as np
from numpy.typing import ArrayLike, NDArray

from plategen.bracket import model
from plategen.checks.caution import not_covered
from plategen.checks.headline import headline
from plategen.design.design import Design
from plategen.draw.pen import chords
from plategen.flat.loop import Contour
from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.job.load import LoadedJob, job_of, load_job
from plategen.job.toml_edit import path_of, set_value
from plategen.make import carry_through, design_of
from plategen.paper.size import USUAL_PAPER
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.delivery.deliver import Delivered
    from plategen.revision.trim import Trimmed
    from plategen.tell.report.finding import FindingReport
    from plategen.tell.report.job import JobReport

CHORD_RAD = 0.05
"""An arc's chords turn by no more than this where an outline becomes points: 0.03 % of its height is lost."""

Readings: TypeAlias = str | ArrayLike
"""A trace: the text of its file, or an array (n, 2) of stations and offsets in the job's units."""


def read(job: Path | str | Mapping[str, Any], traces: Mapping[str, Readings] | None = None) -> "Job":
    """A job, from its folder or written down as the tables of a job file.

    Args:
        job: The folder, its ``job.toml``, or the same tables as a mapping, without any file.
        traces: With a mapping: each trace that it names, by the name of its file; fit notes likewise, as text.

    Raises:
        Refusal: A file or key is missing or wrong; the message is one line that says what would be right.
    """
    if not isinstance(job, Mapping):
        return Job(load_job(Path(job)))
    import tomlkit

    given = {} if traces is None else traces

    def text_of(name: str) -> str:
        if name not in given:
            raise Refusal(f"is not among the traces given; they are {', '.join(given) or 'none'}", place=name)
        readings = given[name]
        return readings if isinstance(readings, str) else _trace_text(readings, name)

    return Job(job_of(tomlkit.dumps(_plain(job)), text_of))


@dataclass(frozen=True, slots=True)
class Job:
    """A job with its traces read, complete and refused if it is not."""

    loaded: LoadedJob

    @property
    def title(self) -> str:
        """What it is called."""
        return self.loaded.job.title

    @property
    def units(self) -> Units:
        """The units it is written in."""
        return self.loaded.job.units

    def changed(self, values: Mapping[str, object]) -> "Job":
        """The same job with keys of its file set, as ``{"weld.leg": "1/4", "rail.trace[0].plane": 0}``.

        Raises:
            Refusal: There is no such key, or the value is wrong.
        """
        text = self.loaded.texts[self.loaded.file]
        for key, value in values.items():
            text = set_value(text, path_of(key), value)
        return Job(job_of(text, self.loaded.texts.__getitem__, file=self.loaded.file, folder=self.loaded.folder))

    def design(self) -> Design:
        """What the program decides of it: the pin's place, the motion and its loads, every size that a rule chooses.

        Raises:
            Refusal: The rail cannot be fitted or a size cannot be chosen.
        """
        return design_of(self.loaded.job, self.loaded.traces)

    def make(self, *, elements: bool = False) -> "Bracket":
        """The bracket on its rail, judged; ``elements`` has the ears solved by finite elements as well.

        Raises:
            Refusal: There is no such bracket; the message says which number is in the way and what would be right.
        """
        return Bracket(carry_through(self.loaded.job, self.loaded.traces, elements=elements))


@dataclass(frozen=True)
class Bracket:
    """A bracket built and judged. ``work`` is everything that the shop's files are made from."""

    work: Work

    @cached_property
    def plates(self) -> "tuple[Plate, ...]":
        """Every plate that is cut, those that stand elsewhere last."""
        return tuple(Plate(plate, self.work.of(plate)) for plate in self.work.cut_plates)

    @property
    def stopped(self) -> bool:
        """True when a check says stop: nothing may be cut or welded."""
        return self.work.stopped

    @property
    def headline(self) -> str:
        """What all checks come to, in one line."""
        return headline(self.work.findings)

    @property
    def not_covered(self) -> tuple[str, ...]:
        """What the checks do not cover; it stands beside every verdict."""
        return not_covered(self.work.findings)

    @property
    def cautions(self) -> tuple[str, ...]:
        """What to take care of, in the job's units."""
        return tuple(map(Show(self.work.job.units).text, self.work.cautions))

    def judge(self) -> "tuple[FindingReport, ...]":
        """Every check with what is asked, what there is, its verdict, its source and its cure."""
        from plategen.tell.report.finding import finding_report

        show = Show(self.work.job.units)
        return tuple(finding_report(finding, show) for finding in self.work.findings)

    def report(self) -> "JobReport":
        """Every number, as in ``report.json``."""
        from plategen.cause import causes
        from plategen.tell.report.job import job_report

        return job_report(self.work, causes(self.work))

    def trim(self, plate: Path | str | bytes, *, name: str = "", play_mm: float = 0.0) -> "Trimmed":
        """The best that can be made of an existing plate.

        Args:
            plate: Its DXF file, or the bytes of one.
            name: The plate of the job whose place it takes; that which it fits best if left out.
            play_mm: How far the pin may slide along the cylinder's line.

        Raises:
            Refusal: It is not one flat plate, or no hole of it takes the pin.
        """
        from plategen.revision.dxf_file import drawing_data, plate_for
        from plategen.revision.trim import trim

        data = plate if isinstance(plate, bytes) else drawing_data(Path(plate))
        return trim(self.work, plate_for(self.work.bracket, data), name=name, play_mm=play_mm)

    def deliver(self, folder: Path | str, *, paper: str = USUAL_PAPER, solid: bool = True) -> "Delivered":
        """Write every file of the job into a folder, as the command ``make`` does; nothing there is ever lost.

        Raises:
            Refusal: A file cannot be made or written; nothing in the folder has changed.
        """
        from plategen.delivery.deliver import deliver

        return deliver(self.work, Path(folder), paper=paper, solid=solid)

    def assembly(self) -> Any:
        """The bracket, its rail, cylinder and pin as a ``cadquery.Assembly``: named, coloured, placed, constrained.

        Raises:
            SolidUnavailable: The solid kernel cannot load.
        """
        from plategen.solid.assembly import assembly_of
        from plategen.solid.bodies import job_bodies

        return assembly_of(self.work.job.title, job_bodies(self.work))

    def _repr_svg_(self) -> str:
        """The bracket in space, as a notebook shows it."""
        from plategen.tell.picture.drafter import alone
        from plategen.tell.picture.view import bracket_view

        work = self.work
        return alone(bracket_view(work.bracket, work.rail, work.job.rail.wall_mm, work.job.cylinder.body_diameter_mm))


@dataclass(frozen=True)
class Plate:
    """One plate of a bracket; its (u, v) are its own plane's, finished size."""

    plate: model.Plate
    work: Work

    @property
    def name(self) -> str:
        """Its name in every file."""
        return self.plate.name

    @property
    def thickness_mm(self) -> float:
        """Its thickness."""
        return self.plate.thickness_mm

    @property
    def area_mm2(self) -> float:
        """Area with holes and openings out."""
        return self.plate.area_mm2

    @cached_property
    def outline(self) -> NDArray[np.float64]:
        """Points of the outline (n, 2), anticlockwise, arcs as short chords."""
        return _points(self.plate.outline)

    @cached_property
    def holes(self) -> NDArray[np.float64]:
        """Round holes (n, 3): centre u, v and diameter."""
        circles = [hole.circle for hole in self.plate.holes]
        return np.array([(c.centre.real, c.centre.imag, 2 * c.radius) for c in circles]).reshape(-1, 3)

    @cached_property
    def placement(self) -> NDArray[np.float64]:
        """The matrix (4, 4) that carries (u, v, depth, 1) to where the plate stands in the plate frame."""
        at = self.plate.placement
        matrix = np.eye(4)
        matrix[:3] = np.transpose([at.u, at.v, at.normal, at.origin])
        return matrix

    def to_shapely(self) -> Any:
        """A ``shapely.Polygon`` with its holes, arcs as short chords.

        Raises:
            Refusal: The library is not installed.
        """
        try:
            from shapely import Polygon
        except ImportError as missing:
            raise missing_library("polygons need", missing.name, "shapes", "to_shapely") from None
        within: tuple[Contour, ...] = (*(hole.circle for hole in self.plate.holes), *self.plate.openings)
        return Polygon(self.outline, [_points(contour) for contour in within])

    def to_ezdxf(self) -> Any:
        """The plate's cutting file as an ``ezdxf`` drawing: kerf, leads and scribed lines as the job asks.

        Raises:
            Refusal: It cannot be cut as meant.
        """
        import io

        import ezdxf

        from plategen.cut.proof import proved_dxf
        from plategen.cut.table.cutting import table_part

        job = self.work.job
        part = table_part(self.work, self.plate)
        return ezdxf.read(io.StringIO(proved_dxf((part,), job.units, job.cutting.dxf, job.cutting.entities)))

    def _repr_svg_(self) -> str:
        """The plate with its dimensions, as a notebook shows it."""
        from plategen.tell.picture.drafter import alone
        from plategen.tell.picture.plate import plate_picture

        return alone(plate_picture(self.work, self.plate))


def _points(contour: Contour) -> NDArray[np.float64]:
    """Points of a contour (n, 2), arcs as chords."""
    points = np.array(chords(contour, CHORD_RAD))
    return np.column_stack([points.real, points.imag])


def _trace_text(readings: ArrayLike, name: str) -> str:
    """Readings as the text of a trace file."""
    table = np.asarray(readings, dtype=float)
    if table.ndim != 2 or table.shape[1] != 2:
        raise Refusal(f"has the shape {table.shape}; rows of a station and an offset, (n, 2), are right", place=name)
    return "station,offset\n" + "".join(f"{station!r},{offset!r}\n" for station, offset in table.tolist())


def _plain(value: Any, key: str = "") -> Any:
    """Tables, lists and numbers of any kind as those that a job file holds."""
    if isinstance(value, Mapping):
        return {name: _plain(each, f"{key}.{name}".removeprefix(".")) for name, each in value.items()}
    if isinstance(value, np.generic | np.ndarray):
        value = value.tolist()
    if isinstance(value, Sequence) and not isinstance(value, str):
        return [_plain(each, f"{key}[{place}]") for place, each in enumerate(value)]
    if not isinstance(value, str | int | float):
        raise Refusal(f"is of type {type(value).__name__}; a text, a number, a list or a table is right", key)
    return value
