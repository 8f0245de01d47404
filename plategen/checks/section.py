"""Every section of a plate between the pin and what holds it: bending, axial force, side force and shear.

Plane sections, first yield: axial force, bending in the plate's plane and bending out of it each take their share of
what they alone may be, and the shares are added: compression against buckling sideways, bending in the plane against
turning over sideways, bending sideways against yield and larger by what the compression bows it. No plastic reserve is
used.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from plategen.checks.finding import ALIKE, Check, Finding, part
from plategen.checks.load_path import Assembly, Carrier, tab_carrier
from plategen.checks.section_stress import CUTS, Span, Stresses, edges_of, span_of, stresses
from plategen.checks.setting import Setting, View
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, message, mm, number, size
from plategen.rules.column import aisc_bending_stress_mpa, aisc_stress_mpa, en_bending_stress_mpa, en_stress_mpa
from plategen.rules.material import YOUNG_MPA, Steel
from plategen.rules.plate_section import Floats, cut_sections, sweep_places
from plategen.rules.safety import AISC, YIELDING, RuleSet

SECTION = Check(
    "plate section",
    "section",
    "1",
    source=f"{AISC} H2 with E3 and F11 at first yield",
    en_source="EN 1993-1-1:2005 6.3.3 at first yield",
)
SHEAR = Check("plate shear", "section", "MPa", source=f"{AISC} G1: 0.6 Fy", en_source="EN 1993-1-1:2005 6.2.6")

CHECKS = (SECTION, SHEAR)


@dataclass(frozen=True, slots=True)
class Used:
    """Shares of what a plate may take, of every case at every cut: of axial force, and of bending in and out of plane.

    Args:
        axial: Compression against buckling, tension against yield; compression negative.
        left: Bending in the plane against turning over, at the cut's left end, and
        right: at its right end.
        weak: Bending sideways against yield, larger by the bow of the compression.
    """

    axial: Floats
    left: Floats
    right: Floats
    weak: Floats

    @property
    def together(self) -> Floats:
        """The sum of the shares where it is largest."""
        worst: Floats = np.maximum(np.abs(self.axial + self.left), np.abs(self.axial + self.right)) + self.weak
        return worst


def used(stress: Stresses, view: View, steel: Steel, span: Span, widths_mm: Floats, thickness_mm: float) -> Used:
    """What the stresses use of a plate's strength.

    AISC 360 H2: fa/Fca + fbw/Fcbw + fbz/Fcbz, Fca by E3 with K = 2, Fcbw by F11 with Lb from pin to weld, fbz amplified
    by 1/(1 - alpha fa/Fe), alpha 1.6 (ASD) or 1.0 (C2, appendix 8). EN 1993-1-1 6.3.3 with chi, chi_LT and the
    amplification of 5.2.2(5) in place of its factors k.
    """
    rules, factor = view.rules, view.factor
    thin = slenderness(span, thickness_mm)
    fy, column = _yield(steel, rules), _column(steel, rules, thin)
    lateral = np.array([_lateral(steel, rules, span.end_mm, depth, thickness_mm) for depth in widths_mm.tolist()])
    pushed = np.maximum(0.0, -stress.axial).max(axis=1, keepdims=True) * factor
    left_over = 1.0 - (1.6 if rules == "aisc-asd" else 1.0) * pushed * thin**2 / (math.pi**2 * YOUNG_MPA)
    with np.errstate(divide="ignore", invalid="ignore"):
        bowed = np.where(left_over > 0.0, 1.0 / left_over, np.inf)
        weak = np.where(stress.weak > 0.0, stress.weak * bowed, 0.0) * factor / fy
    axial = stress.axial * factor / np.where(stress.axial < 0.0, column, fy)
    return Used(axial, stress.left * factor / lateral, stress.right * factor / lateral, weak)


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


@dataclass(frozen=True, slots=True)
class _Swept:
    """A plate's body, swept: its stresses, and what they are judged with."""

    plate: str
    steel: Steel
    thickness_mm: float
    span: Span
    at_mm: Floats
    width_mm: Floats
    stresses: Stresses
    cases: list[Message | str]

    def thicker(self, thickness_mm: float) -> Stresses:
        """The stresses in a plate of another thickness."""
        return self.stresses.thicker(thickness_mm / self.thickness_mm)

    def used(self, view: View, thickness_mm: float) -> Used:
        """The shares that a plate of a thickness uses."""
        return used(self.thicker(thickness_mm), view, self.steel, self.span, self.width_mm, thickness_mm)

    def from_pin(self, cut: int) -> Message:
        """Which cut it is."""
        return message("worst cut {} from the pin", mm(float(self.at_mm[cut])))


def _sections(
    setting: Setting, carrier: Carrier, assembly: Assembly, past: Sequence[complex] = ()
) -> Iterator[Finding]:
    """Section and shear of a pin plate's body; of a tab the part past its bolts (``past``)."""
    plate, span = carrier.plate, span_of(carrier, assembly)
    if span is None:
        return
    places = sweep_places(
        plate.outline, (h.circle for h in plate.holes), span.origin, span.direction, span.end_mm, CUTS
    )
    if past:
        first = max(((p - span.origin) * span.direction.conjugate()).real for p in past)
        places = [max(0.0, first), *(at for at in places if at > first)]
    cuts = cut_sections(edges_of(plate), plate.thickness_mm, span.origin, span.direction, places)
    if not len(cuts.at_mm):
        return
    swept = _Swept(
        plate=plate.name,
        steel=setting.steels[plate.name],
        thickness_mm=plate.thickness_mm,
        span=span,
        at_mm=cuts.at_mm,
        width_mm=cuts.width_mm,
        stresses=stresses(setting.cases, carrier, span, cuts),
        cases=[case.name for case in setting.cases],
    )
    sheared = _worst(swept.stresses.shear + swept.stresses.twist)
    for view in setting:
        yield _bent(setting, view, swept)
        yield _sheared(setting, view, swept, *sheared)


def _bent(setting: Setting, view: View, swept: _Swept) -> Finding:
    t0, span = swept.thickness_mm, swept.span
    share = used(swept.stresses, view, swept.steel, span, swept.width_mm, t0)
    most, at = _worst(share.together)
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
            "slenderness {} with K = 2, Lb = {} from pin to weld",
            swept.from_pin(at[1]),
            number(abs(float(share.axial[at]))),
            number(float(bent)),
            aside,
            "tied to its neighbour" if math.isfinite(span.apart_mm) else "not tied to its neighbour",
            number(slenderness(span, t0)),
            mm(span.end_mm),
        ),
        case=swept.cases[at[0]],
        cure=lambda: _thicker(setting, swept, lambda t: float(swept.used(view, t).together.max()) <= 1.0),
    )


def _sheared(setting: Setting, view: View, swept: _Swept, most: float, at: tuple[int, int]) -> Finding:
    can = (1 / math.sqrt(3.0) if view.en else 0.6) * _yield(swept.steel, view.rules)

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


def _thicker(setting: Setting, swept: _Swept, holds: Callable[[float], bool]) -> Cure:
    thick = setting.size_that_holds(swept.thickness_mm, holds)
    if thick is None:
        return advise("a wider plate, or the pin nearer to the rail")
    return set_to(setting.thickness_key(swept.plate), size(thick), "thickness to {}")


def _worst(values: Floats) -> tuple[float, tuple[int, int]]:
    """The largest value, and its case and cut."""
    index = int(np.argmax(values >= values.max() * (1.0 - ALIKE)))  # the first of those alike
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
