"""Where the true rail may lie beside a fitted chain, all along it and all at once.

One number a place is not enough: whether a plate touches depends on how far the rail is off at one place while it is
off at others. So the displacement along the chain's left normal is kept as a few modes that move it as a whole,

    displacement = modes t,    t multivariate Student, standard, with ``freedom`` degrees,

Student's and not normal since the reading error is itself found from the readings: from five of them it may well be
half as large again as it seems. Source: the predictive distribution of a linear model whose variance is estimated
(Gelman and others, Bayesian Data Analysis, 14.2; from memory).
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
"""Numbers in an array."""


@dataclass(frozen=True, slots=True, eq=False)
class Spread:
    """Where the true rail may lie beside a fitted chain."""

    places_mm: Floats  # Distances along the chain, K of them, never falling; at a corner one place may stand twice.
    modes_mm: Floats  # K x M: displacement along the chain's left normal, for one standard deviation of each mode.
    freedom: float  # Degrees of freedom of the modes' Student distribution; infinite where it is normal.

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
