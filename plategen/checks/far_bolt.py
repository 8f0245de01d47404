"""Bolts too far from an edge or from each other: there the plates gape, and water gets in between them and rusts.

Not a matter of strength, so it only advises.
"""

from collections.abc import Iterator
from itertools import combinations

from plategen.bracket.model import Hole
from plategen.checks.finding import Check, Finding, Part, between, part
from plategen.checks.load_path import BoltJoint
from plategen.checks.setting import Setting
from plategen.ground.cure import advise
from plategen.ground.message import mm
from plategen.rules.edge_distance import (
    Distance,
    most_edge_distance,
    most_edge_distance_en,
    most_spacing,
    most_spacing_en,
)
from plategen.rules.safety import AISC, EN_JOINTS

FAR_EDGE = Check(
    "greatest edge distance",
    "far bolt",
    "mm",
    "at most",
    source=f"{AISC} J3.6 (J3.5 in 360-16); {EN_JOINTS} Table 3.3",
    needs="bolts",
    most="caution",
)
FAR_SPACING = Check(
    "greatest bolt spacing",
    "far bolt",
    "mm",
    "at most",
    source=f"{AISC} J3.6 (J3.5 in 360-16); {EN_JOINTS} Table 3.3",
    needs="bolts",
    most="caution",
)
CHECKS = (FAR_EDGE, FAR_SPACING)
"""The checks of this file."""


def check_far_bolts(setting: Setting) -> Iterator[Finding]:
    """Findings about the greatest distance of every bolt from its plate's edge, and of neighbours from each other."""
    for _, joint in setting.bolted:
        yield from _joint(joint, by_en=setting.rules.set == "en-1993")


def _joint(joint: BoltJoint, *, by_en: bool) -> Iterator[Finding]:
    thinner_mm = min(joint.upper.thickness_mm, joint.lower.thickness_mm)
    edge_limits = ((most_edge_distance(thinner_mm), by_en), (most_edge_distance_en(thinner_mm), not by_en))
    for plate, holes in ((joint.upper, joint.upper_holes), (joint.lower, joint.lower_holes)):
        for hole in holes:
            there = plate.outline.distance(hole.circle.centre)
            for limit, opinion in edge_limits:
                yield _at_most(FAR_EDGE, part(plate.name, hole.name), there, limit, opinion)
    spacing_limits = ((most_spacing(thinner_mm), by_en), (most_spacing_en(thinner_mm), not by_en))
    for one, other in neighbours(joint.lower_holes):
        apart = abs(one.circle.centre - other.circle.centre)
        for limit, opinion in spacing_limits:
            yield _at_most(FAR_SPACING, between(one.name, other.name, joint.lower.name), apart, limit, opinion)


def neighbours(holes: tuple[Hole, ...]) -> Iterator[tuple[Hole, Hole]]:
    """Every two holes that have no third one nearer to both than they are to each other.

    So the sides of a rectangle of bolts are pairs, and its diagonals are not.
    """
    for one, other in combinations(holes, 2):
        a, b = one.circle.centre, other.circle.centre
        thirds = (hole.circle.centre for hole in holes if hole is not one and hole is not other)
        if all(max(abs(third - a), abs(third - b)) >= abs(a - b) for third in thirds):
            yield one, other


def _at_most(check: Check, about: Part, there_mm: float, limit: Distance, opinion: bool) -> Finding:
    return check.at_most(
        about,
        limit.mm,
        there_mm,
        source=limit.source,
        assumed="painted or dry steel, t the thinner plate's; beyond it plates gape and water gets in between",
        cure=lambda: advise("{} at most, or seal the joint", mm(limit.mm, "down")),
        opinion=opinion,
    )
