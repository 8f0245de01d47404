"""The foot: from where to where a plate stands on the rail, and a rail's section cut to it.

On a rail that only runs along, the foot is two stations. Where it goes round the rail's corner and up its side, the
side has no stations of its own: there one station says where the foot begins, and the rise how far up the side it
ends, as a tape reads it from the corner where underside and side would meet.
"""

from dataclasses import dataclass
from typing import NamedTuple

from plategen.flat.chain import Chain
from plategen.flat.clip import between, where_u
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.corner import Corner, corners, where_round

RISE = "mount.foot_rise"
"""The key that is named when it is wrong."""


class Foot(NamedTuple):
    """Where a plate stands.

    Args:
        begin_mm: Station where it begins.
        end_mm: Station where it ends; None when it goes round the rail's corner.
        rise_mm: How far from that corner it ends on the rail's other face, when it goes round.
    """

    begin_mm: float
    end_mm: float | None = None
    rise_mm: float | None = None

    @property
    def stations(self) -> tuple[float, float]:
        """The two stations between which a foot stands that goes round no corner."""
        assert self.end_mm is not None, "a foot round a corner has one station"
        return self.begin_mm, self.end_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenFoot:
    """A foot and, where a rule chose any of it, why it is that."""

    foot: Foot
    why: Message = NOTHING


def cut_to_foot(section: Chain, foot: Foot) -> Chain:
    """The part of a section, or of a notch, that the foot stands on.

    Raises:
        Refusal: If the section does not reach so far, or goes round no corner where one is asked.
    """
    if foot.end_mm is not None:
        return between(section, foot.begin_mm, foot.end_mm)
    rise_mm = foot.rise_mm or 0.0
    corner, reverse = corner_of(section, foot.begin_mm)
    walk = section.reversed() if reverse else section
    first, last = _along(section, corner, foot.begin_mm, reverse), _up(walk, corner, rise_mm, reverse)
    part = _part(walk, first, last)
    return part.reversed() if reverse else part


def corner_of(section: Chain, station_mm: float) -> tuple[Corner, bool]:
    """The corner that a foot beginning at a station goes round, and whether the section is walked from the side to it.

    Raises:
        Refusal: If there is none.
    """
    found = corners(section)
    ahead = [c for c in found if abs(c.into.real) >= abs(c.out.real) and c.point.real > station_mm]
    if ahead:
        return min(ahead, key=lambda c: c.point.real), False
    behind = [c for c in found if abs(c.into.real) < abs(c.out.real) and c.point.real < station_mm]
    if behind:
        return max(behind, key=lambda c: c.point.real), True
    raise Refusal(
        "the trace goes round no corner from that station; the two stations where the foot begins and ends are right, "
        "or a trace of (u, v) points round the corner",
        "mount.foot",
    )


def rise_there_is(section: Chain, station_mm: float) -> float:
    """How far from the corner the rail's other face was traced, mm."""
    corner, reverse = corner_of(section, station_mm)
    return abs((section.start if reverse else section.end) - corner.point)


def _along(section: Chain, corner: Corner, station_mm: float, reverse: bool) -> tuple[int, float]:
    """The place, on the walk, where the foot begins."""
    last = len(section) - 1
    places = where_u(section, station_mm)
    if reverse:
        places = tuple(p for p in places if p[0] >= corner.after)
        if places:
            index, t = places[-1]
            return last - index, 1.0 - t
    else:
        places = tuple(p for p in places if p[0] <= corner.before)
        if places:
            return places[0]
    raise Refusal(
        message("the rail was not traced at station {}; the foot must begin within the trace", mm(station_mm)),
        "mount.foot",
    )


def _up(walk: Chain, corner: Corner, rise_mm: float, reverse: bool) -> tuple[int, float]:
    """The first place, on the walk, that lies ``rise_mm`` beyond the corner."""
    first = len(walk) - 1 - corner.before if reverse else corner.after
    for index in range(first, len(walk)):
        edge = walk.segments[index]
        if rise_mm <= abs(edge.start - corner.point):
            break
        if abs(edge.end - corner.point) < rise_mm:
            continue
        t = where_round(edge, corner.point, rise_mm, last=True)
        if t is not None:
            return index, t
    reach_mm = abs(walk.end - corner.point)
    bend_mm = abs(walk.segments[first].start - corner.point)
    if rise_mm <= bend_mm:
        words = "a rise of {} ends within the bend of the rail's corner; over {} is right"
        raise Refusal(message(words, mm(rise_mm), mm(bend_mm, "up")), RISE)
    words = (
        "the foot rises {} up the rail's side, but the side was traced only {} up; let it rise less, or read further "
        "up the side"
    )
    raise Refusal(message(words, mm(rise_mm), mm(reach_mm, "down")), RISE)


def _part(walk: Chain, first: tuple[int, float], last: tuple[int, float]) -> Chain:
    """The walk between two places."""
    (i, t0), (j, t1) = first, last
    if i == j:
        return Chain((walk.segments[i].part(t0, t1),))
    edges = walk.segments
    head = (edges[i].part(t0, 1.0),) if t0 < 1.0 else ()
    tail = (edges[j].part(0.0, t1),) if t1 > 0.0 else ()
    return Chain((*head, *edges[i + 1 : j], *tail))
