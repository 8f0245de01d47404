"""Holes in the rail: where and how large a frame rail may be drilled, and which of its own holes may be used."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from plategen.bracket.bolt_places import LEAST_PITCHES, hole_in_rail_mm
from plategen.bracket.feature import Feature
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, between, part
from plategen.checks.setting import Setting
from plategen.design.base_plan import BasePlan
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import message, mm, number, size
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.bolted import Bolted
from plategen.rules import drilling as rule
from plategen.rules.hole_size import bolt_hole_size

_row = partial(
    Check,
    subject="drilling",
    unit="mm",
    limit="at least",
    source=rule.SOURCE,
    needs="a base that is bolted to the rail",
)
_most = partial(_row, limit="at most")
FACE = _most("new holes in a flange", unit="1")
TOLD = _most("flanges of the rail not told", unit="1", most="caution")
FLANGE = _row("hole to the flange")
BEND = _row("base to the bend at the flange", most="caution")
BETWEEN = _row("steel between holes of the rail")
LARGEST = _most("hole in the rail", most="caution")
SHARE = _most("holes over each other, share of the web", unit="1", most="caution")
IN_LINE = _most("holes over each other", unit="1", most="caution", near=False)
THERE = _most("existing hole to its bolt")
BURNED = _most("burned holes that a bolt goes through", unit="1")
CHECKS = (FACE, TOLD, FLANGE, BEND, BETWEEN, LARGEST, SHARE, IN_LINE, THERE, BURNED)
"""The checks of this file."""

LARGER_MM = 25.4 / 32
"""A hole so much larger than the bolt's standard one still counts as one (a bolting council allows it; from memory)."""


@dataclass(frozen=True, slots=True)
class Drilled:
    """A round hole in the rail: by station and place along the pin, and how wide it is, or will be."""

    name: str
    at: complex
    size_mm: float
    new: bool


def check_drilling(setting: Setting) -> Iterator[Finding]:
    """Findings about the holes of a rail that a base is bolted to; none without one."""
    base, wanted = setting.design.base, setting.job.bolted
    if base is None or wanted is None or setting.bracket.wall is None:
        return
    holes = drilled(setting, base)
    new = [hole for hole in holes if hole.new]
    yield from _where(setting, wanted, new)
    yield from _apart(setting, wanted, holes)
    if new:
        yield LARGEST.at_most(
            part("rail", new[0].name),
            rule.LARGEST_MM,
            new[0].size_mm,
            assumed="a larger hole takes more of the web than a rail is drilled for",
            cure="smaller bolts, and more of them",
        )
    yield from _over_each_other(setting, holes)
    yield from _existing(setting, base, wanted)


def drilled(setting: Setting, base: BasePlan) -> list[Drilled]:
    """Every hole of the rail: the bolts', new or there, and those that are there besides."""
    there = {feature.name: feature for feature in setting.features if feature.kind == "hole"}
    found = []
    for k, bolt in enumerate(base.bolts, start=1):
        own = there.pop(bolt.existing, None)
        at, size_mm = complex(bolt.station_mm, bolt.plane_mm), hole_in_rail_mm(setting.job, own)
        found.append(Drilled(bolt.existing or f"bolt {k}", at, size_mm, own is None))
    found += [
        Drilled(each.name, complex(each.station_mm, each.plane_mm), each.size_mm, False) for each in there.values()
    ]
    return found


def _where(setting: Setting, wanted: Bolted, new: list[Drilled]) -> Iterator[Finding]:
    """Web or flange, and how near the flanges the new holes and the base come."""
    rail = setting.job.rail
    flange = rail.free_edge
    yield FACE.at_most(
        part("rail"),
        0.0,
        float(len(new)) if flange else 0.0,
        assumed="a flange carries the rail's bending: a hole there is where it breaks",
        cure='a base on the web: face = "web" under [rail], traced there; or holes that are there already',
    )
    web = rail.section == "box" or (rail.section == "channel" and rail.face == "web")
    told = rail.section == "flat" or (web and rail.face_mm > 0.0 and rail.plates_lie == "along")
    yield TOLD.at_most(
        part("rail"),
        0.0,
        0.0 if told or flange else 1.0,
        assumed="how near the flanges a hole comes is NOT judged" if not told else "the face is told",
        cure='tell section, face = "web", face_from and face_to under [rail], for plates that lie along it',
    )
    if rail.section in (None, "flat") or rail.plates_lie != "along" or rail.face_mm <= 0.0 or flange:
        return
    assert rail.face_from_mm is not None
    assert rail.face_to_mm is not None
    low, high = sorted((rail.face_from_mm, rail.face_to_mm))
    low, high = low + rail.wall_mm, high - rail.wall_mm  # the flange lies beside the face: its inside a wall further in
    for hole in new:
        room = min(hole.at.imag - low, high - hole.at.imag) - hole.size_mm / 2
        yield FLANGE.at_least(
            part("rail", hole.name),
            rule.FLANGE_MM,
            room,
            assumed="from the hole's edge to the inside of the flange, taken a wall inside the end of the face",
            cure=partial(_narrower, setting, wanted, rule.FLANGE_MM - room),
        )
    yield _bend(setting, low, high)


def _bend(setting: Setting, low: float, high: float) -> Finding:
    base = setting.bracket.of_role("base")
    assert base is not None
    ws = [base.placement.point(complex(u, v))[2] for u in base.outline.bounds[::2] for v in base.outline.bounds[1::2]]
    radius = rule.BEND_OVER_WALL * setting.job.rail.wall_mm
    room = min(min(ws) - low, high - max(ws)) - radius
    return BEND.at_least(
        part(base.name),
        rule.BESIDE_BEND_MM,
        room,
        assumed=message("the bend taken as {} inside, twice the wall, where nobody has gauged it", mm(radius)),
        cure=lambda: advise("a base {} narrower along the pin", mm(rule.BESIDE_BEND_MM - room, "up")),
    )


def _narrower(setting: Setting, wanted: Bolted, short_mm: float) -> Cure:
    """Lines so much nearer to each other; or the bolts at the ends of the ears' feet, where that cannot be."""
    base = setting.design.base
    assert base is not None
    now = max(b.plane_mm for b in base.bolts) - min(b.plane_mm for b in base.bolts)
    right = PLATE_SIZES.down(now - 2.0 * short_mm, setting.job.units)
    least = LEAST_PITCHES * wanted.bolt_mm
    if right < least:
        return advise("bolts {} nearer to the middle of the web", mm(short_mm, "up"))
    words = message("bolts {} nearer to the middle of the web: a spacing of {}", mm(short_mm, "up"), size(right))
    if wanted.pattern != "ends":
        changes = (Change("bolted.pattern", "ends"), Change("bolted.spacing", size(max(least, min(right, 2 * least)))))
        return Cure(message("{}, in lines at the ends of the ears' feet", words), changes)
    return Cure(words, (Change("bolted.spacing", size(right)),))


def _apart(setting: Setting, wanted: Bolted, holes: list[Drilled]) -> Iterator[Finding]:
    """The two holes, one of them new, between which least steel is left beside what is asked."""
    pairs = [(one, other) for one, other in combinations(holes, 2) if one.new or other.new]
    if not pairs:
        return

    def asked(pair: tuple[Drilled, Drilled]) -> tuple[float, float]:
        one, other = pair
        there = abs(one.at - other.at) - (one.size_mm + other.size_mm) / 2
        return rule.between_mm(one.size_mm, other.size_mm), there

    worst = max(pairs, key=lambda pair: asked(pair)[0] - asked(pair)[1])
    least, there = asked(worst)
    yield BETWEEN.at_least(
        between(worst[0].name, worst[1].name, "rail"),
        least,
        max(0.0, there),
        assumed=message(
            "from edge to edge, {}, or {} x the larger hole over {}",
            size(rule.BETWEEN_MM),
            number(rule.BETWEEN_OVER_LARGER, "size"),
            size(rule.SMALL_MM),
        ),
        cure=lambda: _further(setting, worst, least - there),
    )


def _further(setting: Setting, pair: tuple[Drilled, Drilled], short_mm: float) -> Cure:
    one, other = pair
    base, wanted = setting.design.base, setting.job.bolted
    if base is None or wanted is None or not (one.new and other.new):
        return advise(
            "{} {} farther from {}: another station, or use that hole", other.name, mm(short_mm, "up"), one.name
        )
    off = other.at - one.at
    key, now = ("row_spacing", abs(off.real)) if abs(off.real) > abs(off.imag) else ("spacing", abs(off.imag))
    right = size(PLATE_SIZES.up(now + short_mm, setting.job.units))
    return Cure(message("{} of {}", key.replace("_", " "), right), (Change(f"bolted.{key}", right),))


def _over_each_other(setting: Setting, holes: list[Drilled]) -> Iterator[Finding]:
    """The station at which most of the web's height is drilled away."""
    rows = [
        [other for other in holes if abs(other.at.real - hole.at.real) < rule.IN_LINE * hole.size_mm] for hole in holes
    ]
    rows = [row for row in rows if any(hole.new for hole in row)]
    if not rows:
        return
    most = max(rows, key=len)
    yield IN_LINE.at_most(
        part("rail", *(hole.name for hole in most)),
        float(rule.MOST_IN_LINE),
        float(len(most)),
        assumed="holes whose middles lie within a diameter along the rail; a vertical row cuts the web through",
        cure="the bolts of one line moved along the rail by two diameters",
    )
    if setting.job.rail.face_mm > 0.0 and setting.job.rail.plates_lie == "along":
        widest = max(rows, key=lambda row: sum(hole.size_mm for hole in row))
        yield SHARE.at_most(
            part("rail", *(hole.name for hole in widest)),
            rule.SHARE_OF_WEB,
            sum(hole.size_mm for hole in widest) / setting.job.rail.face_mm,
            assumed="their diameters over the web's height",
            cure="smaller bolts, or the bolts of one line moved along the rail",
        )


def _existing(setting: Setting, base: BasePlan, wanted: Bolted) -> Iterator[Finding]:
    """What of the holes that are there is used: not too large for the bolt, and made by a drill."""
    names = {bolt.existing for bolt in base.bolts}
    used: list[Feature] = [feature for feature in setting.features if feature.name in names]
    if not used:
        return
    most = bolt_hole_size(wanted.bolt_mm).mm + LARGER_MM
    largest = max(used, key=lambda feature: feature.size_mm)
    yield THERE.at_most(
        part("rail", largest.name),
        most,
        largest.size_mm,
        assumed=message("the bolt's standard hole and {}; a smaller hole is drilled open", mm(LARGER_MM)),
        cure=lambda: larger.bolts_that_hold(
            setting, setting.bolt_key, wanted.bolt_mm, lambda d: largest.size_mm <= bolt_hole_size(d).mm + LARGER_MM
        ),
    )
    burned = [feature for feature in used if feature.burned]
    yield BURNED.at_most(
        part("rail", *(feature.name for feature in burned)),
        0.0,
        float(len(burned)),
        assumed="the heat leaves a brittle edge full of notches, and a crack begins there",
        cure="a new hole beside it, or that one drilled out to sound steel and called drilled",
    )
