"""What a bracket is once it is built: plates with holes, placed in space, and the weld runs that hold them.

Every style ends in these values, and everything after (checks, files, pictures) reads only these. Lengths mm,
angles radians. Space is the plate frame's (u, v, w); a 3-D vector is a tuple of three floats.
"""

import math
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Literal, TypeAlias

from plategen.bracket.meeting import Meeting, held
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.ground.message import Message
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.rules.weld import laid_leg_mm

if TYPE_CHECKING:
    from plategen.bracket.folded import Folded

Purpose: TypeAlias = Literal["pin", "bolt", "plug", "old pin", "other"]
"""What a hole is for: the pin, a bolt, a plug weld, a pin before, or something that the drawing does not say."""

PlateRole: TypeAlias = Literal[
    "ear",
    "tab",
    "closing",
    "gusset",
    "crosshead",
    "pad",
    "doubler",
    "clamp",
    "cradle",
    "stop pad",
    "base",
    "backing",
    "wall",
    "formed",
    "shim",
]
"""What a plate does in its bracket: ears hold the pin, tabs stand between them and the rail or on a tube.

A pad lies on a tube and a doubler on the rail, welded along their edges; a base is bolted to the rail, a backing lies
behind the rail's wall; the wall is the rail's own, drilled and not cut; a formed one is cut flat, and base and ears are
what its bends make of it; a shim packs the gap between base and rail about a bolt, ground to the corners it is told.
"""

LAPPED: frozenset[PlateRole] = frozenset({"pad", "doubler"})
"""Plates that lie on what they are welded to, with the bead along their own edge."""

STOOD_ON: frozenset[PlateRole] = frozenset({"base", "doubler"})
"""Plates that lie on the rail's face, and that ears stand on instead."""

Joint: TypeAlias = Literal["rail", "tube", "tie"]
"""What a weld run joins a plate to: the traced rail, a tube, or another plate."""


Made: TypeAlias = Literal["cut", "drill", "in place"]
"""How a hole is made: by the table; by hand, the table only marking its centre; or from the rail once the plate is set,
and nothing marks it before."""

HOW_MADE: dict[Made, str] = {"cut": "cut", "drill": "punch and drill", "in place": "drill from the rail"}
"""The same as it is told."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Hole:
    """A round hole."""

    name: str  # As it is called: ``"pin"``, ``"bolt 1"``.
    purpose: Purpose  # What it is for.
    circle: Circle  # Finished size and place in the plate's plane.
    bolt_mm: float  # Diameter of the pin or bolt that goes through it.
    made: Made  # How it is made.
    edge_required_mm: float  # Least distance from centre to any edge that the rule asks.
    edge_source: str  # That rule.


@dataclass(frozen=True, slots=True, kw_only=True)
class Slot:
    """A round-ended slot in which a bolt can be moved; its contour stands among the plate's openings."""

    name: str  # ``"bolt 1"``, as the hole would be called.
    ends: tuple[complex, complex]  # Centres of its two round ends.
    width_mm: float  # Finished width, the diameter of its ends.
    bolt_mm: float  # Diameter of the bolt.
    at: complex  # Where the bolt's centre is now, between the ends.
    edge_required_mm: float  # Least distance from an end's centre to any edge that the rule asks.
    edge_source: str  # That rule.

    @property
    def length_mm(self) -> float:
        """Length over all."""
        return abs(self.ends[1] - self.ends[0]) + self.width_mm

    @property
    def contour(self) -> Loop:
        """The slot's outline, anticlockwise."""
        one, other = self.ends
        beside = (other - one) / abs(other - one) * -1j * self.width_mm / 2
        a, b, c, d = one + beside, other + beside, other - beside, one - beside
        return Loop((Line(a, b), Arc(b, c, 1.0), Line(c, d), Arc(d, a, 1.0)))


@dataclass(frozen=True, slots=True, kw_only=True)
class Fit:
    """How a plate's notch meets the rail's surface, found after the notch was made."""

    gap_near_mm: float  # Largest gap along the notch at the outline face.
    gap_far_mm: float  # Largest gap along the notch at the other face.
    overlap_mm: float  # Deepest that the plate goes into the rail anywhere in its thickness (0 when it never does).
    meeting: Meeting = field(compare=False)  # The same with what is not known of the rail: gaps and binds to expect.

    @property
    def expected_gap_mm(self) -> float:
        """Largest gap with the pin held in its place, for 95 plates of 100."""
        return held(self.meeting)[0]

    @property
    def expected_bind_mm(self) -> float:
        """Deepest that the plate would have to go into the rail with the pin held, for 95 plates of 100."""
        return held(self.meeting)[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Something scribed on a plate and never cut: a trim line, the foot of a part that is welded on."""

    name: str  # What it is; of a foot the part's name.
    path: Chain
    foot: bool = False  # True for the outline of a part's foot.
    behind: bool = False  # True where it lies on the face that drawings and cutting files do not show.


@dataclass(frozen=True, slots=True, kw_only=True)
class Plate:
    """One flat part."""

    name: str  # File-safe and unique: ``"ear_near"``.
    role: PlateRole  # What it does in the bracket.
    outline: Loop  # Anticlockwise outline in the plate's own plane, finished size.
    thickness_mm: float  # Plate thickness; the body lies along the placement's normal.
    steel: str  # Name of the steel.
    placement: Placement  # Where the outline lies in space.
    holes: tuple[Hole, ...] = ()  # Round holes.
    openings: tuple[Loop, ...] = ()  # Other cut-outs (slots), clockwise or not; finished size.
    slots: tuple[Slot, ...] = ()  # What is known of those openings in which a bolt can be moved.
    # The edges of the outline that meet the rail, a part of ``outline`` in its order; None if none do.
    notch: Chain | None = None
    fit: Fit | None = None  # How the notch meets the rail; None if there is no notch.
    legs: tuple[Chain, ...] = ()  # The parts of the notch that lie on the rail, where reliefs at its corners part them.
    marks: tuple[Mark, ...] = ()  # Scribed, not cut.
    welded: bool = True  # True when the plate is welded to the machine (it cannot be swapped with a wrench).
    count: int = 1  # How many alike are cut.
    # Inside radius to which a rectangular blank is rolled about its u, away from its normal's side; 0 for a flat plate.
    # The line v = 0 of the inside face stays where the placement puts it, and v is measured along the middle of the
    # thickness, which rolling neither stretches nor shortens.
    rolled_mm: float = 0.0

    def __hash__(self) -> int:
        return hash((self.name, self.outline, self.thickness_mm))  # plates that differ seldom have the same of these

    @property
    def pin_hole(self) -> Hole | None:
        """Its hole for the pin, if the pin goes through it."""
        return next((hole for hole in self.holes if hole.purpose == "pin"), None)

    @property
    def seats(self) -> tuple[Chain, ...]:
        """The parts of the notch that lie on the rail: all of it, where no relief parts them."""
        return self.legs or ((self.notch,) if self.notch is not None else ())

    @property
    def area_mm2(self) -> float:
        """Area of the plate with holes and openings out."""
        holes, openings = sum(h.circle.area for h in self.holes), sum(abs(cut.area) for cut in self.openings)
        return self.outline.area - holes - openings


@dataclass(frozen=True, slots=True, kw_only=True)
class WeldRun:
    """One fillet run."""

    name: str  # Run number on the weld map: ``"W1"``.
    plate: str  # Name of the plate it holds.
    other: str  # What it holds the plate to, by name: ``"rail"``, ``"tube"`` or another plate's.
    joint: Joint  # Which of these that is.
    side: str  # Which face of the plate the bead lies on: ``"outside"``, ``"inside"``.
    path: Chain  # The root line, in the plane of ``placement``.
    placement: Placement  # The plane of the path in space.
    leg_mm: float  # Leg measured along the face of each member.
    # Dihedral angle between the two welded faces on the bead's side, smallest and largest.
    joint_angle_rad: tuple[float, float]
    gap_mm: float  # Largest fit-up gap under the bead.
    electrode: str  # Filler class, e.g. ``"E70"``.
    # What on the rail it stops short of, at its start and at its end; "" where it runs to the plate's end.
    stops_at: tuple[str, str] = ("", "")
    piece: int = 0  # Which piece it is of a run that such things interrupt, from 0.

    @property
    def length_mm(self) -> float:
        """Length along the root."""
        return self.path.length

    @property
    def laid_leg_mm(self) -> float:
        """The leg to lay, which over the gap under the bead carries what the leg without one does."""
        return laid_leg_mm(self.leg_mm, self.gap_mm)


SQUARE_RAD = (math.pi / 2, math.pi / 2)
"""The angle of a joint whose faces stand square to each other."""


def fillet(
    job: Job,
    plate: str,
    joint: Joint,
    other: str,
    path: Chain,
    placement: Placement,
    *,
    side: str = "outside",
    leg_mm: float = 0.0,
    angle_rad: tuple[float, float] = SQUARE_RAD,
    gap_mm: float = 0.0,
) -> WeldRun:
    """A run as the job welds it, square and without a gap unless it is said; it is numbered with the whole bracket."""
    return WeldRun(
        name="", plate=plate, other=other, joint=joint, side=side, path=path, placement=placement,
        leg_mm=leg_mm or job.weld.leg_mm, joint_angle_rad=angle_rad, gap_mm=gap_mm, electrode=job.weld.electrode,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Pin:
    """The pin that the bracket holds: its centre in space, mid-way between the ears, and its size."""

    centre: Vector
    diameter_mm: float
    eye_width_mm: float
    eye_radius_mm: float
    gap_mm: float
    """Clear gap between the eye and the ear on each side; between one plate and a fork about it, likewise."""

    fork_gap_mm: float = 0.0
    """Gap of the held end where it is a fork about one plate; ``eye_width_mm`` is then the fork's whole width."""

    head_width_mm: float = 0.0
    """Width of the head where the held end is a rod end; ``eye_width_mm`` is then its ball's."""

    @property
    def lugs(self) -> tuple[tuple[float, float], ...]:
        """Place along the pin and width of what the held end is made of: one lug, or the two cheeks of a fork."""
        middle = self.centre[2]
        if self.fork_gap_mm:
            cheek = (self.eye_width_mm - self.fork_gap_mm) / 2
            return (middle - self.eye_width_mm / 2, cheek), (middle + self.fork_gap_mm / 2, cheek)
        width = self.head_width_mm or self.eye_width_mm
        return ((middle - width / 2, width),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Bracket:
    """Plates, their welds and the pin they hold, with what was chosen by rule and why."""

    style: str
    plates: tuple[Plate, ...]
    welds: tuple[WeldRun, ...]
    pin: Pin
    chosen: tuple[Message, ...] = ()
    """One sentence for each dimension that a rule chose because the job left it out."""

    cautions: tuple[Message, ...] = ()
    """What this style must warn of, beyond the usual cautions."""

    wall: Plate | None = None
    """The rail's own wall where a base is bolted to it, with the holes that are there and those to drill: never cut."""

    packing: tuple[Plate, ...] = ()
    """Shims between a base and the rail, each as thick as the stock that it is ground from."""

    folded: "Folded | None" = None
    """Which of the plates are one that is bent; None where each is cut by itself."""

    def of_role(self, role: PlateRole) -> Plate | None:
        """The first plate of a role, the only one of a base or a backing; None where there is none."""
        return next((plate for plate in self.plates if plate.role == role), None)
