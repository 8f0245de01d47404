"""Style ``bolted``: ears welded off the vehicle to a base plate, which is bolted to a rail that must not be welded.

Or base and ears are bent of one plate, and nothing is welded at all. The base lies along the rail's face as flat as a
plate is; the ears stand on it in line with the cylinder, whatever the rail does. Nothing is welded to the rail.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from plategen.bracket.base import base_mm, beyond_ears_mm, plan_base
from plategen.bracket.bolt_places import bolted_of, hole_in_rail_mm
from plategen.bracket.drill_list import shim_list
from plategen.bracket.feature import Feature, features_on
from plategen.bracket.formed import Turn, base_outline, bending_notes, in_order, turns_of
from plategen.bracket.holes import bolt_holes, bolt_slot, held_pin, round_hole
from plategen.bracket.model import Bracket, Hole, Plate, WeldRun
from plategen.bracket.on_flat import flat_foot, flat_notch, outer_v, refuse_low
from plategen.bracket.standing import pin_plate, standing_runs
from plategen.bracket.style import Style
from plategen.design.base_plan import BaseBolt, BasePlan
from plategen.design.bolts import steel_about, steel_round
from plategen.design.design import Design, Sizes, nose_radius, relief_radius, toe_height
from plategen.design.fold_plan import fold_of
from plategen.design.motion import tables_of
from plategen.design.places import PinPlace, refuse_beyond_traces, standing_places
from plategen.flat.loop import Circle, Loop, polygon
from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.flat.tangent import rounded
from plategen.ground.message import message, mm
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rail.surface import Rail
from plategen.rules.hole_size import bolt_hole_size

OFF_THE_VEHICLE = message(
    "Weld the ears to the base off the vehicle, on the bench, with the pin and a spacer in place. No arc, no earth "
    "clamp and no torch touches the rail."
)
DRILLED = message(
    "Ask the rail's maker, in writing, before the first hole. Drill the rail's web only, in steps, and deburr both "
    "sides; never burn or punch a hole, never drill a flange (common practice, no source; the maker's rules bind)."
)
FROM_THE_RAIL = message(
    "Holes that are there already are measured with a tape, and a base cut by that will not go on by itself: drill "
    "them in the base from the rail, with the base clamped in its place (common practice, no source)."
)
SLOTTED = message(
    "The base's slots take hardened washers of 5/16 in (8 mm) or more that cover them whole (AISC 360 J3.2). Set the "
    "ears in line with the cylinder, the bolts a little tight; tighten them all, and mark the base's edge on the rail."
)
FITTED = message(
    "Two of the base's holes are not marked: clamp the base where the ears lie in line, drill those two through it "
    "from the rail, ream both to the bolt where no play may be left, and put their bolts in before others."
)
EXPECTED = (
    "Held where it is drawn, the base of 95 in 100 finds no gap at a bolt over {} wider than drawn or {} narrower, "
    "where it binds. Pack it to what feelers say there."
)
LOOK_AGAIN = message(
    "Mark each nut when tight; look at the marks after the first hour, after the first day and at every service, and "
    "look then for cracks from the holes."
)
"""Notes of the sheet."""

AROUND_MM = 60.0
"""How much of the rail's face about the base is drawn with its holes, where it is not told how wide the face is."""


def choose_sizes(job: Job, pin: PinPlace, rail: Rail) -> Sizes:
    """Nose, toe and foot of the ears, and where the base lies with its bolts.

    Raises:
        Refusal: If the pin has no room over the base, or the base none on the traced face.
    """
    places = standing_places(job, pin.plane_mm)
    refuse_beyond_traces(rail, job, pin.plane_mm, places, job.bracket.thickness_mm)
    ears_mm, at = (places[0].faces_mm[0], places[-1].faces_mm[1]), complex(pin.station_mm, 0.0)
    features = features_on(job, rail)
    # the base's lie hangs a little on the foot, and the foot on how high the pin stands over the base: a first guess of
    # the height by the face under the pin, then the height over the base as it lies
    height_mm = min(rail.section(w).distance(at) for w in ears_mm) - base_mm(job)
    fold = fold_of(job)
    under_mm = job.bracket.root_gap_mm if fold is None else fold.radius_mm  # of the height, before the ear begins
    for _ in range(2):
        refuse_low(job, height_mm - (0.0 if fold is None else under_mm), pin, "base" if fold is None else "bends")
        nose = nose_radius(job, height_mm - under_mm)
        foot = flat_foot(job, pin, height_mm, nose.mm, "base")
        base = plan_base(job, rail, features, ears_mm, foot.foot)
        height_mm = min(outer_v(base.placement, base_mm(job), at.real, w) for w in ears_mm)
    return Sizes(
        nose=nose, toe=toe_height(job, job.bracket.thickness_mm), relief=relief_radius(job), foot=foot, base=base
    )


def build_bolted(design: Design, rail: Rail) -> Bracket:
    """Base, ears, what lies behind the wall, and the wall as it is to be drilled.

    Raises:
        Refusal: If an outline is impossible.
    """
    job, base = design.job, design.base
    assert base is not None
    places, fold = standing_places(job, design.pin.plane_mm), fold_of(job)
    turns = () if fold is None else turns_of(job, base.placement, design.foot.foot, places, fold)
    plate = _base(design, base, turns)
    ears: list[Plate] = []
    runs: list[WeldRun] = []
    for place in places if fold is None else ():
        foot, gap = design.foot.foot.stations, job.bracket.root_gap_mm
        notch = flat_notch(base.placement, plate.thickness_mm, place.faces_mm, foot, gap)
        ears.append(pin_plate(design, place, "ear", notch))
        runs.extend(standing_runs(job, place, notch, "tie", "base"))
    # a formed ear goes on into its bend, and is fitted to nothing
    bent = (pin_plate(design, turn.place, "ear", turn.notch) for turn in turns)
    ears.extend(replace(ear, fit=None, legs=(), welded=False) for ear in bent)
    kept = (
        DRILLED,
        *((SLOTTED,) if bolted_of(job).slot_mm else ()),
        *((FITTED,) if bolted_of(job).fitted else ()),
        *((FROM_THE_RAIL,) if any(b.existing for b in base.bolts) else ()),
        message(EXPECTED, mm(base.wider_mm, "up"), mm(base.narrower_mm, "up")),
        LOOK_AGAIN,
    )
    return Bracket(
        style="bolted",
        plates=(plate, *ears, *_backing(design, base)),
        welds=tuple(runs),
        pin=held_pin(design, places),
        chosen=(
            *design.reasons(relieved=False), *base.why, *((base.moved,) if base.moved else ()),
            *(fold.why if fold is not None else ()),
        ),
        cautions=((OFF_THE_VEHICLE,) if fold is None else bending_notes(job, fold)) + kept,
        wall=_wall(design, base, features_on(job, rail)),
        packing=tuple(_packing(design, base)),
        folded=in_order(turns, ears, plate) if turns else None,
    )  # fmt: skip


def _base(design: Design, base: BasePlan, turns: Sequence[Turn]) -> Plate:
    job, thick, bolts = design.job, base_mm(design.job), [bolt.at for bolt in base.bolts]
    feet, reach = _feet(design, base), bolted_of(job).slot_mm
    stops = _fitted(base.bolts) if bolted_of(job).fitted else ()
    slots = tuple(
        bolt_slot(number, at, reach, at, bolted_of(job).bolt_mm)
        for number, at in enumerate(bolts, 1)
        if reach and number - 1 not in stops
    )
    round_ones = bolt_holes(job, bolts, bolted_of(job).bolt_mm, thick)
    return Plate(
        name="base",
        role="base",
        outline=base_outline(_box_about(job, bolts, feet), turns, _corner_mm(job))
        if turns
        else _around(job, bolts, feet),
        thickness_mm=thick,
        steel=job.bracket.steel,
        placement=base.placement,
        holes=tuple(replace(round_ones[k], made="in place") for k in stops) if reach else round_ones,
        openings=tuple(slot.contour for slot in slots),
        slots=slots,
        welded=False,
    )


def _fitted(bolts: Sequence[BaseBolt]) -> tuple[int, int]:
    """The two bolts that stop a base along its slots: those farthest apart, and of those alike the least packed."""

    def held(pair: tuple[int, int]) -> tuple[float, float]:
        one, other = (bolts[k] for k in pair)
        return round(abs(one.at - other.at), 2), -(one.gap_mm + other.gap_mm)

    return max(combinations(range(len(bolts)), 2), key=held)


def _feet(design: Design, base: BasePlan) -> list[complex]:
    """Where the ears with their beads end on the base, in its plane."""
    job = design.job
    places, beyond = standing_places(job, design.pin.plane_mm), beyond_ears_mm(job)
    first, last = design.foot.foot.stations
    us, ws = (first - beyond, last + beyond), (places[0].faces_mm[0] - beyond, places[-1].faces_mm[1] + beyond)
    thick = base_mm(job)
    return [base.placement.flat((u, outer_v(base.placement, thick, u, w), w)) for u in us for w in ws]


def _around(job: Job, bolts: list[complex], corners: list[complex]) -> Loop:
    """A rectangle about the steel of the bolts and the corners of what stands on it, as a saw cuts it too."""
    corner, blank = _corner_mm(job), _box(*_box_about(job, bolts, corners))
    return rounded(blank, [corner] * 4) if corner >= SHORTEST_EDGE_MM else blank


def _corner_mm(job: Job) -> float:
    """Radius of the rectangle's corners."""
    bolt = bolted_of(job).bolt_mm
    return min(job.bracket.corner_radius_mm, steel_round(bolt, bolt_hole_size(bolt).mm))


def _box_about(job: Job, bolts: list[complex], corners: list[complex]) -> tuple[float, float, float, float]:
    """Least u and v, then most, of that rectangle, out to the next shop sizes."""
    bolt, up, down = bolted_of(job).bolt_mm, PLATE_SIZES.up, PLATE_SIZES.down
    steel, reach = steel_about(bolt, slotted=bolted_of(job).slot_mm > 0.0), bolted_of(job).slot_mm
    ways = (steel, 1j * (steel + reach), -steel, -1j * (steel + reach))
    held = [*corners, *(p + way for p in bolts for way in ways)]
    us, vs = [p.real for p in held], [p.imag for p in held]
    return (
        down(min(us), job.units), down(min(vs), job.units), up(max(us), job.units), up(max(vs), job.units),
    )  # fmt: skip


def _box(u0: float, v0: float, u1: float, v1: float) -> Loop:
    return polygon([complex(u0, v0), complex(u1, v0), complex(u1, v1), complex(u0, v1)])


def _backing(design: Design, base: BasePlan) -> tuple[Plate, ...]:
    """The plate behind the rail's wall, or beyond a box section, under the nuts."""
    job, wanted = design.job, bolted_of(design.job)
    if wanted.backing_mm is None:
        return ()
    behind = wanted.depth_mm or job.rail.wall_mm
    n = base.placement.normal
    far = _largest_gap(base) + behind + wanted.backing_mm
    plate = Plate(
        name="backing",
        role="backing",
        outline=_around(job, [bolt.at for bolt in base.bolts], []),
        thickness_mm=wanted.backing_mm,
        steel=job.bracket.steel,
        placement=base.placement.shifted((-n[0] * far, -n[1] * far, -n[2] * far)),
        holes=bolt_holes(job, [bolt.at for bolt in base.bolts], wanted.bolt_mm, wanted.backing_mm),
        welded=False,
    )
    return (plate,)


def _packing(design: Design, base: BasePlan) -> Iterator[Plate]:
    """A square about each bolt under which the base stands off, of stock as thick as its thickest corner or more."""
    job, bolt_mm = design.job, bolted_of(design.job).bolt_mm
    for shim in shim_list(design):
        half, stock = shim.side_mm / 2.0, PLATE_SIZES.up(max(shim.corners_mm), job.units)
        (hole,) = bolt_holes(job, [0j], bolt_mm, stock)
        yield Plate(
            name=shim.plate,
            role="shim",
            outline=_box(-half, -half, half, half),
            thickness_mm=stock,
            steel=job.bracket.steel,
            placement=replace(base.placement, origin=base.placement.point(base.bolts[shim.bolt - 1].at, -stock)),
            holes=(replace(hole, name=shim.name),),
            welded=False,
        )


def _largest_gap(base: BasePlan) -> float:
    return max(bolt.gap_mm for bolt in base.bolts)


def _wall(design: Design, base: BasePlan, features: tuple[Feature, ...]) -> Plate:
    """The rail's wall in the base's plane: the bolts' holes, to be drilled where they are not there, and the others."""
    job, wanted = design.job, bolted_of(design.job)
    tables = tables_of(job)
    holes: list[Hole] = []
    for k, bolt in enumerate(base.bolts, start=1):
        there = next((f for f in features if f.name == bolt.existing), None)
        circle = Circle(bolt.at, hole_in_rail_mm(job, there) / 2)
        holes.append(round_hole(f"bolt {k}", "bolt", circle, wanted.bolt_mm, "drill", tables))
    used = {bolt.existing for bolt in base.bolts}
    for each in features:
        if each.kind == "hole" and each.name not in used:
            at = base.placement.flat(each.placement.origin)
            holes.append(round_hole(each.name, "other", Circle(at, each.size_mm / 2), each.size_mm, "drill", tables))
    n = base.placement.normal
    back = job.rail.wall_mm
    place = base.placement.shifted((-n[0] * back, -n[1] * back, -n[2] * back))
    return Plate(
        name="rail",
        role="wall",
        outline=_face(design, base, [hole.circle for hole in holes]),
        thickness_mm=job.rail.wall_mm,
        steel=job.rail.steel,
        placement=place,
        holes=tuple(holes),
    )


def _face(design: Design, base: BasePlan, holes: list[Circle]) -> Loop:
    """As much of the rail's face as the base and all holes lie on; across it to its sides where they are told."""
    rail, place = design.job.rail, base.placement
    bounds = [circle.bounds for circle in holes]
    corners = [complex(u, v) for u0, v0, u1, v1 in bounds for u in (u0, u1) for v in (v0, v1)]
    corners += _feet(design, base)
    u0, u1 = (pick(p.real for p in corners) for pick in (min, max))
    v0, v1 = (pick(p.imag for p in corners) for pick in (min, max))
    u0, u1, v0, v1 = u0 - AROUND_MM, u1 + AROUND_MM, v0 - AROUND_MM, v1 + AROUND_MM
    if rail.face_from_mm is not None and rail.face_to_mm is not None and rail.plates_lie == "along":
        u, v, _ = place.origin
        sides = [place.flat((u, v, w)).imag for w in (rail.face_from_mm, rail.face_to_mm)]
        v0, v1 = min(*sides, v0 + AROUND_MM), max(*sides, v1 - AROUND_MM)
    return _box(u0, v0, u1, v1)


STYLE = Style(
    name="bolted",
    sizes=choose_sizes,
    build=build_bolted,
    fitted=lambda job, plane_mm: (),  # the ears stand on the base, and nothing is cut to the trace
    examples=("forestry-bolted-channel", "hay-rake-formed-bracket"),
)
"""Ears on a base plate that is bolted to the rail."""
