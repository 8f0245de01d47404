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
from abc import ABC, abstractmethod
from dataclasses import dataclass, replace
from typing import Protocol, Self

import numpy as np
from numpy.typing import NDArray

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
    """K kinds of Gaussian processes of unit height."""

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at N stations and at O others, K x N x O."""

    def raised(self, pulls: Floats, read: Floats, x: Floats) -> tuple[Floats, Floats]:
        """Offsets and slopes at stations, when each of the readings pulls at each kind, K x N."""

    def picked(self, kinds: NDArray[np.intp]) -> Self:
        """Some of the kinds."""


@dataclass(frozen=True, slots=True)
class Everywhere:
    """Waves alike all along the trace."""

    length_mm: Floats  # Of each kind.
    high: Floats  # In units of the height.

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at N stations and at O others, K x N x O."""
        length, high = self.length_mm[:, None, None], self.high[:, None, None]
        return np.asarray(high**2 * np.exp(-0.5 * ((x[:, None] - other) / length) ** 2))

    def raised(self, pulls: Floats, read: Floats, x: Floats) -> tuple[Floats, Floats]:
        """Offsets and slopes at stations, when each of the readings pulls at each kind, K x N."""
        alike = self.alike(x, read)
        steep = (read - x[:, None]) * alike
        return _summed(alike, pulls), _summed(steep, pulls / self.length_mm[:, None] ** 2)

    def picked(self, kinds: NDArray[np.intp]) -> "Everywhere":
        """Some of the kinds."""
        return Everywhere(self.length_mm[kinds], self.high[kinds])


class OfFew(ABC):
    """Kinds of waves that are a few functions each, F of them, of independent heights."""

    @abstractmethod
    def functions(self, x: Floats) -> Floats:
        """The functions at N stations, K x N x F."""

    @abstractmethod
    def picked(self, kinds: NDArray[np.intp]) -> Self:
        """Some of the kinds."""

    @abstractmethod
    def slopes(self, x: Floats) -> Floats:
        """Their slopes there."""

    def alike(self, x: Floats, other: Floats) -> Floats:
        """Covariance of offsets at N stations and at O others, K x N x O."""
        return np.asarray(self.functions(x) @ self.functions(other).transpose(0, 2, 1))

    def raised(self, pulls: Floats, read: Floats, x: Floats) -> tuple[Floats, Floats]:
        """Offsets and slopes at stations, when each of the readings pulls at each kind, K x N."""
        much = (pulls[:, None] @ self.functions(read))[:, 0]
        return _summed(self.functions(x), much), _summed(self.slopes(x), much)


@dataclass(frozen=True, slots=True)
class About(OfFew):
    """Curvature about one place."""

    centre_mm: Floats  # Of each kind.
    width_mm: Floats
    first: int  # The first of its functions.

    def functions(self, x: Floats) -> Floats:
        """The functions at N stations, K x N x F."""
        return functions(self._from_centre(x), self.first)

    def slopes(self, x: Floats) -> Floats:
        """Their slopes there."""
        return slopes(self._from_centre(x), self.first) / self.width_mm[:, None, None]

    def _from_centre(self, x: Floats) -> Floats:
        return np.asarray((x - self.centre_mm[:, None]) / self.width_mm[:, None])

    def picked(self, kinds: NDArray[np.intp]) -> Self:
        """Some of the kinds."""
        return replace(self, centre_mm=self.centre_mm[kinds], width_mm=self.width_mm[kinds])


@dataclass(frozen=True, slots=True)
class Periodic(OfFew):
    """Waves of one period all along the trace, which drift a little: cosine and sine, and both as they drift."""

    middle_mm: float  # Of the trace.
    half_mm: float  # Half the length of the trace.
    turns: Floats  # Radians a millimetre, of each kind.

    def functions(self, x: Floats) -> Floats:
        """The functions at N stations, K x N x F."""
        drift, turned = self._along(x)
        both = np.stack([np.cos(turned), np.sin(turned)], axis=-1)
        return np.concatenate([both, drift[:, None] * both], axis=-1)

    def slopes(self, x: Floats) -> Floats:
        """Their slopes there."""
        drift, turned = self._along(x)
        both = np.stack([np.cos(turned), np.sin(turned)], axis=-1)
        ahead = self.turns[:, None, None] * np.stack([-np.sin(turned), np.cos(turned)], axis=-1)
        return np.concatenate([ahead, drift[:, None] * ahead + DRIFT / self.half_mm * both], axis=-1)

    def _along(self, x: Floats) -> tuple[Floats, Floats]:
        along = x - self.middle_mm
        return DRIFT * along / self.half_mm, self.turns[:, None] * along

    def picked(self, kinds: NDArray[np.intp]) -> Self:
        """Some of the kinds."""
        return replace(self, turns=self.turns[kinds])


def _summed(columns: Floats, much: Floats) -> Floats:
    """Columns, K x N x F, each so much of it, K x F, added up."""
    return np.asarray((columns @ much[:, :, None]).sum(axis=0)[:, 0])


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
