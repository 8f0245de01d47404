"""Holes: how far their centres lie from the plate's real edge and from each other, at least and at most.

Beyond the most the plates gape, and water gets in between them and rusts: not a matter of strength, so it only advises.
"""

from collections.abc import Callable, Iterator
from functools import partial
from itertools import combinations

from plategen.bracket.model import Hole, Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part, between, part
from plategen.checks.setting import Setting
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import message, mm, size
from plategen.ground.shop_size import PART_SIZES
from plategen.rules.edge_distance import (
    Distance,
    least_clear_between_holes,
    least_distance_en,
    least_spacing,
    most_edge_distance,
    most_edge_distance_en,
    most_spacing,
    most_spacing_en,
)
from plategen.rules.safety import AISC, EN_JOINTS

_row = partial(Check, subject="hole", unit="mm", limit="at least")
_SPACING = f"{AISC} J3.4 (J3.3 in 360-16): 2 2/3 d, and d clear between the holes"
EDGE_DISTANCE = _row("edge distance", source=f"{AISC} Table J3.4")
EDGE_BY_NOTE = EDGE_DISTANCE.variant(most="caution")
BY_NOTE = "under it, down to 1 d, the steel must hold by bearing, tear-out and block shear, judged apart (its note)"
EDGE_TO_HOLE = _row("edge distance to the hole's size", source=f"{EN_JOINTS} Table 3.3")
BOLT_SPACING = _row("bolt spacing", source=_SPACING, needs="bolts")
SPACING_TO_HOLE = _row("bolt spacing to the hole's size", source=f"{EN_JOINTS} Table 3.3", needs="bolts")
CHECKS = (EDGE_DISTANCE, EDGE_TO_HOLE, BOLT_SPACING, SPACING_TO_HOLE)
"""The least distances."""

_GAPE = f"{AISC} J3.6 (J3.5 in 360-16); {EN_JOINTS} Table 3.3"
FAR_EDGE, FAR_SPACING = FAR_CHECKS = tuple(
    Check(name, "far bolt", "mm", "at most", source=_GAPE, needs="bolts", most="caution")
    for name in ("greatest edge distance", "greatest bolt spacing")
)
"""The greatest ones."""


def check_holes(setting: Setting) -> Iterator[Finding]:
    """Edge distance of every hole; spacing of every two bolt holes that are neighbours."""
    for plate in setting.bracket.plates:
        for hole in plate.holes:
            yield from _edges(setting, plate, hole)
        bolts = [hole for hole in plate.holes if hole.purpose == "bolt"]
        for one, other in combinations(bolts, 2):
            yield from _spacing(setting, plate, one, other)


def _edges(setting: Setting, plate: Plate, hole: Hole) -> Iterator[Finding]:
    has = min(loop.distance(hole.circle.centre) for loop in (plate.outline, *plate.openings))
    yield from edge_distances(
        setting,
        part(plate.name, hole.name),
        has,
        (Distance(hole.edge_required_mm, hole.edge_source), "from the hole's centre to the nearest edge, cut edges"),
        (least_distance_en("e2", 2.0 * hole.circle.radius), "e1 and e2 both 1.2 d0, from the hole's centre"),
        partial(_farther, setting, plate, hole, has),
        hole.bolt_mm if hole.purpose == "bolt" and plate.name in setting.bearing_on_bolts else 0.0,
    )


def edge_distances(
    setting: Setting,
    about: Part,
    there_mm: float,
    by_bolt: tuple[Distance, str],
    by_size: tuple[Distance, str],
    farther: Callable[[float], Cure],
    carried_mm: float = 0.0,
) -> Iterator[Finding]:
    """Findings about the distance of a hole or slot from the nearest edge.

    Args:
        setting: The design under judgement.
        about: The hole.
        there_mm: The distance that it has.
        by_bolt: The least for its bolt or pin, and from where to where that goes.
        by_size: The same for its own size, the rule of EN 1993.
        farther: The cure, of a least distance, mm.
        carried_mm: The bolt's diameter, where bearing, tear-out and block shear of the plate are judged: from there on
            the least for the bolt is no limit of its own. 0 where they are not.
    """
    by_aisc = setting.rules.set != "en-1993"
    edge = EDGE_DISTANCE
    if carried_mm and there_mm * (1.0 + 1e-9) >= carried_mm:
        # note a of Table J3.4: less is allowed where bearing, tear-out and block shear hold, which are judged apart
        edge, by_bolt = EDGE_BY_NOTE, (by_bolt[0], f"{by_bolt[1]}; {BY_NOTE}")
    for check, (least, words), opinion in ((edge, by_bolt, False), (EDGE_TO_HOLE, by_size, by_aisc)):
        cure = partial(farther, least.mm)
        yield check.at_least(about, least.mm, there_mm, source=least.source, assumed=words, cure=cure, opinion=opinion)


def _farther(setting: Setting, plate: Plate, hole: Hole, has_mm: float, least_mm: float) -> Cure:
    if hole.purpose != "pin":
        short = larger.up(setting, least_mm - has_mm)
        return advise("move {} {} farther from the edge, {} now", hole.name, short, mm(has_mm))
    nose_mm = larger.next_up_mm(setting, least_mm)
    nose = Change("bracket.nose_radius", size(nose_mm))
    to_notch = plate.notch.distance(hole.circle.centre) if plate.notch is not None else None
    if to_notch is None or to_notch > nose_mm + 1e-6:
        return Cure(message("nose radius to {}", size(nose_mm)), (nose,))
    # a nose that large would reach the rail
    more_mm = larger.next_up_mm(setting, nose_mm - to_notch + PART_SIZES.step_mm(setting.job.units))
    words = "nose radius to {}, with the in-line offset {} larger to make room"
    offset = Change("mount.inline_offset", mm(setting.design.pin.inline_offset_mm + more_mm))
    return Cure(message(words, size(nose_mm), size(more_mm)), (nose, offset))


def _spacing(setting: Setting, plate: Plate, one: Hole, other: Hole) -> Iterator[Finding]:
    apart = abs(one.circle.centre - other.circle.centre)
    about = between(one.name, other.name, plate.name)
    diameter = max(one.bolt_mm, other.bolt_mm)
    spacing, clear = least_spacing(diameter), least_clear_between_holes(diameter)
    least = max(spacing.mm, clear.mm + one.circle.radius + other.circle.radius)
    by_aisc = setting.rules.set != "en-1993"

    def further(to_mm: float) -> Cure:
        return advise("{} and {} to {} apart", one.name, other.name, larger.up(setting, to_mm))

    yield BOLT_SPACING.at_least(
        about, least, apart, assumed="3 d is preferred", cure=lambda: further(least), opinion=not by_aisc
    )
    en = least_distance_en("p1", 2.0 * max(one.circle.radius, other.circle.radius))
    yield SPACING_TO_HOLE.at_least(
        about, en.mm, apart, source=en.source, assumed="along the force", cure=lambda: further(en.mm), opinion=by_aisc
    )


def check_far_bolts(setting: Setting) -> Iterator[Finding]:
    """Findings about the greatest distance of every bolt from its plate's edge, and of neighbours from each other."""
    by_en = setting.rules.set == "en-1993"
    for _, joint in setting.bolted:
        upper, lower = joint.upper, joint.lower
        thinner_mm = min(upper.thickness_mm, lower.thickness_mm)
        limits = (most_edge_distance(thinner_mm), most_edge_distance_en(thinner_mm))
        for plate, holes in ((upper, joint.upper_holes), (lower, joint.lower_holes)):
            for hole in holes if plate.role != "wall" else ():
                there_mm = plate.outline.distance(hole.circle.centre)
                yield from _far(FAR_EDGE, part(plate.name, hole.name), there_mm, limits, by_en)
        limits = (most_spacing(thinner_mm), most_spacing_en(thinner_mm))
        for one, other in neighbours(joint.lower_holes):
            there_mm = abs(one.circle.centre - other.circle.centre)
            yield from _far(FAR_SPACING, between(one.name, other.name, lower.name), there_mm, limits, by_en)


def neighbours(holes: tuple[Hole, ...]) -> Iterator[tuple[Hole, Hole]]:
    """Every two holes that have no third one nearer to both than they are to each other.

    So the sides of a rectangle of bolts are pairs, and its diagonals are not.
    """
    for one, other in combinations(holes, 2):
        a, b = one.circle.centre, other.circle.centre
        thirds = (hole.circle.centre for hole in holes if hole is not one and hole is not other)
        if all(max(abs(third - a), abs(third - b)) >= abs(a - b) for third in thirds):
            yield one, other


def _far(
    check: Check, about: Part, there_mm: float, limits: tuple[Distance, Distance], by_en: bool
) -> Iterator[Finding]:
    for limit, opinion in zip(limits, (by_en, not by_en), strict=True):
        yield check.at_most(
            about,
            limit.mm,
            there_mm,
            source=limit.source,
            assumed="painted or dry steel, t the thinner plate's; beyond it plates gape and water gets in between",
            cure=partial(advise, "{} at most, or seal the joint", mm(limit.mm, "down")),
            opinion=opinion,
        )
