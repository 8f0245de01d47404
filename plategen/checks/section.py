"""Bending, axial force, side force and shear on every section of a plate between the pin and what holds it.

Plane sections, first yield: the stresses of axial force, bending in the plate's plane and bending out of it are added,
no plastic reserve is used. Out of the plane the plate is a cantilever from its weld, or from where a plate that ties
it to its neighbour begins; below that the side moment goes down as a couple in the two plates.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks.load_path import Assembly, Carrier, bolt_holes
from plategen.flat.segment import unit
from plategen.strength.column import aisc_stress_mpa, en_stress_mpa
from plategen.strength.finding import Finding
from plategen.strength.material import Steel
from plategen.strength.plate_bending import aisc_bending_stress_mpa, en_bending_stress_mpa
from plategen.strength.plate_section import Sections, cut_sections, sweep_places
from plategen.strength.reach import Edges, Floats
from plategen.strength.safety import AISC, YIELDING, RuleSet
from plategen.strength.setting import Setting

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
    """Stresses of every case (first axis) at every cut (second), MPa, load factor not in; compression negative."""

    axial: Floats
    bending: Floats
    together: Floats
    shear: Floats


def stresses(setting: Setting, carrier: Carrier, span: Span, cuts: Sections) -> Stresses:
    """What the load cases do to the cuts."""
    place, t = carrier.plate.placement, cuts.thickness_mm
    force = np.array([case.force_n for case in setting.cases])
    n = place.normal
    flat = (force @ np.array(place.u)) + 1j * (force @ np.array(place.v))
    along = carrier.share * flat * span.direction.conjugate()
    side = np.abs(force @ np.array(n))[:, None]
    at, offset = cuts.at_mm[None, :], cuts.centroid_mm[None, :]
    fn, ft = along.real[:, None], along.imag[:, None]
    axial = -fn / cuts.area_mm2 - np.sign(fn) * side * np.maximum(0.0, at - span.tie_mm) / span.apart_mm / cuts.area_mm2
    moment = offset * fn - at * ft
    right = moment * (cuts.first_mm - cuts.centroid_mm) / cuts.inertia_mm4
    left = moment * (cuts.last_mm - cuts.centroid_mm) / cuts.inertia_mm4
    weak = 6.0 * side * np.minimum(at, span.tie_mm) / (cuts.width_mm * t**2)
    bending = np.maximum(np.abs(left), np.abs(right))
    together = np.maximum(np.abs(axial + left), np.abs(axial + right)) + weak
    twist = 3.0 * side * np.abs(offset) / (cuts.width_mm * t**2)
    shear = 1.5 * np.hypot(ft, 0.0) / cuts.area_mm2 + twist
    return Stresses(axial, bending, together, shear)


def check_sections(
    setting: Setting, carrier: Carrier, assembly: Assembly, edges: Edges, steel: Steel, past: Sequence[complex] = ()
) -> Iterator[Finding]:
    """Every finding about a pin plate's body; of a tab the part past its bolts (``past``), which takes it all."""
    plate = carrier.plate
    span = span_of(carrier, assembly)
    if span is None:
        return
    places = sweep_places(
        plate.outline, (h.circle for h in plate.holes), span.origin, span.direction, span.end_mm, CUTS
    )
    if past:
        first = max(((p - span.origin) * span.direction.conjugate()).real for p in past)
        places = [max(0.0, first), *(at for at in places if at > first)]
    cuts = cut_sections(edges, plate.thickness_mm, span.origin, span.direction, places)
    if not len(cuts.at_mm):
        return
    found = stresses(setting, carrier, span, cuts)
    tied = "tied to its neighbour" if math.isfinite(span.apart_mm) else "not tied to its neighbour"
    together, where = _worst(found.together)
    shear, shear_at = _worst(found.shear)
    bending, bending_at = _worst(found.bending)
    pushed, pushed_at = _worst(np.maximum(0.0, -found.axial))
    depth = float(cuts.width_mm[bending_at[1]])
    thin = 2.0 * span.tie_mm * math.sqrt(12.0) / plate.thickness_mm
    worst_cut = setting.show.length(float(cuts.at_mm[where[1]]))
    names = [case.name for case in setting.cases]
    for view in setting:
        rules = view.rules
        en = rules == "en-1993"
        for check, stress, place, capacity, power, source, assumed in (
            (
                "plate section",
                together,
                where,
                _yield(steel, rules),
                1.0,
                "EN 1993-1-1:2005 6.2.1(7)" if en else f"{AISC} H2 with E3, F11 at first yield",
                f"{tied}; the whole side force on this plate; worst cut {worst_cut} from the pin",
            ),
            (
                "plate shear",
                shear,
                shear_at,
                (1 / math.sqrt(3.0) if en else 0.6) * _yield(steel, rules),
                1.0,
                "EN 1993-1-1:2005 6.2.6" if en else f"{AISC} G1: 0.6 Fy",
                "1.5 V/A with the twist of the side force",
            ),
            (
                "plate turning over sideways",
                bending,
                bending_at,
                _lateral(steel, rules, span.end_mm, depth, plate.thickness_mm),
                3.0,
                "EN 1993-1-1:2005 6.3.2.2" if en else f"{AISC} F11.2",
                f"Lb = {setting.show.length(span.end_mm)}, pin to weld; bending in the plate's plane",
            ),
            (
                "plate as a column",
                pushed,
                pushed_at,
                _column(steel, rules, thin),
                1.0,
                "EN 1993-1-1:2005 6.3.1, curve c" if en else f"{AISC} E3",
                f"K = 2, slenderness {thin:.0f}, {tied}",
            ),
        ):
            demand = stress * view.factor
            yield Finding(
                check=check,
                part=plate.name,
                demand=demand,
                capacity=capacity,
                unit="MPa",
                source=source,
                assumed=f"{assumed}; {view.loads}",
                case=names[place[0]],
                cure=_cure(setting, plate, demand, capacity, power),
                opinion=view.opinion,
            )


def _cure(setting: Setting, plate: Plate, demand: float, capacity: float, power: float) -> str:
    if demand <= capacity:
        return ""
    return f"thickness to {setting.up(plate.thickness_mm * (demand / capacity) ** (1.0 / power))}"


def _worst(values: Floats) -> tuple[float, tuple[int, int]]:
    """The largest value, and its case and cut."""
    index = int(np.argmax(values))
    case, cut = divmod(index, values.shape[1])
    return float(values[case, cut]), (case, cut)


def _yield(steel: Steel, rules: RuleSet) -> float:
    return steel.fy_mpa if rules == "en-1993" else YIELDING.available(steel.fy_mpa, rules)


def _lateral(steel: Steel, rules: RuleSet, length_mm: float, depth_mm: float, thickness_mm: float) -> float:
    if rules == "en-1993":
        return en_bending_stress_mpa(length_mm, depth_mm, thickness_mm, steel.fy_mpa)
    return YIELDING.available(aisc_bending_stress_mpa(length_mm, depth_mm, thickness_mm, steel.fy_mpa), rules)


def _column(steel: Steel, rules: RuleSet, slenderness: float) -> float:
    if rules == "en-1993":
        return en_stress_mpa(slenderness, steel.fy_mpa)
    return YIELDING.available(aisc_stress_mpa(slenderness, steel.fy_mpa), rules)
