"""What a table does to one plate, before any file is written: contours cut, centres punched, lines scribed.

Everything between a plate and its cutting file takes such a part and gives one back (kerf, leads, layout), and the
writer only writes it down. A part is in its plate's own (u, v), millimetres, finished size unless kerf was allowed
for.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, TypeAlias

from plategen.bracket.model import Plate
from plategen.draw.pen import Shape
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.in_words import in_words

Layer: TypeAlias = Literal["CUT-OUTSIDE", "CUT-INSIDE", "PUNCH", "SCRIBE", "LEAD"]
OUTSIDE: Layer = "CUT-OUTSIDE"
INSIDE: Layer = "CUT-INSIDE"
PUNCH: Layer = "PUNCH"
SCRIBE: Layer = "SCRIBE"
LEAD: Layer = "LEAD"
"""What is done along a line, and the name of the layer on which files for the table have it."""

PUNCH_ARM_MM = 2.0
"""Half the width of a punch cross: long enough to find with a centre punch, and drilled away with the hole."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One closed contour the torch follows: the path of its centre, or the finished edge without kerf.

    ``lead_in`` runs from the pierce point to the contour, where a loop then begins, ``lead_out`` from it into scrap.
    """

    contour: Contour
    lead_in: Chain | None = None
    lead_out: Chain | None = None

    @property
    def length_mm(self) -> float:
        """Length of torch path, leads included."""
        return self.contour.length + sum(lead.length for lead in (self.lead_in, self.lead_out) if lead)

    def moved(self, turn: complex, shift: complex) -> "Cut":
        """Rotated by the unit complex ``turn`` about the origin, then shifted."""
        return Cut(
            self.contour.moved(turn, shift),
            self.lead_in.moved(turn, shift) if self.lead_in else None,
            self.lead_out.moved(turn, shift) if self.lead_out else None,
        )


@dataclass(frozen=True, slots=True)
class Punch:
    """The centre of a hole that is drilled by hand, marked by a cross of two lines ``2 * arm_mm`` long."""

    centre: complex
    arm_mm: float

    @property
    def lines(self) -> tuple[Line, Line]:
        """The two lines of the cross."""
        arm = self.arm_mm
        return Line(self.centre - arm, self.centre + arm), Line(self.centre - arm * 1j, self.centre + arm * 1j)


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPart:
    """One part to cut.

    Holes and openings are cut before the outside, so that the part cannot shift under them; ``scribe`` holds lines
    marked on the surface and never cut, ``words`` what the letters among them say.
    """

    name: str
    outside: Cut
    inside: tuple[Cut, ...] = ()
    punch: tuple[Punch, ...] = ()
    scribe: tuple[Chain, ...] = ()
    words: tuple[str, ...] = ()

    @property
    def spoken(self) -> str:
        """Its name as one says it."""
        return in_words(self.name)

    @property
    def cuts(self) -> tuple[Cut, ...]:
        """Every cut in the order of cutting: inside before outside."""
        return (*self.inside, self.outside)

    @property
    def area_mm2(self) -> float:
        """Area of the part: the outer contour's less its holes'."""
        return abs(self.outside.contour.area) - sum(abs(cut.contour.area) for cut in self.inside)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest u, smallest v, largest u, largest v of the outer contour."""
        return self.outside.contour.bounds

    def moved(self, turn: complex = 1 + 0j, shift: complex = 0j) -> "CutPart":
        """Rotated by the unit complex ``turn`` about the origin, then shifted; punch crosses stay square to (u, v)."""
        return replace(
            self,
            outside=self.outside.moved(turn, shift),
            inside=tuple(cut.moved(turn, shift) for cut in self.inside),
            punch=tuple(Punch(p.centre * turn + shift, p.arm_mm) for p in self.punch),
            scribe=tuple(chain.moved(turn, shift) for chain in self.scribe),
        )


def cut_part(plate: Plate, scribe: tuple[Chain, ...] = (), words: tuple[str, ...] = ()) -> CutPart:
    """The cutting of one plate at finished size, without kerf or leads; ``scribe`` are lines to mark."""
    inside: tuple[Contour, ...] = (*(hole.circle for hole in plate.holes if hole.made == "cut"), *plate.openings)
    drilled = [hole.circle for hole in plate.holes if hole.made == "drill"]
    return CutPart(
        name=plate.name,
        outside=Cut(plate.outline),
        inside=tuple(Cut(contour) for contour in inside),
        punch=tuple(Punch(hole.centre, min(PUNCH_ARM_MM, hole.radius / 2)) for hole in drilled),
        scribe=scribe,
        words=words,
    )


def travelled(contour: Contour, *, hole: bool) -> Loop:
    """The contour as a loop run the way the torch goes, the part to the right: holes anticlockwise, outside clockwise.

    The swirl of a plasma arc leaves the squarer edge on the right (common practice, no source).
    """
    loop = Loop(contour.segments)
    return loop if (loop.area > 0.0) == hole else loop.reversed()


def layered(part: CutPart) -> Iterator[tuple[Layer, Shape]]:
    """Everything that a file for the table draws of a part, in the order of cutting, each with its layer."""
    yield from ((SCRIBE, chain) for chain in part.scribe)
    yield from ((PUNCH, (line,)) for punch in part.punch for line in punch.lines)
    for cut in part.cuts:
        hole = cut is not part.outside
        if cut.lead_in:
            yield LEAD, cut.lead_in
        yield INSIDE if hole else OUTSIDE, _run(cut, hole=hole)
        if cut.lead_out:
            yield LEAD, cut.lead_out


def _run(cut: Cut, *, hole: bool) -> Contour:
    """The contour as the torch runs it: from where its lead arrives, else so that the last edge closes well."""
    contour = cut.contour
    if cut.lead_in is None:
        return contour if isinstance(contour, Circle) else _begun_after_line(travelled(contour, hole=hole))
    return _begun_at(contour, cut.lead_in.end) if isinstance(contour, Circle) else contour


def _begun_at(circle: Circle, arrival: complex) -> Loop:
    """The circle as four arcs from where the lead arrives, since a circle has no beginning in most files."""
    corners = [circle.centre + (arrival - circle.centre) * 1j**quarter for quarter in range(4)]
    return Loop(tuple(Arc(a, b, math.tan(math.pi / 8)) for a, b in pairwise((*corners, corners[0]))))


def _begun_after_line(loop: Loop) -> Loop:
    """The loop begun so that its last edge, which closes a polyline, is a line if the loop has any.

    Some readers lose the bulge of the closing edge.
    """
    lines = [i for i, segment in enumerate(loop.segments) if isinstance(segment, Line)]
    first = (lines[-1] + 1) % len(loop) if lines else 0
    return Loop(loop.segments[first:] + loop.segments[:first])
