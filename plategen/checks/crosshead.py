"""A crosshead between the ears: what it hands on, and the plate itself as a strut from ear to ear.

Both ears lean alike where it stands, so that it takes what is left of the side force over to the other ear. It is
counted as hinged at both ends, and the ears' welds on the rail as if it were not there.
"""

import math
from collections.abc import Callable, Iterator
from functools import partial

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.checks.swept import handed_on, swept_of
from plategen.checks.view import View
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, message, mm, number, size
from plategen.ground.space import dot
from plategen.rules.column import aisc_stress_mpa, en_stress_mpa
from plategen.rules.safety import AISC, YIELDING

STRUT = Check(
    "crosshead between the ears",
    "crosshead",
    "MPa",
    source=f"{AISC} E3, K = 1",
    en_source="EN 1993-1-1:2005 6.3.1",
    needs="a crosshead",
)
CHECKS = (STRUT,)
"""The checks of this file."""


def check_crosshead(setting: Setting) -> Iterator[Finding]:
    """The crosshead as a strut; nothing without one."""
    plate, taken = setting.bracket.of_role("crosshead"), crosshead_load(setting)
    if plate is None or taken is None:
        return
    load, share, case = taken
    u0, v0, u1, v1 = plate.outline.bounds
    deep, clear, fy = u1 - u0, v1 - v0, setting.steels[plate.name].fy_mpa

    def carries(view: View, thickness_mm: float) -> float:
        slender = clear * math.sqrt(12.0) / thickness_mm
        if view.en:
            return en_stress_mpa(slender, fy)
        return YIELDING.available(aisc_stress_mpa(slender, fy), view.rules)

    def holds(view: View, thickness_mm: float) -> bool:
        return load * view.factor / (deep * thickness_mm) <= carries(view, thickness_mm)

    for view in setting:
        yield view.strength(
            STRUT,
            part(plate.name),
            load * view.factor / (deep * plate.thickness_mm),
            carries(view, plate.thickness_mm),
            assumed=message(
                "{} of the side force, hinged at both ends; {} from ear to ear, {} deep",
                number(share),
                mm(clear),
                mm(deep),
            ),
            case=case,
            cure=partial(_thicker, setting, plate, partial(holds, view)),
        )


def _thicker(setting: Setting, plate: Plate, holds: Callable[[float], bool]) -> Cure:
    thick = larger.size_that_holds(setting, plate.thickness_mm, holds)
    return advise("a deeper one") if thick is None else set_to("crosshead.thickness", size(thick), "crosshead of {}")


def crosshead_load(setting: Setting) -> tuple[float, float, Message | str] | None:
    """What a crosshead takes from ear to ear, N, load factor not in, the share of the side force, and its case.

    None without a crosshead.
    """
    if setting.bracket.of_role("crosshead") is None:
        return None
    found = []
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            swept, n = swept_of(setting, carrier, assembly), carrier.plate.placement.normal
            if swept is not None and math.isfinite(swept.span.cross_mm):
                share = handed_on(swept.span, swept.cuts)
                found += [(abs(dot(case.force_n, n)) * share, share, case.name) for case in setting.cases]
    return max(found, key=lambda each: each[0], default=None)
