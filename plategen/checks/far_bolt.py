"""Bolts too far from an edge or from each other: there the plates gape, and water gets in between them and rusts.

Not a matter of strength, so it only advises.
"""

from collections.abc import Iterator
from itertools import combinations

from plategen.bracket.model import Hole
from plategen.checks.finding import Finding
from plategen.checks.load_path import BoltJoint
from plategen.checks.setting import Setting
from plategen.rules.edge_distance import (
    Distance,
    most_edge_distance,
    most_edge_distance_en,
    most_spacing,
    most_spacing_en,
)


def check_far_bolts(setting: Setting, joint: BoltJoint) -> Iterator[Finding]:
    """Greatest distance of every bolt from its plate's nearest edge, and of neighbours from each other."""
    thinner_mm = min(joint.upper.thickness_mm, joint.lower.thickness_mm)
    by_en = setting.rules.set == "en-1993"
    edge_limits = ((most_edge_distance(thinner_mm), by_en), (most_edge_distance_en(thinner_mm), not by_en))
    for plate, holes in ((joint.upper, joint.upper_holes), (joint.lower, joint.lower_holes)):
        for hole in holes:
            has = plate.outline.distance(hole.circle.centre)
            for limit, opinion in edge_limits:
                yield _finding(setting, "greatest edge distance", f"{plate.name}, {hole.name}", has, limit, opinion)
    spacing_limits = ((most_spacing(thinner_mm), by_en), (most_spacing_en(thinner_mm), not by_en))
    for one, other in neighbours(joint.lower_holes):
        apart = abs(one.circle.centre - other.circle.centre)
        part = f"{joint.lower.name}, {one.name} to {other.name}"
        for limit, opinion in spacing_limits:
            yield _finding(setting, "greatest bolt spacing", part, apart, limit, opinion)


def neighbours(holes: tuple[Hole, ...]) -> Iterator[tuple[Hole, Hole]]:
    """Every two holes that have no third one nearer to both than they are to each other.

    So the sides of a rectangle of bolts are pairs, and its diagonals are not.
    """
    for one, other in combinations(holes, 2):
        a, b = one.circle.centre, other.circle.centre
        thirds = (hole.circle.centre for hole in holes if hole is not one and hole is not other)
        if all(max(abs(third - a), abs(third - b)) >= abs(a - b) for third in thirds):
            yield one, other


def _finding(setting: Setting, check: str, part: str, has_mm: float, limit: Distance, opinion: bool) -> Finding:
    return Finding(
        check=check,
        part=part,
        demand=has_mm,
        capacity=limit.mm,
        unit="mm",
        source=limit.source,
        assumed="painted or dry steel, t the thinner plate's; beyond it plates gape and water gets in between",
        cure=f"{setting.show.length(limit.mm)} at most, or seal the joint" if has_mm > limit.mm else "",
        opinion=opinion,
        most="caution",
    )
