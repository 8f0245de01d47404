"""Roughly where the piece lies that is to be measured: the largest region of the floor that is neither floor nor page.

What the floor looks like is learned from the picture's rim and the printed pages; what is unlike it is parted from it
by a cut through the weakest neighbours (Rother, Kolmogorov and Blake, GrabCut, ACM Transactions on Graphics 23, 2004).
A shadow is the floor's colour in less light: it is cut off again.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.ground.refusal import Refusal
from plategen.photo import target
from plategen.photo.adjust import Adjusted
from plategen.photo.camera import Floats, View
from plategen.photo.picture import Picture, linear
from plategen.photo.straight import Straight, footprint, straightened

MM_PER_PX = 2.0
"""Scale at which the region is looked for."""

MARGIN_MM = 500.0
"""The piece lies no farther than this from the pages."""

PAPER_MM = (33.0, 48.5)
"""Paper beside and above the board on the usual sizes."""

PAPER_WHITE = 0.9
"""What has less of the light of a page's own white is none of its paper."""

LEAST_MM2 = 4000.0
"""A smaller piece is no pattern and no plate."""

SECOND = 0.3
"""A second piece of this share of the largest leaves open which is meant."""

HOLE_MM_PER_PX, BESIDE_RIM_MM = 0.6, 4.0
"""Scale at which holes are looked for, and how far from the outline they begin."""

LEAST_HOLE_MM2, SOLID = 25.0, 0.8
"""Smallest area of a hole, and its least share of its own convex hull: a scratch or a letter is none."""

_RIM_MM = 24.0
_UNLIKE = 4.0
"""Standard deviations from the nearest of the floor's colours at which a colour may be another thing's."""

_COLOURS = 5
_SPREAD = 2.5
"""Colours of a floor, and the least standard deviation of one in CIE L*a*b*: a noisy picture's own."""

_LEAST_PIXELS, _LEAST_SHARE = 50, 0.05
"""Fewer of the floor's tell nothing of it; and a colour of less than this share of them is none of its own."""

_HUE = 9.0
"""So far in a* and b* a shadow's colour may lie from the floor's of as much light: other things throw light back."""

CHEQUERED = 4.0
"""What the lighter fifth of a printed page has of the darker fifth's light, and more; card and plate are more even."""

Mask = NDArray[np.bool_]
"""What belongs to something, pixel by pixel."""


@dataclass(frozen=True, slots=True, eq=False)
class Floor:
    """What a floor looks like, or another thing of few colours."""

    colours: tuple[tuple[Floats, Floats], ...]  # Main colours, CIE L*a*b*, each with the inverse of its covariance.

    @classmethod
    def of(cls, lab: NDArray[np.float32]) -> "Floor":
        """The floor that some pixels (n, 3) show."""
        import cv2

        if len(lab) <= _LEAST_PIXELS:
            return cls(())
        cv2.setRNGSeed(1)
        until = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 20, 0.5)
        _, label, middle = cv2.kmeans(lab, _COLOURS, None, until, 2, cv2.KMEANS_PP_CENTERS)
        own = [lab[label.ravel() == k] for k in range(_COLOURS)]
        return cls(
            tuple(
                (at, np.linalg.inv(np.cov(some.T) + _SPREAD**2 * np.eye(3)).astype(np.float32))
                for at, some in zip(middle, own, strict=True)
                if len(some) >= _LEAST_SHARE * len(lab)
            )
        )

    def unlike(self, lab: NDArray[np.float32]) -> NDArray[np.float32]:
        """Standard deviations of colours (..., 3) from the nearest of the floor's; infinite where none is known."""
        least = np.full(lab.shape[:-1], np.inf, np.float32)
        for at, inverse in self.colours:
            off = lab - at
            least = np.minimum(least, ((off @ inverse) * off).sum(-1))
        return np.asarray(np.sqrt(least), np.float32)

    def shaded(self, lab: NDArray[np.float32]) -> Mask:
        """Which colours (..., 3) may be the floor's in any less light: all of one hue and paler towards black."""
        like = np.zeros(lab.shape[:-1], bool)
        for at, _ in self.colours:
            share = lab[..., :1] / max(float(at[0]), 1.0)
            off = np.linalg.norm(lab[..., 1:] - np.clip(share, 0.0, 1.0) * at[1:], axis=-1)
            like |= (share[..., 0] < 1.1) & (off < _HUE)
        return like


def region(adjusted: Adjusted, picture: int, height_mm: float) -> tuple[Floats, Floor]:
    """The outline (n, 2) of the piece that one of the pictures shows, anticlockwise, to a few millimetres; the floor.

    Raises:
        Refusal: There is none, more than one, or it runs out of the picture.
    """
    sighting, view = adjusted.sightings[picture], adjusted.views[picture]
    boards = np.concatenate([page.to_floor(_rectangle(PAPER_MM)) for page in adjusted.pages])
    bounds = footprint(sighting.picture, view, height_mm, boards, MARGIN_MM)
    flat = straightened(sighting.picture, view, bounds, MM_PER_PX, height_mm)
    pages = _pages(adjusted, picture, flat)
    lab = lab_of(flat.pixels)
    rim = _rim(flat, pages)
    floor = Floor.of(lab[rim])
    return _named(flat, _piece(flat, pages, rim, floor.unlike(lab)), sighting.picture.file), floor


def lab_of(pixels: NDArray[np.uint8]) -> NDArray[np.float32]:
    """Pixels (rows, columns, 3) as CIE L*a*b*, without single odd ones."""
    import cv2

    return np.asarray(cv2.medianBlur(cv2.cvtColor(pixels.astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB), 5))


def _rim(flat: Straight, pages: Mask) -> Mask:
    """The picture's rim, as far as no page lies there: floor."""
    import cv2

    reach = 2 * round(_RIM_MM / flat.mm_per_px) + 1
    inner = cv2.erode(flat.seen.astype(np.uint8), np.ones((reach, reach), np.uint8), borderValue=0).astype(bool)
    return np.asarray(flat.seen & ~inner & ~pages)


def _named(flat: Straight, piece: Mask, file: str) -> Floats:
    import cv2

    count, label, stats, _ = cv2.connectedComponentsWithStats(piece.astype(np.uint8), connectivity=4)
    area = stats[1:, cv2.CC_STAT_AREA] * flat.mm_per_px**2 if count > 1 else np.zeros(0)
    order = np.argsort(-area)
    if not len(area) or area[order[0]] < LEAST_MM2:
        raise Refusal(
            "no cardboard or plate is seen beside the pages; lay it on a floor of another colour, whole in the picture",
            file,
        )
    if len(area) > 1 and area[order[1]] > max(LEAST_MM2, SECOND * area[order[0]]):
        raise Refusal("two pieces lie in the picture; leave only the one that is to be measured", file)
    whole = label == 1 + order[0]
    light = linear(flat.pixels).mean(2)[whole]
    dark, bright = np.percentile(light, (20, 80))
    if bright > CHEQUERED * dark:
        raise Refusal(
            "a printed page in the picture cannot be read; photograph sharper and from nearer, or take it away",
            file,
        )
    rim = ~cv2.erode(flat.seen.astype(np.uint8), np.ones((5, 5), np.uint8), borderValue=0).astype(bool)
    if (whole & rim).sum() * flat.mm_per_px > 20.0:
        raise Refusal("the piece runs out of the picture; photograph from farther off, with floor all round it", file)
    rings, _ = cv2.findContours(whole.astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    return _turned(flat.to_mm(max(rings, key=len).reshape(-1, 2).astype(float)), 1.0)


def openings(picture: Picture, view: View, outline_mm: Floats, height_mm: float) -> list[Floats]:
    """The outlines (n, 2) of what is no piece inside an outline, clockwise, to a millimetre."""
    import cv2

    flat = straightened(picture, view, (outline_mm.min(0), outline_mm.max(0)), HOLE_MM_PER_PX, height_mm)
    inner = np.zeros(flat.seen.shape, np.uint8)
    cv2.fillPoly(inner, [np.round(flat.to_px(outline_mm)).astype(np.int32)], 1)
    reach = 2 * round(BESIDE_RIM_MM / HOLE_MM_PER_PX) + 1
    within = cv2.erode(inner, np.ones((reach, reach), np.uint8), borderValue=0).astype(bool)
    lab = cv2.cvtColor(flat.pixels.astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB)
    if within.sum() < 100:
        return []
    usual = np.median(lab[within], axis=0)
    away = np.linalg.norm(lab - usual, axis=2)
    unlike = within & (away > max(10.0, 6.0 * float(np.median(away[within]))))
    found, _ = cv2.findContours(_opened(unlike).astype(np.uint8), cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    rings = [ring for ring in found if len(ring) > 8]
    kept = [
        ring
        for ring in rings
        if cv2.contourArea(ring) * HOLE_MM_PER_PX**2 > LEAST_HOLE_MM2
        and cv2.contourArea(ring) > SOLID * cv2.contourArea(cv2.convexHull(ring))
    ]
    return [_turned(flat.to_mm(ring.reshape(-1, 2).astype(float)), -1.0) for ring in kept]


def signed_area(outline: Floats) -> float:
    """Area inside a closed outline (n, 2), positive anticlockwise."""
    x, y = outline.T
    return float((x * np.roll(y, -1) - np.roll(x, -1) * y).sum() / 2.0)


def _turned(outline: Floats, sense: float) -> Floats:
    return outline if signed_area(outline) * sense > 0.0 else outline[::-1]


def _rectangle(rim: tuple[float, float]) -> Floats:
    wide, tall = target.WIDE_MM + rim[0], target.TALL_MM + rim[1]
    return np.array([[-rim[0], -rim[1]], [wide, -rim[1]], [wide, tall], [-rim[0], tall]])


def _pages(adjusted: Adjusted, picture: int, flat: Straight) -> Mask:
    """The squares about the corners that are seen, and the paper beside them as far as it is as white as theirs."""
    import cv2

    mask = np.zeros(flat.seen.shape, bool)
    sighting = adjusted.sightings[picture]
    half = target.SQUARE_MM
    square = np.array([[-half, -half], [half, -half], [half, half], [-half, half]])
    light = cv2.medianBlur(linear(flat.pixels).mean(2), 5)
    for page in adjusted.pages:
        of = sighting.page == page.number
        if not of.any():
            continue
        board, paper = (np.zeros(flat.seen.shape, np.uint8) for _ in range(2))
        for corner in sighting.board_mm[of]:
            cv2.fillConvexPoly(board, np.round(flat.to_px(page.to_floor(corner + square))).astype(np.int32), 1)
        cv2.fillConvexPoly(paper, np.round(flat.to_px(page.to_floor(_rectangle(PAPER_MM)))).astype(np.int32), 1)
        mask |= board.astype(bool) | (paper.astype(bool) & (light > PAPER_WHITE * _white(light, board.astype(bool))))
    return np.asarray(cv2.dilate(mask.astype(np.uint8), np.ones((3, 3), np.uint8)), bool)


def _white(light: NDArray[np.float32], board: Mask) -> Floats:
    """The light of white paper all over a picture, by that between a page's squares: lamps light it unevenly."""
    # white is scarce there: markers leave a rim of a few millimetres
    rows, columns = np.nonzero(board & (light > PAPER_WHITE * np.percentile(light[board], 97)))
    basis = np.column_stack([np.ones(len(rows)), rows, columns])
    level, down, across = np.linalg.lstsq(basis, light[rows, columns].astype(float), rcond=None)[0]
    height, width = light.shape
    return np.asarray(level + down * np.arange(height)[:, None] + across * np.arange(width)[None, :])


def _piece(flat: Straight, pages: Mask, rim: Mask, away: NDArray[np.float32]) -> Mask:
    """What is neither floor nor page nor shadow."""
    import cv2

    lab = lab_of(flat.pixels)
    words = np.where(away > _UNLIKE, cv2.GC_PR_FGD, cv2.GC_PR_BGD).astype(np.uint8)
    words[rim | pages | ~flat.seen] = cv2.GC_BGD
    if not (words == cv2.GC_PR_FGD).any():
        return np.zeros(rim.shape, bool)
    shown = np.clip(np.stack([lab[..., 0] * 2.55, lab[..., 1] * 2 + 128, lab[..., 2] * 2 + 128], 2), 0, 255)
    shown = shown.astype(np.uint8)
    some = shown[rim] if rim.any() else shown[flat.seen]
    shown[~flat.seen] = some[np.random.default_rng(1).integers(0, len(some), int((~flat.seen).sum()))]
    cv2.setRNGSeed(1)
    cv2.grabCut(shown, words, None, np.zeros((1, 65)), np.zeros((1, 65)), 3, cv2.GC_INIT_WITH_MASK)
    piece = (words == cv2.GC_PR_FGD) | (words == cv2.GC_FGD)
    piece = _opened(piece)
    return _opened(piece & ~_shadow(linear(flat.pixels), piece, flat.seen & ~pages & ~piece))


def _opened(mask: Mask) -> Mask:
    import cv2

    disc = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (5, 5))
    return np.asarray(cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_OPEN, disc).astype(bool))


def _shadow(light: NDArray[np.float32], piece: Mask, floor: Mask) -> Mask:
    """The part of a piece that has the floor's colour in less light, if the rest has another."""
    import cv2

    none = np.zeros(piece.shape, bool)
    if piece.sum() < 200 or floor.sum() < 200:
        return none
    logs = np.log(np.maximum(light, 1e-3))
    usual = np.median(logs[floor], axis=0)
    cv2.setRNGSeed(1)
    until = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01)
    _, label, middle = cv2.kmeans(logs[piece], 2, None, until, 3, cv2.KMEANS_PP_CENTERS)
    ratio = middle - usual  # of the light, by colour, to the floor's
    tint = np.abs(ratio - ratio.mean(1, keepdims=True)).max(1)
    share = np.bincount(label.ravel(), minlength=2) / len(label)
    dark = int(np.argmin(tint))
    apart = float(np.abs(middle[0] - middle[1]).max())
    if tint[dark] > 0.06 or ratio[dark].mean() > -0.12 or share[dark] > 0.45 or apart < 0.25:
        return none
    none[piece] = label.ravel() == dark
    return none


def smoothed(outline: Floats, sigma: float) -> Floats:
    """A closed outline (n, 2) under a Gaussian window of so many points."""
    reach = math.ceil(3.0 * sigma)
    window = np.exp(-0.5 * (np.arange(-reach, reach + 1) / sigma) ** 2)
    window /= window.sum()
    z = outline[:, 0] + 1j * outline[:, 1]
    z = np.convolve(np.concatenate([z[-reach:], z, z[:reach]]), window, "valid")
    return np.column_stack([z.real, z.imag])


def spaced(outline: Floats, step_mm: float) -> Floats:
    """A closed outline (n, 2) with its points evenly so far apart."""
    closed = np.concatenate([outline, outline[:1]])
    along = np.concatenate([[0.0], np.cumsum(np.linalg.norm(np.diff(closed, axis=0), axis=1))])
    at = np.linspace(0.0, along[-1], max(8, round(along[-1] / step_mm)), endpoint=False)
    return np.column_stack([np.interp(at, along, closed[:, axis]) for axis in (0, 1)])
