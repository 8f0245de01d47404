"""Looks across an edge, and the levels and the place of it that explain them best: see :mod:`.edge`."""

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats
from plategen.photo.shade import SCREEN, Shades

UNEVEN, UNEVEN_COLOUR = 0.015, 0.0025
"""One standard deviation of a face's own light as a share of it, and of its colour as a share of a screen's value."""

_FLOOR = np.array([1.0, 1.0, 1.0, 0.0])
"""What the floor's light has of the levels."""

_FAINT = 1e-7
"""Squares of light that no photograph tells apart."""


class Steps:
    """Looks across an edge, and the levels and the place of it that explain them best.

    Args:
        s: Distances along the normals, (m,), mm.
        light: Luminance in linear light and two differences of colour in a screen's values, (n, m, 3).
        blurs: Standard deviations of a blurred edge in mm, of luminance and of colour, (n,) each.
        wall: Width of wall that shows, (n,), mm.
        wall_share: The wall's light as a share of the piece's, (n,), where it is known.
        shades: Strips of shadow that may lie on the floor at the edge's foot, and which of them does, (n,).
    """

    def __init__(
        self,
        s: Floats,
        light: Floats,
        blurs: tuple[Floats, Floats],
        wall: Floats,
        wall_share: Floats | None = None,
        shades: tuple[Shades, NDArray[np.intp]] | None = None,
    ) -> None:
        self.s, self.light, self.blurs, self.wall, self.share = s, light, blurs, wall, wall_share
        self.blur, self.shades = blurs[0], shades

    def with_shades(self, shades: Shades, which: NDArray[np.intp]) -> "Steps":
        """The same looks, with a strip of shadow at the foot of each."""
        return Steps(self.s, self.light, self.blurs, self.wall, self.share, (shades, which))

    def each_with(self, wall_shares: Floats, shades: Shades, strips: NDArray[np.intp]) -> "Steps":
        """The same looks with every wall (w,) and strip of shadow (k,), one after the other: w, k, n."""
        count = len(self.light)
        times = len(wall_shares) * len(strips)
        which = np.tile(np.repeat(strips, count), len(wall_shares))
        return Steps(
            self.s, np.tile(self.light, (times, 1, 1)), (np.tile(self.blurs[0], times), np.tile(self.blurs[1], times)),
            np.tile(self.wall, times), np.repeat(wall_shares, len(strips) * count), (shades, which),
        )  # fmt: skip

    def mean(self, members: NDArray[np.intp]) -> "Steps":
        """Mean looks of some each, (k, j)."""
        blurs = self.blurs[0][members].mean(1), self.blurs[1][members].mean(1)
        share = None if self.share is None else self.share[members].mean(1)
        return Steps(self.s, self.light[members].mean(1), blurs, self.wall[members].mean(1), share)

    def best(self, reach: float) -> Floats:
        """Where the edge lies on each look, (n,)."""
        tried = np.arange(-reach, reach + 0.01, self.stride)
        gains = np.stack([self.gain(np.full(len(self.light), e)) for e in tried], 1)
        return self.nearest(tried[np.argmax(gains, axis=1)])

    @property
    def stride(self) -> float:
        """Places this near to each other lead to one edge."""
        return 0.6 * float(np.median(self.blur))

    def nearest(self, at: Floats) -> Floats:
        """Where the edge lies on each look, (n,), that is known to lie near some places."""
        step = self.stride
        for _ in range(4):
            weight = self.weights(at)
            left = [self.solved(at + shift, weight)[1] for shift in (-step, 0.0, step)]
            faint = self.faint(at, weight)
            low, cost, high = ((each / (left[1] + faint)).sum(1) for each in left)
            bend = np.maximum(low - 2.0 * cost + high, 1e-12)
            at = at + np.clip(0.5 * (low - high) / bend, -1.0, 1.0) * step
            step *= 0.5
        return np.asarray(at)

    def unexplained(self, at: Floats) -> Floats:
        """What edges at some places leave unexplained of readings that are the same whatever the blur.

        Returns:
            A logarithm for each look, (n,).
        """
        near = np.abs(self.s[None, :] - at[:, None] - self.wall[:, None] / 2.0) < 3.0 + self.wall[:, None] / 2.0
        return np.asarray(np.log(self.solved(at, near.astype(float))[1][:, 0] + _FAINT))

    def gain(self, at: Floats) -> Floats:
        """How much better the readings near a place are explained by an edge there than by none, (n,)."""
        weight = self.weights(at)
        count = weight.sum(1)
        mean = _sums(weight, self.light) / count[:, None]
        none = _sums(weight, (self.light - mean[:, None]) ** 2) / count[:, None]
        faint = self.faint(at, weight)
        return np.asarray(count * np.log((none + faint) / (self.solved(at, weight)[1] + faint)).sum(1))

    def faint(self, at: Floats, weight: Floats) -> Floats:
        """Squares of light, (n, 3), that tell nothing: no face and no floor is quite even."""
        level = np.maximum(self._own(at, weight)[:, :1], 0.03)
        uneven = np.hstack([UNEVEN * level, *[UNEVEN_COLOUR * level**SCREEN] * 2])
        return np.asarray(uneven**2)

    def weights(self, at: Floats, more_mm: float = 0.0) -> Floats:
        """Readings that count, (n, m): those near the edge, or so much farther from it."""
        near = more_mm + 2.0 + 3.0 * self.blur[:, None]
        away = self.s[None, :] - at[:, None]
        return ((away > -near) & (away < near + self.wall[:, None])).astype(float)

    def solved(self, at: Floats, weight: Floats) -> tuple[Floats, Floats]:
        """Levels (n, 4, 3) and the mean squares left (n, 3), of the readings that count."""
        levels, left = self._solved(at, weight, self.shades and (self.shades[0], self.shades[1][None]))
        return levels[0], left[0]

    def left_by_strip(self, at: Floats, weight: Floats, shades: Shades) -> Floats:
        """The mean squares left of the readings that count, (k, n, 3), with each of k strips of shadow."""
        return self._solved(at, weight, (shades, np.arange(len(shades))[:, None] + np.zeros(len(at), np.intp)))[1]

    def _solved(
        self, at: Floats, weight: Floats, strips: tuple[Shades, NDArray[np.intp]] | None
    ) -> tuple[Floats, Floats]:
        """Levels (k, n, 4, 3) and the mean squares left (k, n, 3), with strips of shadow (k, n).

        What a strip takes of the floor's light is taken off the sums, so that strips share the rest of them.
        """
        count = weight.sum(1)
        own = self._own(at, weight)
        levels, left = [], []
        for blur, of, slope_hold in ((self.blurs[0], slice(0, 1), 0.02), (self.blurs[1], slice(1, 3), 1.0)):
            past = (self.s[None, :] - at[:, None]) / blur[:, None]
            far = past - (self.wall / blur)[:, None]
            basis = np.stack([np.ones_like(past), _step(past), _step(far), blur[:, None] * np.maximum(far, 0.0)], 1)
            weighted, light = basis * weight[:, None], self.light[..., of]
            normal, right = (weighted @ basis.transpose(0, 2, 1))[None], (weighted @ light)[None]
            if strips is not None:  # what is missing of the floor's light, which is the sum of the first three
                missing = strips[0].missing(strips[1], blur[:, None] * far, of.start == 1)
                cross = (weighted @ missing[..., None])[..., 0]
                kept = weight * missing
                normal = normal - cross[..., None] * _FLOOR - _FLOOR[:, None] * cross[..., None, :]
                normal += (kept * missing).sum(-1)[..., None, None] * _FLOOR[:, None] * _FLOOR
                right = right - _FLOOR[:, None] * (kept[..., None, :] @ light)
            # a little of the slope and of the wall's own step is held back, so that nothing is explained twice
            hold = count * (0.3 if self.share is not None else 0.003)
            held, wanted = normal + 1e-9 * np.eye(4), right.copy()
            held[..., 3, 3] += slope_hold * count
            held[..., 1, 1] += hold
            if self.share is not None:
                share = self.share if of.start == 0 else self.share**SCREEN
                wanted[..., 1, :] += (hold * (share - 1.0))[:, None] * own[:, of]
            solved = np.linalg.solve(held, wanted)
            levels.append(solved)
            squares = _sums(weight, light**2) + (solved * (normal @ solved - 2.0 * right)).sum(-2)
            left.append(np.maximum(squares, 0.0) / count[:, None])
        return np.concatenate(levels, -1), np.concatenate(left, -1)

    def _own(self, at: Floats, weight: Floats) -> Floats:
        """The piece's level beside the edge, (n, 3)."""
        inside = weight * (self.s[None, :] < (at - 1.5 * self.blur)[:, None])
        return np.asarray(_sums(inside, self.light) / np.maximum(inside.sum(1), 1.0)[:, None])

    def judged(self, at: Floats) -> tuple[Floats, Floats, Floats]:
        """Standard deviation of each place for independent readings, the lower rim's share of it, and the contrast."""
        weight = self.weights(at)
        levels, left = self.solved(at, weight)
        noise = np.sqrt(left + self.faint(at, weight))
        if self.shades is not None:  # the step at the foot is to what the shadow leaves
            levels[:, 2] -= self.shades[0].depth[self.shades[1]] * levels[:, :3].sum(1)
        known = []
        for step, shift in ((1, 0.0), (2, self.wall)):
            squares = np.zeros(len(at))
            for blur, of in ((self.blurs[0], (0,)), (self.blurs[1], (1, 2))):
                x = (self.s[None, :] - (at + shift)[:, None]) / blur[:, None]
                bell = np.exp(-0.5 * x**2) / (np.sqrt(2.0 * np.pi) * blur[:, None])
                for c in of:
                    squares += (bell**2 * weight).sum(1) * (levels[:, step, c] / noise[:, c]) ** 2
            known.append(squares)
        total = np.maximum(known[0] + known[1], 1e-9)
        lower = np.where(self.wall > 0.3 * self.blur, known[1] / total, 0.0)
        change = np.maximum(np.abs(levels[:, 1] + levels[:, 2]), np.abs(levels[:, 2])) / noise
        return np.asarray(1.0 / np.sqrt(total)), lower, np.asarray(np.sqrt((change**2).sum(1)))


def _sums(weight: Floats, values: Floats) -> Floats:
    """Weighted sums (n, c) of values (n, m, c) over the readings, weights (n, m)."""
    return np.asarray((weight[:, None] @ values)[:, 0])


def _step(x: Floats) -> Floats:
    """Half at 0, rising by a blurred edge's curve from 0 to 1."""
    from scipy.special import ndtr

    return np.asarray(ndtr(x))
