"""Gussets behind the ears: the plate itself at its foot, and its free edge.

A gusset takes down what leans on its ear below its own top: the side force, and the couple of it about the ear as a
pull or a push on the middle of its foot. Its welds are judged with those of the rail and with the ties.
"""

import math
from collections.abc import Iterator
from functools import partial

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.load_path import Assembly, Carrier
from plategen.checks.setting import Setting
from plategen.checks.swept import span_of
from plategen.ground.cure import Cure
from plategen.ground.message import message, mm
from plategen.ground.space import dot
from plategen.rules.material import YOUNG_MPA
from plategen.rules.safety import AISC, YIELDING

EDGE_FACTOR = 2.06
"""Length of a gusset's free edge over its thickness, at most, times the root of E over Fy (AASHTO LRFD 6.14.2.8)."""

BENDS = Check(
    "gusset at its foot",
    "gusset",
    "MPa",
    source=f"{AISC} F11 and G at first yield, added as by von Mises",
    en_source="EN 1993-1-1:2005 6.2.1(5)",
    needs="gussets",
)
EDGE = Check(
    "free edge of a gusset",
    "gusset",
    "1",
    "at most",
    source="AASHTO LRFD 6.14.2.8: 2.06 (E/Fy)^0.5 (from memory)",
    needs="gussets",
    near=False,
)
CHECKS = (BENDS, EDGE)
"""The checks of this file."""


def check_gussets(setting: Setting) -> Iterator[Finding]:
    """Every finding about the gussets themselves; nothing without one."""
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            for rib in gussets_of(carrier, assembly):
                yield from _foot(setting, assembly, carrier, rib)
                yield _edge(setting, rib)


def gussets_of(carrier: Carrier, assembly: Assembly) -> Iterator[Plate]:
    """The gussets that are welded to an ear."""
    ribs = {run.plate for run in assembly.ties if run.other == carrier.plate.name}
    return (plate for plate in assembly.plates if plate.role == "gusset" and plate.name in ribs)


def _foot(setting: Setting, assembly: Assembly, carrier: Carrier, rib: Plate) -> Iterator[Finding]:
    span = span_of(carrier, assembly)
    if span is None or rib.notch is None or not math.isfinite(span.apart_mm):
        return
    n = carrier.plate.placement.normal
    side, case = max(((abs(dot(each.force_n, n)), each.name) for each in setting.cases), key=lambda pair: pair[0])
    deep, height = rib.notch.length, span.end_mm - span.tie_mm
    # the side force comes in along the ear, its middle half way up; its couple about the ear on the middle of the foot
    pull, moment = side * height / span.apart_mm, side * height / 2.0
    fy = setting.steels[rib.name].fy_mpa

    def stress(thickness_mm: float) -> float:
        direct = pull / (deep * thickness_mm) + 6.0 * moment / (thickness_mm * deep**2)
        return math.hypot(direct, math.sqrt(3.0) * 1.5 * side / (deep * thickness_mm))

    for view in setting:
        most, can = stress(rib.thickness_mm) * view.factor, fy if view.en else YIELDING.available(fy, view.rules)
        yield view.strength(
            BENDS,
            part(rib.name),
            most,
            can,
            assumed=message("the whole side force on this ear, half way up its {}; foot {} deep", mm(height), mm(deep)),
            case=case,
            cure=partial(_thicker, setting, rib.thickness_mm * most / can),
        )


def _edge(setting: Setting, rib: Plate) -> Finding:
    free = _free_edge_mm(rib)
    most = EDGE_FACTOR * math.sqrt(YOUNG_MPA / setting.steels[rib.name].fy_mpa)
    return EDGE.at_most(
        part(rib.name),
        most,
        free / rib.thickness_mm,
        assumed=message("free edge of {}", mm(free)),
        cure=partial(_thicker, setting, free / most),
    )


def _free_edge_mm(rib: Plate) -> float:
    """Its longest edge, those on the rail and on the ear apart: the slanting one from toe to toe."""
    assert rib.notch is not None
    slanting = (
        edge.length
        for edge in rib.outline
        if abs(edge.start_tangent.real) > 0.05 and abs(edge.start_tangent.imag) > 0.05
    )
    return max(slanting, default=0.0)


def _thicker(setting: Setting, least_mm: float) -> Cure:
    return larger.raise_to(setting, "gusset.thickness", least_mm, "gussets of {}", "a lower gusset")
