"""Where the true rail may lie beside a fitted chain, all along it and all at once.

One number a place is not enough: whether a plate touches depends on how far the rail is off at one place while it is
off at others. So the displacement along the chain's left normal is kept as a few modes that move it as a whole,

    displacement = modes t,    t multivariate Student, standard, with ``freedom`` degrees,

Student's and not normal since the reading error is itself found from the readings: from five of them it may well be
half as large again as it seems. Source: the predictive distribution of a linear model whose variance is estimated
(Gelman and others, Bayesian Data Analysis, 14.2; from memory).

The last modes are other shapes, of which one may be right: such a one lies off by all of its distance or by nothing,
with its chance, and no two at once. Each mode is the root of its chance times that distance, so that the sum of squares
is the variance here too.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
"""Numbers in an array."""

WAVE_MM = 0.1
"""No rolled or pressed flat is straighter than this over a few decimetres (common practice, no source)."""


_GOLDEN = (5.0**0.5 - 1.0) / 2.0


def signed(modes_mm: Floats) -> Floats:
    """Modes, K x M, each with the one of its two signs that does not hang on the last digit of what it is made of.

    A mode and its negative are the same spread, but not the same rail for one random number.
    """
    uneven = np.modf(np.arange(1, len(modes_mm) + 1) * _GOLDEN)[0]
    return np.asarray(modes_mm * np.where(uneven @ modes_mm < 0.0, -1.0, 1.0))


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Where the true rail may lie beside a fitted chain."""

    places_mm: Floats  # Distances along the chain, K of them, never falling; at a corner one place may stand twice.
    modes_mm: Floats  # K x M: displacement along the chain's left normal, for one standard deviation of each mode.
    freedom: float  # Degrees of freedom of the modes' Student distribution; infinite where it is normal.
    chances: tuple[float, ...] = ()  # That the shape of each of the last modes is the right one.

    @property
    def error_mm(self) -> Floats:
        """One standard deviation of the chain at each of the places, as if the reading error were known."""
        return np.asarray(np.linalg.norm(self.modes_mm, axis=1))

    def at(self, along_mm: Floats) -> Floats:
        """The modes at distances along the chain, N x M; straight between the places, held beyond the ends."""
        place = np.clip(np.searchsorted(self.places_mm, along_mm, side="right"), 1, len(self.places_mm) - 1)
        low, high = self.places_mm[place - 1], self.places_mm[place]
        share = np.clip((along_mm - low) / np.where(high > low, high - low, 1.0), 0.0, 1.0)[:, None]
        return np.asarray(self.modes_mm[place - 1] * (1.0 - share) + self.modes_mm[place] * share)

    def with_bump(self, at_mm: float, half_mm: float, height_mm: float) -> "Spread":
        """The same with one mode more: a bump about a place, which falls off straight to both sides."""
        ends = [p for p in (at_mm - half_mm, at_mm + half_mm) if self.places_mm[0] < p < self.places_mm[-1]]
        order = np.argsort(places := np.concatenate((self.places_mm, ends)), kind="stable")
        modes = np.vstack((self.modes_mm, self.at(np.array(ends))))[order]
        bump = height_mm * np.maximum(1.0 - np.abs(places[order] - at_mm) / max(half_mm, 1e-9), 0.0)
        before = modes.shape[1] - len(self.chances)
        return replace(self, places_mm=places[order], modes_mm=np.insert(modes, before, bump, axis=1))
