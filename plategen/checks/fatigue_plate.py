"""How many full strokes plates last where they meet their welds, and in the net sections at the pin."""

from collections.abc import Callable, Iterator, Sequence
from functools import partial

from plategen.bracket.model import WeldRun
from plategen.checks import larger
from plategen.checks.fatigue_life import MOST_THICKER, Asked, Ranged, en_curve, finding
from plategen.checks.finding import Check, Finding, first_worst, part
from plategen.checks.load_path import Assembly, Carrier, tab_carrier
from plategen.checks.setting import Setting
from plategen.checks.steelwork import Steelwork, steelwork
from plategen.checks.swept import swept_of
from plategen.checks.view import View
from plategen.checks.worst import worst_of
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import message, size
from plategen.ground.shop_size import PART_SIZES
from plategen.rules import fatigue as rule
from plategen.rules.fatigue import Curve
from plategen.rules.pin_plate import effective_width_mm
from plategen.rules.safety import AISC

TOE = Check(
    "plate at its weld, fatigue",
    "fatigue",
    "MPa",
    source=f"{AISC} Appendix 3, category C at toe and root",
    en_source="EN 1993-1-9:2005 Table 8.5, T joint, toe",
)
PIN = Check(
    "net section at the pin, fatigue",
    "fatigue",
    "MPa",
    source=f"{AISC} Appendix 3, category E",
    en_source="EN 1993-1-9:2005 Table 8.1 (from memory), net section at a bolt with play",
)
CHECKS = (TOE, PIN)
"""The checks of this file."""


def check_plates(setting: Setting, asked: Asked, views: Sequence[View]) -> Iterator[Finding]:
    """Findings about the pin plates and the tabs that carry them."""
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            yield from _toe(setting, asked, views, carrier, assembly)
            yield from _net(setting, asked, views, carrier)
    for assembly, joint in setting.bolted:
        tab = tab_carrier(joint, assembly.carriers, setting.bracket.pin.centre)
        if tab is not None:
            yield from _toe(setting, asked, views, tab, assembly, [hole.circle.centre for hole in joint.lower_holes])


def _toe(
    setting: Setting,
    asked: Asked,
    views: Sequence[View],
    carrier: Carrier,
    assembly: Assembly,
    past: Sequence[complex] = (),
) -> Iterator[Finding]:
    """A pin plate where it meets what it is welded to, by plane sections: pull, and bending both ways, added."""
    plate, swept = carrier.plate, swept_of(setting, carrier, assembly, past)
    legs = sorted((run for run in setting.bracket.welds if run.plate == plate.name), key=lambda run: run.leg_mm)
    if swept is None or plate.notch is None or not legs:
        return
    leg, t0 = legs[0].leg_mm, plate.thickness_mm
    pushes, stress = list(asked.pushes), swept.stresses  # the last of the cuts lies at the weld
    weak = stress.weak[pushes, -1] * asked.times
    flat = stress.together[pushes, -1] * asked.times - weak
    worst, (index, _) = worst_of((flat + weak)[:, None])
    case = setting.cases[pushes[index]].name
    up_mm = PART_SIZES.next_up(t0, setting.job.units)

    def at(thickness_mm: float) -> float:
        k = t0 / thickness_mm
        return float((flat * k + weak * k**2).max())

    def holds(view: View, thickness_mm: float) -> bool:
        return at(thickness_mm) <= _tee(view, thickness_mm, leg).range_mpa(asked.strokes, asked.shock)

    for view in views:
        curve = _tee(view, t0, leg)
        yield finding(
            asked,
            view,
            Ranged(
                check=TOE,
                about=part(plate.name),
                range_mpa=worst,
                can_mpa=curve.range_mpa(asked.strokes, asked.shock),
                detail=curve.detail,
                strokes=partial(_one, curve, worst, asked.shock),
                easier=(message("a plate of {}", size(up_mm)), at(up_mm) / worst),
                case=case,
                cure=partial(_firmer, setting, asked, view, legs[0], worst, partial(holds, view)),
            ),
        )


def _tee(view: View, thickness_mm: float, leg_mm: float) -> Curve:
    """The curve of a plate that stands on two fillets."""
    if view.en:
        return en_curve("T joint, toe", rule.en_tee_category(thickness_mm + 2.0 * leg_mm, thickness_mm))
    left = rule.root_reduction(thickness_mm, leg_mm)
    return rule.aisc("C", "toe") if left == 1.0 else rule.aisc_root(left)


def _firmer(
    setting: Setting, asked: Asked, view: View, run: WeldRun, worst_mpa: float, holds: Callable[[float], bool]
) -> Cure:
    """Under AISC 360 a leg that closes more of the root, no larger than the plate is thick; or else a thicker plate."""
    t0 = setting.plates[run.plate].thickness_mm

    def closes(leg_mm: float) -> bool:
        return worst_mpa <= _tee(view, t0, leg_mm).range_mpa(asked.strokes, asked.shock)

    leg = None if view.en else larger.size_that_holds(setting, run.leg_mm, closes, most_mm=t0 + 1.0)
    if leg is not None:
        return set_to(larger.leg_key(setting, run), size(leg), "leg to {}")
    return _thicker(setting, run.plate, holds)


def _one(curve: Curve, range_mpa: float, shock: float, times: float) -> float:
    return curve.cycles(range_mpa * times, range_mpa * times * shock)


def _thicker(setting: Setting, plate: str, holds: Callable[[float], bool]) -> Cure:
    now_mm = setting.plates[plate].thickness_mm
    thick = larger.size_that_holds(setting, now_mm, holds, most_mm=MOST_THICKER * now_mm)
    if thick is None:
        return advise("a larger leg, a longer foot, or less pressure")
    return set_to(larger.thickness_key(setting, plate), size(thick), "thickness to {}")


def _net(setting: Setting, asked: Asked, views: Sequence[View], carrier: Carrier) -> Iterator[Finding]:
    """The steel beside the pin hole, square to the force; as wide on both sides as D5 of AISC 360 counts it."""
    plate, ways = carrier.plate, steelwork(setting, carrier)
    if not ways:
        return

    def net(way: Steelwork, thickness_mm: float) -> float:
        width = max(1e-9, effective_width_mm(thickness_mm, way.beside_mm))
        return way.force_n * asked.times / (2.0 * thickness_mm * width)

    def at(thickness_mm: float) -> float:
        return max(net(way, thickness_mm) for way in ways)

    def holds(can_mpa: float, thickness_mm: float) -> bool:
        return at(thickness_mm) <= can_mpa

    t0 = plate.thickness_mm
    hardest, up_mm = first_worst(ways, lambda way: net(way, t0)), PART_SIZES.next_up(t0, setting.job.units)
    worst = net(hardest, t0)
    for view in views:
        curve = en_curve("net section", rule.EN_PIN) if view.en else rule.aisc("E", "net section")
        can = curve.range_mpa(asked.strokes, asked.shock)
        yield finding(
            asked,
            view,
            Ranged(
                check=PIN,
                about=part(plate.name, carrier.hole.name),
                range_mpa=worst,
                can_mpa=can,
                detail=curve.detail,
                strokes=partial(_one, curve, worst, asked.shock),
                easier=(message("a plate of {}", size(up_mm)), at(up_mm) / worst),
                case=hardest.case,
                cure=partial(_thicker, setting, plate.name, partial(holds, can)),
            ),
        )
