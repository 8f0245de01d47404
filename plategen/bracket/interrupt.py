"""Weld runs that stop short of what is on the rail: a rivet's head, a hole, another bead, a hose.

A bead takes a leg's width of the rail beside its root, and keeps the room that the job asks for. What is left of a run
is welded in pieces, and counts in pieces. Of a run of which no piece is left that is long enough to count nothing is
taken: the judge says that it comes too near.
"""

import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import replace

from plategen.bracket.feature import Feature
from plategen.bracket.model import Bracket, WeldRun
from plategen.rules.weld import least_length_en_mm, least_length_mm, throat_mm

_STEP_MM = 1.0
_HALVINGS = 30
"""How closely a run is looked at, and how often a place where it stops is closed in on."""


def interrupted(bracket: Bracket, features: Sequence[Feature]) -> Bracket:
    """The bracket with its runs on the rail in the pieces that keep clear of what is on it."""
    if not features:
        return bracket
    runs = (piece for run in bracket.welds for piece in _pieces(run, features))
    return replace(bracket, welds=tuple(runs))


def _pieces(run: WeldRun, features: Sequence[Feature]) -> Iterator[WeldRun]:
    if run.joint != "rail":
        yield run
        return
    spans = [(name, span) for feature in features for name, span in _too_near(run, feature)]
    if not spans:
        yield run
        return
    throat = throat_mm(run.leg_mm, run.joint_angle_rad[1], run.gap_mm)
    least = max(least_length_mm(run.leg_mm), least_length_en_mm(throat))  # in either rule set a stub does not count
    kept = [each for each in _left(spans, run.length_mm) if each[1] - each[0] >= least]
    if not kept:
        yield run
    for number, (first, last, stops) in enumerate(kept):
        path = run.path.part(run.path.at(first), run.path.at(last))
        yield replace(run, path=path, stops_at=stops, piece=number)


def _too_near(run: WeldRun, feature: Feature) -> Iterator[tuple[str, tuple[float, float]]]:
    """The spans of a run, mm along it, whose bead would come too near to something on the rail."""
    length = run.length_mm

    def room(along: float) -> float:
        return bead_room(run, feature, run.path.point(along)) - feature.clear_mm

    count = max(2, math.ceil(length / _STEP_MM))
    places = [length * k / count for k in range(count + 1)]
    rooms = [room(at) for at in places]
    begin = 0.0 if rooms[0] < 0.0 else None
    for k in range(count):
        if (rooms[k] < 0.0) == (rooms[k + 1] < 0.0):
            continue
        at = _edge(room, places[k], places[k + 1])
        if begin is None:
            begin = at
        else:
            yield feature.name, (begin, at)
            begin = None
    if begin is not None:
        yield feature.name, (begin, length)


def bead_room(run: WeldRun, feature: Feature, at: complex) -> float:
    """From a bead, a leg wide on the rail, to something there: at a place of its root line, mm."""
    p = run.placement.point(at)
    return math.dist(p, feature.body.nearest(p)) - run.leg_mm


def _edge(room: Callable[[float], float], one: float, other: float) -> float:
    """Where the room is just what is asked, between a place that has it and one that has not; on the clear side."""
    clear, near = (other, one) if room(one) < 0.0 else (one, other)
    for _ in range(_HALVINGS):
        middle = (clear + near) / 2
        clear, near = (clear, middle) if room(middle) < 0.0 else (middle, near)
    return clear


def _left(
    spans: Iterable[tuple[str, tuple[float, float]]], length: float
) -> Iterator[tuple[float, float, tuple[str, str]]]:
    """What is left of a run between the spans, with the names of what it stops at, at its start and its end."""
    at, stopped = 0.0, ""
    for name, (begin, end) in sorted(spans, key=lambda each: each[1]):
        if begin > at:
            yield at, begin, (stopped, name)
        if end > at:
            at, stopped = end, name
    if at < length:
        yield at, length, (stopped, "")
