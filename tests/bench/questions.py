"""Whether a fit that is off says so, and says where: ``python -m tests.bench questions``.

Over the random rails of :mod:`tests.bench.rails`: of the fits more than 1.5 mm off somewhere, the share with a question
that is heard and names the place, to within the usual step between readings; of those within 0.7 mm everywhere, the
share with any. A bead that no reading lies on shows in none, and one that readings only graze looks like chance. So
where they stand out by less than four standard deviations in all, fits are counted by themselves: a test of 25
readings that is wrong in two traces of a hundred lets one bead of five pass that stands out by that much. Last, the
largest error of the fits that ask for readings, at the 90th percentile, before and after these are taken. All are
invented.
"""

from collections import defaultdict
from dataclasses import dataclass

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_trace
from plategen.rail.trace import FittedTrace
from tests.bench.rails import COUNTS, OTHERS, Truth, read, truth
from tests.rail.fit_rails import ERROR_MM, FLATS, MARK_MM, along, trace_of

TRIALS = 20
BAD_MM, GOOD_MM = 1.5, 0.7
SHOWN = 4.0


@dataclass(frozen=True)
class Case:
    """One fit of one rail."""

    kind: str
    count: int
    off_mm: float
    named: bool  # A question that is heard names the place of the largest error.
    heard: bool
    seen: bool  # Readings show what is odd about the rail.
    after_mm: float | None  # The largest error once the readings it asks for are taken; None where it asks for none.


def farthest(rail: Truth, fitted: FittedTrace) -> tuple[float, float]:
    """How far the fit lies from the rail at most, as the crow flies, and at which station."""
    x = np.linspace(0.0, rail.span_mm, 1600)
    path = x + 1j * rail.offsets(x)
    jumps = np.flatnonzero(np.abs(np.diff(path.imag)) > BAD_MM)
    risers = [np.linspace(path[i], path[i + 1], 40) for i in jumps]
    there = np.concatenate([path, *risers])
    points = along(fitted.chain, max(400 // len(fitted.chain), 8))
    off = np.abs(points[:, None] - there).min(axis=1)
    return float(off.max()), float(points[off.argmax()].real)


def case(kind: str, count: int, rng: np.random.Generator) -> Case | None:
    """Read a random rail, fit it, and do as the fit asks; None where it refuses."""
    rail = truth(kind, rng)
    points = read(rail, count, rng)
    try:
        fitted = fit_trace(trace_of(points))
    except Refusal:
        return None
    off, at = farthest(rail, fitted)
    step = rail.span_mm / (count - 1)
    questions = [question for question in fitted.questions if question.heard]
    more = np.array([p.real for question in questions if question.cause != "left out" for p in question.read_at])
    return Case(
        kind,
        count,
        off,
        any(question.touches(at - step, at + step) for question in questions),
        bool(questions),
        kind != "bead" or _on_bead(rail, points),
        _after(rail, points, more, rng) if len(more) else None,
    )


def _on_bead(rail: Truth, points: np.ndarray) -> bool:
    """Whether readings lie on the bead: where they stand out by more in all than chance makes one of them."""
    x = np.linspace(0.0, rail.span_mm, 1600)
    line = np.polynomial.Polynomial.fit(x[[0, -1]], rail.offsets(x[[0, -1]]), 1)
    return bool(np.linalg.norm(rail.offsets(points.real) - line(points.real)) > SHOWN * ERROR_MM)


def _after(rail: Truth, points: np.ndarray, more: np.ndarray, rng: np.random.Generator) -> float | None:
    offsets = rail.offsets(more) + rng.normal(0.0, ERROR_MM, len(more))
    both = np.concatenate([points, more + 1j * np.round(offsets / MARK_MM) * MARK_MM])
    try:
        return farthest(rail, fit_trace(trace_of(both[np.argsort(both.real, kind="stable")])))[0]
    except Refusal:
        return None


def main() -> None:
    """Print the table."""
    by: dict[str, list[Case]] = defaultdict(list)
    for kind in (*FLATS, *OTHERS):
        for count in COUNTS:
            rng = np.random.default_rng(1000 + count)
            for found in filter(None, (case(kind, count, rng) for _ in range(TRIALS))):
                for name in (kind, f"{count} readings", "all", "25 or more" if count >= 25 else "fewer than 25"):
                    by[name].append(found)
    print("\n                off > 1.5 mm   named   unseen beads   within 0.7 mm   cautioned   p90 off, asked, after")
    for name, cases in by.items():
        bad = [c for c in cases if c.off_mm > BAD_MM and c.seen]
        good = [c for c in cases if c.off_mm < GOOD_MM]
        unseen = sum(c.off_mm > BAD_MM and not c.seen for c in cases)
        asked = [(c.off_mm, c.after_mm) for c in cases if c.after_mm is not None]
        p90 = np.percentile(np.array(asked), 90, axis=0) if asked else (0.0, 0.0)
        print(
            f"{name:15s} {len(bad):12d} {_share([c.named for c in bad]):>7s} {unseen:14d} {len(good):15d} "
            f"{_share([c.heard for c in good]):>11s} {p90[0]:9.2f} {p90[1]:6.2f}"
        )


def _share(flags: list[bool]) -> str:
    return f"{100.0 * np.mean(flags):.1f} %" if flags else "-"
