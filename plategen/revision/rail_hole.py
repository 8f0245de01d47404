"""What becomes of the holes that are drilled in a rail from one revision to the next: a hole cannot be taken back."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.bracket.drill_list import Drill, drill_list
from plategen.work import Work

SAME_PLACE_MM = 0.05
"""Holes whose middles lie nearer to each other are one: a tenth of what a centre punch wanders."""

RailHoleKind: TypeAlias = Literal["kept", "drilled out", "new", "left open"]
"""What becomes of a hole in the rail."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RailHole:
    """One hole in the rail: its place by station and along the pin, and its diameter before and now, 0 for none."""

    name: str
    kind: RailHoleKind
    station_mm: float
    plane_mm: float
    was_mm: float
    now_mm: float


def rail_holes(old: Work, new: Work) -> Iterator[RailHole]:
    """Every bolt's hole in the rail of either job, those of the job before first; none where no base is bolted on."""
    before, after = (list(drill_list(work.design, work.features)) for work in (old, new))
    for was in before:
        now = next((each for each in after if _same(was, each)), None)
        if now is None:
            kind: RailHoleKind = "left open"
        else:
            kind = "drilled out" if now.hole_mm > was.hole_mm + SAME_PLACE_MM else "kept"
        yield _hole(was, kind, was.hole_mm, now.hole_mm if now is not None else 0.0)
    for now in after:
        if not any(_same(was, now) for was in before):
            there = next((f.size_mm for f in new.features if f.name == now.existing), 0.0)
            if not there:
                yield _hole(now, "new", 0.0, now.hole_mm)
            elif now.steps_mm:
                yield _hole(now, "drilled out", there, now.hole_mm)


def _hole(drill: Drill, kind: RailHoleKind, was_mm: float, now_mm: float) -> RailHole:
    place = {"station_mm": drill.station_mm, "plane_mm": drill.plane_mm}
    return RailHole(name=drill.existing or drill.name, kind=kind, was_mm=was_mm, now_mm=now_mm, **place)


def _same(one: Drill, other: Drill) -> bool:
    return math.dist((one.station_mm, one.plane_mm), (other.station_mm, other.plane_mm)) <= SAME_PLACE_MM
