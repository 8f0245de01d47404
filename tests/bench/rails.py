"""How near the fit comes to rails that are known: ``python -m tests.bench rails``.

Each line is one kind of rail and one number of readings, over some random rails, read with half a millimetre of error
to a rule's 1/32 in: the root mean square of the fit's error against that of a least-squares fit that is told the true
formula and may move all its values, the same against straight lines between the readings, and the largest error.
What nobody looked at, the gap between the two readings around a step, is left out. A bead is bridged and not followed,
and the told fit of one begins at its true top, which few readings touch: so the two are compared on the rail beside it,
from the readings around it on; the largest error and the doubts are of all of it. All rails are invented.
"""

import math
import time
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from scipy.optimize import least_squares

from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_trace
from plategen.rail.trace import FittedTrace
from tests.rail.fit_rails import ERROR_MM, FLATS, MARK_MM, a_rail, along, told_the_pieces, trace_of

COUNTS = (5, 9, 13, 25, 60, 200)
TRIALS = 40
FAR_OFF_MM, WELL_MM = 1.5, 0.7
"""A fit that is farther off must say so; one that is nearer must not."""

NEAR_MM = 15.0
"""So near to the largest error counts as its place."""

OTHERS = ("step", "bead", "dent", "sweep", "s-bend", "waves")


@dataclass(frozen=True)
class Truth:
    """A rail as offsets at stations, and what a fit that is told its formula makes of readings."""

    span_mm: float
    offsets: Callable[[np.ndarray], np.ndarray]
    told: Callable[[np.ndarray], Callable[[np.ndarray], np.ndarray]]
    step_mm: float = math.nan  # Where it jumps.
    bead_mm: tuple[float, float] | None = None  # From where to where a bead lies on it.


def truth(kind: str, rng: np.random.Generator) -> Truth:
    """A random rail of a kind."""
    return _pieces(kind, rng) if kind in FLATS else _formula(kind, rng)


def _pieces(kind: str, rng: np.random.Generator) -> Truth:
    rail = a_rail(kind, rng)

    def told(points: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
        path = told_the_pieces(rail, points)
        return lambda x: np.interp(x, path.real, path.imag)

    return Truth(rail.span_mm, rail.offsets, told)


def _formula(kind: str, rng: np.random.Generator) -> Truth:
    span, sign = rng.uniform(280, 400), float(rng.choice([-1, 1]))
    line, at = (rng.uniform(20, 60), rng.uniform(-0.1, 0.1)), rng.uniform(0.35, 0.65) * span
    values, shape = {
        "step": lambda: ([sign * rng.uniform(2, 12)], lambda x, p: p[0] * (x > at)),
        "bead": lambda: (
            [-rng.uniform(2, 6), at, rng.uniform(4, 10)],
            lambda x, p: p[0] * np.sqrt(np.maximum(0.0, 1.0 - ((x - p[1]) / p[2]) ** 2)),
        ),
        "dent": lambda: (
            [rng.uniform(2, 8), at, rng.uniform(15, 50)],
            lambda x, p: p[0] * np.exp(-0.5 * ((x - p[1]) / p[2]) ** 2),
        ),
        "sweep": lambda: (
            [sign / rng.uniform(800, 4000)] * 2,
            lambda x, p: p[0] * (x - span / 2) ** 2 / 2 + p[1] * (x - span / 2) ** 3 / (6 * span),
        ),
        "s-bend": lambda: (
            [sign * rng.uniform(5, 25), at, rng.uniform(15, 50)],
            lambda x, p: p[0] * np.tanh((x - p[1]) / p[2]) / 2,
        ),
        "waves": lambda: (
            [rng.uniform(1, 4), rng.uniform(0, 6), rng.uniform(100, 250)],
            lambda x, p: p[0] * np.sin(2 * math.pi * x / p[2] + p[1]),
        ),
    }[kind]()

    def offsets(x: np.ndarray, p: np.ndarray) -> np.ndarray:
        return p[0] + p[1] * x + shape(x, p[2:])

    true = np.array([*line, *values])

    def told(points: np.ndarray) -> Callable[[np.ndarray], np.ndarray]:
        off = lambda p: offsets(points.real, p) - points.imag  # noqa: E731
        found = least_squares(off, true, x_scale=np.maximum(np.abs(true), 1e-3))
        return lambda x: offsets(x, found.x)

    bead = (at - values[-1], at + values[-1]) if kind == "bead" else None
    return Truth(span, lambda x: offsets(x, true), told, at if kind == "step" else math.nan, bead)


def read(rail: Truth, count: int, rng: np.random.Generator) -> np.ndarray:
    """So many readings of it."""
    stations = np.linspace(0.0, rail.span_mm, count)
    offsets = rail.offsets(stations) + rng.normal(0.0, ERROR_MM, count)
    return stations + 1j * np.round(offsets / MARK_MM) * MARK_MM


def looked_at(rail: Truth, points: np.ndarray) -> np.ndarray:
    """Stations all along the rail but between the readings around a step."""
    x = np.linspace(1.0, rail.span_mm - 1.0, 800)
    if math.isnan(rail.step_mm):
        return x
    after = int(np.searchsorted(points.real, rail.step_mm))
    return x[(x < points[after - 1].real) | (x > points[after].real)]


def beside_bead(rail: Truth, points: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Which stations are not between the readings around a bead."""
    if rail.bead_mm is None:
        return np.ones(len(x), bool)
    before, after = np.searchsorted(points.real, rail.bead_mm)
    return (x < points[before - 1].real) | (x > points[after].real)


def offsets_of(fitted: FittedTrace, x: np.ndarray) -> np.ndarray:
    """The fit's offsets at stations."""
    path = along(fitted.chain, 400)
    order = np.argsort(path.real, kind="stable")
    return np.interp(x, path.real[order], path.imag[order])


@dataclass(frozen=True)
class Result:
    """One fit of one rail."""

    rms_mm: float
    told_mm: float
    lines_mm: float
    worst_mm: float
    doubted: bool  # Whether a question names the place of the largest error; of a good fit, any but of a step.
    free: bool
    seconds: float


def trial(kind: str, count: int, rng: np.random.Generator) -> Result | None:
    """Read a random rail and fit it; None where the fit refuses."""
    rail = truth(kind, rng)
    points = read(rail, count, rng)
    x = looked_at(rail, points)
    beside = beside_bead(rail, points, x)
    began = time.process_time()
    try:
        fitted = fit_trace(trace_of(points))
    except Refusal:
        return None
    took = time.process_time() - began

    def rms(offsets: np.ndarray) -> float:
        return float(np.sqrt(np.mean((offsets - rail.offsets(x))[beside] ** 2)))

    fit = offsets_of(fitted, x)
    off = np.abs(fit - rail.offsets(x))
    heard = [question for question in fitted.questions if question.heard]
    near = [question for question in heard if question.touches(x[off.argmax()] - NEAR_MM, x[off.argmax()] + NEAR_MM)]
    return Result(
        rms(fit),
        rms(rail.told(points)(x)),
        rms(np.interp(x, points.real, points.imag)),
        float(off.max()),
        bool(near if off.max() > FAR_OFF_MM else [question for question in heard if question.cause != "step"]),
        fitted.model == "free",
        took,
    )


def main() -> None:
    """Print the table."""
    far: list[bool] = []
    well: list[bool] = []
    print(
        "\nkind       readings  rms / told: median  worst   rms / lines   largest error p95, mm   free   refused    ms"
    )
    for kind in (*FLATS, *OTHERS):
        for count in COUNTS:
            rng = np.random.default_rng(count)
            tried = [trial(kind, count, rng) for _ in range(TRIALS)]
            done = [result for result in tried if result]
            far += [r.doubted for r in done if r.worst_mm > FAR_OFF_MM]
            well += [r.doubted for r in done if r.worst_mm < WELL_MM]
            told = [r.rms_mm / r.told_mm for r in done]
            print(
                f"{kind:10s} {count:8d} {np.median(told):19.2f} {max(told):6.1f} "
                f"{np.median([r.rms_mm / r.lines_mm for r in done]):13.2f} "
                f"{np.percentile([r.worst_mm for r in done], 95):23.2f} {sum(r.free for r in done):6d} "
                f"{TRIALS - len(done):9d} {1e3 * np.median([r.seconds for r in done]):5.0f}",
                flush=True,
            )
    print(f"of {len(far)} fits more than {FAR_OFF_MM} mm off {np.mean(far):.1%} carry a doubt that names the place;")
    print(f"of {len(well)} fits within {WELL_MM} mm {np.mean(well):.1%} carry one")
