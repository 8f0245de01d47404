"""A stiff plate that is pushed and tilted off another one: tension of the bolts between them, and where it bears.

The plate stays flat and tilts as the bolts stretch, all alike, and nowhere sinks into what it lies on. With
w(p) = a + b . p how far it stands off at p, each bolt pulls with its w, and the plate bears at corners of the face
where w is nothing. Statics and least energy settle all of it:

    sum T - sum C = N,   sum T p - sum C q = L,   T = w(p),   w(q) >= 0,   C >= 0,   C w(q) = 0

N is the force away from the other plate, L its first moment in the plane. One, two or all corners bear, or none:
every such answer is worked out, and the one that breaks no sign is right.

Source: statics; the elastic method of AISC Manual part 7 (case I) with contact at the face's own edge.
"""

from collections.abc import Sequence
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import cross

Floats: TypeAlias = NDArray[np.float64]
Complexes: TypeAlias = NDArray[np.complex128]
"""Numbers and points of the plane, in arrays."""

_SINGULAR = 1e-12  # a determinant under this share of the largest it could be: bolts and corner on one line


def bolts_and_contact(
    bolts: Sequence[complex], corners: Sequence[complex], away_n: Sequence[float], first_moment: Sequence[complex]
) -> tuple[Floats, Floats]:
    """Tension of every bolt and contact at every corner, N, under every load (rows).

    Args:
        bolts: Bolt centres within the face, mm.
        corners: Corners of the convex face on which the plates lie on each other, anticlockwise, mm.
        away_n: For every load the force that draws the plate away from the other; negative where it presses.
        first_moment: The same times the place where it acts, N mm; the force in the plane at a height over the
            face adds its own: the height times the force, positive where it tilts the plate up ahead of it.

    >>> square = (-20 - 20j, 20 - 20j, 20 + 20j, -20 + 20j)  # two bolts, pulled by 1 kN, 80 mm beside their line
    >>> tension, contact = bolts_and_contact((-10 + 0j, 10 + 0j), square, [1000.0], [80e3j])
    >>> tension.round(6).tolist(), contact.round(6).tolist()
    ([[2500.0, 2500.0]], [[2000.0, 2000.0, 0.0, 0.0]])
    """
    p, v = np.array(bolts, dtype=np.complex128), np.array(corners, dtype=np.complex128)
    n, first = np.array(away_n, dtype=np.float64), np.array(first_moment, dtype=np.complex128)
    face = _Face(p, v)
    with np.errstate(divide="ignore", invalid="ignore"):
        wrong = np.concatenate([face.edges(n, first), face.corners(n, first), face.free(n, first)], axis=1)
    wrong[np.isnan(wrong)] = np.inf
    tension, contact = np.zeros((len(n), len(p))), np.zeros((len(n), len(v)))
    for case, best in enumerate(np.argmin(wrong, axis=1).tolist()):
        slope, at = face.slope(best, n[case], first[case])
        tension[case] = _along(slope, p) + at
        face.bear(best, contact[case], tension[case], n[case], first[case])
    return tension, contact


def bolts_and_pads(
    bolts: Sequence[complex], away_n: Sequence[float], first_moment: Sequence[complex]
) -> tuple[Floats, Floats]:
    """Tension of every bolt, and contact at the packing about it, N, under every load (rows).

    For a plate on a thin wall, which bends between the bolts and bears nowhere but about them: the neutral axis lies in
    the middle of the bolts, T(p) = N/n + a . (p - middle), and where that is negative the packing presses. More than
    the bolts get where the plates bear at an edge (AISC Manual part 7, eccentrically loaded groups, case II).

    Args:
        bolts: Bolt centres, mm.
        away_n: As for :func:`bolts_and_contact`.
        first_moment: As there.

    >>> square = (-50 - 50j, 50 - 50j, 50 + 50j, -50 + 50j)  # a moment of 1 kN at 200 mm
    >>> tension, contact = bolts_and_pads(square, [0.0], [200e3 + 0j])
    >>> tension.round(6).tolist(), contact.round(6).tolist()
    ([[0.0, 1000.0, 1000.0, 0.0]], [[1000.0, 0.0, 0.0, 1000.0]])
    """
    p = np.array(bolts, dtype=np.complex128)
    n, first = np.array(away_n, dtype=np.float64), np.array(first_moment, dtype=np.complex128)
    middle = complex(p.mean())
    about = (first - n * middle)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        slope = _solved(_stiffness((p - middle)[:, None]), about)
    pull = n[:, None] / len(p) + _along(slope, p - middle)
    pull = np.where(np.isnan(pull), np.inf, pull)
    return np.maximum(pull, 0.0), np.maximum(-pull, 0.0)


class _Face:
    """The face with its bolts, ready to be loaded: what of each load is the same for all."""

    def __init__(self, p: Complexes, v: Complexes) -> None:
        self.p, self.v = p, v
        self.ahead, self.behind = np.roll(v, -1) - v, np.roll(v, 1) - v
        self.long = np.abs(self.ahead)
        self.tangent = self.ahead / self.long
        self.inward = 1j * self.tangent
        self.size = float(np.abs(v - v.mean()).max())
        to = p[:, None] - v  # bolts x corners
        self.off, self.beside = _along(self.inward, to), _along(self.tangent, to)
        self.second = (self.off**2).sum(axis=0)
        self.at_corner = _stiffness(to)
        self.centre = complex(p.mean())
        self.at_centre = _stiffness((p - self.centre)[:, None])
        self.sum = to.sum(axis=0)

    def about_corners(self, n: Floats, first: Complexes) -> Complexes:
        """First moment of every load about every corner."""
        about: Complexes = first[:, None] - n[:, None] * self.v
        return about

    def edges(self, n: Floats, first: Complexes) -> Floats:
        """How far, in N, each load breaks a sign where the plate tilts about each edge: the turn, and both contacts."""
        about = self.about_corners(n, first)
        turn = _along(self.inward, about) / self.second
        last = (turn * (self.off * self.beside).sum(axis=0) - _along(self.tangent, about)) / self.long
        here = turn * self.off.sum(axis=0) - n[:, None] - last
        worst: Floats = np.maximum.reduce([-turn * self.size, -last, -here])
        return worst

    def corners(self, n: Floats, first: Complexes) -> Floats:
        """The same where it tilts over each corner: the contact, and how it stands off along both edges there."""
        slope = _solved(self.at_corner, self.about_corners(n, first))
        here = _along(slope, self.sum) - n[:, None]
        worst: Floats = np.maximum.reduce([-here, -_along(slope, self.ahead), -_along(slope, self.behind)])
        return worst

    def free(self, n: Floats, first: Complexes) -> Floats:
        """The same where it bears nowhere, and where it bears all over."""
        slope = _solved(self.at_centre, (first - n * self.centre)[:, None])
        lifted = n[:, None] / len(self.p) + _along(slope, self.v - self.centre)
        pressed = _along(self.inward, self.about_corners(n, first)) / self.size
        return np.stack([-lifted.min(axis=1), pressed.max(axis=1)], axis=1)

    def slope(self, which: int, n: float, first: complex) -> tuple[complex, float]:
        """How the plate stands off: its slope, and how far at the origin."""
        count = len(self.v)
        if which < count:
            about = first - n * self.v[which]
            slope = _along(self.inward[which], about) / self.second[which] * self.inward[which]
            return slope, -_along(slope, self.v[which])
        if which < 2 * count:
            at = which - count
            slope = _solved(tuple(k[at] for k in self.at_corner), first - n * self.v[at])
            return slope, -_along(slope, self.v[at])
        if which == 2 * count:
            slope = _solved(tuple(k[0] for k in self.at_centre), first - n * self.centre)
            return slope, n / len(self.p) - _along(slope, self.centre)
        return 0j, 0.0

    def bear(self, which: int, contact: Floats, tension: Floats, n: float, first: complex) -> None:
        """Put the contact into its row: what statics leave over on the corners that bear."""
        count, left = len(self.v), float(tension.sum()) - n
        rest = complex((tension * self.p).sum()) - first
        if which < count:
            end = _along(self.tangent[which], rest - left * self.v[which]) / self.long[which]
            contact[which], contact[(which + 1) % count] = left - end, end
        elif which < 2 * count:
            contact[which - count] = left
        elif which > 2 * count:
            self._bear_all_over(contact, left, rest)

    def _bear_all_over(self, contact: Floats, left: float, rest: complex) -> None:
        """On the three corners, the first among them, about the place where the load presses."""
        about, root = rest - left * self.v[0], self.v[0]
        for k in range(1, len(self.v) - 1):
            one, other = self.v[k] - root, self.v[k + 1] - root
            area = cross(one, other)
            a, b = cross(about, other) / area, cross(one, about) / area
            if min(a, b) >= -1e-9 * abs(left):
                contact[k], contact[k + 1], contact[0] = a, b, left - a - b
                return


def _stiffness(to: Complexes) -> tuple[Floats, Floats, Floats, Floats]:
    """Of bolts (rows) about each point (columns): sum xx, sum xy, sum yy, and the determinant, NaN where it is none."""
    xx, xy, yy = (to.real**2).sum(axis=0), (to.real * to.imag).sum(axis=0), (to.imag**2).sum(axis=0)
    det = xx * yy - xy * xy
    return xx, xy, yy, np.where(det > _SINGULAR * (xx + yy) ** 2, det, np.nan)


def _solved(k: Sequence[Any], moment: Any) -> Any:
    """The slope that answers a first moment."""
    xx, xy, yy, det = k
    return (yy * moment.real - xy * moment.imag) / det + 1j * ((xx * moment.imag - xy * moment.real) / det)


def _along(a: Any, b: Any) -> Any:
    """Scalar product of points, or of arrays of them."""
    return a.real * b.real + a.imag * b.imag
