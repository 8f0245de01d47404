"""What a hand sets right on the photograph: the straight edge, the rail's ends, stretches left out and put back."""

import re
from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.photo.by_hand import BY_EYE_MM, ByHand, Stretch, between
from plategen.photo.read import Photographed, photographed, sighted, trace_of
from tests.photo.test_pattern import FRONT, PATTERN, X, Y
from tests.photo.test_spoilt import SKIN, at_px, blotched
from tests.support.photo_scene import moved, packed, rail_pattern
from tests.support.photo_scene import photographed as taken_photograph

FLAT = 100.0 + 0.03 * X
"""A rail so straight that it may be taken for the straight edge."""


def read(data: bytes) -> Photographed:
    return photographed([sighted(data, "front.jpg")], 3.0)


@cache
def plain() -> Photographed:
    return read(taken_photograph(FRONT))


@cache
def under_a_thumb() -> Photographed:
    return read(packed(blotched(at_px(210.0, 100.0), 45, SKIN)))


def said(of: Photographed, hand: ByHand) -> list[str]:
    """What is doubted, but for the few pixels of these photographs."""
    words = [Show("mm").text(doubt) for doubt in trace_of(of, "mm", hand=hand).doubts]
    return [each for each in words if "is coarse" not in each]


def off(points: np.ndarray, offsets: np.ndarray) -> np.ndarray:
    fine = np.linspace(X[0], X[-1], 6001)
    curve = fine + 1j * np.interp(fine, X, offsets)
    return np.abs(points[:, None] - curve[None, :]).min(1)


def point_at(of: Photographed, station: float) -> int:
    """The point of the rail's edge at a station."""
    found = trace_of(of, "mm")
    return int(found.rail[np.abs(found.ring[found.rail].real - station).argmin()])


def test_two_taps_choose_the_straight_edge():
    upside_down = replace(FRONT, outline_mm=moved(rail_pattern(X, FLAT), 188.0, (0.0, 0.0)))
    of = read(taken_photograph(upside_down))
    wrong = trace_of(of, "mm")
    assert off(wrong.points, FLAT).max() > 2.0, "the lower of two is taken, and that is the rail"
    assert any("two sides are straight" in line for line in said(of, ByHand()))
    ends = [int(np.abs(of.piece.outline.points - end).argmin()) for end in _true_corners(of, upside_down.outline_mm)]
    hand = ByHand(straight=(ends[0], ends[1]))
    right = trace_of(of, "mm", hand=hand)
    assert off(right.points, FLAT).max() < 0.45
    assert said(of, hand) == []
    with pytest.raises(Refusal, match="no straight side"):
        trace_of(plain(), "mm", hand=ByHand(straight=(point_at(plain(), 60.0), point_at(plain(), 240.0))))


def _true_corners(of: Photographed, outline: np.ndarray) -> list[complex]:
    """Both ends of the straight edge, on the floor of the adjustment."""
    pixels = FRONT.view.to_pixels(outline[:2], FRONT.thickness_mm)
    at = of.view.to_floor(pixels, of.thickness_mm)
    return [complex(*p) for p in at]


def test_a_stretch_is_left_out_and_told_so():
    a, b = point_at(plain(), 120.0), point_at(plain(), 180.0)
    hand = ByHand(stretches=(Stretch(a, b, keep=False),))
    found = trace_of(plain(), "mm", hand=hand)
    assert not ((found.points.real > 121.0) & (found.points.real < 179.0)).any()
    (line,) = said(plain(), hand)
    assert "left out by hand" in line
    low, high = (float(word) for word in re.findall(r"[\d.]+(?= mm)", line))
    assert (low, high) == pytest.approx((120.0, 180.0), abs=1.0)
    again = ByHand(stretches=(*hand.stretches, Stretch(b, a, keep=True)))
    assert len(trace_of(plain(), "mm", hand=again).points) == len(trace_of(plain(), "mm").points)


def test_what_was_doubted_is_put_back_with_an_eyes_error_and_what_was_not_seen_is_not():
    of = under_a_thumb()
    before = trace_of(of, "mm")
    assert off(before.points, Y).max() < 0.5, (
        "a thumb's own colour lies along a tenth of the edge, and was read as card"
    )
    gaps = [gap for gap in before.left_out if gap[0].real > 30.0 and gap[1].real < 290.0]
    low, high = min(gap[0].real for gap in gaps), max(gap[1].real for gap in gaps)
    inside = np.flatnonzero((before.ring.real > low) & (before.ring.real < high))
    inside = np.intersect1d(inside, before.rail)
    doubted = inside[of.piece.outline.seen[inside] & ~of.piece.outline.good[inside]]
    assert len(doubted) > 3
    hand = ByHand(stretches=(Stretch(int(inside[0]), int(inside[-1]), keep=True),))
    after = trace_of(of, "mm", hand=hand)
    assert after.good[doubted].all()
    assert not after.good[inside[~of.piece.outline.seen[inside]]].any()
    at = before.ring[doubted].real
    back = np.array([(np.abs(at - p.real) < 1.0).sum() > 1 for p in after.points])
    assert back.any()
    assert after.error_mm[back].min() > 0.3 * BY_EYE_MM
    assert any("put back by hand" in line for line in said(of, hand))


def test_the_rails_ends_are_where_the_hand_puts_them():
    hand = ByHand(begin=point_at(plain(), 50.0), end=point_at(plain(), 250.0))
    found = trace_of(plain(), "mm", hand=hand)
    assert found.points[0].real == pytest.approx(50.0, abs=5.1)
    assert found.points[-1].real == pytest.approx(250.0, abs=5.1)
    assert off(found.points, Y).max() < 0.45
    whole = trace_of(plain(), "mm")
    with pytest.raises(Refusal, match="straight edge"):
        trace_of(plain(), "mm", hand=ByHand(end=int(whole.straight[len(whole.straight) // 2])))
    with pytest.raises(Refusal, match="none of this edge"):
        trace_of(plain(), "mm", hand=ByHand(end=len(whole.ring)))


def test_two_points_name_the_shorter_way():
    assert between(2, 5, 20).tolist() == [2, 3, 4, 5]
    assert between(5, 2, 20).tolist() == [2, 3, 4, 5]
    assert between(18, 1, 20).tolist() == [18, 19, 0, 1]
    assert len(PATTERN) > 3
