"""What is on the rail, in its place in space: holes, rivets, beads, hoses, brackets and steps of the job.

Each lies on the traced face, at its station in its plane: round or a rectangle, its length along the rail and its width
along the pin, standing out towards the free side.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate
from plategen.bracket.prism import Prism, far_apart, room_between
from plategen.flat.clip import where_u
from plategen.flat.loop import Circle, Contour, polygon
from plategen.flat.placement import Placement
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.space import cross, unit
from plategen.job import Job
from plategen.job.rail_feature import ROUND, FeatureEntry, FeatureKind
from plategen.rail.surface import Rail
from plategen.rail.tube import Surface, Tube

SEEN_MM = 300.0
"""How far beyond the traced planes something may lie and still be placed on the face, carried on straight."""

_STEP_MM = 1.0  # along the pin, for the slant of the face
_REMEMBERED = 512


@dataclass(frozen=True, slots=True, kw_only=True)
class Feature:
    """Something on the rail."""

    name: str  # ``"rivet 2"``, or as the job calls it.
    kind: FeatureKind
    outline: Contour  # Its footprint about its middle: u along the rail, v along the pin.
    placement: Placement  # Where that lies: on the face, the normal away from the rail.
    height_mm: float  # How far it stands out; 0 for a hole.
    clear_mm: float  # How near anything may come.
    station_mm: float  # As the job has them: its station,
    plane_mm: float  # and its place along the pin.
    use: bool = False  # Of a hole: whether a bolt is to go through it.
    burned: bool = False  # Of a hole: whether a torch made it.

    @property
    def size_mm(self) -> float:
        """Its diameter, or its length along the rail."""
        u0, _, u1, _ = self.outline.bounds
        return u1 - u0

    @property
    def body(self) -> Prism:
        """The room that it takes up; nothing but its rim for a hole."""
        return Prism(self.outline, self.placement, self.height_mm)

    @property
    def stands_out(self) -> bool:
        """Whether it is in a plate's way: all but a hole."""
        return self.kind != "hole"


def features_on(job: Job, surface: Surface) -> tuple[Feature, ...]:
    """What the job says is on its rail; nothing on a tube.

    Raises:
        Refusal: One lies off the traced face.
    """
    if isinstance(surface, Tube):
        return ()
    counts: dict[FeatureKind, int] = {}
    placed = []
    for index, entry in enumerate(job.rail.feature):
        counts[entry.kind] = counts.get(entry.kind, 0) + 1
        name = entry.name.strip() or f"{entry.kind} {counts[entry.kind]}"
        try:
            placed.append(_placed(entry, name, surface))
        except Refusal as refusal:
            raise refusal.under(f"rail.feature[{index}]") from None
    return tuple(placed)


def _placed(entry: FeatureEntry, name: str, rail: Rail) -> Feature:
    low, high = rail.planes_mm
    beyond = max(low - entry.plane_mm, entry.plane_mm - high)
    if len(rail.traces) > 1 and beyond > SEEN_MM:
        words = "{} lies {} beyond the traced planes; up to {} is right, or leave it out"
        raise Refusal(message(words, name, mm(beyond), mm(SEEN_MM, "down")), "plane")
    size, width = entry.size_mm, entry.width_mm or entry.size_mm
    half = complex(size, width) / 2
    box = polygon((-half, half.conjugate(), half, -half.conjugate()))
    return Feature(
        name=name,
        kind=entry.kind,
        outline=Circle(0j, size / 2) if entry.kind in ROUND else box,
        placement=on_face(rail, entry.station_mm, entry.plane_mm),
        height_mm=entry.height_mm or 0.0,
        clear_mm=entry.room_mm,
        station_mm=entry.station_mm,
        plane_mm=entry.plane_mm,
        use=entry.use,
        burned=entry.made == "burned",
    )


def on_face(rail: Rail, station_mm: float, w_mm: float) -> Placement:
    """The plane that touches the rail's face at a station and a place along the pin, its normal away from the rail.

    Its u runs along the rail towards growing stations. Where the rail is traced round its corner and a station is read
    twice, the place nearest to the cylinder's line counts.

    Raises:
        Refusal: The trace does not reach that station.
    """
    at, along = _face_place(rail, station_mm, w_mm)
    if not rail.varies:
        rise = 0.0
    else:
        above, below = (_face_place(rail, station_mm, w_mm + way * _STEP_MM)[0] for way in (1, -1))
        rise = (above - below).imag / (2.0 * _STEP_MM)
    u = (along.real, along.imag, 0.0)
    up = (0.0, rise, 1.0)
    n = unit(cross(u, up))
    return Placement((at.real, at.imag, w_mm), u, cross(n, u))


def _face_place(rail: Rail, station_mm: float, w_mm: float) -> tuple[complex, complex]:
    """The face's point at a station in a plane, and its direction towards growing stations."""
    section = rail.section(w_mm)
    places = where_u(section, station_mm)
    if not places:
        words = "it lies off the trace, which runs from {} to {}; a station between is right"
        raise Refusal(message(words, mm(section.start.real), mm(section.end.real)), "station")
    points = [(section.segments[i].point(t), section.segments[i].tangent(t)) for i, t in places]
    at, along = min(points, key=lambda each: each[0].imag)
    return at, along / abs(along)


def in_the_way(features: tuple[Feature, ...]) -> Iterator[Feature]:
    """Those that stand out of the face."""
    return (feature for feature in features if feature.stands_out)


@lru_cache(maxsize=_REMEMBERED)
def room_to(feature: Feature, plate: Plate) -> float:
    """Least distance between something on the rail and a plate, mm; where they are far apart a little less."""
    body, solid = feature.body, plate_body(plate)
    least = far_apart(body.corners, solid.corners)
    return least if least > 2.0 * feature.clear_mm + _FAR_MM else room_between(body, solid)


_FAR_MM = 60.0
"""Bodies farther apart than this are not looked at any closer."""


def plate_body(plate: Plate) -> Prism:
    """A plate as a body, with its holes and openings; of a rolled one its band."""
    outline, cut_out, place, depth_mm = drawn_out(plate, plate.placement)
    return Prism(outline, place, depth_mm, cut_out)
