"""How a plate between the pin and what holds it is swept, and the stresses that the load cases make in its sections.

Plane sections. Out of the plane the plate is a cantilever from its weld, or from where a plate that ties it to its
neighbour begins; below that the side moment goes down as a couple in the two plates.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks.load_path import Assembly, Carrier, bolt_holes
from plategen.design.motion import LoadCase
from plategen.flat.segment import unit
from plategen.rules.plate_section import Edges, Floats, Sections

CUTS = 12
"""Even cuts between pin and rail, beside those at corners and holes; the stress between them moves by under 1 %."""


@dataclass(frozen=True, slots=True)
class Span:
    """The part of a plate that is swept.

    Args:
        origin: The pin's centre in the plate's plane.
        direction: Unit vector of the sweep, towards what holds the plate.
        end_mm: Where the plate first meets it.
        tie_mm: Where a plate that ties it to its neighbour begins; ``end_mm`` without one.
        apart_mm: Distance to the neighbour's mid-plane; infinite without a tie.
    """

    origin: complex
    direction: complex
    end_mm: float
    tie_mm: float
    apart_mm: float


def span_of(carrier: Carrier, assembly: Assembly) -> Span | None:
    """How a pin plate is swept: square to its notch, or towards its bolts; None when nothing holds it."""
    plate, origin = carrier.plate, carrier.hole.circle.centre
    bolts = [hole.circle.centre for hole in bolt_holes(plate)]
    if plate.notch is not None:
        chord = plate.notch.end - plate.notch.start
        direction = unit(chord) * 1j
        if ((plate.notch.start - origin) * direction.conjugate()).real < 0.0:
            direction = -direction
        met = [((s.start - origin) * direction.conjugate()).real for s in plate.notch]
        met += [((s.point(0.5) - origin) * direction.conjugate()).real for s in plate.notch]
        met.append(((plate.notch.end - origin) * direction.conjugate()).real)
        end = min(met)
    elif bolts:
        middle = sum(bolts) / len(bolts)
        if abs(middle - origin) < 1e-6:
            return None  # bolts all about the pin: no section between them bends
        direction = unit(middle - origin)
        end = min(((bolt - origin) * direction.conjugate()).real for bolt in bolts)
    else:
        return None
    if end <= 0.0:
        return None
    tie, apart = end, math.inf
    if len(assembly.carriers) > 1:
        ends = [
            ((plate.placement.flat(run.placement.point(p)) - origin) * direction.conjugate()).real
            for run in assembly.ties
            if plate.name in (run.plate, run.other)
            for p in (run.path.start, run.path.end)
        ]
        if ends:
            tie = min(end, max(0.0, min(ends)))
            apart = max(math.dist(other.at, carrier.at) for other in assembly.carriers)
    return Span(origin, direction, end, tie, apart)


@dataclass(frozen=True, slots=True)
class Stresses:
    """Stresses of every case (first axis) at every cut (second), MPa, load factor not in; compression negative.

    Args:
        axial: Of the force along the sweep.
        left: Of bending in the plate's plane, at the cut's left end, and
        right: at its right end.
        weak: Of bending sideways.
        shear: Of shear in the plane, and
        twist: of the side force's twist.
    """

    axial: Floats
    left: Floats
    right: Floats
    weak: Floats
    shear: Floats
    twist: Floats

    @property
    def together(self) -> Floats:
        """Largest normal stress of each cut."""
        worst: Floats = np.maximum(np.abs(self.axial + self.left), np.abs(self.axial + self.right)) + self.weak
        return worst

    def thicker(self, times: float) -> "Stresses":
        """The stresses in a plate so many times as thick: with the thickness in its plane, with its square sideways."""
        k, k2 = 1.0 / times, 1.0 / times**2
        return Stresses(self.axial * k, self.left * k, self.right * k, self.weak * k2, self.shear * k, self.twist * k2)


def stresses(cases: Sequence[LoadCase], carrier: Carrier, span: Span, cuts: Sections) -> Stresses:
    """What the load cases do to the cuts."""
    place, t = carrier.plate.placement, cuts.thickness_mm
    force = np.array([case.force_n for case in cases])
    n = place.normal
    flat = (force @ np.array(place.u)) + 1j * (force @ np.array(place.v))
    along = carrier.share * flat * span.direction.conjugate()
    side = np.abs(force @ np.array(n))[:, None]
    at, offset = cuts.at_mm[None, :], cuts.centroid_mm[None, :]
    fn, ft = along.real[:, None], along.imag[:, None]
    moment = offset * fn - at * ft
    return Stresses(
        axial=-fn / cuts.area_mm2
        - np.sign(fn) * side * np.maximum(0.0, at - span.tie_mm) / span.apart_mm / cuts.area_mm2,
        left=moment * (cuts.last_mm - cuts.centroid_mm) / cuts.inertia_mm4,
        right=moment * (cuts.first_mm - cuts.centroid_mm) / cuts.inertia_mm4,
        weak=6.0 * side * np.minimum(at, span.tie_mm) / (cuts.width_mm * t**2),
        shear=1.5 * np.abs(ft) / cuts.area_mm2 + 0.0 * at,
        twist=3.0 * side * np.abs(offset) / (cuts.width_mm * t**2),
    )


def edges_of(plate: Plate) -> Edges:
    """All edges of a plate: outline, openings and holes."""
    segments = [*plate.outline, *(segment for opening in plate.openings for segment in opening)]
    return Edges.of(segments, [hole.circle for hole in plate.holes])
