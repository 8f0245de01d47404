"""Every section of a plate between the pin and what holds it: bending, axial force, side force and shear.

Plane sections, first yield: axial force, bending in the plate's plane and bending out of it each take their share of
what they alone may be, and the shares are added: compression against buckling sideways, bending in the plane against
turning over sideways, bending sideways against yield and larger by what the compression bows it. No plastic reserve is
used. Out of the plane the plate is a cantilever from its weld, or from where a plate that ties it to its neighbour
begins; below that the side moment goes down as a couple in the two plates.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import ALIKE, Check, Finding, part
from plategen.checks.load_path import Assembly, Carrier, bolt_holes, tab_carrier
from plategen.checks.setting import REMEMBERED, Setting
from plategen.checks.view import View
from plategen.design.motion import LoadCase
from plategen.flat.segment import unit
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, message, mm, number, size
from plategen.ground.space import dot, minus
from plategen.rules.column import aisc_bending_stress_mpa, aisc_stress_mpa, en_bending_stress_mpa, en_stress_mpa
from plategen.rules.material import YOUNG_MPA, Steel
from plategen.rules.plate_section import Edges, Floats, Sections, cut_sections, sweep_places
from plategen.rules.safety import AISC, YIELDING

SECTION = Check(
    "plate section",
    "section",
    "1",
    source=f"{AISC} H2 with E3 and F11 at first yield",
    en_source="EN 1993-1-1:2005 6.3.3 at first yield",
)
SHEAR = Check("plate shear", "section", "MPa", source=f"{AISC} G1: 0.6 Fy", en_source="EN 1993-1-1:2005 6.2.6")
CHECKS = (SECTION, SHEAR)
"""The checks of this file."""

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
    return float(np.trapezoid(at * past * soft, at) / (2.0 * np.trapezoid(past**2 * soft, at)))


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


def slenderness(span: Span, thickness_mm: float) -> float:
    """Slenderness sideways: a cantilever, K = 2, from the pin to its weld or tie."""
    return 2.0 * span.tie_mm * math.sqrt(12.0) / thickness_mm


def check_sections(setting: Setting) -> Iterator[Finding]:
    """Every finding about the pin plates' bodies, and about tabs past their bolts, where each takes it all."""
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            yield from _sections(setting, carrier, assembly)
    for assembly, joint in setting.bolted:
        tab = tab_carrier(joint, assembly.carriers, setting.bracket.pin.centre)
        if tab is not None:
            yield from _sections(setting, tab, assembly, [hole.circle.centre for hole in joint.lower_holes])


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

    def used(self, view: View, thickness_mm: float) -> Normal:
        """Which shares a plate of a thickness uses of its strengths against buckling, turning over, and yield sideways.

        AISC 360 H2: fa/Fca + fbw/Fcbw + fbz/Fcbz, Fca by E3 with K = 2, Fcbw by F11 with Lb from pin to weld, fbz
        amplified by 1/(1 - alpha fa/Fe), alpha 1.6 (ASD) or 1.0 (C2, appendix 8). EN 1993-1-1 6.3.3 with chi, chi_LT
        and the amplification of 5.2.2(5) in place of its factors k.
        """
        stress, steel, span = self.thicker(thickness_mm), self.steel, self.span
        factor, thin, fy = view.factor, slenderness(span, thickness_mm), _available(steel.fy_mpa, view)
        column = _available((en_stress_mpa if view.en else aisc_stress_mpa)(thin, steel.fy_mpa), view)
        turns = en_bending_stress_mpa if view.en else aisc_bending_stress_mpa
        depths = self.cuts.width_mm.tolist()
        lateral = np.array([_available(turns(span.end_mm, d, thickness_mm, steel.fy_mpa), view) for d in depths])
        pushed = np.maximum(0.0, -stress.axial).max(axis=1, keepdims=True) * factor
        left_over = 1.0 - (1.6 if view.rules == "aisc-asd" else 1.0) * pushed * thin**2 / (math.pi**2 * YOUNG_MPA)
        with np.errstate(divide="ignore", invalid="ignore"):
            bowed = np.where(left_over > 0.0, 1.0 / left_over, np.inf)
            weak = np.where(stress.weak > 0.0, stress.weak * bowed, 0.0) * factor / fy
        axial = stress.axial * factor / np.where(stress.axial < 0.0, column, fy)
        return Normal(axial, stress.left * factor / lateral, stress.right * factor / lateral, weak)

    def from_pin(self, cut: int) -> Message:
        """Where a cut lies, in words."""
        return message("worst cut {} from the pin", mm(float(self.cuts.at_mm[cut])))


def _sections(
    setting: Setting, carrier: Carrier, assembly: Assembly, past: Sequence[complex] = ()
) -> Iterator[Finding]:
    """Section and shear of a pin plate's body; of a tab the part past its bolts (``past``)."""
    swept = swept_of(setting, carrier, assembly, past)
    if swept is None:
        return
    sheared = worst_of(swept.stresses.shear + swept.stresses.twist)
    for view in setting:
        yield _bent(setting, view, swept)
        yield _sheared(setting, view, swept, *sheared)


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


@lru_cache(maxsize=REMEMBERED)
def _worst_share(swept: Swept, view: View) -> tuple[Normal, float, tuple[int, int]]:
    share = swept.used(view, swept.thickness_mm)
    return share, *worst_of(share.together)


def _bent(setting: Setting, view: View, swept: Swept) -> Finding:
    t0, span = swept.thickness_mm, swept.span
    share, most, at = _worst_share(swept, view)
    bent = max(abs(share.left[at]), abs(share.right[at]))
    aside: Message | str = message("{} of bending sideways", number(float(share.weak[at])))
    if math.isinf(share.weak[at]):
        aside = "the compression alone buckles it sideways"
    return view.strength(
        SECTION,
        part(swept.plate),
        most,
        1.0,
        assumed=message(
            "{}: {} of axial force, {} of bending in the plane, {}; {}, the whole side force on this plate; "
            "slenderness {} as free at its end (K = 2), {} from pin to weld (Lb)",
            swept.from_pin(at[1]),
            number(abs(float(share.axial[at]))),
            number(float(bent)),
            aside,
            _tied(span),
            number(slenderness(span, t0)),
            mm(span.end_mm),
        ),
        case=swept.cases[at[0]],
        cure=lambda: _stiffer(
            setting, swept, share.weak[at] > most / 2.0, lambda t: float(swept.used(view, t).together.max()) <= 1.0
        ),
    )


def _tied(span: Span) -> str:
    if math.isfinite(span.cross_mm):
        return "tied to its neighbour by the crosshead"
    return f"tied to {span.tied_to}" if span.tied_to else "not tied to its neighbour"


def _sheared(setting: Setting, view: View, swept: Swept, most: float, at: tuple[int, int]) -> Finding:
    can = (1 / math.sqrt(3.0) if view.en else 0.6) * _available(swept.steel.fy_mpa, view)

    def carries(thickness_mm: float) -> bool:
        thicker = swept.thicker(thickness_mm)
        return float((thicker.shear + thicker.twist).max()) * view.factor <= can

    return view.strength(
        SHEAR,
        part(swept.plate),
        most * view.factor,
        can,
        assumed=message("1.5 V/A with the twist of the side force; {}", swept.from_pin(at[1])),
        case=swept.cases[at[0]],
        cure=lambda: _thicker(setting, swept, carries),
    )


def _stiffer(setting: Setting, swept: Swept, aside: bool, holds: Callable[[float], bool]) -> Cure:
    """A thicker plate; where most of it is bending sideways and nothing ties an ear, a gusset as well."""
    thicker, job = _thicker(setting, swept, holds), setting.job
    if not aside or swept.span.tied_to or not job.takes_gussets:
        return thicker
    return Cure(message("{}, or a gusset behind each ear ([gusset])", thicker.advice), thicker.changes)


def _thicker(setting: Setting, swept: Swept, holds: Callable[[float], bool]) -> Cure:
    thick = larger.size_that_holds(setting, swept.thickness_mm, holds)
    if thick is None:
        return advise("a wider plate, or the pin nearer to the rail")
    return set_to(larger.thickness_key(setting, swept.plate), size(thick), "thickness to {}")


def worst_of(values: Floats) -> tuple[float, tuple[int, int]]:
    """The largest of values by case and place, with both; of those that rounding alone tells apart the first."""
    index = int(np.argmax(values >= values.max() * (1.0 - ALIKE)))  # the first of those alike
    case, cut = divmod(index, values.shape[1])
    return float(values[case, cut]), (case, cut)


def _available(stress_mpa: float, view: View) -> float:
    """What of a stress at yield or buckling may be used; gamma_M0 and gamma_M1 of EN 1993 are 1."""
    return stress_mpa if view.en else YIELDING.available(stress_mpa, view.rules)
