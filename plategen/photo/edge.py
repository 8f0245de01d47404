"""Where the edge of a piece runs, to a small part of a pixel, seen in light along the edge's normal.

A piece stands on the floor with its walls plumb. Where a wall turns away from the camera its upper rim hides it, and
the picture steps from the piece's level to the floor's at that rim. Where it faces the camera the picture steps at the
upper rim to the wall's level, and to the floor's at the lower rim, which the known view puts a known way farther out:

    level(s) = P + (W - P) step((s - e) / b) + (F - W) step((s - e - w) / b) + G max(s - e - w, 0)

with P, W, F and G for each colour, b the blur and w the width of wall that is seen. The place e is that of least
squares of all readings across the edge, so a blurred edge is put half way between its levels, in light, and the slow
change of a shadow beyond it (G) does not move it.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo.blur import blur_px_of, blurs_mm, least
from plategen.photo.camera import Floats, View
from plategen.photo.foot import INDEPENDENT, STRETCH, TOLD_BY, feet
from plategen.photo.look import Look, light_about
from plategen.photo.picture import Picture
from plategen.photo.region import smoothed, spaced
from plategen.photo.shade import ALL, FEW, NONE, WITH_WALLS, Shades
from plategen.photo.step import Steps

STEP_MM = 1.0
"""Points of the edge lie so far apart along it."""

COARSE_MM = (18.0, 14.0)
"""How far inside and outside the region's outline the edge may lie."""

FINE_MM = 2.5
"""The same, once it has been seen."""

LAST_MM, MOST_ROUNDS, STILL_AWAY = 1.0, 3, 0.05
"""The same in the last rounds, and how many there may be: another follows while more points than this share find the
edge at the end of that reach. A hole's far wall is at first taken for its rim."""

WALLS = 0.19 * 1.35 ** np.arange(8.0)
"""Light of a wall as a share of its face's."""

MOST_STRETCHES, MOST_LOOKS = 6, 25
"""Stretches of a side, or looks round a hole, about, that are asked what the wall looks like."""

LEAST_STEP = 5.0
"""Steps smaller than so many standard deviations of what lies either side tell no edge."""

LEAST_MM = 0.03
"""Standard deviation of the edge itself beside what is measured: a cut through card is no smoother."""

SHARED_MM, BLUR_AT_MM, PIXEL_AT_MM, BLUR_POWER, PIXEL_POWER, MOST_SHARED = 0.04, 0.45, 0.385, 6.0, 8.0, 0.3
"""One standard deviation of how far a whole edge is read off its place, at a blur, or at a pixel, of so many mm; it
grows as a power of each, up to a share of the larger. What stands at an edge's foot, wall, shadow, fibres and light
that they throw on each other, is never quite what the levels say: it is a millimetre wide, and told apart where blur
and pixels are small beside that. Measured by side on the scenes of ``tests/bench/photo_scenes.py``: at 12 megapixels a
renderer's are off by a seventh of the blur, at 3 by a third; at 8 by 0.1 mm, and blur makes no difference there."""

COMMON_BLURS = 0.02
"""One standard deviation of how far all edges of a piece are read outward or inward at once, in blurs: where the floor
is as light as the card, colour alone tells them, and a file mixes colours in a screen's values, not in light."""

OPEN_ALONG = 0.7
"""What a shadow at the foot leaves open varies along an edge: this share of it, one standard deviation of half its
square, is the same along a whole side (measured on the same scenes)."""

OPEN_MM = 0.45
"""An edge that a shadow at its foot leaves open by more, one standard deviation, is not told."""

ALIKE_PX = 2.0
"""Readings nearer than this in the picture share their noise (a sensor's colours and JPEG mix neighbours)."""

ODD_MM = 0.45
"""A point farther than this, and than four standard deviations, from its neighbours' line is none of theirs."""


@dataclass(frozen=True, slots=True, eq=False)
class Edge:
    """A closed edge in one picture, point by point, anticlockwise round the piece."""

    points_mm: Floats  # (n, 2), in plan.
    outward: Floats  # (n, 2): unit normals.
    error_mm: Floats  # (n,): one standard deviation along the normal, of the reading alone.
    shared_mm: Floats  # (n,): the same, of what points within a few centimetres have in common.
    side_mm: Floats  # (n,): the same, of what all points of a side have in common.
    common_mm: Floats  # (n,): the same, of what all edges have in common.
    coarse_mm: float  # The same, of what all points of a side have in common as the picture is blurred and coarse.
    from_lower: Floats  # (n,): share of the reading that the lower rim has, 0 to 1.
    good: NDArray[np.bool_]  # (n,): whether the edge was seen there at all.
    blur_px: float


def edge(
    picture: Picture,
    view: View,
    outline_mm: Floats,
    thickness_mm: float,
    reach_mm: tuple[float, float] = COARSE_MM,
    blur_px: float | None = None,
    shaded: bool = True,
) -> Edge:
    """The edge near a closed outline (n, 2) that is good to a few millimetres; the piece lies to its left.

    Args:
        picture: The photograph.
        view: Where it was taken from.
        outline_mm: The outline, in plan.
        thickness_mm: How high the piece's face lies.
        reach_mm: How far inside and outside the outline the edge may lie.
        blur_px: How blurred the picture is, one standard deviation; None to tell it by the edge itself.
        shaded: Whether a strip of shadow may lie at the edge's foot.
    """
    look = Look(light_about(picture, view, outline_mm, thickness_mm), view, thickness_mm)
    path = spaced(outline_mm, STEP_MM)
    smooth = min(1.0, len(path) / 200.0)  # a small hole's edge is not smoothed away
    path = smoothed(path, 4.0 * smooth)
    for inside, outside in (reach_mm, (min(7.0, reach_mm[0]), min(7.0, reach_mm[1]))):
        found, seen = _first_change(look, path, inside, outside)
        path = _moved(path, found, seen, 3.0 * smooth)
    fine = min(FINE_MM, reach_mm[1]), min(2.5, len(path) * STEP_MM / 60.0)
    for reach, step_mm in (fine, *[(LAST_MM, STEP_MM)] * MOST_ROUNDS):
        path = spaced(path, max(step_mm, STEP_MM))
        fitted = _fitted(look, path, reach, blur_px, shaded)
        blur_px = fitted.blur_px
        found = np.einsum("ij,ij->i", fitted.points_mm - path, fitted.outward)
        path = _moved(path, found, fitted.good, 1.0)
        if reach == LAST_MM and (np.abs(found) > 0.9 * reach).mean() < STILL_AWAY:
            break
    return fitted


def normals(path: Floats) -> Floats:
    """Unit normals (n, 2) to the right of a closed path: outward of a piece that lies to its left."""
    ahead = np.roll(path, -1, axis=0) - np.roll(path, 1, axis=0)
    ahead /= np.linalg.norm(ahead, axis=1, keepdims=True)
    return np.column_stack([ahead[:, 1], -ahead[:, 0]])


def _moved(path: Floats, by: Floats, seen: NDArray[np.bool_], sigma: float) -> Floats:
    """A path moved along its normals; what was not seen moves with its neighbours."""
    n = len(path)
    if seen.sum() < 8:
        return path
    where = np.flatnonzero(seen)
    by = np.interp(np.arange(n), where, by[where], period=n)
    return spaced(smoothed(path + by[:, None] * normals(path), sigma), STEP_MM)


def _first_change(look: Look, path: Floats, inside: float, outside: float) -> tuple[Floats, NDArray[np.bool_]]:
    """How far out the light first changes sharply from the piece's own, and whether it does."""
    s = np.arange(-inside, outside + 0.01, 0.4)
    normal = normals(smoothed(path, 4.0))
    light = look.across(path, normal, s)
    own = _usual(np.median(light[:, :8], axis=1), min(25, len(path) // 3))
    noise = np.maximum(
        1.4826 * np.median(np.abs(light[:, :8] - own[:, None]), axis=(0, 1)), 0.004 + 0.02 * np.abs(own).mean(0)
    )
    away = np.sqrt((((light - own[:, None]) / noise) ** 2).mean(2))
    slope = np.sqrt(((np.gradient(light, s, axis=1) / noise) ** 2).mean(2))
    changed = away > LEAST_STEP
    seen = changed.any(1)
    first = np.argmax(changed, axis=1)
    # to the top of the slope that begins there
    for _ in range(6):
        after = np.minimum(first + 1, len(s) - 1)
        rows = np.arange(len(first))
        first = np.where(slope[rows, after] > slope[rows, first], after, first)
    found = s[first]
    usual = _usual(found[:, None], 9)[:, 0]
    return found, seen & (np.abs(found - usual) < 3.0)


def _usual(values: NDArray[np.floating], reach: int) -> NDArray[np.floating]:
    """Median of each point's neighbours along a closed path."""
    window = 2 * reach + 1
    wrapped = np.concatenate([values[-reach:], values, values[:reach]])
    return np.asarray(np.median(np.lib.stride_tricks.sliding_window_view(wrapped, window, axis=0), axis=-1))


def _fitted(look: Look, path: Floats, reach: float, blur_px: float | None, shaded: bool) -> Edge:
    normal = normals(smoothed(path, 2.0))
    pixel, wall = look.mm_per_px(path, normal), look.wall_mm(path, normal)
    beyond = 2.5 + 4.0 * float(np.median(pixel))
    s = np.arange(-reach - beyond, reach + beyond + float(wall.max()), 0.5 * float(np.median(pixel)))
    light = look.across(path, normal, s).astype(float)
    if blur_px is None:
        plain = np.flatnonzero(wall < 0.2 * pixel)
        some = plain[::5] if len(plain) > 60 else np.arange(0, len(path), 5)
        blur_px = blur_px_of(s, light[some], pixel[some], wall[some], reach)
    blurs = blurs_mm(blur_px, pixel)
    tries = NONE if not shaded else FEW if reach > LAST_MM else ALL
    middle = float(np.median(blurs[0])), float(np.median(blurs[1]))
    shades, few = Shades.of(*middle, tries), Shades.of(*middle, WITH_WALLS if tries is ALL else tries)
    # what a wall looks like is learned where it shows, and held where it hardly does
    share, open_mm = None, np.zeros(len(path))
    # a lamp lights one side's wall and leaves another's dark; round a hole no two looks show as much of it
    quarter = _quarters(normal) if shaded else np.zeros(len(path), np.intp)
    run, fewest, most = (STRETCH, 1, MOST_STRETCHES) if shaded else (1, 20, MOST_LOOKS)
    for facing in range(4):
        wide = np.flatnonzero((wall > 0.8 * blurs[0]) & (quarter == facing))
        first = wide[: max(0, len(wide) + 1 - run)]
        first = first[wide[run - 1 :] - first == run - 1]
        if len(first) >= fewest:
            members = first[:: max(1, len(first) // most), None] + np.arange(run)
            of_wall, spread = _wall_share(Steps(s, light, blurs, wall).mean(members), few, reach)
            share = np.full(len(path), of_wall) if share is None else np.where(quarter == facing, of_wall, share)
            shown = np.minimum(wall / np.median(wall[members]), 1.0)
            open_mm = np.where(quarter == facing, spread * shown, open_mm)
    steps = Steps(s, light, blurs, wall, share)
    if shaded:
        foot = feet(steps, shades, normal, reach)
        steps, open_mm = steps.with_shades(shades, foot.which), np.hypot(open_mm, foot.open_mm)
        at = steps.nearest(foot.at)
    else:
        at = steps.best(reach)
    error, lower, contrast = steps.judged(at)
    step_px = ALIKE_PX / 0.5
    # the looks abreast share noise with each other and with the next point's
    error = error * np.sqrt(step_px)
    error = np.sqrt(error**2 + LEAST_MM**2)
    line = _usual(at[:, None], 4)[:, 0]
    good = (contrast > LEAST_STEP) & (np.abs(at) < reach * 0.97) & (error < 0.5)
    good &= np.abs(at - line) < np.maximum(ODD_MM, 4.0 * error)
    good &= open_mm < OPEN_MM
    blur_mm = blur_px * pixel
    coarse = np.hypot((blur_mm / BLUR_AT_MM) ** BLUR_POWER, (pixel / PIXEL_AT_MM) ** PIXEL_POWER)
    shared = np.minimum(SHARED_MM * coarse, MOST_SHARED * np.maximum(blur_mm, pixel))
    return Edge(
        points_mm=path + at[:, None] * normal,
        outward=normal,
        error_mm=error,
        shared_mm=np.hypot(shared, open_mm),
        side_mm=np.hypot(shared, OPEN_ALONG * open_mm),
        common_mm=COMMON_BLURS * blur_mm,
        coarse_mm=float(np.median(shared)),
        from_lower=lower,
        good=good,
        blur_px=blur_px,
    )


def _quarters(outward: Floats) -> NDArray[np.intp]:
    """Which of four ways, square to each other and as the edge mostly runs, each normal (n, 2) is nearest to."""
    way = outward @ np.array([1.0, 1j])
    mostly = np.angle((way**4).sum()) / 4.0
    return np.asarray(np.round((np.angle(way) - mostly) / (np.pi / 2.0)).astype(np.intp) % 4)


def _wall_share(looks: Steps, shades: Shades, reach: float) -> tuple[float, float]:
    """The wall's light as a share of the face's, and one standard deviation in mm of where that leaves the edge.

    A bright wall over a dark strip of floor looks much like a dark wall: what explains looks as well counts as well.
    """
    strips = np.arange(len(shades))
    every = looks.each_with(WALLS, shades, strips)
    # each from places of its own: a wall taken for face puts the edge at the lower rim
    at = every.best(reach)
    left, at = (of.reshape(len(WALLS), len(strips), -1) for of in (every.unexplained(at), at))
    mean = left.mean(2)
    strip = mean.argmin(1)
    left_by_wall, at_by_wall = (of[np.arange(len(WALLS)), strip] for of in (mean, np.median(at, axis=2)))
    weight = np.exp(-0.5 * INDEPENDENT * TOLD_BY * len(looks.s) * (left_by_wall - left_by_wall.min()))
    spread = np.sqrt(np.cov(at_by_wall, aweights=weight, ddof=0))
    return least(np.log(WALLS), [float(of) for of in left_by_wall]), float(spread)
