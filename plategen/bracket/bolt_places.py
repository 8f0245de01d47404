"""Where a base's bolts stand: in holes that are there, then in new ones beside the ears, clear of what is on the rail.

Nothing of it hangs on which bolt is called the first, so that a mirrored job has mirrored bolts.
"""

import math
from collections.abc import Sequence
from functools import cache, partial
from itertools import combinations, groupby, product

from plategen.bracket.face import Place
from plategen.bracket.feature import Feature
from plategen.design.bolts import steel_round
from plategen.design.fold_plan import FoldPlan, fold_of
from plategen.design.foot import Foot
from plategen.ground.message import Message, joined, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.bolted import Bolted
from plategen.rules import drilling
from plategen.rules.cold_bending import HOLE_OFF_BEND
from plategen.rules.hole_size import bolt_hole_size
from plategen.rules.wrench import tool_room

LEAST_PITCHES = 3.0
"""Bolts stand so many diameters apart, as AISC 360 J3.4 prefers."""

HEAD_OVER_BOLT = 1.1
"""Half of a washer's width over its bolt, and a little (ISO 7089, ASTM F436; from memory)."""

_MOVES = 60  # sizes that a new hole is moved by, at most, to keep clear

_SAME_MM = 1e-6  # so much short of a distance is rounding: a place that just keeps it does so in either unit


def bolted_of(job: Job) -> Bolted:
    """The job's ``[bolted]`` table."""
    if job.bolted is None:
        words = 'missing; style "bolted" needs the table [bolted] with bolt and base'
        raise Refusal(f"{words}; `plategen start new --style bolted` shows it filled in", "bolted")
    return job.bolted


def hole_in_rail_mm(job: Job, there: Feature | None) -> float:
    """Diameter of a base bolt's hole in the rail once drilled; a hole that is there already is never smaller for it."""
    return max(bolt_hole_size(bolted_of(job).bolt_mm).mm, 0.0 if there is None else there.size_mm)


def beside_ears_mm(job: Job) -> float:
    """From an ear to the nearest bolt's centre: its socket beside the bead; of one bent up what that asks.

    In slots the base may come so much nearer.
    """
    power = job.rules is not None and job.rules.pretensioned
    socket, fold = tool_room(bolted_of(job).bolt_mm, power=power).mm, fold_of(job)
    return socket + job.weld.leg_mm + bolted_of(job).slot_mm if fold is None else max(socket, _off_fold_mm(job, fold))


def _off_fold_mm(job: Job, fold: FoldPlan) -> float:
    """From an ear that is bent up to a bolt's centre at least: its steel beside the slot, its hole off the bend."""
    bolt = bolted_of(job).bolt_mm
    hole = bolt_hole_size(bolt).mm
    off_bend = HOLE_OFF_BEND * job.bracket.thickness_mm + hole / 2.0
    return max(fold.relief_mm + steel_round(bolt, hole), off_bend)


def face_width(job: Job) -> tuple[float, float] | None:
    """From where to where along the pin new holes may lie on the rail's face; None where it is not told."""
    rail = job.rail
    if rail.face_from_mm is None or rail.face_to_mm is None or rail.plates_lie != "along":
        return None
    low, high = sorted((rail.face_from_mm, rail.face_to_mm))
    keep = rail.wall_mm + drilling.FLANGE_MM + bolt_hole_size(bolted_of(job).bolt_mm).mm / 2
    return low + keep, high - keep


def bolt_pattern(job: Job, ears_mm: Place, foot: Foot) -> tuple[list[Place], tuple[Message, ...]]:
    """Where the bolts are wanted by the job or by rule, line by line, and why."""
    wanted, room = bolted_of(job), face_width(job)
    half, (begin, end), beside = wanted.bolts // 2, foot.stations, beside_ears_mm(job)
    least = PLATE_SIZES.up(max(LEAST_PITCHES * wanted.bolt_mm, _apart_mm(job)), job.units)
    step = PLATE_SIZES.step_mm(job.units)
    beside_mm = PLATE_SIZES.up(ears_mm[1] - ears_mm[0] + 2.0 * beside, job.units) + 2.0 * step  # its places are rounded
    middle_w = (ears_mm[0] + ears_mm[1]) / 2
    fits = room is None or (
        middle_w - beside_mm / 2 >= room[0] - _SAME_MM and middle_w + beside_mm / 2 <= room[1] + _SAME_MM
    )
    pattern = wanted.pattern or ("beside" if fits and wanted.formed is None else "ends")
    middle_u = wanted.station_mm if wanted.station_mm is not None else (begin + end) / 2
    if pattern == "beside":
        spacing = wanted.spacing_mm or beside_mm
        along = max(PLATE_SIZES.up((end - begin) * 0.75, job.units), least * (half - 1))
        pitch = wanted.row_spacing_mm or along / (half - 1)
        us = [middle_u + (k - (half - 1) / 2) * pitch for k in range(half)]
        ws = [middle_w - spacing / 2, middle_w + spacing / 2]
        rule = "a line beside each ear, a socket and a leg from it, over three quarters of the foot"
    else:
        pitch = wanted.row_spacing_mm or PLATE_SIZES.up(end - begin + 2.0 * beside, job.units) + 2.0 * step
        spacing = wanted.spacing_mm or least
        us = [middle_u - pitch / 2, middle_u + pitch / 2]
        ws = [middle_w + (k - (half - 1) / 2) * spacing for k in range(half)]
        from_it = "a socket and a leg" if wanted.formed is None else "a socket or the bolt's edge distance to the slot"
        rule = f"a line beyond each end of the ears' feet, {from_it} from it, 3 d apart or more"
    chosen = wanted.row_spacing_mm is None or wanted.spacing_mm is None
    why = (message("bolts in {} (common practice, no source), on the next shop size", rule),) if chosen else ()
    stations, planes = (
        map(partial(size, units=job.units), mms) for size, mms in ((nearest_station, us), (nearest_plane, ws))
    )
    return list(product(stations, planes)), why


HALF = 0.5 + 1e-9
"""What lies half-way between two sizes, but for rounding, goes to the upper one, wherever station 0 lies."""


def nearest_station(mm_: float, units: Units) -> float:
    """A station on the nearest step of plate sizes, mm."""
    step = PLATE_SIZES.step_mm(units)
    return math.floor(mm_ / step + HALF) * step


def nearest_plane(mm_: float, units: Units) -> float:
    """A plane likewise, on either side of the one from which planes count, or a mirrored job would be another."""
    return math.copysign(nearest_station(abs(mm_), units), mm_)


def placed_bolts(
    job: Job, wanted: list[Place], features: Sequence[Feature], ears_mm: Place, foot: Foot
) -> tuple[list[Place], list[str], Message]:
    """The bolts' places, the names of the holes that are there for them or "", and which were moved.

    Holes that are to be used take the place of the bolts wanted nearest to them.

    Raises:
        Refusal: A hole lies under the ears, or two run into each other, or there are more than bolts.
    """
    places, names = list(wanted), [""] * len(wanted)
    for hole in (feature for feature in features if feature.use):
        free = [k for k, name in enumerate(names) if not name]
        if not free:
            raise Refusal(f"more holes are to be used than the {len(wanted)} bolts; fewer is right", "rail.feature")
        at = hole.station_mm, hole.plane_mm
        _refuse_under_ears(job, hole, ears_mm, foot)
        nearest = min(free, key=lambda k: math.dist(places[k], at))
        places[nearest], names[nearest] = at, hole.name
    moves: list[Message] = []
    hole_mm = bolt_hole_size(bolted_of(job).bolt_mm).mm
    off_features = [(each, _least_off_mm(job, hole_mm, each)) for each in features]
    new = [k for k, name in enumerate(names) if not name]
    # the most hindered first, whichever is called the first
    for k in sorted(new, key=lambda k: _to_spare_mm(places[k], off_features)):
        others = [place for j, place in enumerate(places) if j != k]
        now = _clear(job, places[k], others, off_features, ears_mm, foot)
        if now != places[k]:
            words = "a bolt wanted at station {}, {} along the pin moved by {} to keep clear of what is on the rail"
            moves.append(message(words, mm(places[k][0]), mm(places[k][1]), mm(math.dist(now, places[k]))))
            places[k] = now
    _refuse_overlapping(job, places, names)
    return places, names, joined("; ", moves)


def _refuse_overlapping(job: Job, places: Sequence[Place], names: Sequence[str]) -> None:
    """Refuse bolts whose holes in the base, or slots along the pin, would run into each other."""
    hole_mm, reach_mm = bolt_hole_size(bolted_of(job).bolt_mm).mm, bolted_of(job).slot_mm
    for (one, first), (other, second) in combinations(zip(places, names, strict=True), 2):
        aside = max(0.0, abs(one[1] - other[1]) - 2.0 * reach_mm)
        if math.hypot(one[0] - other[0], aside) > hole_mm:
            continue
        what = " and ".join(name or "a new bolt" for name in (first, second))
        words = "the holes in the base for {} run into each other, {} apart; {} is right"
        right = "leaving `use` out of one" if first and second else "fewer bolts, or another station"
        raise Refusal(message(words, what, mm(math.dist(one, other)), right), "rail.feature")


def _refuse_under_ears(job: Job, hole: Feature, ears_mm: Place, foot: Foot) -> None:
    """Refuse a hole that is to be used where an ear or its bead stands in the way of the bolt's head."""
    off, fold = _off_ears(job, (hole.station_mm, hole.plane_mm), ears_mm, foot), fold_of(job)
    head = HEAD_OVER_BOLT * bolted_of(job).bolt_mm
    least = head + job.weld.leg_mm if fold is None else max(head, _off_fold_mm(job, fold))
    if off < least:
        words = (
            "{} lies {} beside the ears, and a bolt's head in it needs {}; leaving `use` out is right, or other ears"
        )
        raise Refusal(message(words, hole.name, mm(off), mm(least, "up")), "rail.feature")


def _off_ears(job: Job, place: Place, ears_mm: Place, foot: Foot) -> float:
    """How far a bolt lies off the ears; of a formed bracket off their ends, as the bends run all along beside them."""
    aside = 0.0 if bolted_of(job).formed is not None else _beyond(place[1], *ears_mm)
    return math.hypot(_beyond(place[0], *foot.stations), aside)


def _clear(
    job: Job,
    wanted: Place,
    others: Sequence[Place],
    off_features: Sequence[tuple[Feature, float]],
    ears_mm: Place,
    foot: Foot,
) -> Place:
    """The place nearest to a wanted one where a new hole may be; that one where there is none.

    Of places as near, the one farthest from what is on the rail, which is the same one in a mirrored job.

    Args:
        job: The job.
        wanted: The place.
        others: Those of the other bolts.
        off_features: What is on the rail, and how far the hole must keep off each, mm.
        ears_mm: The ears' outermost faces along the pin.
        foot: Their foot.
    """
    step, beside = PLATE_SIZES.step_mm(job.units), beside_ears_mm(job)
    room, between = face_width(job), _apart_mm(job)

    def free(place: Place) -> bool:
        w = place[1]
        if room is not None and not room[0] - _SAME_MM <= w <= room[1] + _SAME_MM:
            return False
        apart = all(math.dist(place, other) >= between - _SAME_MM for other in others)
        off = _off_ears(job, place, ears_mm, foot) >= beside - _SAME_MM
        return off and apart and _to_spare_mm(place, off_features) >= 0.0

    outward = -1.0 if wanted[1] < (ears_mm[0] + ears_mm[1]) / 2.0 else 1.0
    for moves in _around():
        places = [(wanted[0] + i * step, wanted[1] + j * outward * step) for i, j in moves]
        if found := list(filter(free, places)):
            return max(found, key=lambda place: _to_spare_mm(place, off_features))
    return wanted


@cache
def _around() -> tuple[tuple[tuple[int, int], ...], ...]:
    """Moves of a new hole in sizes, the least first, those of one length together and outward before inward."""
    steps = range(-_MOVES // 2, _MOVES // 2 + 1)
    moves = sorted(product(steps, steps), key=lambda each: (math.hypot(*each), -each[1], each[0]))
    return tuple(tuple(alike) for _, alike in groupby(moves, key=lambda each: math.hypot(*each)))


def _apart_mm(job: Job) -> float:
    """How far apart two new holes must be drilled at least."""
    hole_mm = bolt_hole_size(bolted_of(job).bolt_mm).mm
    return hole_mm + drilling.between_mm(hole_mm, hole_mm)


def _to_spare_mm(place: Place, off_features: Sequence[tuple[Feature, float]]) -> float:
    """How much farther a place lies off what is on the rail than it must; as far but for rounding is as far."""
    spare_mm = min((_off_mm(place, each) - least for each, least in off_features), default=math.inf)
    return round(spare_mm / _SAME_MM) * _SAME_MM if math.isfinite(spare_mm) else spare_mm


def _least_off_mm(job: Job, hole_mm: float, feature: Feature) -> float:
    """How far a new hole's centre must keep off something on the rail: off a hole's centre, or off the side of others,
    for the hole and its tool.
    """
    if feature.kind == "hole":
        return feature.size_mm / 2 + hole_mm / 2 + drilling.between_mm(hole_mm, feature.size_mm)
    power = job.rules is not None and job.rules.pretensioned
    return tool_room(bolted_of(job).bolt_mm, power=power).mm + feature.clear_mm


def _off_mm(place: Place, feature: Feature) -> float:
    """How far a place lies off a hole's centre, or off the sides of something else on the rail."""
    to = complex(place[0] - feature.station_mm, place[1] - feature.plane_mm)
    if feature.kind == "hole":
        return abs(to)
    u0, v0, u1, v1 = feature.outline.bounds
    return math.hypot(_beyond(to.real, u0, u1), _beyond(to.imag, v0, v1))


def _beyond(x: float, low: float, high: float) -> float:
    return max(low - x, x - high, 0.0)
