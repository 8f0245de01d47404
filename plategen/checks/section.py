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

from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly, Carrier
from plategen.checks.section_stress import CUTS, Span, Stresses, span_of, stresses
from plategen.checks.setting import Setting, View
from plategen.checks.worst import ALIKE
from plategen.rules.column import aisc_stress_mpa, en_stress_mpa
from plategen.rules.material import YOUNG_MPA, Steel
from plategen.rules.plate_bending import aisc_bending_stress_mpa, en_bending_stress_mpa
from plategen.rules.plate_section import cut_sections, sweep_places
from plategen.rules.reach import Edges, Floats
from plategen.rules.safety import AISC, YIELDING, RuleSet


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


def used(found: Stresses, view: View, steel: Steel, span: Span, widths_mm: Floats, thickness_mm: float) -> Used:
    """What the stresses use of a plate's strength.

    AISC 360 H2: fa/Fca + fbw/Fcbw + fbz/Fcbz, Fca by E3 with K = 2, Fcbw by F11 with Lb from pin to weld, fbz amplified
    by 1/(1 - alpha fa/Fe), alpha 1.6 (ASD) or 1.0 (C2, appendix 8). EN 1993-1-1 6.3.3 with chi, chi_LT and the
    amplification of 5.2.2(5) in place of its factors k.
    """
    rules, factor = view.rules, view.factor
    thin = slenderness(span, thickness_mm)
    fy, column = _yield(steel, rules), _column(steel, rules, thin)
    lateral = np.array([_lateral(steel, rules, span.end_mm, depth, thickness_mm) for depth in widths_mm.tolist()])
    pushed = np.maximum(0.0, -found.axial).max(axis=1, keepdims=True) * factor
    left_over = 1.0 - (1.6 if rules == "aisc-asd" else 1.0) * pushed * thin**2 / (math.pi**2 * YOUNG_MPA)
    with np.errstate(divide="ignore", invalid="ignore"):
        bowed = np.where(left_over > 0.0, 1.0 / left_over, np.inf)
        weak = np.where(found.weak > 0.0, found.weak * bowed, 0.0) * factor / fy
    axial = found.axial * factor / np.where(found.axial < 0.0, column, fy)
    return Used(axial, found.left * factor / lateral, found.right * factor / lateral, weak)


def slenderness(span: Span, thickness_mm: float) -> float:
    """Slenderness sideways: a cantilever, K = 2, from the pin to its weld or tie."""
    return 2.0 * span.tie_mm * math.sqrt(12.0) / thickness_mm


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
    names, show, t0 = [case.name for case in setting.cases], setting.show, plate.thickness_mm
    sheared, shear_at = _worst(found.shear + found.twist)

    def from_pin(cut: int) -> str:
        return f"worst cut {show.length(float(cuts.at_mm[cut]))} from the pin"

    for view in setting:
        en = view.rules == "en-1993"
        share = used(found, view, steel, span, cuts.width_mm, t0)
        most, at = _worst(share.together)

        def holds(thickness_mm: float, view: View = view) -> bool:
            thicker = found.thicker(thickness_mm / t0)
            return float(used(thicker, view, steel, span, cuts.width_mm, thickness_mm).together.max()) <= 1.0

        bent = max(abs(share.left[at]), abs(share.right[at]))
        aside = f"{share.weak[at]:.2f} of bending sideways"
        if math.isinf(share.weak[at]):
            aside = "the compression alone buckles it sideways"
        yield Finding(
            check="plate section",
            part=plate.name,
            demand=most,
            capacity=1.0,
            unit="1",
            source="EN 1993-1-1:2005 6.3.3 at first yield" if en else f"{AISC} H2 with E3 and F11 at first yield",
            assumed=f"{from_pin(at[1])}: {abs(share.axial[at]):.2f} of axial "
            f"force, {bent:.2f} of bending in the plane, {aside}; {tied}, the whole "
            f"side force on this plate; slenderness {slenderness(span, t0):.0f} with K = 2, Lb = "
            f"{show.length(span.end_mm)} from pin to weld; {view.loads}",
            case=names[at[0]],
            cure=_cure(setting, t0, holds) if most > 1.0 else "",
            opinion=view.opinion,
        )
        can = (1 / math.sqrt(3.0) if en else 0.6) * _yield(steel, view.rules)

        def carries(thickness_mm: float, view: View = view, can: float = can) -> bool:
            thicker = found.thicker(thickness_mm / t0)
            return float((thicker.shear + thicker.twist).max()) * view.factor <= can

        yield Finding(
            check="plate shear",
            part=plate.name,
            demand=sheared * view.factor,
            capacity=can,
            unit="MPa",
            source="EN 1993-1-1:2005 6.2.6" if en else f"{AISC} G1: 0.6 Fy",
            assumed=f"1.5 V/A with the twist of the side force; {from_pin(shear_at[1])}; {view.loads}",
            case=names[shear_at[0]],
            cure=_cure(setting, t0, carries) if sheared * view.factor > can else "",
            opinion=view.opinion,
        )


def _cure(setting: Setting, thickness_mm: float, holds: Callable[[float], bool]) -> str:
    size = setting.size_that_holds(thickness_mm, holds)
    return "a wider plate, or the pin nearer to the rail" if size is None else f"thickness to {setting.up(size)}"


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
