"""One adjustment of everything that photographs of printed pages leave open.

Unknown are each camera's focal length, centre and distortion, where each picture was taken from, and each page's
place, turn and scale on the floor. All are moved together to the least squares of the corners' distances in the
pictures (a bundle adjustment: Triggs, McLauchlan, Hartley and Fitzgibbon, Bundle adjustment, a modern synthesis, 2000),
with what is known beforehand as further squares. The page that most corners show fixes the axes. The pages' scales have
a mean of one, as pictures cannot tell how large all were printed: the caller scales by what their bars measure.
"""

import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from plategen.ground.message import Message, message, mm, number
from plategen.ground.refusal import Refusal
from plategen.photo.camera import Floats, View
from plategen.photo.detect import Sighting
from plategen.photo.unknowns import Page, Unknowns

CORNER_PX = 0.03
"""Least standard deviation of a corner found in a picture; what the picture's own corners show is mostly more: 0.06 to
0.09 in a renderer's scenes. In those of two planes it is 0.02, and a least of 0.08 said seven times too much of the
camera (``tests/bench/photo_scenes.py``)."""

PAGE_SCALE = 0.002
"""One standard deviation of a page's scale about the pages' mean: sheets of one printer differ by less."""

FREE_SCALE = 0.1
"""The same, where the pages need not be of one printer."""

COMMON_SCALE = 1e-6
"""What the pages' scales have in common is not asked of the pictures: bars tell it, and the caller counts its error."""

ODD_SCALE = 0.004
"""A page this far from the others was printed by another setting."""

CURLED_MM = 0.6
"""A page whose corners lie this far (root mean square) from a flat board's is not flat."""

_CENTRE = 0.01
_RADIAL, _TANGENTIAL = (0.15, 0.15), 0.001
"""Priors, one standard deviation: the centre as a share of the diagonal, and the distortion (telephones undo most of
it themselves; common practice, no source)."""

ONE_CAMERA = 20.0
"""Squares, in standard deviations of a corner, that a camera each takes off the misfit of one for all. Its seven
unknowns take off seven, give or take four; what takes off no more moves no corner by what matters."""

A_LITTLE = 0.01
"""Share of its standard deviation by which an error is tried."""

_BLIND = 1e-9
"""Shares smaller than this are rounding."""

_LOSS_PX = 1.0
"""Where the robust loss turns from squares to straight lines."""


@dataclass(frozen=True, slots=True, eq=False)
class Adjusted:
    """Cameras and pages, and how well all that is known."""

    sightings: tuple[Sighting, ...]
    cameras: tuple[int, ...]  # Which camera took each picture, from 0.
    views: tuple[View, ...]  # One a picture.
    pages: tuple[Page, ...]
    error_px: float  # One standard deviation of a corner.
    page_scale: float  # One standard deviation of the pages' scales about their mean, as held in the adjustment.
    values: Floats = field(repr=False)  # (m,) what was solved for, in the order of :class:`Unknowns`.
    covariance: Floats = field(repr=False)  # (m, m)
    misfit: Floats = field(repr=False)  # (k,): what is left of the corners and of what is known beforehand, in pixels.
    doubts: tuple[Message, ...] = ()  # What the pictures say against what was taken for granted.

    @property
    def scale_errors(self) -> Floats:
        """One standard deviation of each page's scale, (pages,)."""
        return np.sqrt(np.diag(self.covariance)[-4 * len(self.pages) :].reshape(-1, 4)[:, 3])

    def page(self, number: int) -> Page:
        """A page by its number."""
        return next(page for page in self.pages if page.number == number)

    def errors(self) -> Iterator[tuple[View, ...]]:
        """The views as they might be as well: each time off by :data:`A_LITTLE` of another independent error.

        That is a share of its standard deviation. All of one would leave the valley that the pictures leave open, which
        is curved: a camera farther off with a longer lens sees nearly the same.
        """
        unknowns = Unknowns(self.cameras, tuple(page.number for page in self.pages))
        spread = np.sqrt(np.diag(self.covariance))
        squares, ways = np.linalg.eigh(self.covariance / np.outer(spread, spread))
        for square, way in zip(squares, ways.T, strict=True):
            if square > _BLIND:
                values = self.values + A_LITTLE * math.sqrt(square) * spread * way
                yield tuple(unknowns.view(values, picture) for picture in range(len(self.sightings)))


def adjusted(sightings: Sequence[Sighting]) -> Adjusted:
    """Cameras, views and pages from what the pictures show of the pages.

    Raises:
        Refusal: If pictures share no page, or a page is curled, tilted or printed at another scale than the others.
    """
    kept = tuple(sightings)
    _refuse_parted(kept)
    solved = _by_one_camera_or_more(kept)
    _refuse_odd(solved)
    return solved


def _by_one_camera_or_more(sightings: tuple[Sighting, ...]) -> Adjusted:
    """Solved with one camera for all pictures that say they are of one, if that explains them as well as one each.

    Two telephones may make pictures of one size and say nothing else, and one may have zoomed between two pictures.
    """
    cameras = _cameras(sightings)
    together = _solve(sightings, cameras)
    if len(set(cameras)) == len(cameras):
        return together
    apart = _solve(sightings, tuple(range(len(sightings))))
    better = float((together.misfit**2).sum() - (apart.misfit**2).sum()) / apart.error_px**2
    if better < ONE_CAMERA * (len(cameras) - len(set(cameras))):
        return together
    words = (
        "the photographs are not of one camera at one zoom and are measured as if each had its own; two of one camera "
        "at one zoom tell more"
    )
    return replace(apart, doubts=(message(words),))


def _solve(sightings: tuple[Sighting, ...], cameras: tuple[int, ...], page_scale: float = PAGE_SCALE) -> Adjusted:
    from scipy.optimize import least_squares

    unknowns = Unknowns(cameras, _in_order(sightings))
    start, prior, spread = _start(unknowns, sightings, page_scale)
    held = np.isfinite(spread)

    def away(values: Floats) -> Floats:
        parts = []
        for picture, seen in enumerate(sightings):
            view = unknowns.view(values, picture)
            for place, page in enumerate(unknowns.numbers):
                of = seen.page == page
                if of.any():
                    floor = unknowns.page(values, place).to_floor(seen.board_mm[of])
                    parts.append((view.to_pixels(floor) - seen.pixels[of]).ravel())
        return np.concatenate(parts)

    def cost(values: Floats, error_px: float, robust: bool) -> Floats:
        off = away(values) / error_px
        if robust:
            limit = _LOSS_PX / error_px
            off = np.sign(off) * np.sqrt(2.0 * limit * limit * (np.sqrt(1.0 + (off / limit) ** 2) - 1.0))
        common = sum(values[unknowns.page_at(place)][3] for place in range(len(unknowns.numbers)))
        return np.concatenate([off, ((values - prior) / spread)[held], [common / COMMON_SCALE]])

    values, error_px = start, 0.5
    scales = np.concatenate(
        [
            np.tile([0.1, 50.0, 50.0, 0.1, 0.1, 0.01, 0.01], max(cameras) + 1),
            np.tile([0.1] * 3 + [100.0] * 3, len(sightings)),
            np.tile([100.0, 100.0, 0.1, 0.01], len(unknowns.numbers)),
        ]
    )
    for robust in (True, False):
        result = least_squares(cost, values, x_scale=scales, args=(error_px, robust), method="trf", max_nfev=200)
        values = result.x
        off = away(values)
        # each unknown takes a part of what is left of the corners
        free = len(off) / max(len(off) - unknowns.free, 1)
        error_px = max(CORNER_PX, 1.4826 * float(np.median(np.abs(off))) * math.sqrt(free))
    last = least_squares(cost, values, x_scale=scales, args=(error_px, False), max_nfev=1)
    return Adjusted(
        sightings=sightings,
        cameras=cameras,
        views=tuple(unknowns.view(values, picture) for picture in range(len(sightings))),
        pages=tuple(unknowns.page(values, place) for place in range(len(unknowns.numbers))),
        error_px=error_px,
        page_scale=page_scale,
        values=values,
        covariance=_covariance(last.jac),
        misfit=error_px * np.asarray(last.fun),
    )


def _covariance(jacobian: Floats) -> Floats:
    """What is left open of the values, (m, m): the inverse of the normal matrix.

    Some values are held to a millionth of a millimetre and others, as a focal length seen from right above, hardly at
    all: only with each column brought to the same length do the weakest ways not drown in rounding.
    """
    length = np.linalg.norm(jacobian, axis=0)
    _, known, ways = np.linalg.svd(jacobian / length, full_matrices=False)
    root = ways.T / np.maximum(known, _BLIND * known[0]) / length[:, None]
    return np.asarray(root @ root.T)


def _cameras(sightings: Sequence[Sighting]) -> tuple[int, ...]:
    """Which camera took each picture, counted from 0."""
    named: dict[str, int] = {}
    return tuple(named.setdefault(s.picture.camera, len(named)) for s in sightings)


def _in_order(sightings: Sequence[Sighting]) -> tuple[int, ...]:
    """The pages, that one first which most corners show."""
    seen: dict[int, int] = defaultdict(int)
    for each in sightings:
        for page in each.pages:
            seen[page] += int((each.page == page).sum())
    return tuple(sorted(seen, key=lambda page: (-seen[page], page)))


def _refuse_parted(sightings: Sequence[Sighting]) -> None:
    """Pictures must hang together by pages that they share."""
    joined, rest = set(sightings[0].pages), list(sightings[1:])
    while rest:
        near = next((s for s in rest if joined & set(s.pages)), None)
        if near is None:
            raise Refusal(
                "shows none of the pages that the other photographs show; take all of them with the same pages lying "
                "where they are",
                rest[0].picture.file,
            )
        joined |= set(near.pages)
        rest.remove(near)


def _start(unknowns: Unknowns, sightings: tuple[Sighting, ...], page_scale: float) -> tuple[Floats, Floats, Floats]:
    """First values, and the priors with their standard deviations (infinite where nothing is known)."""
    import cv2

    values, prior = np.zeros(unknowns.count), np.zeros(unknowns.count)
    spread = np.full(unknowns.count, np.inf)
    placed: dict[int, Page] = {unknowns.numbers[0]: Page(unknowns.numbers[0], np.zeros(2), 0.0, 1.0)}
    waiting = list(range(len(sightings)))
    while waiting:
        picture = max(waiting, key=lambda i: sum(int((sightings[i].page == page).sum()) for page in placed))
        waiting.remove(picture)
        seen = sightings[picture]
        camera = unknowns.cameras[picture]
        height, width = seen.picture.pixels.shape[:2]
        diagonal = math.hypot(width, height)
        lens = [math.log(seen.picture.focal_px), (width - 1) / 2, (height - 1) / 2, 0.0, 0.0, 0.0, 0.0]
        values[7 * camera : 7 * camera + 7] = prior[7 * camera : 7 * camera + 7] = lens
        spread[7 * camera : 7 * camera + 7] = [
            seen.picture.focal_share,
            _CENTRE * diagonal,
            _CENTRE * diagonal,
            *_RADIAL,
            _TANGENTIAL,
            _TANGENTIAL,
        ]
        known = np.isin(seen.page, list(placed))
        floor = np.concatenate([placed[p].to_floor(seen.board_mm[seen.page == p]) for p in seen.pages if p in placed])
        pixels = np.concatenate([seen.pixels[seen.page == p] for p in seen.pages if p in placed])
        matrix = np.array([[math.exp(lens[0]), 0, lens[1]], [0, math.exp(lens[0]), lens[2]], [0, 0, 1.0]])
        _, turn, shift = cv2.solvePnP(
            np.column_stack([floor, np.zeros(len(floor))]),
            pixels,
            matrix,
            None,
            flags=cv2.SOLVEPNP_IPPE if known.sum() >= 4 else cv2.SOLVEPNP_ITERATIVE,
        )
        if turn is None or shift is None:
            words = "the printed pages in it lie as on no flat floor; lay them flat and photograph them from above"
            raise Refusal(words, seen.picture.file)
        first = 7 * (max(unknowns.cameras) + 1) + 6 * picture
        values[first : first + 6] = np.concatenate([turn.ravel(), shift.ravel()])
        view = unknowns.view(values, picture)
        for page in seen.pages:
            if page not in placed:
                of = seen.page == page
                placed[page] = _laid(page, seen.board_mm[of], view.to_floor(seen.pixels[of]))
    for place, of_page in enumerate(placed[page] for page in unknowns.numbers):
        where = unknowns.page_at(place)
        values[where] = [*of_page.at_mm, of_page.turn_rad, 0.0]
        spread[where.start + 3] = page_scale
        if place == 0:
            spread[where] = [1e-6, 1e-6, 1e-9, page_scale]
    return values, prior, spread


def _laid(page: int, board_mm: Floats, floor_mm: Floats) -> Page:
    """The page whose board lies nearest to points on the floor (a rigid motion: Procrustes)."""
    board, floor = (points[:, 0] + 1j * points[:, 1] for points in (board_mm, floor_mm))
    turn = np.vdot(board - board.mean(), floor - floor.mean())
    at = floor.mean() - board.mean() * turn / abs(turn)
    return Page(page, np.array([at.real, at.imag]), float(np.angle(turn)), 1.0)


def _refuse_odd(solved: Adjusted) -> None:
    """No page may be curled or tilted, or printed unlike the others."""
    off = {page.number: _off_mm(solved, page) for page in solved.pages}
    worst = max(off, key=off.__getitem__)
    files = ", ".join(s.picture.file for s in solved.sightings)
    if off[worst] > CURLED_MM:
        words = "page {} does not lie flat on the floor (its corners are up to {} out); press it down, or take it away"
        raise Refusal(message(words, worst + 1, mm(2.0 * off[worst], "up")), files)
    mean = float(np.median([page.scale for page in solved.pages]))
    odd, known = max(
        zip(solved.pages, solved.scale_errors, strict=True), key=lambda pair: abs(pair[0].scale / mean - 1.0)
    )
    larger = odd.scale / mean - 1.0
    if abs(larger) > max(ODD_SCALE, 4.0 * known):
        if solved.page_scale < FREE_SCALE:
            # how much it is out is told without holding it to the others
            _refuse_odd(_solve(solved.sightings, solved.cameras, FREE_SCALE))
        words = (
            "page {} was printed {} % {} than the others; print all pages in one go, at 100 %, and measure their bars"
        )
        of = message(words, odd.number + 1, number(100.0 * abs(larger)), "larger" if larger > 0 else "smaller")
        raise Refusal(of, files)


def _off_mm(solved: Adjusted, page: Page) -> float:
    """Root mean square of how far a page's corners lie from where they should, on the floor."""
    squares = []
    for seen, view in zip(solved.sightings, solved.views, strict=True):
        of = seen.page == page.number
        if of.any():
            squares.append(((view.to_floor(seen.pixels[of]) - page.to_floor(seen.board_mm[of])) ** 2).sum(1))
    return math.sqrt(float(np.concatenate(squares).mean()))
