"""A plate's body swept from the pin to what holds it: where it is cut, and the stresses that the load makes there.

Out of the plane the plate is a cantilever from its weld, or from where a plate that ties it to its neighbour begins;
below that the side moment goes down as a couple in the two plates.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks.load_path import Assembly, Carrier, bolt_holes
from plategen.checks.setting import REMEMBERED, Setting
from plategen.design.motion import LoadCase
from plategen.flat.segment import unit
from plategen.ground.message import Message, message, mm
from plategen.ground.space import dot, minus
from plategen.rules.material import Steel
from plategen.rules.plate_section import Edges, Floats, Sections, added_up, cut_sections, sweep_places

CUTS = 12
"""Even cuts between pin and rail, beside those at corners and holes; the stress between them moves by under 1 %."""


_EVEN = 65  # places at which the lean of two ears that are tied is added up


@dataclass(frozen=True, slots=True)
class Span:
    """The part of a plate that is swept."""

    origin: complex  # The pin's centre in the plate's plane.
    direction: complex  # Unit vector of the sweep, towards what holds the plate.
    end_mm: float  # Where the plate first meets it.
    tie_mm: float  # Where a plate that ties it to its neighbour begins; ``end_mm`` without one.
    apart_mm: float  # Distance to the neighbour's mid-plane, or to the middle of a gusset's foot; infinite without.
    tied_to: str = ""  # ``"its neighbour"``, or ``"a gusset"``; "" without either.
    cross_mm: float = math.inf  # Where a crosshead hands on to the neighbour; infinite without one.


def span_of(carrier: Carrier, assembly: Assembly) -> Span | None:
    """How a pin plate is swept: square to its notch, or towards its bolts; None when nothing holds it."""
    plate, origin = carrier.plate, carrier.hole.circle.centre
    bolts = [hole.circle.centre for hole in bolt_holes(plate)]
    if plate.notch is not None:
        chord = plate.notch.end - plate.notch.start
        direction = unit(chord) * 1j
        if ((plate.notch.start - origin) * direction.conjugate()).real < 0.0:
            direction = -direction
        met = [plate.notch.end, *(p for s in plate.notch for p in (s.start, s.point(0.5)))]
    elif bolts:
        middle = sum(bolts) / len(bolts)
        if abs(middle - origin) < 1e-6:
            return None  # bolts all about the pin: no section between them bends
        direction = unit(middle - origin)
        met = bolts
    else:
        return None
    end = min(((p - origin) * direction.conjugate()).real for p in met)
    if end <= 0.0:
        return None
    ribs = {each.name: each for each in assembly.plates if each.role == "gusset"}
    pair = len(assembly.carriers) > 1
    runs = [run for run in assembly.ties if plate.name in (run.plate, run.other) and (pair or run.plate in ribs)]
    if not runs:
        return Span(origin, direction, end, end, math.inf)
    ends = [
        ((plate.placement.flat(run.placement.point(p)) - origin) * direction.conjugate()).real
        for run in runs
        for p in (run.path.start, run.path.end)
    ]
    tie = min(end, max(0.0, min(ends)))
    neighbours = [math.dist(other.at, carrier.at) for other in assembly.carriers]
    feet = [_out_mm(carrier, ribs[run.plate]) for run in runs if run.plate in ribs]
    apart = min((*([max(neighbours)] if pair else []), *feet))
    return Span(origin, direction, end, tie, apart, "a gusset" if feet else "its neighbour")


def _out_mm(carrier: Carrier, rib: Plate) -> float:
    """From an ear's mid-plane to the middle of a gusset's foot."""
    assert rib.notch is not None
    foot = rib.placement.point((rib.notch.start + rib.notch.end) / 2, rib.thickness_mm / 2.0)
    return abs(dot(carrier.plate.placement.normal, minus(foot, carrier.at)))


def _crossed(span: Span, ear: Plate, across: Plate) -> Span:
    """The span of an ear that a crosshead ties to its neighbour, above where anything else holds it."""
    middle = ear.placement.flat(across.placement.point(0j, across.thickness_mm / 2.0))
    at = ((middle - span.origin) * span.direction.conjugate()).real
    return replace(span, cross_mm=max(0.0, at)) if at < span.tie_mm else span


def handed_on(span: Span, cuts: Sections) -> float:
    """Share of the side force on one ear that a crosshead takes to the other; 0 without one.

    Two cantilevers of the same stiffness EI(x), hinged together at c: half of what the one would lean there alone, over
    what it leans for a force there, integral(x (x - c) / EI) / (2 integral((x - c)^2 / EI)).
    """
    if not math.isfinite(span.cross_mm):
        return 0.0
    at = np.linspace(span.cross_mm, span.tie_mm, _EVEN)
    past, soft = at - span.cross_mm, 1.0 / np.interp(at, cuts.at_mm, cuts.width_mm)
    return float(added_up(at * past * soft, at) / (2.0 * added_up(past**2 * soft, at)))


def tie_arm(assembly: Assembly) -> float | None:
    """Couple along the runs that tie two ears, over the side force that they carry: that of the ear which asks more.

    None where nothing ties them.
    """
    spans = (span_of(carrier, assembly) for carrier in assembly.carriers)
    tied = [span for span in spans if span is not None and math.isfinite(span.apart_mm)]
    return max(((span.end_mm - span.tie_mm) / span.apart_mm for span in tied), default=None)


@dataclass(frozen=True, slots=True)
class Normal:
    """What lies along the sweep, of every case (first axis) at every cut (second): stresses, or shares of strengths."""

    axial: Floats  # Of the force along the sweep; compression negative.
    left: Floats  # Of bending in the plate's plane, at the cut's left end, and
    right: Floats  # at its right end.
    weak: Floats  # Of bending sideways.

    @property
    def together(self) -> Floats:
        """The sum where it is largest."""
        worst: Floats = np.maximum(np.abs(self.axial + self.left), np.abs(self.axial + self.right)) + self.weak
        return worst


@dataclass(frozen=True, slots=True)
class Stresses(Normal):
    """The stresses, MPa, load factor not in: the normal ones, those of shear in the plane and of the side's twist."""

    shear: Floats
    twist: Floats

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
    leaning = np.minimum(at, span.tie_mm)
    handed = handed_on(span, cuts) * np.maximum(0.0, leaning - min(span.cross_mm, span.tie_mm))
    fn, ft = along.real[:, None], along.imag[:, None]
    moment = offset * fn - at * ft
    return Stresses(
        axial=-fn / cuts.area_mm2
        - np.sign(fn) * side * np.maximum(0.0, at - span.tie_mm) / span.apart_mm / cuts.area_mm2,
        left=moment * (cuts.last_mm - cuts.centroid_mm) / cuts.inertia_mm4,
        right=moment * (cuts.first_mm - cuts.centroid_mm) / cuts.inertia_mm4,
        # of two ears that a crosshead ties, the one with the side force or the other
        weak=6.0 * side * np.maximum(np.abs(leaning - handed), handed) / (cuts.width_mm * t**2),
        shear=1.5 * np.abs(ft) / cuts.area_mm2 + 0.0 * at,
        twist=3.0 * side * np.abs(offset) / (cuts.width_mm * t**2),
    )


def edges_of(plate: Plate) -> Edges:
    """All edges of a plate: outline, openings and holes."""
    segments = [*plate.outline, *(segment for opening in plate.openings for segment in opening)]
    return Edges.of(segments, [hole.circle for hole in plate.holes])


@dataclass(frozen=True, slots=True, eq=False)
class Swept:
    """A plate's body, swept: its stresses, and what they are judged with."""

    plate: str
    steel: Steel
    thickness_mm: float
    span: Span
    cuts: Sections
    stresses: Stresses
    cases: list[Message | str]

    def thicker(self, thickness_mm: float) -> Stresses:
        """The stresses in a plate of another thickness."""
        return self.stresses.thicker(thickness_mm / self.thickness_mm)

    def from_pin(self, cut: int) -> Message:
        """Where a cut lies, in words."""
        return message("worst cut {} from the pin", mm(float(self.cuts.at_mm[cut])))


def swept_of(setting: Setting, carrier: Carrier, assembly: Assembly, past: Sequence[complex] = ()) -> Swept | None:
    """A pin plate's body, swept, or the part of a tab past its bolts (``past``); None where nothing holds it."""

    def sweep() -> Swept | None:
        span, steel = span_of(carrier, assembly), setting.steels[carrier.plate.name]
        across = setting.bracket.of_role("crosshead")
        if span is not None and across is not None:
            span = _crossed(span, carrier.plate, across)
        return None if span is None else _swept(carrier, span, steel, setting.cases, tuple(past))

    return setting.once(("swept", carrier.plate.name), sweep)


@lru_cache(maxsize=REMEMBERED)
def _swept(
    carrier: Carrier, span: Span, steel: Steel, cases: tuple[LoadCase, ...], past: tuple[complex, ...]
) -> Swept | None:
    plate = carrier.plate
    places = sweep_places(
        plate.outline, (h.circle for h in plate.holes), span.origin, span.direction, span.end_mm, CUTS
    )
    if past:
        first = max(((p - span.origin) * span.direction.conjugate()).real for p in past)
        places = [max(0.0, first), *(at for at in places if at > first)]
    cuts = cut_sections(edges_of(plate), plate.thickness_mm, span.origin, span.direction, places)
    if not len(cuts.at_mm):
        return None
    return Swept(
        plate=plate.name,
        steel=steel,
        thickness_mm=plate.thickness_mm,
        span=span,
        cuts=cuts,
        stresses=stresses(cases, carrier, span, cuts),
        cases=[case.name for case in cases],
    )
