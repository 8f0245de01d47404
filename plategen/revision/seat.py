"""Where an existing plate sits best on a rail: turned about its pin and slid a little, so that trimming leaves no gap.

The largest gap is made small by halving and halving again the placements that can still be the best: turning by an
angle moves no point of the foot by more than the angle times its distance from the pin, so a placement bounds those
around it.
"""

import math
from dataclasses import replace

import numpy as np

from plategen.revision.plate_on_rail import Floats, PlateOnRail, Seat

FOUND_WITHIN_MM = 0.005
"""The search ends when no placement left can be better by more."""

TRIMMING_COUNTS, SLIDING_COUNTS = 1e-4, 2e-3
"""Of placements that leave the same gap the one with less to trim, and less slid, is taken: what a millimetre of each
weighs against one of gap."""

_LOOKED_CLOSELY = 24
"""Of a plate of many corners, so many placements of each round are looked at beside every corner."""

_FIRST_STEP_RAD = math.radians(0.5)
_STEEP = 1.2
"""How much faster than the bound the gap may grow where the edges lean."""

_NEAR_RAD = math.radians(5.0)
_SLIDE_STEP_MM = 0.5
_MOST_CELLS = 1000


def best_seat(
    plate: PlateOnRail, most_turn_rad: float = math.pi, play_mm: float = 0.0, over: tuple[bool, ...] = (False, True)
) -> Seat:
    """The placement that leaves the smallest gap.

    From how it was drawn it may turn by ``most_turn_rad`` and slide by ``play_mm``, each either way; ``over`` says
    which faces may be up.
    """
    seat = _turned(plate, 0.0, most_turn_rad, 0.0, over)
    if play_mm <= 0.0:
        return seat
    tried = [_turned(plate, 0.0, most_turn_rad, slide, over) for slide in (-play_mm, play_mm)]
    seat = min(seat, *tried, key=cost)
    # which way up is settled: what is left is to slide, and to turn a little at each place
    near, sides = min(most_turn_rad, _NEAR_RAD), (seat.over,)
    step = min(_SLIDE_STEP_MM, play_mm / 4)
    slides = [step * i for i in range(-round(play_mm / step), round(play_mm / step) + 1)]
    while True:
        seats = [_turned(plate, seat.turn_rad, near, min(play_mm, max(-play_mm, s)), sides) for s in slides]
        seats.sort(key=cost)
        seat = min(seat, seats[0], key=cost)
        step /= 3
        if step < FOUND_WITHIN_MM:
            return seat
        slides = [s.slide_mm + sign * step for s in seats[:3] for sign in (-1, 1)]


def cost(seat: Seat) -> float:
    """What is made small: the gap, and of equal gaps the trimming and the sliding."""
    return seat.gap_mm + TRIMMING_COUNTS * seat.proud_mm + SLIDING_COUNTS * abs(seat.slide_mm)


def _turned(plate: PlateOnRail, about_rad: float, most_rad: float, slide_mm: float, over: tuple[bool, ...]) -> Seat:
    """The best placement at one slide, turned by up to ``most_rad`` either way from ``about_rad``."""
    return min((_one_face(plate, about_rad, most_rad, slide_mm, side) for side in over), key=cost)


def _one_face(plate: PlateOnRail, about_rad: float, most_rad: float, slide_mm: float, over: bool) -> Seat:
    half = min(_FIRST_STEP_RAD, most_rad)
    turn = about_rad + _centres(most_rad, half)
    reach = plate.reach_mm * _STEEP
    best = Seat(turn_rad=about_rad, slide_mm=slide_mm, over=over, gap_mm=math.inf, proud_mm=0.0)
    if not plate.can_reach(slide_mm):  # it leaves a part of the foot bare however it is turned
        return _best_turn(plate, best, np.array([about_rad]))[0]
    while True:
        best, gap, costs = _best_turn(plate, best, turn)
        # no gap is less than none: a cell that could at best reach zero is kept only while zero is not reached
        least = np.maximum(gap - half * reach, 0.0)
        alive = np.flatnonzero(least < best.gap_mm - FOUND_WITHIN_MM)
        if not len(alive) or half * reach <= FOUND_WITHIN_MM / 2:
            return _least_trimmed(plate, best, half)
        alive = alive[np.argsort(costs[alive])][:_MOST_CELLS]
        half /= 2
        turn = np.concatenate([turn[alive] - half, turn[alive] + half])


def _least_trimmed(plate: PlateOnRail, seat: Seat, half_rad: float) -> Seat:
    """The same gap with less to trim, if turning a little from there gives it."""
    while half_rad * plate.reach_mm > FOUND_WITHIN_MM:
        seat, _, _ = _best_turn(plate, seat, seat.turn_rad + half_rad * np.linspace(-1.0, 1.0, 5))
        half_rad /= 2
    return seat


def _best_turn(plate: PlateOnRail, seat: Seat, turn: Floats) -> tuple[Seat, Floats, Floats]:
    """The placement turned by the best of these angles if that is better, and the gap and the cost of each.

    Of a plate of many corners most are looked at from afar: their gap and cost are then no more than they truly are.
    """

    def looked(turn: Floats, *, corners: bool) -> tuple[Floats, Floats, Floats]:
        gap, proud = plate.gaps(turn, np.full(len(turn), seat.slide_mm), seat.over, corners=corners)
        return gap, proud, gap + TRIMMING_COUNTS * proud + SLIDING_COUNTS * abs(seat.slide_mm)

    afar = plate.many_corners and len(turn) > _LOOKED_CLOSELY
    gap, proud, costs = looked(turn, corners=not afar)
    close = np.arange(len(turn))
    if afar:
        close = np.argsort(costs)[:_LOOKED_CLOSELY]
        gap[close], proud[close], costs[close] = looked(turn[close], corners=True)
    i = int(close[np.argmin(costs[close])])
    if costs[i] < cost(seat):
        seat = replace(seat, turn_rad=float(turn[i]), gap_mm=float(gap[i]), proud_mm=float(proud[i]))
    return seat, gap, costs


def _centres(most: float, half: float) -> Floats:
    """Middles of cells of at most ``half`` either way that cover from ``-most`` to ``most``."""
    if most <= 0.0:
        return np.zeros(1)
    count = math.ceil(most / half - 1e-9)
    return np.asarray((2.0 * np.arange(count) + 1.0 - count) * (most / count), dtype=np.float64)
