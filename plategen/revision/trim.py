"""Can an existing plate serve the rail as it is traced now, with the pin where it must be?

The plate may turn about its pin hole, be turned over, and slide along the cylinder's line within a given play. What
stands beyond the rail is trimmed; what stays short of it is a gap, and the fit-up rule decides: to 1/16 in as it is,
to 3/16 in with the leg grown by the gap, more is refused (AWS D1.1 5.21, 7.21 in newer editions). The bracket with the
plate in it is then judged like any other.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby
from typing import Literal, TypeAlias

from plategen.checks.finding import Finding
from plategen.checks.finding import stops as stops_of
from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.message import Message, Quantity, message, mm
from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.revision.change import SAME_MM
from plategen.revision.dxf_open import OpenedPlate
from plategen.revision.plate_on_rail import Line2, PlateOnRail, Seat
from plategen.revision.seat import best_seat, cost
from plategen.revision.trim_cut import kept_below
from plategen.revision.trim_place import LEAST_RUN_MM, Place, places, with_plate
from plategen.revision.way import own_stops
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.work import Work

Verdict: TypeAlias = Literal["fits", "trim", "trim and larger leg", "cut new"]
"""What can be done with a plate."""

PROUD_MM = 0.25
"""Less than this beyond the rail is dressed with a file, and no trimming."""

MOST_PLAY_MM = 100.0
"""Farther than this along its line no cylinder is moved for the sake of a plate."""

_HAIRS_MM = (0.002, 0.02, 0.06, 0.1, 0.2)
_SPAN_STEP_MM = 0.5
_EDGE_SLACK_MM = 0.01


def freedom(play: str, turn_deg: float, units: Units, key: str) -> tuple[float, float]:
    """How far the pin may slide, mm, from what was typed, and the plate turn, rad; ``key`` is named where one is wrong.

    Raises:
        Refusal: The play is no length, or one of them is out of bounds.
    """
    play_mm = LENGTH.read(play, units)
    if not 0.0 <= play_mm <= MOST_PLAY_MM or not 0.0 <= turn_deg <= 180.0:
        words = "a play from 0 to {} and a turn from 0 to 180 degrees are right"
        raise Refusal(message(words, mm(MOST_PLAY_MM)), key, units=units)
    return play_mm, math.radians(turn_deg)


@dataclass(frozen=True, slots=True)
class Short:
    """A span of stations over which the plate stays short of the rail by more than 1/16 in, and by how much at most."""

    from_mm: float
    to_mm: float
    gap_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Trimmed:
    """The answer; outlines, holes and lengths are of the plate as it sits, in the plate frame."""

    place: Place
    verdict: Verdict
    seat: Seat
    before: Loop
    """Its outline as it is, and once trimmed."""
    after: Loop
    hole: Circle
    """Its pin hole; ``inside`` are its other holes and openings."""
    inside: tuple[Contour, ...]
    cuts: tuple[Chain, ...]
    """The trim line, in the pieces that are cut."""
    removed_mm2: float
    gap_mm: float
    """Largest gap that stays, and the weld leg then wanted."""
    leg_mm: float
    short: tuple[Short, ...]
    weld_mm: float
    """Length of the edge that can be welded, of so much on a new plate."""
    weld_asked_mm: float
    edge_mm: float
    """From the pin hole's centre to the nearest edge after trimming, and what the rule asks."""
    edge_required_mm: float
    work: Work
    """The job with this plate in its place, judged; with the job's own plate, where this one cannot be welded."""
    job_stops: tuple[Finding, ...]
    """What stops in the job itself, with a new plate; ``stops`` with this plate and not with a new one."""
    stops: tuple[Finding, ...]
    reasons: tuple[Message, ...]
    """What else to heed."""

    @property
    def edge_holds(self) -> bool:
        """True when the pin hole lies far enough from every edge."""
        return self.edge_mm >= self.edge_required_mm - _EDGE_SLACK_MM

    @property
    def must_stop(self) -> bool:
        """True when it must not be welded on: a new plate is wanted, or something stops."""
        return self.verdict == "cut new" or bool(self.job_stops) or self.work.stopped


def trim(
    work: Work,
    opened: OpenedPlate,
    *,
    name: str = "",
    play_mm: float = 0.0,
    most_turn_rad: float = math.pi,
    may_turn_over: bool = True,
) -> Trimmed:
    """The best that can be made of an existing plate for the job carried through on the rail as now traced.

    It takes the place of the job's plate called ``name``, of the one it fits best if left out. From how it is drawn it
    may turn by ``most_turn_rad`` and the pin may slide by ``play_mm`` along the cylinder's line, each either way.

    Raises:
        Refusal: No hole of it takes the pin, the job has no plate of that name, or the plate was not made for it and
            the rail has a corner there.
    """
    could = places(work, opened, name)
    own = next((place for place in could if place.made_for_it), None)
    if own is not None:
        return _as_made(work, own)
    if all(place.goes_round for place in could):
        raise Refusal("cannot be tried: the foot goes round the rail's corner, and trim looks along a rail only")
    over = (False, True) if may_turn_over else (False,)
    tried = [(place, _on_rail(place)) for place in could if not place.goes_round]
    seated = [(*one, best_seat(one[1], most_turn_rad, play_mm, over)) for one in tried]
    return _answer(work, *min(seated, key=lambda one: cost(one[2])))


def fit_verdict(gap_mm: float, proud_mm: float) -> Verdict:
    """What the fit-up rule says of a gap that stays after trimming.

    >>> fit_verdict(1.0, 0.0), fit_verdict(1.0, 3.0), fit_verdict(3.0, 0.0), fit_verdict(5.0, 0.0)
    ('fits', 'trim', 'trim and larger leg', 'cut new')
    """
    if gap_mm > GAP_LARGEST_MM:
        return "cut new"
    if gap_mm > GAP_AS_IS_MM:
        return "trim and larger leg"
    return "trim" if proud_mm > PROUD_MM else "fits"


def _on_rail(place: Place) -> PlateOnRail:
    return PlateOnRail(
        place.outline, (place.hole, *place.others), place.hole.centre, Line2.of(place.rail_line),
        place.bored.circle.centre, place.deciding_foot_mm,
    )  # fmt: skip


def _as_made(work: Work, place: Place) -> Trimmed:
    """The answer for the job's own plate: nothing is done to it, and the job is judged as it is."""
    plate, bored = place.plate, place.bored
    seat = Seat(turn_rad=0.0, slide_mm=0.0, over=False, gap_mm=0.0, proud_mm=0.0)
    welded_mm = plate.notch.length if plate.notch else 0.0
    return Trimmed(
        place=place, verdict="fits", seat=seat, before=plate.outline, after=plate.outline, hole=bored.circle,
        inside=tuple(place.seated(contour, seat) for contour in place.others), cuts=(), removed_mm2=0.0, gap_mm=0.0,
        leg_mm=work.job.weld.leg_mm, short=(), weld_mm=welded_mm, weld_asked_mm=welded_mm,
        edge_mm=plate.outline.distance(bored.circle.centre), edge_required_mm=bored.edge_required_mm,
        work=work, job_stops=tuple(stops_of(work.findings)), stops=(),
        reasons=tuple(_reasons((), (), (), _under_mm(work, place.hole))),
    )  # fmt: skip


def _answer(work: Work, place: Place, on_rail: PlateOnRail, seat: Seat) -> Trimmed:
    plate, bored = place.plate, place.bored
    before, bore = place.seated(place.outline, seat), place.seated(place.hole, seat)
    assert isinstance(before, Loop) and isinstance(bore, Circle)  # noqa: PT018
    others = tuple(place.seated(contour, seat) for contour in place.others)
    line = place.rail_line
    after, cuts = _cut(before, line, bore.centre)
    welded_mm = _welded(on_rail, seat, place.foot_mm)
    path = between(line, *welded_mm) if welded_mm[1] - welded_mm[0] > LEAST_RUN_MM else None
    leg_mm = work.job.weld.leg_mm + (seat.gap_mm if seat.gap_mm > GAP_AS_IS_MM else 0.0)
    edge_mm = after.distance(bore.centre)
    verdict = fit_verdict(seat.gap_mm, seat.proud_mm)
    job_stops, used = tuple(stops_of(work.findings)), work
    stops: tuple[Finding, ...] = ()
    if verdict != "cut new" and path is not None:
        used = with_plate(work, place, after, bore, others, welded_mm=welded_mm, gap_mm=seat.gap_mm, leg_mm=leg_mm)
        stops = own_stops(used, job_stops)
    if path is None or stops or edge_mm < bored.edge_required_mm - _EDGE_SLACK_MM:
        verdict = "cut new"
    return Trimmed(
        place=place, verdict=verdict, seat=seat, before=before, after=after, hole=bore, inside=others, cuts=cuts,
        removed_mm2=before.area - after.area, gap_mm=seat.gap_mm, leg_mm=leg_mm, short=tuple(_short(on_rail, seat)),
        weld_mm=path.length if path else 0.0, weld_asked_mm=plate.notch.length if plate.notch else 0.0,
        edge_mm=edge_mm, edge_required_mm=bored.edge_required_mm, work=used, job_stops=job_stops, stops=stops,
        reasons=tuple(_reasons(stops, others, cuts, _under_mm(work, bore))),
    )  # fmt: skip


def _cut(before: Loop, line: Chain, bore: complex) -> tuple[Loop, tuple[Chain, ...]]:
    """The piece that holds the pin, cut a hair below the line, and so much lower that no edge is too short to cut."""
    best: tuple[Loop, tuple[Chain, ...]] = (before, ())
    for hair in _HAIRS_MM:
        for piece in kept_below(before, line.moved(shift=-hair * 1j)):
            if inside(piece.outline, bore):
                best = (piece.outline, piece.cuts)
                if min(edge.length for edge in piece.outline) >= SHORTEST_EDGE_MM:
                    return best
    return best


def _short(on_rail: PlateOnRail, seat: Seat) -> Iterator[Short]:
    """Spans in which the gap is more than 1/16 in."""
    stations, gaps, _ = on_rail.profile(seat)
    looked = zip(stations.tolist(), gaps.tolist(), strict=True)
    for is_short, span in groupby(looked, lambda at: at[1] > GAP_AS_IS_MM):
        if is_short:
            u, gap = zip(*span, strict=True)
            yield Short(u[0], u[-1], max(gap))


def _welded(on_rail: PlateOnRail, seat: Seat, foot: tuple[float, float]) -> tuple[float, float]:
    """The longest span of the foot in which the gap can be welded."""
    count = max(2, math.ceil((foot[1] - foot[0]) / _SPAN_STEP_MM))
    stations = [foot[0] + (foot[1] - foot[0]) * i / count for i in range(count + 1)]
    looked = zip(stations, on_rail.gaps_at(seat, stations), strict=True)
    spans = [[u for u, _ in span] for near, span in groupby(looked, lambda at: at[1] <= GAP_LARGEST_MM) if near]
    longest = max(spans, key=lambda u: u[-1] - u[0], default=[foot[0]])
    return longest[0], longest[-1]


def _is_and_limit(stop: Finding) -> Message:
    """What there is and what is allowed, each rounded to the safe side."""
    if stop.of.limit == "at least":
        there, least = Quantity(stop.capacity, stop.unit, "down"), Quantity(stop.demand, stop.unit, "up")
        return message("is {}, at least {} needed", there, least)
    if stop.capacity <= 0.0 or not math.isfinite(stop.demand):
        return message("cannot carry it at all")
    return message(
        "is {}, limit {}", Quantity(stop.demand, stop.unit, "up"), Quantity(stop.capacity, stop.unit, "down")
    )


def _under_mm(work: Work, hole: Circle) -> float:
    """How much smaller than the pin its hole is drawn."""
    return work.bracket.pin.diameter_mm - 2 * hole.radius


def _reasons(
    stops: tuple[Finding, ...], others: tuple[Contour, ...], cuts: tuple[Chain, ...], under_mm: float
) -> Iterator[Message]:
    if under_mm > SAME_MM:
        yield message("the hole is drawn {} smaller than the pin; measure it, and ream it to the pin", mm(under_mm))
    words = "{}, {}: {}; a new plate holds"
    yield from (message(words, stop.check, stop.part.spoken, _is_and_limit(stop)) for stop in stops)
    for contour in others:
        centre = contour.centre if isinstance(contour, Circle) else contour.segments[0].start
        reach = contour.radius if isinstance(contour, Circle) else 0.0
        if any(cut.distance(centre) < reach for cut in cuts):
            yield message(
                "the trim line runs through the hole at station {}, {} towards the rail",
                mm(centre.real),
                mm(centre.imag),
            )
