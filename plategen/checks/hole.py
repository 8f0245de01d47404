"""Holes: distance from their centres to the plate's real edge, and from each other."""

import math
from collections.abc import Iterator

from plategen.bracket.model import Hole, Plate
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting, View
from plategen.rules.edge_distance import least_clear_between_holes, least_distance_en, least_spacing
from plategen.rules.safety import AISC


def check_holes(setting: Setting, plate: Plate) -> Iterator[Finding]:
    """Edge distance of every hole; spacing of every two bolt holes that are neighbours."""
    edges = (plate.outline, *plate.openings)
    for hole in plate.holes:
        has = min(loop.distance(hole.circle.centre) for loop in edges)
        part = f"{plate.name}, {hole.name}"
        short = hole.edge_required_mm - has
        yield Finding(
            check="edge distance",
            part=part,
            demand=hole.edge_required_mm,
            capacity=has,
            unit="mm",
            source=hole.edge_source,
            assumed="from the hole's centre to the nearest edge, cut edges",
            cure=_farther(setting, plate, hole, has, hole.edge_required_mm) if short > 0.0 else "",
        )
        for view in setting:
            if view.rules == "en-1993":
                yield _en_edge(setting, view, plate, hole, has, part)
    bolts = [hole for hole in plate.holes if hole.name.startswith("bolt")]
    for index, one in enumerate(bolts):
        for other in bolts[index + 1 :]:
            yield from _spacing(setting, plate, one, other)


def _farther(setting: Setting, plate: Plate, hole: Hole, has_mm: float, least_mm: float) -> str:
    short = setting.up(least_mm - has_mm)
    if hole.name != "pin":
        return f"move {hole.name} {short} farther from the edge, {setting.show.length(has_mm)} now"
    to_notch = plate.notch.distance(hole.circle.centre) if plate.notch is not None else math.inf
    room = ""
    nose_mm = setting.next_up_mm(least_mm)
    if to_notch <= nose_mm + 1e-6:  # a nose that large would reach the rail
        room = f", with the in-line offset {setting.up(nose_mm - to_notch + setting.step_mm)} larger to make room"
    return f"nose radius to {setting.up(nose_mm)}{room}"


def _en_edge(setting: Setting, view: View, plate: Plate, hole: Hole, has: float, part: str) -> Finding:
    least = least_distance_en("e2", 2.0 * hole.circle.radius)
    return Finding(
        check="edge distance to the hole's size",
        part=part,
        demand=least.mm,
        capacity=has,
        unit="mm",
        source=least.source,
        assumed="e1 and e2 both 1.2 d0, from the hole's centre",
        cure=_farther(setting, plate, hole, has, least.mm) if has < least.mm else "",
        opinion=view.opinion,
    )


def _spacing(setting: Setting, plate: Plate, one: Hole, other: Hole) -> Iterator[Finding]:
    apart = abs(one.circle.centre - other.circle.centre)
    part = f"{plate.name}, {one.name} to {other.name}"
    size = max(one.bolt_mm, other.bolt_mm)
    spacing, clear = least_spacing(size), least_clear_between_holes(size)
    least = max(spacing.mm, clear.mm + one.circle.radius + other.circle.radius)
    by_aisc = setting.rules.set != "en-1993"
    yield Finding(
        check="bolt spacing",
        part=part,
        demand=least,
        capacity=apart,
        unit="mm",
        source=f"{AISC} J3.4 (J3.3 in 360-16): 2 2/3 d, and d clear between the holes",
        assumed="3 d is preferred",
        cure=f"{one.name} and {other.name} to {setting.up(least)} apart" if apart < least else "",
        opinion=not by_aisc,
    )
    en = least_distance_en("p1", 2.0 * max(one.circle.radius, other.circle.radius))
    yield Finding(
        check="bolt spacing to the hole's size",
        part=part,
        demand=en.mm,
        capacity=apart,
        unit="mm",
        source=en.source,
        assumed="along the force",
        cure=f"{one.name} and {other.name} to {setting.up(en.mm)} apart" if apart < en.mm else "",
        opinion=by_aisc,
    )
