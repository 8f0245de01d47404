"""A pen cross on a piece's face: two straight strokes that cross, of any colour but the face's."""

import cmath
import math

import numpy as np
from numpy.typing import NDArray

from plategen.ground.refusal import Refusal
from plategen.photo.camera import Floats, View
from plategen.photo.picture import Picture
from plategen.photo.straight import straightened

MM_PER_PX, RIM_MM = 0.3, 3.0
"""Scale at which a cross is looked for, and how far within the piece's edge."""

LEAST_MM, MOST_MM = 8.0, 60.0
"""A cross is no smaller and no larger."""

STROKE_MM, AROUND_MM = 2.5, 5.0
"""Half the width of a stroke as a small picture blurs it, and more; the face's own colour is that of so far around."""

UNLIKE = 9.0
"""A stroke's colour lies so far from the face's in CIE L*a*b*, and farther."""

ARM_MM, TURN_RAD, ON_STROKES = 3.5, math.radians(50.0), 0.9
"""Each stroke goes on so far past the crossing, they cross at no less, and so much of the ink lies on them."""


def pen_cross(picture: Picture, view: View, outline_mm: Floats, height_mm: float) -> complex:
    """Where the one cross on a piece lies, in plan.

    Args:
        picture: The photograph.
        view: Where it was taken from.
        outline_mm: The piece's outline (n, 2), in plan.
        height_mm: How high its face lies.

    Raises:
        Refusal: There is none, or more than one.
    """
    import cv2

    flat = straightened(picture, view, (outline_mm.min(0), outline_mm.max(0)), MM_PER_PX, height_mm)
    inner = np.zeros(flat.seen.shape, np.uint8)
    cv2.fillPoly(inner, [np.round(flat.to_px(outline_mm)).astype(np.int32)], 1)
    rim = 2 * round(RIM_MM / MM_PER_PX) + 1
    inner = cv2.erode(inner, np.ones((rim, rim), np.uint8), borderValue=0)
    lab = cv2.GaussianBlur(cv2.cvtColor(flat.pixels, cv2.COLOR_RGB2LAB), (0, 0), 1.0)
    usual = cv2.medianBlur(lab, 2 * round(AROUND_MM / MM_PER_PX) + 1)
    away = np.linalg.norm((lab.astype(np.float32) - usual) * np.array([100 / 255, 1, 1], np.float32), axis=2)
    ink = ((away > UNLIKE) & inner.astype(bool)).astype(np.uint8)
    count, label, stats, _ = cv2.connectedComponentsWithStats(ink, connectivity=8)
    found = []
    for k in range(1, count):
        size = MM_PER_PX * stats[k, [cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT]]
        if LEAST_MM < size.max() < MOST_MM:
            rows, columns = np.nonzero(label == k)
            at = flat.to_mm(np.column_stack([columns, rows]).astype(float))
            found.append(_crossing(at[:, 0] + 1j * at[:, 1]))
    crosses = [at for at in found if at is not None]
    if len(crosses) != 1:
        seen = "no pen cross is" if not crosses else f"{len(crosses)} pen crosses are"
        raise Refusal(
            f"{seen} seen on the card; draw one at station 0, 3/8 in (10 mm) or more each way, with a pen that "
            "shows, and leave no other",
            "--cross",
        )
    return crosses[0]


def _crossing(z: NDArray[np.complex128]) -> complex | None:
    """Where two strokes that are all of some ink cross; None if it is no cross."""
    first = _stroke(z)
    off = np.abs(((z - first[0]) * first[1].conjugate()).imag)
    rest = z[off > STROKE_MM]
    if len(rest) < ARM_MM / MM_PER_PX:
        return None
    second = _stroke(rest)
    turn = (second[1] / first[1]).imag
    if abs(turn) < math.sin(TURN_RAD):
        return None
    at = (
        first[0]
        + first[1] * ((second[0] - first[0]) * second[1].conjugate()).imag / (first[1] * second[1].conjugate()).imag
    )
    on = np.zeros(len(z), bool)
    for _, along in (first, second):
        local = (z - at) * along.conjugate()
        near = np.abs(local.imag) < STROKE_MM
        on |= near
        if local.real[near].min() > -ARM_MM or local.real[near].max() < ARM_MM:
            return None
    return at if on.mean() > ON_STROKES else None


def _stroke(z: NDArray[np.complex128]) -> tuple[complex, complex]:
    """A point and the direction of the line that most of some ink lies on."""
    ways = np.exp(1j * np.radians(np.arange(0.0, 180.0, 3.0)))
    across = [(z * way.conjugate()).imag for way in ways]
    near = [np.abs(off - _densest(off)) < STROKE_MM / 2 for off in across]
    some = z[near[int(np.argmax([of.sum() for of in near]))]]
    for _ in range(3):
        middle = complex(some.mean())
        along = cmath.exp(0.5j * cmath.phase(complex(((some - middle) ** 2).sum())))
        some = z[np.abs(((z - middle) * along.conjugate()).imag) < 0.6 * STROKE_MM]
    return middle, along


def _densest(off: Floats) -> float:
    """Where most of some numbers lie close together."""
    count, bounds = np.histogram(off, np.arange(off.min() - 0.5, off.max() + 1.0, 0.5))
    k = int(np.argmax(count))
    return float((bounds[k] + bounds[k + 1]) / 2.0)
