"""What is done to each weld run from one revision to the next: kept, built up, lengthened, or ground out and redone."""

import math
from collections.abc import Iterator, Set
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, TypeAlias

from plategen.bracket.model import WeldRun
from plategen.ground.space import Vector
from plategen.revision.same import SAME_MM, on_rail, runs_along
from plategen.work import Work

WELD_MM_PER_MIN = 45.0
GRIND_MM_PER_MIN = 12.0
"""A 6 mm fillet by hand, starts, slag and looks included, and grinding one out (common practice, no source); both go
with the square of the leg."""

RunKind: TypeAlias = Literal["kept", "built up", "lengthened", "ground out and redone", "new", "ground out"]
"""What becomes of a run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class RunChange:
    """One weld run: what is done to it, how long it is now, how much is ground out and laid, and the time for both."""

    name: str
    plate: str
    kind: RunKind
    length_mm: float
    ground_mm: float
    laid_mm: float
    minutes: float


def run_changes(old: Work, new: Work, replaced: Set[str]) -> Iterator[RunChange]:
    """What is done to each run.

    Args:
        old: The job as welded.
        new: The job that follows it.
        replaced: Names of the plates that are cut again, new or gone: their runs cannot stay.
    """
    was_at, now_at = on_rail(old), on_rail(new)
    before, after = ({(r.plate, r.other, r.side): r for r in work.bracket.welds} for work in (old, new))
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        yield _run(was, now, was_at, now_at, replaced=bool(replaced & {key[0], key[1]}))


def _run(was: WeldRun | None, now: WeldRun | None, was_at: complex, now_at: complex, *, replaced: bool) -> RunChange:
    if now is None:
        assert was is not None  # one of the two is there
        return _change(was, "ground out", was.length_mm, 0.0, was.leg_mm)
    if was is None:
        return _change(now, "new", 0.0, now.length_mm, now.leg_mm)
    if not replaced and _along(was, now, now_at - was_at):
        if _along(now, was, was_at - now_at):
            if now.leg_mm <= was.leg_mm + SAME_MM:
                return _change(now, "kept", 0.0, 0.0, now.leg_mm)
            share = 1.0 - (was.leg_mm / now.leg_mm) ** 2
            return _change(now, "built up", 0.0, now.length_mm * share, now.leg_mm)
        return _change(now, "lengthened", 0.0, max(0.0, now.length_mm - was.length_mm), now.leg_mm)
    return _change(now, "ground out and redone", was.length_mm, now.length_mm, now.leg_mm, ground_leg_mm=was.leg_mm)


def _change(
    run: WeldRun, kind: RunKind, ground_mm: float, laid_mm: float, leg_mm: float, ground_leg_mm: float | None = None
) -> RunChange:
    laid_area, ground_area = (leg_mm / 6.0) ** 2, ((ground_leg_mm or leg_mm) / 6.0) ** 2
    minutes = ground_mm * ground_area / GRIND_MM_PER_MIN + laid_mm * laid_area / WELD_MM_PER_MIN
    return RunChange(
        name=run.name, plate=run.plate, kind=kind, length_mm=run.length_mm, ground_mm=ground_mm, laid_mm=laid_mm,
        minutes=minutes,
    )  # fmt: skip


def _along(run: WeldRun, other: WeldRun, other_shift: complex) -> bool:
    """True when a run lies along another, which is shifted first, and nowhere off it."""
    a, b = run.placement, other.placement
    if all((place.u, place.v) == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0)) for place in (a, b)):
        step = other_shift + complex(b.origin[0] - a.origin[0], b.origin[1] - a.origin[1])
        near = abs(a.origin[2] - b.origin[2]) <= SAME_MM
        return near and runs_along(run.path.segments, other.path.moved(shift=step).segments)
    line = list(pairwise(_in_space(other, other_shift, 400)))
    return all(min(_to_piece(p, *piece) for piece in line) <= 2 * SAME_MM for p in _in_space(run, 0j, 24))


def _in_space(run: WeldRun, shift: complex, count: int) -> list[Vector]:
    """Points along a run."""
    points = (run.placement.point(run.path.point(run.path.length * i / count)) for i in range(count + 1))
    return [(u + shift.real, v + shift.imag, w) for u, v, w in points]


def _to_piece(p: Vector, a: Vector, b: Vector) -> float:
    along = [y - x for x, y in zip(a, b, strict=True)]
    away = [y - x for x, y in zip(a, p, strict=True)]
    square = sum(x * x for x in along) or 1e-30
    t = min(1.0, max(0.0, sum(x * y for x, y in zip(along, away, strict=True)) / square))
    return math.sqrt(sum((y - t * x) ** 2 for x, y in zip(along, away, strict=True)))
