"""The straight sides of a piece that was photographed, and which of them is its straight edge."""

import cmath
import math
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import Message, message
from plategen.ground.refusal import Refusal
from plategen.photo.camera import View
from plategen.photo.measure import Complexes, Ring
from plategen.photo.region import smoothed

Side: TypeAlias = Literal["below", "above", "left", "right"]
"""Where an edge of the piece lies, as the photograph is looked at."""

CORNER_MM = 0.9
"""A side's points lie no farther than this from its straight line."""

SMOOTH = 2.5
"""Points under which an edge is smoothed before its sides are told: on an edge that is hardly seen they jump about."""

CUT_MM = 4.0 * SMOOTH
"""Smoothing cuts a corner off no longer than this."""

STRAIGHT_MM = 1.2
"""Two sides whose points lie this near to one line are one."""

MOST = 95.0
"""Percentage of the points that must: a shadow may be followed for a few."""

SAME_SIDE_RAD, LONG_MM = math.radians(2.0), 60.0
"""Long straight runs that turn by less are one side that is a little bent."""

TRIM_MM = 4.0
"""What is left out of a side at its corners, which scissors round."""

NEARLY = 0.9
"""A side of this share of the longest might be meant as well."""

HIDDEN_SHARE = 0.4
"""A side of which no more than this share was told from what lies beside it is no side of the piece."""

LEAST_END_MM = 12.0
"""A shorter end cannot be told square."""

Sides: TypeAlias = list[tuple[int, int]]
"""First point of each straight side, and the first of the next, anticlockwise."""


def sides_of(ring: Ring) -> Sides:
    """The straight runs of a closed edge, those that hardly turn joined."""
    import cv2

    xy = smoothed(np.column_stack([ring.points.real, ring.points.imag]), SMOOTH)
    z = xy[:, 0] + 1j * xy[:, 1]
    kept = cv2.approxPolyDP(xy.astype(np.float32).reshape(-1, 1, 2), CORNER_MM, True).reshape(-1, 2)
    at = sorted({int(np.argmin(np.abs(z - complex(x, y)))) for x, y in kept})
    while len(at) > 3:
        needed = [_bend(z, ring.good, at[k - 1], at[k], at[(k + 1) % len(at)]) for k in range(len(at))]
        least = int(np.argmin(needed))
        if needed[least] > 1.0:
            break
        at.pop(least)
    at = _sharp(z, at)
    return list(zip(at, at[1:] + at[:1], strict=True))


def _sharp(z: Complexes, at: list[int]) -> list[int]:
    """Corners, each that smoothing cut off into several brought together again, where long sides meet."""
    count = len(z)
    apart = [abs(z[at[(k + 1) % len(at)]] - z[corner]) for k, corner in enumerate(at)]
    if max(apart) < LONG_MM / 2.0:
        return at
    first = (int(np.argmax(apart)) + 1) % len(at)
    groups: list[list[int]] = []
    for k in [*range(first, len(at)), *range(first)]:
        if groups and apart[k - 1] < CUT_MM:
            groups[-1].append(k)
        else:
            groups.append([k])
    kept: list[int] = []
    for group in groups:
        corners = [at[k] for k in group]
        sharp = min(apart[group[0] - 1], apart[group[-1]]) > LONG_MM / 2.0
        if sharp and abs(z[corners[-1]] - z[corners[0]]) < 2.0 * CUT_MM:
            corners = [(corners[0] + ((corners[-1] - corners[0]) % count) // 2) % count]
        kept += corners
    return sorted(kept) if len(kept) > 2 else at


def _bend(z: Complexes, good: NDArray[np.bool_], before: int, corner: int, after: int) -> float:
    """How much a corner is one: over 1 it is.

    Points beside both ends, which scissors round, are not asked, and none that was not told from what lies beside it.
    """
    count = len(z)
    span = (after - before) % count
    way = z[after] - z[before]
    inner = (before + np.arange(3, max(4, span - 2))) % count
    away = np.abs(((z[inner] - z[before]) * np.conj(way / abs(way))).imag)
    one, two = z[corner] - z[before], z[after] - z[corner]
    if min(abs(one), abs(two)) > LONG_MM and abs(cmath.phase(two / one)) < SAME_SIDE_RAD:
        return 0.5
    told = good[inner] if good[inner].mean() > HIDDEN_SHARE else np.ones(len(inner), bool)
    return float(np.percentile(away[told], MOST)) / STRAIGHT_MM


def members(sides: Sides, which: int, count: int, trim: int = 0) -> NDArray[np.intp]:
    """The points of a side, without some at either end."""
    first, last = sides[which]
    span = (last - first) % count or count
    return (first + np.arange(min(trim, span // 2), span - min(trim, span // 2) + 1)) % count


def _length(ring: Ring, side: tuple[int, int]) -> float:
    return float(abs(ring.points[side[1]] - ring.points[side[0]]))


def in_picture(ring: Ring, view: View, scale: float, thickness_mm: float) -> Complexes:
    """Where the picture shows the points, y upwards."""
    at = view.to_pixels(np.column_stack([ring.points.real, ring.points.imag]) / scale, thickness_mm / scale)
    return np.asarray(at[:, 0] - 1j * at[:, 1])


_OUTWARD: dict[Side, complex] = {"below": -1j, "above": 1j, "left": -1 + 0j, "right": 1 + 0j}


def straight_edge(ring: Ring, sides: Sides, seen: Complexes, wanted: Side | None, doubts: list[Message]) -> int:
    """Which side is the straight edge."""
    length = np.array([_length(ring, side) for side in sides])
    # anticlockwise on the floor is anticlockwise in a picture taken from above
    way = np.array([seen[b] - seen[a] for a, b in sides])
    outward = -1j * way / np.abs(way)
    if wanted is not None:
        faces = (outward * np.conj(_OUTWARD[wanted])).real > math.cos(math.radians(50.0))
        if not (faces & (length > 60.0)).any():
            raise Refusal(f"no straight side lies {wanted} in the photograph; give the side it lies on", "--straight")
        return int(np.argmax(np.where(faces, length, 0.0)))
    longest = float(length.max())
    if longest < 60.0:
        raise Refusal("the piece has no straight edge; a pattern is cut from card with its factory edge left straight")
    nearly = np.flatnonzero(length > NEARLY * longest)
    chosen = int(nearly[np.argmin([seen[members(sides, int(k), len(seen))].imag.mean() for k in nearly])])
    if len(nearly) > 1:
        doubts.append(
            message(
                "two sides are straight and about as long; the lower one in the photograph was taken; "
                "--straight names another"
            )
        )
    return chosen


def datum_points(ring: Ring, sides: Sides, datum: int) -> NDArray[np.intp]:
    """The points of the straight edge that were seen, its corners left out."""
    return _seen(ring, members(sides, datum, len(ring.points), round(TRIM_MM)))


def end_points(ring: Ring, sides: Sides, datum: int) -> NDArray[np.intp]:
    """Those of the left end, where station 0 is."""
    return _seen(ring, members(sides, neighbour(ring, sides, datum, -1), len(ring.points), round(TRIM_MM)))


def neighbour(ring: Ring, sides: Sides, of: int, step: int) -> int:
    """The next side before or after one: longer than what scissors leave of a corner, and seen along much of it."""
    k = (of + step) % len(sides)
    while k != of and (_length(ring, sides[k]) < LEAST_END_MM or not _told(ring, sides, k)):
        k = (k + step) % len(sides)
    return k


def _told(ring: Ring, sides: Sides, which: int) -> bool:
    """Whether a side is one of the piece: where something hides it, what hides it is followed instead."""
    return bool(ring.told[members(sides, which, len(ring.points))].mean() > HIDDEN_SHARE)


def _seen(ring: Ring, points: NDArray[np.intp]) -> NDArray[np.intp]:
    return points[ring.good[points]]
