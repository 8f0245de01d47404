"""Welding itself: steel warm enough, filler dry enough for the steel, and no weaker than it."""

import math
from collections.abc import Iterator
from functools import partial

from plategen.bracket.model import Bracket, WeldRun
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part, part
from plategen.checks.run import part_of
from plategen.checks.setting import Setting
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import Message, Quantity, message, mm, mpa, number
from plategen.rules import bead
from plategen.rules import preheat as rule
from plategen.rules.material import Steel, filler_for, weld_metal
from plategen.rules.safety import EN_JOINTS, PRACTICE

SHOP_C = 20.0
"""Temperature of steel that has lain in a shop, degrees C (common practice, no source)."""

PREHEAT = Check(
    "preheat",
    "welding",
    "°C",
    "at least",
    source="AWS D1.1:2015 Table 3.3; EN 1011-2 C.3 method B for harder steel",
    most="caution",
    near=False,
    not_covered="Preheat goes by the steel's name, not by its heat: the mill's certificate may ask for more. Position, "
    "current, gas and travel are the welding procedure's.",
)
MATCHES = Check(
    "filler as strong as the steel",
    "welding",
    "MPa",
    "at least",
    source=f"{EN_JOINTS} 4.2",
    most="caution",
    near=False,
)
HYDROGEN = Check(
    "low-hydrogen filler",
    "filler",
    "ml/100 g",
    "at most",
    source=f"AWS D1.1:2015 Table 3.3, AWS A5.1; {PRACTICE}",
    near=False,
)
CHECKS = (PREHEAT, MATCHES, HYDROGEN)
"""The checks of this file."""


def check_welding(setting: Setting) -> Iterator[Finding]:
    """What the steels and thicknesses ask of the welder: the joint that asks most, for each of the three."""
    # the beads on the two faces of a plate are one joint
    runs = tuple({(run.plate, run.other): run for run in reversed(setting.bracket.welds)}.values())
    if not runs:
        return
    yield _preheat(setting, runs)
    weaker = [(min(s.fu_mpa for s, _ in _joined(setting, run)), run) for run in runs]
    fu, run = max(weaker, key=lambda pair: pair[0] / weld_metal(pair[1].electrode).fexx_mpa)
    there = weld_metal(run.electrode).fexx_mpa
    yield MATCHES.at_least(
        part_of(run),
        fu,
        there,
        assumed="of the two parts the weaker; a weaker filler counts with its own strength",
        cure=lambda: _filler(setting, max(fu, there)),
        opinion=setting.rules.set != "en-1993",
    )
    yield from _hydrogen(setting, runs)


def _joined(setting: Setting, run: WeldRun) -> tuple[tuple[Steel, float], tuple[Steel, float]]:
    """Steel and thickness of the two parts of a run."""
    under = setting.plates.get(run.other)
    other = (
        (setting.wall, setting.job.rail.wall_mm) if under is None else (setting.steels[under.name], under.thickness_mm)
    )
    return (setting.steels[run.plate], setting.plates[run.plate].thickness_mm), other


def _preheat(setting: Setting, runs: tuple[WeldRun, ...]) -> Finding:
    asked: list[tuple[float, str, Part, str, float]] = []
    for run in runs:
        pair, filler = _joined(setting, run), weld_metal(run.electrode)
        thickest, arc = max(thickness for _, thickness in pair), bead.heat_kj_per_mm(run.leg_mm)[0]
        for steel, _ in pair:
            least, source = rule.least_preheat_c(steel, filler, thickest, setting.tables, arc)
            asked.append((least, source, part_of(run), steel.name, thickest))
    least, source, about, name, thickest = max(asked, key=lambda each: each[0])
    heat = Quantity(5.0 * math.ceil(least / 5.0 - 1e-9), "°C")
    return PREHEAT.at_least(
        about,
        least,
        SHOP_C,
        source=source,
        assumed=message("{}, thickest part at the joint {}; steel as it lies in the shop", name, mm(thickest)),
        cure=lambda: advise(
            "warm it to {} for {} each way of the joint, and between passes", heat, larger.up(setting, 75.0)
        ),
    )


def bead_notes(bracket: Bracket) -> Iterator[Message]:
    """What the beads take to lay: a sentence on the heat of a pass for every leg, and one on the time of them all."""
    legs: dict[float, list[str]] = {}
    for run in bracket.welds:
        legs.setdefault(run.laid_leg_mm, []).append(run.name)
    for leg_mm, names in sorted(legs.items()):
        least, most = (Quantity(kj, "kJ/mm") for kj in bead.heat_kj_per_mm(leg_mm))
        yield message(
            "{}, leg {}: {} to {} in a pass, which is volts x amperes x 60 / 1000 over the travel in a minute. With "
            "less the bead is thinner than its leg or does not take, with more it runs off and softens what lies "
            "beside it (common practice, no source). The welding procedure's own range binds.",
            ", ".join(names),
            mm(leg_mm, "up"),
            least,
            most,
        )
    if legs:
        total = sum(bead.minutes(run.laid_leg_mm, run.length_mm) for run in bracket.welds)
        yield message(
            "About {} min of welding by hand in all, starts, slag and looks included (common practice, no source).",
            number(max(1.0, round(total)), "size"),
        )


def _hydrogen(setting: Setting, runs: tuple[WeldRun, ...]) -> Iterator[Finding]:
    for run in runs:
        asks = [steel.name for steel, _ in _joined(setting, run) if steel.dry_filler]
        if asks:
            filler = weld_metal(run.electrode)
            yield HYDROGEN.at_most(
                part("filler"),
                rule.LOW_HYDROGEN_ML,
                filler.hydrogen_ml,
                assumed=message("{} in {}; kept dry as its maker says", run.electrode, asks[0]),
                cure=partial(_filler, setting, filler.fexx_mpa),
            )
            return


def _filler(setting: Setting, least_mpa: float) -> Cure:
    name = filler_for(least_mpa, setting.job.units)
    if name is None:
        return advise("a stronger low-hydrogen filler, {} at least", mpa(least_mpa))
    return Cure(message("{}, a low-hydrogen filler", name), (Change("weld.electrode", name),))
