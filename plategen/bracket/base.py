"""A base plate's plane on the traced face, and its bolts: in holes that are there, then in new ones.

The base is flat and lies along the face as well as a flat can: by least squares over all that it covers, drawn back
until it touches the face and goes into it nowhere. What is left open under each bolt is filled by a shim; a base with
shims is drawn back a little more, so that none of them is ground to a sharp edge.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache, partial
from itertools import combinations, groupby, product

from plategen.bracket.face import Face, Place, refuse_untraced
from plategen.bracket.feature import Feature
from plategen.bracket.meeting import of_all
from plategen.design.base_plan import BaseBolt, BasePlan
from plategen.design.bolts import bolt_hole_size, steel_about, steel_round
from plategen.design.fold_plan import FoldPlan, fold_of
from plategen.design.foot import Foot
from plategen.ground.message import Message, joined, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.bolted import Bolted
from plategen.rail.surface import Rail
from plategen.rules import drilling
from plategen.rules.cold_bending import HOLE_OFF_BEND
from plategen.rules.hole_size import tool_room
from plategen.rules.table import unit_of_size

MOST_SHIM_MM = 19.05
"""Packing thicker than 3/4 in is outside what AISC 360 J5.2 has a factor for."""

NO_SHIM_MM = 0.5
"""A gap that pulling the bolts up closes (common practice, no source)."""

LEAST_SHIM_MM = 1.5
"""No shim is thinner at any corner: a sharper edge burns off the grinder and curls (common practice, no source)."""

OVER_LEG_MM = 6.0
"""How far the base reaches beyond the ears' beads (common practice, no source)."""

LEAST_PITCHES = 3.0
"""Bolts stand so many diameters apart, as AISC 360 J3.4 prefers."""

HEAD_OVER_BOLT = 1.1
"""Half of a washer's width over its bolt, and a little (ISO 7089, ASTM F436; from memory)."""

_MOVES = 60  # sizes that a new hole is moved by, at most, to keep clear


def bolted_of(job: Job) -> Bolted:
    """The job's ``[bolted]`` table."""
    if job.bolted is None:
        words = 'missing; style "bolted" needs the table [bolted] with bolt and base'
        raise Refusal(f"{words}; `plategen start new --style bolted` shows it filled in", "bolted")
    return job.bolted


def hole_in_rail_mm(job: Job, there: Feature | None) -> float:
    """Diameter of a base bolt's hole in the rail once drilled; a hole that is there already is never smaller for it."""
    return max(bolt_hole_size(bolted_of(job).bolt_mm).mm, 0.0 if there is None else there.size_mm)


def base_mm(job: Job) -> float:
    """Thickness of the base: of a formed bracket, which is one plate, that of the ears."""
    return bolted_of(job).base_mm or job.bracket.thickness_mm


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


def beyond_ears_mm(job: Job) -> float:
    """How far the base reaches beyond the ears: past their beads; of a formed one past the slots at their ends."""
    fold = fold_of(job)
    return (job.weld.leg_mm if fold is None else fold.relief_mm) + OVER_LEG_MM


def face_width(job: Job) -> tuple[float, float] | None:
    """From where to where along the pin new holes may lie on the rail's face; None where it is not told."""
    rail = job.rail
    if rail.face_from_mm is None or rail.face_to_mm is None or rail.plates_lie != "along":
        return None
    low, high = sorted((rail.face_from_mm, rail.face_to_mm))
    keep = rail.wall_mm + drilling.FLANGE_MM + bolt_hole_size(bolted_of(job).bolt_mm).mm / 2
    return low + keep, high - keep


def plan_base(job: Job, rail: Rail, features: Sequence[Feature], ears_mm: Place, foot: Foot) -> BasePlan:
    """The base under ears whose outermost faces lie at ``ears_mm`` along the pin.

    Raises:
        Refusal: The base reaches off the trace, or needs more packing than there is a rule for.
    """
    wanted, why = _pattern(job, ears_mm, foot)
    places, existing, moved = _placed(job, wanted, features, ears_mm, foot)
    bolt, reach = bolted_of(job).bolt_mm, bolted_of(job).slot_mm
    edge = steel_about(bolt, slotted=reach > 0.0)
    wide = edge + reach
    beyond = beyond_ears_mm(job)
    begin, end = foot.stations
    us = [*(u - edge for u, _ in places), *(u + edge for u, _ in places), begin - beyond, end + beyond]
    ws = [*(w - wide for _, w in places), *(w + wide for _, w in places), ears_mm[0] - beyond, ears_mm[1] + beyond]
    refuse_untraced(rail, (min(ws), max(ws)), base_mm(job), "base")
    face, side = Face(rail), shim_size_mm(bolted_of(job).bolt_mm)
    size = PLATE_SIZES.step_mm(job.units)  # its outline goes out to the next size
    plane, gap = face.plane((min(us) - size, max(us) + size), (min(ws) - size, max(ws) + size))
    bolts = tuple(replace(face.bolt(plane, at, side), existing=name) for at, name in zip(places, existing, strict=True))
    back = _drawn_back_mm(bolts, side)
    if back > 0.0:
        n = plane.normal
        plane = plane.shifted((back * n[0], back * n[1], back * n[2]))
        bolts = tuple(replace(bolt, gap_mm=bolt.gap_mm + back) for bolt in bolts)
        notice = "base drawn back by {}, so that no shim is thinner than {} at a corner (common practice, no source)"
        why = (*why, message(notice, mm(back), mm(LEAST_SHIM_MM)))
    thickest = max(bolt.gap_mm for bolt in bolts)
    if thickest > MOST_SHIM_MM:
        words = "the base would stand {} off the rail at a bolt, and up to {} of packing has a rule; {} is right"
        advice = "a base on one flat of the rail: another station, or bolts closer together"
        raise Refusal(message(words, mm(thickest), mm(MOST_SHIM_MM, "down"), advice), "bolted.station")
    wider = face.wider(plane, places)
    return BasePlan(
        placement=plane,
        bolts=bolts,
        gap_mm=gap + back,
        wider_mm=of_all(wider.max(axis=0)),
        narrower_mm=of_all(-wider.min(axis=0)),
        why=why,
        moved=moved,
    )


def _drawn_back_mm(bolts: Sequence[BaseBolt], side_mm: float) -> float:
    """How far a base is drawn back for its thinnest shim; not at all where pulling the bolts up closes the gaps."""
    if max(bolt.gap_mm for bolt in bolts) <= NO_SHIM_MM:
        return 0.0
    return max(0.0, LEAST_SHIM_MM - min(thick for bolt in bolts for thick in bolt.corners_mm(side_mm)))


def _pattern(job: Job, ears_mm: Place, foot: Foot) -> tuple[list[Place], tuple[Message, ...]]:
    """Where the bolts are wanted, line by line, and why."""
    wanted, room = bolted_of(job), face_width(job)
    half, (begin, end), beside = wanted.bolts // 2, foot.stations, beside_ears_mm(job)
    least = LEAST_PITCHES * wanted.bolt_mm
    step = PLATE_SIZES.step_mm(job.units)
    beside_mm = PLATE_SIZES.up(ears_mm[1] - ears_mm[0] + 2.0 * beside, job.units) + 2.0 * step  # its places are rounded
    middle_w = (ears_mm[0] + ears_mm[1]) / 2
    fits = room is None or (middle_w - beside_mm / 2 >= room[0] - 1e-6 and middle_w + beside_mm / 2 <= room[1] + 1e-6)
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
        spacing = wanted.spacing_mm or PLATE_SIZES.up(least, job.units)
        us = [middle_u - pitch / 2, middle_u + pitch / 2]
        ws = [middle_w + (k - (half - 1) / 2) * spacing for k in range(half)]
        from_it = "a socket and a leg" if wanted.formed is None else "a socket or the bolt's edge distance to the slot"
        rule = f"a line beyond each end of the ears' feet, {from_it} from it, 3 d apart"
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


def _placed(
    job: Job, wanted: list[Place], features: Sequence[Feature], ears_mm: Place, foot: Foot
) -> tuple[list[Place], list[str], Message]:
    """The bolts' places: holes that are to be used take the place of the bolts wanted nearest to them."""
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
    for k, name in enumerate(names):
        if name:
            continue
        others = [place for j, place in enumerate(places) if j != k]
        now = _clear(job, places[k], others, features, ears_mm, foot)
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
    job: Job, wanted: Place, others: Sequence[Place], features: Sequence[Feature], ears_mm: Place, foot: Foot
) -> Place:
    """The place nearest to a wanted one where a new hole may be; that one where there is none.

    Of places as near, the one farthest from what is on the rail, which is the same one in a mirrored job.
    """
    step = PLATE_SIZES.step_mm(job.units)
    hole_mm, beside = bolt_hole_size(bolted_of(job).bolt_mm).mm, beside_ears_mm(job)
    room = face_width(job)
    off_features = [(each, _least_off_mm(job, hole_mm, each)) for each in features]

    def free(place: Place) -> bool:
        w = place[1]
        if room is not None and not room[0] - 1e-6 <= w <= room[1] + 1e-6:
            return False
        off = _off_ears(job, place, ears_mm, foot)
        apart = all(math.dist(place, other) >= hole_mm + drilling.between_mm(hole_mm, hole_mm) for other in others)
        return off >= beside - 1e-6 and apart and all(_off_mm(place, each) >= least for each, least in off_features)

    def to_spare_mm(place: Place) -> float:
        spare_mm = min((_off_mm(place, each) - least for each, least in off_features), default=0.0)
        return round(spare_mm, 6)

    outward = -1.0 if wanted[1] < (ears_mm[0] + ears_mm[1]) / 2.0 else 1.0
    for moves in _around():
        places = [(wanted[0] + i * step, wanted[1] + j * outward * step) for i, j in moves]
        if found := list(filter(free, places)):
            return max(found, key=to_spare_mm)
    return wanted


@cache
def _around() -> tuple[tuple[tuple[int, int], ...], ...]:
    """Moves of a new hole in sizes, the least first, those of one length together and outward before inward."""
    steps = range(-_MOVES // 2, _MOVES // 2 + 1)
    moves = sorted(product(steps, steps), key=lambda each: (math.hypot(*each), -each[1], each[0]))
    return tuple(tuple(alike) for _, alike in groupby(moves, key=lambda each: math.hypot(*each)))


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


def shims_of(plan: BasePlan) -> Iterator[BaseBolt]:
    """The bolts that are packed: all of them where the gap under any is more than pulling up closes."""
    if max(bolt.gap_mm for bolt in plan.bolts) > NO_SHIM_MM:
        yield from plan.bolts


def shim_size_mm(bolt_mm: float) -> float:
    """Side of the square packing about a bolt: three diameters, on the next size up in the bolt's unit."""
    return PLATE_SIZES.up(3.0 * bolt_mm, unit_of_size(bolt_mm))
