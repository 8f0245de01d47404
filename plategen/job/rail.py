"""The ``[rail]`` table: the rail's wall and the traces taken of it."""

import math
from itertools import pairwise
from typing import Annotated, Literal

from plategen.ground.message import message, rad
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, Length, LengthFromZero, PositiveLength, SteelName, Table
from plategen.job.rail_feature import FeatureEntry

MOST_LEAN_RAD = math.radians(30.0)
"""Plates further out of the plane of a trace have no edge that could be welded (common practice, no source)."""


class SecondStraightedge(Table, frozen=True, kw_only=True):
    """A second straightedge in the same plane, whose readings go on round the rail's corner."""

    file: Annotated[str, "Its trace file, beside the job file; ``station,offset``."]
    at_mm: Annotated[
        tuple[Length, Length],
        "Where its station 0 lies in the first straightedge's frame: along it, and square from it to the rail.",
    ]
    angle_rad: Annotated[
        Angle,
        "Direction of its stations, from the first straightedge towards the rail; its offsets lie to the left of that "
        "direction.",
    ]
    bend_radius_mm: Annotated[
        LengthFromZero | None,
        "Radius of the bend between the two, which neither reads, by a radius gauge; 0 for a sharp corner. Without it "
        "and ``bend_point`` the corner is taken sharp, with a caution.",
    ] = None
    bend_point_mm: Annotated[
        tuple[Length, Length] | None,
        "Or one point of that bend, about its middle: along the first straightedge, and square from it to the rail.",
    ] = None

    @property
    def tells_bend(self) -> bool:
        """Whether anything is said of the bend between the two."""
        return self.bend_radius_mm is not None or self.bend_point_mm is not None

    def __post_init__(self) -> None:
        _refuse_no_name(self.file)
        if self.bend_radius_mm is not None and self.bend_point_mm is not None:
            raise Refusal("with `bend_radius` and `bend_point` both the bend is told twice; one of them is right")


class TraceEntry(Table, frozen=True, kw_only=True):
    """One ``[[rail.trace]]``: readings taken in one plane across the pin."""

    file: Annotated[str, "The trace file, beside the job file."]
    plane_mm: Annotated[Length, "Place of the plane along the pin."]
    read_error_mm: Annotated[
        PositiveLength | None,
        "How far off a reading may be: two of three lie nearer; left out, it is estimated from the readings.",
    ] = None
    second: Annotated[SecondStraightedge | None, "A second straightedge round the corner."] = None

    @property
    def files(self) -> tuple[str, ...]:
        """Its file, and that of the second straightedge."""
        return (self.file,) if self.second is None else (self.file, self.second.file)

    def __post_init__(self) -> None:
        _refuse_no_name(self.file)


class RailEntry(Table, frozen=True, kw_only=True):
    """The rail."""

    tilt_rad: Annotated[
        Angle,
        "Tilt of plates and pin about the straightedge against the plane of the one trace, for a cylinder that leaves "
        "it; positive where the rail then lies farther off at growing planes.",
    ] = 0.0
    turn_rad: Annotated[
        Angle,
        "Turn of the cylinder, with straightedge and plates, about their station 0 out of the plane of the one trace; "
        "positive towards growing planes.",
    ] = 0.0
    wall_mm: Annotated[PositiveLength, "Thickness where the bracket is welded."]
    steel: Annotated[SteelName, "Its steel, by the name shops use."]
    trace: Annotated[
        tuple[TraceEntry, ...], "The traces, one or more; none for a seat, which stands on a tube of known size."
    ] = ()
    section: Annotated[
        Literal["channel", "box", "angle", "flat"] | None,
        "Shape of its section; left out, the bending of its wall is not judged.",
    ] = None
    face: Annotated[Literal["flange", "web"], "Part of a channel that the foot stands on."] = "flange"
    face_from_mm: Annotated[
        Length | None,
        "Place along the pin of the near side of the web or wall that holds that face; of a face that the plates lie "
        "across, its station.",
    ] = None
    face_to_mm: Annotated[
        Length | None, "The same where the face ends: at a flange's free edge, or at the other wall or flange."
    ] = None
    plates_lie: Annotated[Literal["along", "across"], "How the plates lie on the rail."] = "along"
    feature: Annotated[
        tuple[FeatureEntry, ...], "What is on the rail already: holes, rivets, beads, hoses, brackets, steps."
    ] = ()

    @property
    def trace_files(self) -> tuple[str, ...]:
        """Every trace file that it names, those of second straightedges after their first."""
        return tuple(file for entry in self.trace for file in entry.files)

    @property
    def free_edge(self) -> bool:
        """Whether the face ends at a free edge."""
        return self.section == "angle" or (self.section == "channel" and self.face == "flange")

    @property
    def face_mm(self) -> float:
        """Width of the face; 0 where it is not told."""
        told = self.face_from_mm is not None and self.face_to_mm is not None
        return abs(self.face_to_mm - self.face_from_mm) if told else 0.0  # type: ignore[operator]

    def __post_init__(self) -> None:
        if self.section not in (None, "flat") and self.face_mm <= 0.0:
            raise Refusal(
                f"a {self.section} asks for `face_from` and `face_to`, the two sides of the face under the foot",
                "section",
            )
        self._refuse_leaning()
        planes = sorted(entry.plane_mm for entry in self.trace)
        if any(math.isclose(a, b, abs_tol=0.01) for a, b in pairwise(planes)):
            raise Refusal("two traces lie in the same plane; give each its own `plane`", "trace")
        names = [name for name in (feature.name.strip() for feature in self.feature) if name]
        if len(names) > len(set(names)):
            twice = next(name for name in names if names.count(name) > 1)
            raise Refusal(f'two are called "{twice}"; give each its own name', "feature")
        if self.feature and not self.trace:
            raise Refusal("what is on the rail has its place on a traced face; leave it out for a tube", "feature")

    def _refuse_leaning(self) -> None:
        """Refuse plates out of the plane of more than one trace, or so far out of it that no edge could be welded."""
        for name, angle_rad in (("tilt", self.tilt_rad), ("turn", self.turn_rad)):
            if not angle_rad:
                continue
            if len(self.trace) != 1 or self.trace[0].second is not None:
                raise Refusal(
                    "only a rail that is straight along the pin, read in one plane by one straightedge, is known in "
                    "other planes; traces read in the plates' own planes are right, and no angle",
                    name,
                )
            if abs(angle_rad) > MOST_LEAN_RAD:
                words = "plates so far out of the trace's plane meet the rail edge on; up to {} is right"
                raise Refusal(message(words, rad(MOST_LEAN_RAD, "down")), name)


def _refuse_no_name(file: str) -> None:
    if not file.strip():
        raise Refusal("no name; the trace file beside the job file is right", "file")
