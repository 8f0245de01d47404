"""How many full strokes welds, plates at their welds and the pin's net sections last, against how many are asked.

A stroke goes from full push to full pull and back, the cylinder lying as it does: the range of every stress is what the
sum of both forces does. Shocks are no part of it, but a range that does no damage alone does some once shocks have come
between: a limit without damage counts only where the shock's range keeps to it as well.

A fillet's root goes before its own toe wherever its throat is thinner than the plate, as it is here, so a run is judged
on its throat; a plate that is bent at its weld is judged at the toe, and under AISC 360 at the root behind it too.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np

from plategen.bracket.model import WeldRun
from plategen.checks.finding import Check, Finding, Part, first_worst, part
from plategen.checks.load_path import Assembly, Carrier, standing_alone, tab_carrier
from plategen.checks.pin_plate import Steelwork, steelwork
from plategen.checks.run import part_of
from plategen.checks.section import span_of, swept_of, worst_of
from plategen.checks.setting import Setting, View
from plategen.checks.weld import group_of, loads_on
from plategen.flat.segment import Arc
from plategen.ground.cure import Cure, advise, set_to
from plategen.ground.message import Message, count, message, size
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.space import Vector, dot, mixed
from plategen.job.rules import Use
from plategen.rules import fatigue as rule
from plategen.rules.fatigue import Curve
from plategen.rules.pin_plate import effective_width_mm
from plategen.rules.plate_section import Floats
from plategen.rules.safety import AISC
from plategen.rules.weld import counted_leg_mm, throat_mm

UNTOLD = Use(hours_a_week=10.0, strokes_an_hour=20.0, years=10.0)
"""What is looked at where the job tells no use: about a hundred thousand full strokes (common practice, no source)."""

EASIER = 0.9
"""Share of the pressure that is tried to lengthen a life."""

MOST_THICKER = 3.0
"""A plate more than so many times as thick is no cure (common practice, no source)."""

_row = partial(Check, subject="fatigue", unit="MPa")
_EN = "EN 1993-1-9:2005 Table"

THROAT = _row(
    "weld throat fatigue",
    source=f"{AISC} Appendix 3, category F",
    en_source=f"{_EN} 8.5, 36 at the root with 80 along",
    not_covered="Fatigue counts full strokes of one size and the welds as drawn: no undercut, no crack to begin with. "
    "The rail's own stress, which nobody told, and the bolts are not in it. Look at weld ends and the pin hole's rim "
    "for cracks at every service.",
)
TOE = _row(
    "plate at its weld, fatigue",
    source=f"{AISC} Appendix 3, category C at toe and root",
    en_source=f"{_EN} 8.5, T joint, toe",
)
PIN = _row(
    "net section at the pin, fatigue",
    source=f"{AISC} Appendix 3, category E",
    en_source=f"{_EN} 8.1, net section at a bolt with play",
)
CHECKS = (THROAT, TOE, PIN)
"""The checks of this file."""


@dataclass(frozen=True, slots=True)
class _Asked:
    """What is asked of the bracket's life, and its ranges: the cylinder's two forces lie in one line at any angle."""

    strokes: float  # Full strokes that it has to last.
    a_year: float  # Of them in a year.
    told: bool  # False where the job tells no use.
    shock: float  # The shock's range over the stroke's.
    times: float  # The stroke's range over what the push with its shock does.
    pushes: tuple[int, ...]  # Which of the load cases push.

    @classmethod
    def of(cls, setting: Setting) -> "_Asked":
        """What the job asks."""
        job, cases = setting.job, setting.cases
        use = job.use or UNTOLD
        usual = (use.pressure_mpa or job.cylinder.pressure_mpa) / job.cylinder.pressure_mpa
        share = usual / setting.rules.shock_factor
        push, pull = (max(c.size_n for c in cases if c.push is way) for way in (True, False))
        return cls(
            strokes=use.strokes_a_year * use.years,
            a_year=use.strokes_a_year,
            told=job.use is not None,
            shock=1.0 / share,
            times=share * (push + pull) / push,
            pushes=tuple(index for index, case in enumerate(cases) if case.push),
        )


@dataclass(frozen=True, slots=True)
class _Ranged:
    """A part whose range is known in one view."""

    check: Check
    about: Part
    range_mpa: float  # Range of stress, all as the curve has it.
    can_mpa: float  # What of it lasts the strokes that are asked.
    detail: str  # What the curve is for.
    strokes: Callable[[float], float]  # Strokes that it lasts when the range is so many times as large.
    easier: tuple[Message, float]  # A change of the part, and how many times as large the range is with it.
    case: Message | str  # How the cylinder lies.
    cure: Callable[[], Cure]


def check_fatigue(setting: Setting) -> Iterator[Finding]:
    """Every finding about fatigue, in the view that decides and that of the other family of rules."""
    chosen, *others = setting.views
    views = (chosen, *(view for view in others if view.en and not chosen.en), *others[: 1 if chosen.en else 0])
    asked = _Asked.of(setting)
    yield from _runs(setting, asked, views)
    yield from _plates(setting, asked, views)


def _finding(asked: _Asked, view: View, on: _Ranged) -> Finding:
    check = on.check if asked.told else on.check.variant(most="caution", near=False)
    lasts = on.strokes(1.0)
    words = message("{}; {}", on.detail, _lasts(asked, lasts))
    if not view.opinion and math.isfinite(lasts):
        ways = (on.easier, (message("a tenth less pressure"), EASIER))
        what, longer = max(((words, on.strokes(times)) for words, times in ways), key=lambda pair: pair[1])
        words = message("{}; longest with {}: {}", words, what, count(longer))
    return check.strength(
        on.about,
        on.range_mpa,
        on.can_mpa,
        source=check.en_source if view.en else check.source,
        assumed=words,
        case=on.case,
        cure=on.cure,
        opinion=view.opinion,
    )


def _lasts(asked: _Asked, strokes: float) -> Message:
    """``'lasts about 1.9 million full strokes; at this use 6.2 years'``."""
    if math.isinf(strokes):
        return message("no end to full strokes of this size")
    if not asked.told:
        return message(
            "lasts about {} full strokes; [use] tells none, {} looked at", count(strokes), count(asked.strokes)
        )
    return message("lasts about {} full strokes; at this use {} years", count(strokes), count(strokes / asked.a_year))


def _runs(setting: Setting, asked: _Asked, views: Sequence[View]) -> Iterator[Finding]:
    for assembly in setting.assemblies:
        for held in (assembly, *standing_alone(assembly)):
            yield from _group(setting, asked, views, held)
        if len(assembly.carriers) > 1:
            yield from _ties(setting, asked, views, assembly)


def _group(setting: Setting, asked: _Asked, views: Sequence[View], assembly: Assembly) -> Iterator[Finding]:
    """The runs of a group, at both ends of every straight piece, which has the worst there, and along every arc."""
    runs = assembly.rail_runs
    if not runs or not assembly.carriers:
        return
    loads = loads_on(setting, assembly, [setting.cases[index] for index in asked.pushes])
    points = [list(_points(run)) for run in runs]
    q = group_of(setting, assembly).loads_at(loads, [point for row in points for point, _ in row])
    if np.isnan(q).any():  # runs on one line, turned about it: the throat's strength stops
        return
    lengths = (q * np.array([way for row in points for _, way in row])).sum(axis=2)
    along, across = np.abs(lengths), np.sqrt(np.maximum(0.0, (q * q).sum(axis=2) - lengths**2))
    first = 0
    for run, row in zip(runs, points, strict=True):
        here = slice(first, first + len(row))
        first += len(row)
        yield from _throats(setting, asked, views, run, across[:, here], along[:, here])


def _points(run: WeldRun) -> Iterator[tuple[Vector, Vector]]:
    """Points of a run with its direction there."""
    place = run.placement
    for segment in run.path:
        for t in (0.0, 0.5, 1.0) if isinstance(segment, Arc) else (0.0, 1.0):
            way = segment.tangent(t)
            way /= abs(way)
            yield place.point(segment.point(t)), mixed(place.u, way.real, place.v, way.imag)


def _ties(setting: Setting, asked: _Asked, views: Sequence[View], assembly: Assembly) -> Iterator[Finding]:
    """The runs of plates between two ears: the whole side force across each and its whole couple along it."""
    span = next((s for s in (span_of(carrier, assembly) for carrier in assembly.carriers) if s is not None), None)
    if span is None or not math.isfinite(span.apart_mm):
        return
    normal = assembly.carriers[0].plate.placement.normal
    side = np.array([[abs(dot(setting.cases[index].force_n, normal))] for index in asked.pushes])
    couple = side * (span.end_mm - span.tie_mm) / span.apart_mm
    for run in assembly.ties:
        yield from _throats(setting, asked, views, run, side / run.length_mm, couple / run.length_mm)


def _throats(
    setting: Setting, asked: _Asked, views: Sequence[View], run: WeldRun, across: Floats, along: Floats
) -> Iterator[Finding]:
    """A run's throat, from the push's line loads across it and along it: cases by points, N/mm."""
    leg = counted_leg_mm(run.leg_mm, run.length_mm)
    throat = min(throat_mm(leg, angle, run.gap_mm) for angle in run.joint_angle_rad)
    up_mm = next(PART_SIZES.above(run.leg_mm, setting.job.units))
    larger = min(throat_mm(up_mm, angle, run.gap_mm) for angle in run.joint_angle_rad)
    for view in views:
        root = side = rule.aisc("F", "fillet throat")
        if view.en:
            root = _en("weld root", rule.EN_ROOT)
            side = rule.en_shear("weld along", rule.EN_THROAT_SHEAR).times(1.0 / rule.GAMMA_MF)
        can, can_along = (curve.range_mpa(asked.strokes, asked.shock) for curve in (root, side))
        # EN 1993-1-9 8(3) adds the cube of the one share to the fifth power of the other; two cubes are a little more
        together = np.cbrt(across**3 + (along * can / can_along) ** 3) if view.en else np.hypot(across, along)
        push, at = worst_of(together)
        worst, (case, _) = push * asked.times, at
        parts = (float(across[at]) * asked.times, float(along[at]) * asked.times) if view.en else (worst, 0.0)
        yield _finding(
            asked,
            view,
            _Ranged(
                check=THROAT,
                about=part_of(run),
                range_mpa=worst / throat if throat > 0.0 else math.inf,
                can_mpa=can,
                detail=f"{root.detail}; {side.detail}" if view.en else root.detail,
                strokes=partial(_both, (root, side), parts, throat, asked.shock),
                easier=(message("a leg of {}", size(up_mm)), throat / larger if larger > 0.0 else 1.0),
                case=setting.cases[asked.pushes[case]].name,
                cure=partial(_larger_leg, setting, run, worst / can),
            ),
        )


def _both(
    curves: tuple[Curve, Curve], line_loads: tuple[float, float], throat: float, shock: float, times: float
) -> float:
    """Strokes until the damage across and that along a throat are 1 together."""
    if throat <= 0.0 or not all(map(math.isfinite, line_loads)):
        return 0.0
    ranges = [q * times / throat for q in line_loads]
    damage = sum(1.0 / curve.cycles(r, r * shock) for curve, r in zip(curves, ranges, strict=True))
    return 1.0 / damage if damage > 0.0 else math.inf


def _larger_leg(setting: Setting, run: WeldRun, wanted_mm: float) -> Cure:
    """A leg whose throat holds on the length of its run; a relief at the rail's corner would shorten it."""
    plate = setting.plates[run.plate]
    relieved = len(plate.legs) > 1 and setting.job.bracket.relief_mm is None

    def holds(leg_mm: float) -> bool:
        counted = counted_leg_mm(leg_mm, run.length_mm)
        return min(throat_mm(counted, angle, run.gap_mm) for angle in run.joint_angle_rad) >= wanted_mm

    most = MOST_THICKER * plate.thickness_mm
    leg = None if relieved or plate.role == "pad" else setting.size_that_holds(run.leg_mm, holds, most_mm=most)
    if leg is None:
        return advise("a larger leg on a longer foot, or less pressure")
    return set_to(setting.leg_key(run), size(leg), "leg to {}")


def _plates(setting: Setting, asked: _Asked, views: Sequence[View]) -> Iterator[Finding]:
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
    asked: _Asked,
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
    up_mm = next(PART_SIZES.above(t0, setting.job.units))

    def at(thickness_mm: float) -> float:
        k = t0 / thickness_mm
        return float((flat * k + weak * k**2).max())

    def holds(view: View, thickness_mm: float) -> bool:
        return at(thickness_mm) <= _tee(view, thickness_mm, leg).range_mpa(asked.strokes, asked.shock)

    for view in views:
        curve = _tee(view, t0, leg)
        yield _finding(
            asked,
            view,
            _Ranged(
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
        return _en("T joint, toe", rule.en_tee_category(thickness_mm + 2.0 * leg_mm, thickness_mm))
    left = rule.root_reduction(thickness_mm, leg_mm)
    return rule.aisc("C", "toe") if left == 1.0 else rule.aisc_root(left)


def _en(detail: str, category_mpa: float) -> Curve:
    return rule.en_direct(detail, category_mpa).times(1.0 / rule.GAMMA_MF)


def _firmer(
    setting: Setting, asked: _Asked, view: View, run: WeldRun, worst_mpa: float, holds: Callable[[float], bool]
) -> Cure:
    """Under AISC 360 a leg that closes more of the root, no larger than the plate is thick; or else a thicker plate."""
    t0 = setting.plates[run.plate].thickness_mm

    def closes(leg_mm: float) -> bool:
        return worst_mpa <= _tee(view, t0, leg_mm).range_mpa(asked.strokes, asked.shock)

    leg = None if view.en else setting.size_that_holds(run.leg_mm, closes, most_mm=t0 + 1.0)
    if leg is not None:
        return set_to(setting.leg_key(run), size(leg), "leg to {}")
    return _thicker(setting, run.plate, holds)


def _one(curve: Curve, range_mpa: float, shock: float, times: float) -> float:
    return curve.cycles(range_mpa * times, range_mpa * times * shock)


def _thicker(setting: Setting, plate: str, holds: Callable[[float], bool]) -> Cure:
    now_mm = setting.plates[plate].thickness_mm
    thick = setting.size_that_holds(now_mm, holds, most_mm=MOST_THICKER * now_mm)
    if thick is None:
        return advise("a larger leg, a longer foot, or less pressure")
    return set_to(setting.thickness_key(plate), size(thick), "thickness to {}")


def _net(setting: Setting, asked: _Asked, views: Sequence[View], carrier: Carrier) -> Iterator[Finding]:
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
    hardest, up_mm = first_worst(ways, lambda way: net(way, t0)), next(PART_SIZES.above(t0, setting.job.units))
    worst = net(hardest, t0)
    for view in views:
        curve = _en("net section", rule.EN_PIN) if view.en else rule.aisc("E", "net section")
        can = curve.range_mpa(asked.strokes, asked.shock)
        yield _finding(
            asked,
            view,
            _Ranged(
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
