"""Every section of a plate between the pin and what holds it: bending, axial force, side force and shear.

Plane sections, first yield: axial force, bending in the plate's plane and bending out of it each take their share of
what they alone may be, and the shares are added: compression against buckling sideways, bending in the plane against
turning over sideways, bending sideways against yield and larger by what the compression bows it. No plastic reserve is
used.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache

import numpy as np

from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.load_path import Assembly, Carrier, tab_carrier
from plategen.checks.setting import REMEMBERED, Setting
from plategen.checks.swept import Normal, Span, Swept, swept_of
from plategen.checks.view import View
from plategen.checks.worst import worst_of
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, message, mm, number, size
from plategen.rules.column import aisc_bending_stress_mpa, aisc_stress_mpa, en_bending_stress_mpa, en_stress_mpa
from plategen.rules.material import YOUNG_MPA
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


def check_sections(setting: Setting) -> Iterator[Finding]:
    """Every finding about the pin plates' bodies, and about tabs past their bolts, where each takes it all."""
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            yield from _sections(setting, carrier, assembly)
    for assembly, joint in setting.bolted:
        tab = tab_carrier(joint, assembly.carriers, setting.bracket.pin.centre)
        if tab is not None:
            yield from _sections(setting, tab, assembly, [hole.circle.centre for hole in joint.lower_holes])


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


def _used(swept: Swept, view: View, thickness_mm: float) -> Normal:
    """Which shares a plate of a thickness uses of its strengths against buckling, turning over, and yield sideways.

    AISC 360 H2: fa/Fca + fbw/Fcbw + fbz/Fcbz, Fca by E3 with K = 2, Fcbw by F11 with Lb from pin to weld, fbz
    amplified by 1/(1 - alpha fa/Fe), alpha 1.6 (ASD) or 1.0 (C2, appendix 8). EN 1993-1-1 6.3.3 with chi, chi_LT
    and the amplification of 5.2.2(5) in place of its factors k.
    """
    stress, steel, span = swept.thicker(thickness_mm), swept.steel, swept.span
    factor, thin, fy = view.factor, _slenderness(span, thickness_mm), _available(steel.fy_mpa, view)
    column = _available((en_stress_mpa if view.en else aisc_stress_mpa)(thin, steel.fy_mpa), view)
    turns = en_bending_stress_mpa if view.en else aisc_bending_stress_mpa
    depths = swept.cuts.width_mm.tolist()
    lateral = np.array([_available(turns(span.end_mm, d, thickness_mm, steel.fy_mpa), view) for d in depths])
    pushed = np.maximum(0.0, -stress.axial).max(axis=1, keepdims=True) * factor
    left_over = 1.0 - (1.6 if view.rules == "aisc-asd" else 1.0) * pushed * thin**2 / (math.pi**2 * YOUNG_MPA)
    with np.errstate(divide="ignore", invalid="ignore"):
        bowed = np.where(left_over > 0.0, 1.0 / left_over, np.inf)
        weak = np.where(stress.weak > 0.0, stress.weak * bowed, 0.0) * factor / fy
    axial = stress.axial * factor / np.where(stress.axial < 0.0, column, fy)
    return Normal(axial, stress.left * factor / lateral, stress.right * factor / lateral, weak)


def _slenderness(span: Span, thickness_mm: float) -> float:
    """Slenderness sideways: a cantilever, K = 2, from the pin to its weld or tie."""
    return 2.0 * span.tie_mm * math.sqrt(12.0) / thickness_mm


@lru_cache(maxsize=REMEMBERED)
def _worst_share(swept: Swept, view: View) -> tuple[Normal, float, tuple[int, int]]:
    share = _used(swept, view, swept.thickness_mm)
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
            number(_slenderness(span, t0)),
            mm(span.end_mm),
        ),
        case=swept.cases[at[0]],
        cure=lambda: _stiffer(
            setting, swept, share.weak[at] > most / 2.0, lambda t: float(_used(swept, view, t).together.max()) <= 1.0
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


def _available(stress_mpa: float, view: View) -> float:
    """What of a stress at yield or buckling may be used; gamma_M0 and gamma_M1 of EN 1993 are 1."""
    return stress_mpa if view.en else YIELDING.available(stress_mpa, view.rules)
