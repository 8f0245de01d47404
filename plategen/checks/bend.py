"""A plate that is bent: how tightly, whether a brake can bend it, and what its bends carry.

A bent bar in bending is stressed more on its inside than a straight one (Winkler and Bach). The side force is taken
down to where the bend leaves the base, on the whole length of the bend.
"""

import math
from collections.abc import Iterator
from functools import partial

from plategen.bracket.folded import Bend
from plategen.bracket.model import Plate
from plategen.bracket.unfold import bend_limits, unfolded
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, between, part
from plategen.checks.load_path import Assembly, Carrier
from plategen.checks.setting import Setting
from plategen.checks.swept import swept_of
from plategen.checks.worst import worst_of
from plategen.design.fold_plan import fold_of
from plategen.flat.inside import inside
from plategen.flat.loop import polygon
from plategen.flat.segment import dot as flat_dot
from plategen.flat.segment import unit
from plategen.ground.cure import Cure, set_to
from plategen.ground.in_words import in_words
from plategen.ground.message import message, mm, number, size
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.space import dot, minus, mixed
from plategen.rules import cold_bending as rule
from plategen.rules.safety import AISC, YIELDING

_row = partial(Check, subject="bend", unit="mm", needs="a bracket that is bent of one plate")
RADIUS = _row(
    "inside radius of the bend",
    limit="at least",
    source="ASTM A6 Table X4.2; EN 10025-2:2004 Table 12",
    not_covered="Steel that a bend has strained is judged neither in fatigue nor against brittle fracture in frost.",
)
PUNCH = _row("room for the punch at the last bend", limit="at most", source="the profile as the last bend closes")
LEG = _row("leg that lies on the die", limit="at least", source="air-bending charts of brake makers: 0.71 of the V")
HOLE = _row("hole beside the bend", limit="at least")
BENT = Check(
    "steel of the bend",
    "bend",
    "MPa",
    source=f"{AISC} F11 at first yield; a bent bar by Winkler and Bach",
    en_source="EN 1993-1-1:2005 6.2.1(5) at first yield; a bent bar by Winkler and Bach",
    needs="a bracket that is bent of one plate",
)
CHECKS = (RADIUS, PUNCH, LEG, HOLE, BENT)
"""The checks of this file."""


def check_bends(setting: Setting) -> Iterator[Finding]:
    """Findings about the bends of a plate of which base and ears are made; none without one."""
    folded, fold = setting.bracket.folded, fold_of(setting.job)
    if folded is None or fold is None:
        return
    base, flat = setting.plates[folded.base], unfolded(setting.bracket.plates, folded)
    for bend in folded.bends:
        right = partial(set_to, "bolted.formed.radius", size(PLATE_SIZES.up(fold.least_mm, setting.job.units)))
        yield RADIUS.at_least(
            part(bend.name),
            fold.least_mm,
            bend.inside_mm,
            source=fold.source,
            assumed=message("{} of {}", base.steel, mm(base.thickness_mm)),
            cure=partial(right, "an inside radius of {}"),
        )
    yield _punch(setting, folded.bends[0], folded.bends[-1], base)
    yield from _legs(setting, folded.bends, base)
    yield from _holes(folded.bends, flat)
    for assembly in setting.assemblies:
        for carrier in assembly.carriers:
            yield from _bent(setting, carrier, assembly, folded.bends)


def _bent(setting: Setting, carrier: Carrier, assembly: Assembly, bends: tuple[Bend, ...]) -> Iterator[Finding]:
    """The bend under an ear: its last section with the side force's moment carried on to the base."""
    bend = next((bend for bend in bends if bend.ear == carrier.plate.name), None)
    swept = swept_of(setting, carrier, assembly)
    if bend is None or swept is None:
        return
    thick, stress = carrier.plate.thickness_mm, swept.stresses
    longer = 1.0 + (bend.inside_mm + thick / 2.0) / swept.span.end_mm
    factor = rule.inner_stress_factor(bend.inside_mm, thick)
    weak = stress.weak[:, -1]
    worst, (case, _) = worst_of((stress.together[:, -1] + weak * (longer * factor - 1.0))[:, None])
    fy = setting.steels[carrier.plate.name].fy_mpa
    for view in setting:
        can = fy if view.en else YIELDING.available(fy, view.rules)
        yield view.strength(
            BENT,
            part(bend.name),
            worst * view.factor,
            can,
            assumed=message(
                "inside radius {}: sideways {} of a straight plate's stress, its moment {} of that at the ear's end, no"
                " gain for steel that was hardened by it",
                mm(bend.inside_mm), number(factor), number(longer),
            ),
            case=setting.cases[case].name,
            cure=partial(_thicker, setting, worst * view.factor / can),
        )  # fmt: skip


def _thicker(setting: Setting, share: float) -> Cure:
    """In proportion, on the safe side: what lies in the plate falls so, what bends it falls with the square."""
    wanted = setting.job.bracket.thickness_mm * share
    return larger.raise_to(setting, "bracket.thickness", wanted, "thickness to {}", "less pressure")


def _punch(setting: Setting, first: Bend, last: Bend, base: Plate) -> Finding:
    """How far the ear that was bent first comes past the line of the punch, when the other one is up."""
    fold = setting.job.bolted.formed if setting.job.bolted is not None else None
    ear, other = setting.plates[first.ear], setting.plates[last.ear]
    past = max(0.0, _past_punch_mm(first, last, base, ear, other))
    return PUNCH.at_most(
        part(first.name, last.name),
        fold.throat_mm if fold is not None else 0.0,
        past,
        assumed=message(
            "{} is bent first, {} last; the ear that is up comes {} past the line down which the punch goes, the "
            "thickness of a straight punch not counted",
            in_words(first.name), in_words(last.name), mm(past),
        ),
        cure="lower ears: the pin nearer to the base, a smaller nose; or a punch cut away beside its edge: tell its "
        "throat under [bolted.formed]; or ears welded on",
    )  # fmt: skip


def _past_punch_mm(first: Bend, last: Bend, base: Plate, ear: Plate, other: Plate) -> float:
    """How far the first ear, up already, reaches past the line half way between the legs of the last bend."""
    assert other.notch is not None
    place, way = base.placement, unit(other.notch.end - other.notch.start) * -1j
    centre = place.point(complex(0.0, last.edge.start.imag), base.thickness_mm + last.inside_mm)
    inwards = mixed(place.v, -last.side, place.u, 0.0)
    up = mixed(other.placement.u, way.real, other.placement.v, way.imag)
    across = minus(up, inwards)  # square to the line, which runs along the sum of the two
    far = math.sqrt(dot(across, across))
    inner_mm = ear.thickness_mm if first.side < 0 else 0.0
    tops = (ear.placement.point(edge.point(t), inner_mm) for edge in ear.outline for t in (0.0, 0.5))
    return max(dot(minus(top, centre), across) / far for top in tops)


def _legs(setting: Setting, bends: tuple[Bend, ...], base: Plate) -> Iterator[Finding]:
    """The outside lengths that lie on the die's shoulders: of each ear, and of the base between the bends."""
    thick, least = base.thickness_mm, rule.least_leg_mm(base.thickness_mm)
    words = message("a V of {}, usual for the thickness", mm(rule.die_mm(thick)))
    cure = "a narrower die, as the brake's chart allows, or ears and base of more length"

    def beyond_bend(bend: Bend) -> float:
        return (bend.inside_mm + thick) * math.tan(min(bend.turn_rad, math.pi / 2) / 2.0)

    for bend in bends:
        ear = setting.plates[bend.ear]
        assert ear.notch is not None
        start, up = ear.notch.start, unit(ear.notch.end - ear.notch.start) * -1j
        high = max(flat_dot(edge.point(t) - start, up) for edge in ear.outline for t in (0.0, 0.5))
        yield LEG.at_least(part(ear.name), least, high + beyond_bend(bend), assumed=words, cure=cure)
    apart = abs(bends[0].edge.start.imag - bends[-1].edge.start.imag)
    yield LEG.at_least(part(base.name), least, apart + sum(map(beyond_bend, bends)), assumed=words, cure=cure)


def _holes(bends: tuple[Bend, ...], flat: Plate) -> Iterator[Finding]:
    """Steel between each hole and the nearest bend, in the flat plate."""
    for hole in flat.holes:
        rooms = []
        for bend in bends:
            begins, ends = bend_limits(bend)
            around = polygon((begins.start, begins.end, ends.end, ends.start))
            off = 0.0 if inside(around, hole.circle.centre) else around.distance(hole.circle.centre)
            rooms.append((off - hole.circle.radius, bend))
        room, bend = min(rooms, key=lambda each: each[0])
        yield HOLE.at_least(
            between(hole.name, bend.name),
            rule.HOLE_OFF_BEND * flat.thickness_mm,
            max(0.0, room),
            assumed="in the flat plate, from the hole's edge to where the bend begins; two thicknesses",
            cure="the hole farther from the bend, or drilled when the plate is bent",
        )
