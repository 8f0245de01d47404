"""What a smooth curve may do beforehand: wave alike all along, at random or with one period, or bend about one place.

A dent in a flat and a joggle between two flats are curved in one place only. Their curvature is a smooth process seen
through a window of centre c and width w. When both are Gaussian, Mehler's formula gives the process's own modes, the
Hermite functions of t = (x - c) / w, with powers that fall off geometrically:

    cov(y''(x), y''(x')) ~ sum_k r^k / k! He_k(t) exp(-t^2 / 2) He_k(t') exp(-t'^2 / 2)

Twice integrated, k = 0 is a rounded corner, which is a chain's matter, k = 1 a joggle ``int exp(-t^2 / 2)``, and each
further one ``He_(k-2)(t) exp(-t^2 / 2)``: a dent first. So a few functions carry the whole process. Source: Rasmussen
and Williams, Gaussian Processes for Machine Learning, 2006, 4.3.1 (from memory).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from plategen.rail.fit.model import Floats

DRIFT = 0.15
"""By so much of its height a wave of one period drifts to either end, in height and in phase: no rail keeps time, and
between two periods that are tried lies a tenth of a turn over the trace."""

JOGGLE, DENT = 1, 2
"""The first function of each."""

FUNCTIONS = 4
"""So many of them are heeded, from the first one on."""

FALL = 0.4
"""``r``: how fast their powers fall off."""

_ROOTS = {
    first: np.sqrt([FALL**k * math.factorial(first) / math.factorial(first + k) for k in range(FUNCTIONS)])
    for first in (JOGGLE, DENT)
}
"""The roots of their powers, of which the first one's is one."""

_ERF_AT = np.linspace(-5.0, 5.0, 2001)
_ERF = np.array([math.erf(t) for t in _ERF_AT.tolist()])


def erf(t: Floats) -> Floats:
    """The error function, to a hundred thousandth."""
    return np.asarray(np.interp(t, _ERF_AT, _ERF))


class Waves(Protocol):
    """A Gaussian process of unit height."""

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at stations and at others."""


@dataclass(frozen=True, slots=True)
class Everywhere:
    """Waves alike all along the trace."""

    length_mm: float
    high: float  # In units of the height.

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at stations and at others."""
        return np.asarray(self.high**2 * np.exp(-0.5 * ((x[:, None] - other) / self.length_mm) ** 2))


@dataclass(frozen=True, slots=True)
class About:
    """Curvature about one place."""

    centre_mm: float
    width_mm: float
    first: int  # The first of its functions.

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at stations and at others."""
        return np.asarray(self._at(x) @ self._at(other).T)

    def _at(self, x: Floats) -> Floats:
        return functions((x - self.centre_mm) / self.width_mm, self.first)


@dataclass(frozen=True, slots=True)
class Periodic:
    """Waves of one period all along the trace, which drift a little."""

    middle_mm: float  # Of the trace.
    half_mm: float  # Half the length of the trace.
    turns: float  # Radians a millimetre.

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at stations and at others."""
        return np.asarray(self.functions(x)[0] @ self.functions(other)[0].T)

    def functions(self, x: Floats) -> tuple[Floats, Floats]:
        """Cosine and sine, and both as they drift, at stations, along a further axis; and their slopes."""
        along = x - self.middle_mm
        turned, drift = self.turns * along, DRIFT * along / self.half_mm
        both = np.stack([np.cos(turned), np.sin(turned)], axis=-1)
        ahead = self.turns * np.stack([-np.sin(turned), np.cos(turned)], axis=-1)
        drifted = drift[:, None] * ahead + DRIFT / self.half_mm * both
        return np.hstack([both, drift[:, None] * both]), np.hstack([ahead, drifted])


def raised(pulls: Sequence[tuple[Waves, Floats]], read: Floats, x: Floats) -> tuple[Floats, Floats]:
    """Offsets and slopes at stations.

    Args:
        pulls: What each of the readings pulls at waves of each kind.
        read: Stations of the readings.
        x: The stations.
    """
    offset, slope = np.zeros(len(x)), np.zeros(len(x))
    for waves, pull in pulls:
        if isinstance(waves, Everywhere):
            alike = waves.alike(x, read)
            offset += alike @ pull
            slope += ((read - x[:, None]) * alike) @ pull / waves.length_mm**2
        elif isinstance(waves, Periodic):
            high, steep = waves.functions(x)
            much = waves.functions(read)[0].T @ pull
            offset += high @ much
            slope += steep @ much
    for first in (JOGGLE, DENT):
        some = [(waves, pull) for waves, pull in pulls if isinstance(waves, About) and waves.first == first]
        if some:
            centre, width = np.array([[waves.centre_mm, waves.width_mm] for waves, _ in some]).T
            shaped = functions((read[:, None] - centre) / width, first)
            much = np.einsum("nck,cn->ck", shaped, np.stack([pull for _, pull in some]))
            t = (x[:, None] - centre) / width
            offset += np.tensordot(functions(t, first), much)
            slope += np.tensordot(slopes(t, first), much / width[:, None])
    return offset, slope


def functions(t: Floats, first: int) -> Floats:
    """The functions at places, along a further axis, each as high as the root of its power."""
    return np.asarray(_hermite(t, first)[..., :FUNCTIONS] * _ROOTS[first])


def slopes(t: Floats, first: int) -> Floats:
    """Their derivatives by ``t``: each is minus the next function, but of a joggle the dent."""
    sign = np.where(np.arange(first, first + FUNCTIONS) == JOGGLE, 1.0, -1.0)
    return np.asarray(_hermite(t, first)[..., 1:] * sign * _ROOTS[first])


def _hermite(t: Floats, first: int) -> Floats:
    """One function more than is heeded, by ``He_(n+1) = t He_n - n He_(n-1)``."""
    listed = [np.exp(-0.5 * t**2)]
    listed.append(t * listed[0])
    for degree in range(1, first + FUNCTIONS - DENT):
        listed.append(t * listed[-1] - degree * listed[-2])
    if first == JOGGLE:
        listed.insert(0, math.sqrt(math.pi / 2.0) * erf(t / math.sqrt(2.0)))
    return np.stack(listed, axis=-1)
