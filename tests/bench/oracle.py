"""How well any doubt of a fit could tell, from few readings: ``python -m tests.bench oracle``.

The best possible judge knows from which rails ours are drawn, every kind and every value of it, and the reading error.
What it then knows of a rail that was read is the readings' likelihood over those rails, here a hundred thousand of them
(importance sampling; a line is known of none, and is taken out). It doubts the fits for which a rail farther off than
1.5 mm is so many times likelier than one within 0.7 mm, and by Neyman's and Pearson's lemma no other judge names more
of the one at the same share of the other. What it would name is counted by its own chances, which need no luck; beside
it stands what the fits' own chance of a rail far off does on the same fits. A bead that no reading touches counts for
neither. Last, all numbers of readings in one pool in equal shares, where the judge may be strict with one and lenient
with another, and is granted to know all about fits of many readings, which so few known rails cannot tell. All rails
are invented.
"""

from dataclasses import dataclass

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.rail.fit import fit_trace
from tests.bench.rails import FAR_OFF_MM, OTHERS, WELL_MM, looked_at, offsets_of, read, truth
from tests.rail.fit_rails import ERROR_MM, FLATS, MARK_MM, trace_of

COUNTS, MANY = (5, 9, 13), (25, 60, 200)
TRIALS, LIBRARY = 12, 2500
"""Rails of each kind that are fitted, and that the judge knows."""

PLACES = np.linspace(0.0, 1.0, 161)
SHARES = (0.02, 0.05, 0.1, 0.2)
NAMED = 0.95
ONE_SIDED = ("bead", "dent")


@dataclass(frozen=True)
class Known:
    """The rails the judge knows, at places along the trace, and what is not looked at of them."""

    offsets: np.ndarray  # Rails x places, mm.
    step: np.ndarray  # Share of the trace at which each jumps, or not a number.
    bead: np.ndarray  # Rails x 2: from which share to which a bead lies, or not a number.
    weight: np.ndarray  # Of each: those of a kind that cannot be mirrored stand for two.


def known(rng: np.random.Generator) -> Known:
    """Random rails of every kind, each also walked backwards and, where its kind allows, mirrored."""
    offsets, step, bead, weight = [], [], [], []
    for kind in (*FLATS, *OTHERS):
        for _ in range(LIBRARY):
            rail = truth(kind, rng)
            y = rail.offsets(PLACES * rail.span_mm)
            at, ends = rail.step_mm / rail.span_mm, np.array(rail.bead_mm or (np.nan, np.nan)) / rail.span_mm
            signs = (1.0,) if kind in ONE_SIDED else (1.0, -1.0)
            for sign in signs:
                offsets += [sign * y, sign * y[::-1]]
                step += [at, 1.0 - at]
                bead += [ends, 1.0 - ends[::-1]]
                weight += [2.0 / len(signs)] * 2
    return Known(np.array(offsets), np.array(step), np.array(bead), np.array(weight))


def chances(rails: Known, readings: np.ndarray, fits: np.ndarray, rng: np.random.Generator) -> np.ndarray:
    """For each of N fits the chance that the rail lies far off it somewhere, and that it lies near it everywhere.

    Args:
        rails: The rails there are.
        readings: Offsets read at even steps, N x their number, mm.
        fits: What was made of them, N x places, mm.
        rng: Draws where a rail's line lies within what the readings leave open.
    """
    at = np.linspace(0.0, 1.0, readings.shape[1])
    line, there = (np.stack([np.ones(len(t)), t], axis=1) for t in (at, PLACES))
    solver = np.linalg.pinv(line)
    variance = ERROR_MM**2 + MARK_MM**2 / 12.0
    spread = np.linalg.cholesky(np.linalg.inv(line.T @ line) * variance)
    own = np.array([np.interp(at, PLACES, y) for y in rails.offsets])
    touched = ((rails.bead[:, :1] < at) & (at < rails.bead[:, 1:])).any(axis=1) | np.isnan(rails.bead[:, 0])
    after = np.searchsorted(at, np.nan_to_num(rails.step, nan=2.0)).clip(1, len(at) - 1)
    about = (at[after - 1, None] <= PLACES) & (at[after, None] >= PLACES) & ~np.isnan(rails.step)[:, None]
    found = []
    for read_mm, fit in zip(readings, fits, strict=True):
        away = read_mm - own
        values = away @ solver.T
        likely = -0.5 * ((away - values @ line.T) ** 2).sum(axis=1) / variance
        weight = rails.weight * np.exp(likely - likely.max())
        heard = np.flatnonzero(weight > 1e-5)
        drawn = values[heard] + rng.normal(size=(len(heard), 2)) @ spread.T
        off = np.abs(rails.offsets[heard] + drawn @ there.T - fit)
        most, share = np.where(about[heard], 0.0, off).max(axis=1), weight[heard] / weight[heard].sum() * touched[heard]
        found.append((share @ (most > FAR_OFF_MM), share @ (most < WELL_MM)))
    return np.array(found)


def fitted(count: int, rng: np.random.Generator) -> tuple[np.ndarray, np.ndarray, list[tuple[float, bool, bool]]]:
    """Readings and fits of rails of every kind, how far each fit is off, whether it is heard, whether it counts."""
    readings, fits, said = [], [], []
    for kind in (*FLATS, *OTHERS):
        for _ in range(TRIALS):
            rail = truth(kind, rng)
            points = read(rail, count, rng)
            try:
                found = fit_trace(trace_of(points))
            except Refusal:
                continue
            x = looked_at(rail, points)
            off = float(np.abs(offsets_of(found, x) - rail.offsets(x)).max())
            low, high = rail.bead_mm or (-np.inf, np.inf)
            heard = any(q.heard and (q.cause != "step" or off > FAR_OFF_MM) for q in found.questions)
            said.append((off, heard, bool(((low < points.real) & (points.real < high)).any())))
            readings.append(points.imag)
            fits.append(offsets_of(found, PLACES * rail.span_mm))
    return np.array(readings), np.array(fits), said


def told_apart(far: np.ndarray, well: np.ndarray, surely: tuple[int, int]) -> tuple[list[float], float]:
    """What the judge names of the fits far off at each share of false ones, and the false ones at 95 % named.

    Args:
        far: Chance of each fit that it is far off.
        well: That it is near.
        surely: Further fits far off, and near, of which the judge knows.
    """
    order = np.argsort(-far / np.maximum(well, 1e-9))
    named = (np.cumsum(far[order]) + surely[0]) / (far.sum() + surely[0])
    false = np.cumsum(well[order]) / (well.sum() + surely[1])
    at = [float(named[max(int(np.searchsorted(false, share, side="right")) - 1, 0)]) for share in SHARES]
    return at, float(false[np.searchsorted(named, NAMED)])


def main() -> None:
    """Print the table."""
    rng = np.random.default_rng(17)
    rails = known(rng)
    every, own = [], []
    print("\nreadings   named at 2 % false   5 %   10 %   20 %   false at 95 % named    the fits' own: named, false")
    for count in COUNTS:
        readings, fits, said = fitted(count, rng)
        every.append(chances(rails, readings, fits, rng))
        own += said
        _print(str(count), every[-1].T, (0, 0), said)
    many = [told for count in MANY for told in fitted(count, rng)[2]]
    surely = sum(off > FAR_OFF_MM for off, _, _ in many), sum(off < WELL_MM for off, _, _ in many)
    _print("all", np.concatenate(every).T, surely, own + many)


def _print(name: str, far_well: np.ndarray, surely: tuple[int, int], said: list[tuple[float, bool, bool]]) -> None:
    far, well = far_well
    at, false = told_apart(far, well, surely)
    off, heard, counts = (np.array(column) for column in zip(*said, strict=True))
    print(
        f"{name:>8s} {at[0]:20.1%} {at[1]:5.0%} {at[2]:6.0%} {at[3]:6.0%} {false:20.1%} "
        f"{heard[(off > FAR_OFF_MM) & counts].mean():24.0%} {heard[off < WELL_MM].mean():6.1%}",
        flush=True,
    )
