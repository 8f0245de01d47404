"""What lies either side of an edge: the piece's own colours within, and beyond them floor, page or another thing."""

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import Message, message
from plategen.photo.adjust import Adjusted
from plategen.photo.camera import Floats
from plategen.photo.edge import Edge
from plategen.photo.picture import Picture, linear
from plategen.photo.region import PAPER_MM, PAPER_WHITE, Floor

BESIDE_MM = 4.0
"""So far from an edge, or from a corner of a board, each side's own light is looked at."""

OTHER, _LOOKS_MM = 6.0, (-1.5, -0.75, 0.0, 0.75, 1.5)
"""Standard deviations from the floor's colours at which what lies beyond an edge is another thing; places looked at."""

OWN_SHARE = 0.25
"""A colour along less of an edge than this, with all that are like it, is none of the piece's own: a thumb's is not."""

SHADOW, MOSTLY = (0.1, 0.6), 0.5
"""Share of the floor's light that a shadow at the foot of a piece may leave, and how much of an edge looks so."""


def unlike_pages(adjusted: Adjusted, picture: int, base: Edge, height: float) -> NDArray[np.bool_]:
    """Where an edge lies over no page of the piece's own light: white card on paper, black card on its squares."""
    sighting, view = adjusted.sightings[picture], adjusted.views[picture]
    beside = view.to_pixels(base.points_mm - BESIDE_MM * base.outward, height)
    own = float(np.median(_light(sighting.picture, beside)))
    clear = np.ones(len(base.points_mm), bool)
    for page in adjusted.pages:
        of = sighting.board_mm[sighting.page == page.number]
        if not len(of):
            continue
        about = np.array([[a, b] for a in (-BESIDE_MM, BESIDE_MM) for b in (-BESIDE_MM, BESIDE_MM)])
        light = _light(sighting.picture, view.to_pixels(page.to_floor((of[:, None] + about).reshape(-1, 2))))
        dark, white = np.percentile(light, (20, 80))
        if own >= PAPER_WHITE * white:
            clear &= ~page.covers(base.points_mm, PAPER_MM)
        elif own <= 2.5 * dark:  # the paper about the squares is white
            clear &= ~page.covers(base.points_mm, (BESIDE_MM, BESIDE_MM))
    return clear


def on_floor(adjusted: Adjusted, picture: int, base: Edge, height: float, floor: Floor) -> NDArray[np.bool_]:
    """Where floor or a page lies beyond the edge, in light or shadow, and nothing else: no thumb, no glare."""
    eye = adjusted.views[picture].eye_mm
    lean = np.einsum("ij,ij->i", (base.points_mm - eye[:2]) / eye[2], base.outward)
    # a rim that leans away from the camera hides the floor behind it
    beyond = BESIDE_MM + height * np.maximum(0.0, lean)
    lab = beside_edge(adjusted, picture, base, beyond, 0.0)
    known = (floor.unlike(lab) < OTHER) | floor.shaded(lab)
    for page in adjusted.pages:
        known |= page.covers(base.points_mm + beyond[:, None] * base.outward, PAPER_MM)
    return np.asarray(known)


def of_piece(inside: NDArray[np.float32]) -> NDArray[np.bool_]:
    """Where the piece's own colours lie within the edge, of those seen there (n, 3): those along much of it."""
    alike = [(of, Floor((of,)).unlike(inside) < OTHER) for of in Floor.of(inside).colours]
    own = Floor(tuple(of for of, like in alike if like.mean() > OWN_SHARE))
    return np.asarray(own.unlike(inside) < OTHER)


def shadow_doubt(inside: NDArray[np.float32], floor: Floor) -> Message | None:
    """That the piece looks as its floor would in shadow, by its colours (n, 3) within the edge; None if it does not."""
    share = np.array([((inside[:, 0] + 16.0) / (float(of[0]) + 16.0)) ** 3 for of, _ in floor.colours])  # CIE 15
    deep = ((share > SHADOW[0]) & (share < SHADOW[1])).any(0) if len(share) else np.zeros(len(inside), bool)
    if (deep & floor.shaded(inside)).mean() < MOSTLY:
        return None
    return message(
        "the piece is as dark and grey as a shadow on this floor, so where a narrow one lies beside it, the edge may "
        "be read at the shadow's end; light it from above or from all sides, or lay it on a floor of another colour"
    )


def beside_edge(
    adjusted: Adjusted, picture: int, base: Edge, out_mm: Floats | float, height: float
) -> NDArray[np.float32]:
    """Colours (n, 3), CIE L*a*b*, so far outward of an edge: the median of a few places side by side."""
    import cv2

    view, pixels = adjusted.views[picture], adjusted.sightings[picture].picture.pixels
    out = np.broadcast_to(out_mm, len(base.points_mm))[:, None]
    outs = [base.points_mm + (out + side) * base.outward for side in _LOOKS_MM]
    at = np.stack([view.to_pixels(out, height) for out in outs], 1).astype(np.float32)
    seen = cv2.remap(pixels, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(np.median(cv2.cvtColor(seen.astype(np.float32) / 255.0, cv2.COLOR_RGB2LAB), axis=1))


def _light(picture: Picture, at_px: Floats) -> Floats:
    """Light of the pixels at some places, (n,)."""
    height, width = picture.pixels.shape[:2]
    column, row = (np.clip(np.round(at_px[:, k]).astype(int), 0, limit - 1) for k, limit in enumerate((width, height)))
    return np.asarray(linear(picture.pixels[row, column]).mean(1), float)
