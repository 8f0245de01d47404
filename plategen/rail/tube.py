"""A round or square tube that plates stand on, exact: it is known by its size and needs no trace.

Its axis lies along the cylinder (leaning, if at all, in the plates' plane) or along the pin. Cut by a plane across the
pin, a tube along the cylinder gives a straight line, by the chord of its section at that distance beside its axis; a
tube along the pin gives its own section, of which the half towards the cylinder counts.
"""

import cmath
import math
from dataclasses import dataclass, replace
from typing import TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.cure import advise
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector, cross, minus
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace

_LEAST_ROUNDING_MM = 1e-6


@dataclass(frozen=True, slots=True, kw_only=True)
class Tube:
    """A straight tube."""

    round: bool  # True for a round tube, False for a square one.
    across_mm: float  # Outside diameter, or side.
    corner_mm: float  # Outside corner radius of a square tube.
    wall_mm: float  # Thickness of its wall.
    along_pin: bool  # True when it runs along the pin, False when along the cylinder.
    lean_rad: float  # Turn of its axis from u towards v, for a tube along the cylinder.
    axis: complex  # Where its axis passes in the plates' plane: at the pin's station, or where it crosses.
    axis_w_mm: float  # Place of its axis along the pin, for a tube along the cylinder.
    # From where to where along the axis it is drawn, from ``axis`` (for a tube along the pin: w).
    shown_mm: tuple[float, float]
    # How far a square tube's near side reaches beside the axis, where it is a plate on a tube that is wider or narrower
    # than the tube is high; half of ``across_mm`` when 0.
    half_width_mm: float = 0.0

    @property
    def traces(self) -> tuple[FittedTrace, ...]:
        """A tube is not traced."""
        return ()

    @property
    def inline_offset_mm(self) -> float:
        """From the tube's axis to the cylinder's centre line."""
        return self.axis.imag

    def grown(self, by_mm: float, half_width_mm: float = 0.0) -> "Tube":
        """The surface ``by_mm`` outside this one: a wider round tube, or a flat plate of a half width on this one."""
        return replace(self, across_mm=self.across_mm + 2.0 * by_mm, half_width_mm=half_width_mm)

    def height(self, beside_mm: float) -> float:
        """From the axis to the surface, square to the tube, at a distance beside the axis.

        Round: half the chord, sqrt(R^2 - x^2). Square: half the side, and round the corner
        (a - r) + sqrt(r^2 - (x - (a - r))^2) with a half the side.

        Raises:
            Refusal: If that lies beside the tube.
        """
        x, a = abs(beside_mm), self.across_mm / 2
        half = self.half_width_mm or a
        if x >= half:
            other = advise('a narrower eye, a pad, or hold = "clamp"')
            words = "the tabs stand {} beside the tube's middle, what carries them reaches {}; right is: {}"
            raise Refusal(message(words, mm(x), mm(half, "down"), other.advice), "seat.axis", cure=other)
        if self.half_width_mm:
            return a
        if self.round:
            return math.sqrt((a - x) * (a + x))
        flat = a - self.corner_mm
        return a if x <= flat else flat + math.sqrt(max(0.0, self.corner_mm**2 - (x - flat) ** 2))

    def slope(self, w_mm: float) -> float:
        """Tangent of the surface's slant at a place along the pin, positive where it recedes towards larger w."""
        if self.along_pin or self.half_width_mm:
            return 0.0
        x, a = w_mm - self.axis_w_mm, self.across_mm / 2
        if self.round:
            return x / self.height(x)
        over = abs(x) - (a - self.corner_mm)
        if over <= 0.0:
            return 0.0
        return math.copysign(over / math.sqrt(max(self.corner_mm**2 - over**2, 1e-12)), x)

    def section(self, w_mm: float) -> Chain:
        """The near side of the tube's section across the pin, in the plate frame, metal on the left."""
        if self.along_pin:
            return self._near_half()
        along = cmath.rect(1.0, self.lean_rad)
        first, last = (self.axis + along * s - 1j * along * self.height(w_mm - self.axis_w_mm) for s in self.shown_mm)
        return Chain((Line(first, last),))

    def profile(self) -> Circle | Loop:
        """The outside of its section about (0, 0)."""
        return self._outline(self.across_mm, self.corner_mm)

    def bore(self) -> Circle | Loop:
        """The inside of its section about (0, 0)."""
        return self._outline(self.across_mm - 2 * self.wall_mm, max(self.corner_mm - self.wall_mm, 0.0))

    @property
    def direction(self) -> Vector:
        """Unit vector along the axis."""
        return (0.0, 0.0, 1.0) if self.along_pin else (math.cos(self.lean_rad), math.sin(self.lean_rad), 0.0)

    def across(self, at_mm: float) -> Placement:
        """The plane square to the axis at a place along it; its normal runs along the tube, its v from the cylinder."""
        if self.along_pin:
            return Placement((self.axis.real, self.axis.imag, at_mm), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
        c, s = math.cos(self.lean_rad), math.sin(self.lean_rad)
        origin = (self.axis.real + c * at_mm, self.axis.imag + s * at_mm, self.axis_w_mm)
        return Placement(origin, (0.0, 0.0, -1.0), (-s, c, 0.0))

    def facing(self, height_mm: float, *, far: bool = False) -> Placement:
        """The plane that faces the cylinder at a height over the axis: u along the tube, the normal away from it.

        ``far``: the plane on the tube's far side, with its normal away from the cylinder.
        """
        plane = self.across(0.0)
        away = plane.v if far else minus((0.0, 0.0, 0.0), plane.v)
        x, y, z = plane.origin
        origin = (x + height_mm * away[0], y + height_mm * away[1], z + height_mm * away[2])
        return Placement(origin, self.direction, cross(away, self.direction))

    def _near_half(self) -> Chain:
        """The half of the section that faces the cylinder, walked towards growing u."""
        a, r = self.across_mm / 2, self.corner_mm
        if self.half_width_mm:
            half = self.half_width_mm
            return Chain((Line(complex(-half, -a), complex(half, -a)),)).moved(shift=self.axis)
        if self.round:
            return Chain((Arc(self.axis - a, self.axis + a, 1.0),))
        flat, bend = a - r, math.tan(math.pi / 8)
        edges: list[Segment] = [Line(complex(-flat, -a), complex(flat, -a))]
        if r > _LEAST_ROUNDING_MM:
            first = Arc(complex(-a, -flat), complex(-flat, -a), bend)
            edges = [first, *edges, Arc(complex(flat, -a), complex(a, -flat), bend)]
        return Chain(tuple(edges)).moved(shift=self.axis)

    def _outline(self, across_mm: float, corner_mm: float) -> Circle | Loop:
        if self.round:
            return Circle(0j, across_mm / 2)
        a, r = across_mm / 2, corner_mm
        edges: list[Segment] = []
        for quarter in range(4):
            turn = 1j**quarter
            edges.append(Line(complex(-(a - r), -a) * turn, complex(a - r, -a) * turn))
            if r > _LEAST_ROUNDING_MM:
                edges.append(Arc(complex(a - r, -a) * turn, complex(a, -(a - r)) * turn, math.tan(math.pi / 8)))
        return Loop(tuple(edges))


Surface: TypeAlias = Rail | Tube
"""What a bracket stands on."""
