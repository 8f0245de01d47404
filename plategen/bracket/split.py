"""Style ``split``: tabs welded to the rail keep the notch, ears bolted to them carry the pin.

The tabs are drawn in the straightedge's frame, where the in-line offset plays no part, and so is all that a rule
chooses of them: it looks at the whole reach. Then they are stood beside the cylinder. Within the pattern's reach
another in-line offset therefore changes no welded part. What it does change is where the bolts lie from the pin: slots
in the ears take that up as they are, a ladder of holes in the tabs all but a part of a step, and ears cut anew the
rest.
"""

from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from functools import lru_cache
from typing import TypeVar

from plategen.bracket.envelope import HEAD_OVER_PIN, KEPT_CLEAR_MM
from plategen.bracket.holes import bolt_holes, bolt_slot, held_pin, pin_hole
from plategen.bracket.hull import corner_steel, hull
from plategen.bracket.model import Bracket, Hole, Plate, Slot, WeldRun
from plategen.bracket.notch import fit_notch
from plategen.bracket.standing import standing_plate, standing_runs
from plategen.bracket.style import Style
from plategen.bracket.tab import refuse_broken, tab_outline
from plategen.design.bolts import BoltPlan, bolt_hole_size, bolt_plan, steel_round, steel_round_slot
from plategen.design.design import Design, Sizes, nose_radius, relief_radius, toe_height
from plategen.design.foot import Asked, foot_on_rail, for_flanks, for_weld
from plategen.design.places import (
    PinPlace,
    PlatePlace,
    ear_places,
    refuse_beyond_traces,
    split_of,
    tab_places,
    tab_thickness_mm,
)
from plategen.flat.chain import Chain
from plategen.flat.distance import chain_distance, keep_off, offset_from
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import Line, dot
from plategen.ground.cure import Change, Cure
from plategen.ground.ended import ENDED, ended, what_is_wrong
from plategen.ground.in_words import in_words
from plategen.ground.message import joined, message, mm, number, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.job.style_tables import Split
from plategen.rail.corner import corners
from plategen.rail.surface import Rail

Part = TypeVar("Part", Plate, WeldRun)
"""What is placed in space."""

OFF_THE_BEAD_MM = 1.5
"""Room between an ear's edge and the bead on its tab (common practice, no source)."""

REMEMBERED = 32
"""Rails remembered at other in-line offsets."""

TRIED_STEPS = (1, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 22, 26, 30, 36, 42, 50, 60)
TRIED_SHARES = (0.8, 0.6, 0.4, 0.2, 0.0)
"""How far from their height bolts are tried, in shop sizes, and which shares of the reach, until a bracket is built."""

STEPS_PAST_CORNER = 8
"""Parts of the reach between which ears are held against a rail that goes round a corner."""

SLOT_WASHER_MM = 25.4 * 5 / 16
"""Least thickness of the plate washer over a long slot (AISC 360 J3.2)."""

SLOTS_HOLD_BY_FRICTION = message(
    "The slots let the ears move square to the cylinder: there they are held by friction alone. Pretension the bolts, "
    "cover each slot with a plate washer {} thick or more (AISC 360 J3.2), and mark the ears' place.",
    mm(SLOT_WASHER_MM, "up"),
)
BOLTS = message(
    "Ears are bolted on: mark each nut when tight; look at the marks after the first hour and every service."
)
"""Notes of the sheet."""

STEEL_ABOUT_BOLTS = message(
    "steel about each bolt hole from AISC 360 Table J3.4 and EN 1993-1-8 Table 3.3, on the next shop size up"
)
"""A choice by rule, told in the sheet."""


def choose_sizes(job: Job, pin: PinPlace, rail: Rail) -> Sizes:
    """Nose, toe, relief and foot, and where the bolts go.

    Raises:
        Refusal: If the in-line offset is out of the pattern's reach, or the tabs reach beyond the traced planes.
    """
    split = split_of(job)
    plan, thick = bolt_plan(split, pin, pin.inline_offset_mm), tab_thickness_mm(job)
    near, far = tabs = tab_places(job, pin.plane_mm)
    refuse_beyond_traces(rail, job, pin.plane_mm, tabs, thick)
    nose, toe, relief = nose_radius(job), toe_height(job, thick), relief_radius(job)

    def asked(section: Chain, turned: bool) -> Asked:
        farthest = complex(pin.station_mm, -(split.built_for_mm + split.reach_mm))
        height_mm = max(-offset_from(section, p) for p in plan.tab)
        index, t = section.nearest(plan.tab_middle)
        along = section.segments[index].tangent(t)
        places = [dot(p, along) for p in plan.tab]
        steel_mm = max(places) - min(places) + 2.0 * (_steel_mm(split) + toe.mm)
        return max(
            for_weld(job, -offset_from(section, farthest), turned=turned),
            for_flanks(height_mm, "the bolts'"),
            (steel_mm, "the steel about the bolts, a toe beyond it at each end (common practice, no source)"),
        )

    faces_mm = near.faces_mm[0], far.faces_mm[1]
    foot = foot_on_rail(job, _moved(rail, 0.0), faces_mm, plan.tab_middle, relief.mm, asked)
    if foot.why and split.reach_mm:
        foot = replace(foot, why=message("{}, for the whole reach", foot.why))
    return Sizes(nose=nose, toe=toe, relief=relief, foot=foot, bolts=plan)


def build_split(design: Design, rail: Rail) -> Bracket:
    """Tabs and ears with their notches, holes, slots and weld runs.

    Raises:
        Refusal: If ears would meet the rail or tabs the pin anywhere in the reach, or a plate is impossible.
    """
    try:
        return _built(design, rail)
    except Refusal as refusal:
        if refusal.key != "split.height":
            raise
        cure = _cure(design, rail)
        if cure is None:
            raise
        words = ENDED if len(cure.changes) == 1 else "{}; {} are right"
        raise Refusal(message(words, what_is_wrong(refusal), cure.advice), refusal.key, cure=cure) from None


def _built(design: Design, rail: Rail) -> Bracket:
    """The bracket, refused without a cure."""
    job, split, ears = design.job, split_of(design.job), ear_places(design.job, design.pin.plane_mm)
    for offset_mm in _looked_at(split, rail):
        _refuse_ears_on_rail(design, split, ears, _moved(rail, offset_mm))
    assert design.bolts is not None
    plates = [_ear(design, split, design.bolts, place) for place in ears]
    welds: list[WeldRun] = []
    for place in tab_places(job, design.pin.plane_mm):
        plate, runs = _tab(design, split, design.bolts, rail, place)
        plates.append(plate)
        welds.extend(runs)
    return Bracket(
        style="split",
        plates=tuple(plates),
        welds=tuple(welds),
        pin=held_pin(design, ears),
        chosen=(*design.reasons(relieved=any(plate.legs for plate in plates)), STEEL_ABOUT_BOLTS),
        cautions=(BOLTS, SLOTS_HOLD_BY_FRICTION) if split.adjust == "slots" else (BOLTS,),
    )


def _cure(design: Design, rail: Rail) -> Cure | None:
    """The nearest height of the bolts, else the longest reach, else both, with which the bracket is built."""
    job, split = design.job, split_of(design.job)
    step_mm = PLATE_SIZES.step_mm(job.units)
    near = [PLATE_SIZES.up(split.height_mm, job.units) + sign * k * step_mm for k in TRIED_STEPS for sign in (1, -1)]
    less = [PLATE_SIZES.down(split.reach_mm * share, job.units) for share in TRIED_SHARES] if split.reach_mm else []
    tried = [(h, None) for h in near] + [(None, r) for r in less] + [(h, r) for r in less for h in near]
    for height_mm, reach_mm in tried:
        given = {key: mm for key, mm in (("height", height_mm), ("reach", reach_mm)) if mm is not None}
        try:
            changed = job.replaced(split=split.replaced(**{f"{key}_mm": mm for key, mm in given.items()}))
            sizes = choose_sizes(changed, design.pin, rail)
            of = {field.name: getattr(sizes, field.name) for field in fields(sizes)}
            _built(replace(design, job=changed, **of), rail)
        except Refusal:
            continue
        advice = joined(" and ", [message("a {} of {}", key, size(mm)) for key, mm in given.items()])
        return Cure(advice, tuple(Change(f"split.{key}", size(mm)) for key, mm in given.items()))
    return None


@lru_cache(maxsize=REMEMBERED)
def _moved(rail: Rail, offset_mm: float) -> Rail:
    """The rail at another in-line offset, the same one each time, so that what was worked out on it is remembered."""
    return replace(rail, inline_offset_mm=offset_mm)


def _looked_at(split: Split, rail: Rail) -> tuple[float, ...]:
    """In-line offsets within the reach at which the ears are held against the rail.

    Under a face that only runs along they come nearest at an end of the reach; past a corner they may in between.
    """
    steps = STEPS_PAST_CORNER if any(corners(fitted.chain) for fitted in rail.traces) else 1
    reaches = {split.built_for_mm + split.reach_mm * (2.0 * k / steps - 1.0) for k in range(steps + 1)}
    return tuple(sorted(reaches))


def _ear(design: Design, split: Split, plan: BoltPlan, place: PlatePlace) -> Plate:
    job = design.job
    holes: list[Hole] = [pin_hole(design)]
    slots: tuple[Slot, ...] = ()
    if plan.reach_mm:
        slots = tuple(
            bolt_slot(number, middle, plan.reach_mm, at, split.bolt_mm)
            for number, (middle, at) in enumerate(zip(plan.ear, plan.used, strict=True), start=1)
        )
    else:
        holes += bolt_holes(job, plan.ear, split.bolt_mm, job.bracket.thickness_mm)
    outline = _ear_outline(design, split, plan)
    circles = [(hole.name, hole.circle) for hole in holes]
    circles += [(slot.name, Circle(end, slot.width_mm / 2)) for slot in slots for end in slot.ends]
    refuse_broken(outline, place.name, circles, "split.height")
    return Plate(
        name=place.name,
        role="ear",
        outline=outline,
        thickness_mm=job.bracket.thickness_mm,
        steel=job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=tuple(holes),
        openings=tuple(slot.contour for slot in slots),
        slots=slots,
        welded=False,
    )


def _ear_outline(design: Design, split: Split, plan: BoltPlan) -> Loop:
    """A string round the nose and the steel about the bolts."""
    hole_mm = bolt_hole_size(split.bolt_mm).mm
    round_mm = (steel_round_slot if plan.reach_mm else steel_round)(split.bolt_mm, hole_mm)
    ends = [p + k * 1j * plan.reach_mm for p in plan.ear for k in ((-1, 1) if plan.reach_mm else (0,))]
    nose = Circle(complex(design.pin.station_mm, 0.0), design.nose.mm)
    try:
        return hull([nose, *(Circle(p, round_mm) for p in ends)])
    except ValueError:
        raise ended("the bolts lie within the nose", "split.height", "a greater height") from None


def _refuse_ears_on_rail(design: Design, split: Split, ears: Sequence[PlatePlace], rail: Rail) -> None:
    """Refuse ears that would touch the rail or a bead at an end of the reach, so that the whole reach can be used."""
    outline = _ear_outline(design, split, bolt_plan(split, design.pin, rail.inline_offset_mm))
    keep, pin = design.job.weld.leg_mm + OFF_THE_BEAD_MM, complex(design.pin.station_mm, 0.0)
    for place in ears:
        for w in {*place.faces_mm, sum(place.faces_mm) / 2}:
            section = rail.section(w)
            if offset_from(section, pin) >= 0.0 or not keep_off(outline, section, keep - 1e-9):
                room = chain_distance(outline, section)
                words = (
                    "at an in-line offset of {}, within the tabs' reach, {} would come within {} of the rail, and {} "
                    "keep it off the bead"
                )
                what = message(words, mm(rail.inline_offset_mm), in_words(place.name), mm(room), mm(keep, "up"))
                raise ended(what, "split.height", "another height of the bolts or a shorter reach")


def _tab(
    design: Design, split: Split, plan: BoltPlan, rail: Rail, place: PlatePlace
) -> tuple[Plate, Iterator[WeldRun]]:
    """A tab and its runs, made where the in-line offset plays no part and then stood beside the cylinder."""
    job, toe_mm = design.job, design.toe.mm
    notch = fit_notch(
        _moved(rail, 0.0), place.faces_mm, design.foot.foot, job.bracket.root_gap_mm, design.relief.mm,
        straight=job.cutting.straight,
    )  # fmt: skip
    thick = tab_thickness_mm(job)
    holes = bolt_holes(job, plan.tab, split.bolt_mm, thick)
    bolts = [Circle(p, _steel_mm(split)) for p in plan.tab]
    outline = tab_outline(notch.path, bolts, toe_mm, job.bracket.corner_radius_mm, corner_steel(notch.path, toe_mm))
    refuse_broken(outline, place.name, [(hole.name, hole.circle) for hole in holes], "split.height")
    _refuse_tab_on_pin(design, split, outline, place)
    plate = standing_plate(job, place, "tab", notch, outline, holes, thickness_mm=thick)
    runs = standing_runs(job, place, notch)
    offset_mm = rail.inline_offset_mm
    return _stood(plate, offset_mm), (_stood(run, offset_mm) for run in runs)


def _refuse_tab_on_pin(design: Design, split: Split, outline: Loop, place: PlatePlace) -> None:
    """Refuse a tab in the room of the pin and its head anywhere in the reach, the tab in the straightedge's frame."""
    low, high = (complex(design.pin.station_mm, -split.built_for_mm + k * split.reach_mm) for k in (-1, 1))
    # a reach of nothing, or so small that it is lost beside the offset, is a point, for which a hair stands
    way = (Line(low, high),) if abs(high - low) > 1e-3 else (Line(low - 1e-3, low + 1e-3),)
    within = any(inside(outline, p) for p in (low, high))
    head_mm = HEAD_OVER_PIN / 2 * design.job.cylinder.base.pin_mm
    if within or not keep_off(outline, way, head_mm + KEPT_CLEAR_MM):
        room = (0.0 if within else chain_distance(outline, way)) - head_mm
        words = (
            "{} comes within {} of the pin's head ({} pins wide), within the tabs' reach of {} each way, and {} keep "
            "it clear"
        )
        there = message(
            words, in_words(place.name), mm(max(0.0, room)), number(HEAD_OVER_PIN, "size"), mm(split.reach_mm),
            mm(KEPT_CLEAR_MM, "up"),
        )  # fmt: skip
        raise Refusal(there, "split.height")


def _stood(part: Part, offset_mm: float) -> Part:
    """A plate or a run that is drawn in the straightedge's frame, stood in the plate frame."""
    u, _, w = part.placement.origin
    return replace(part, placement=replace(part.placement, origin=(u, offset_mm, w)))


def _steel_mm(split: Split) -> float:
    """Radius of the steel round a tab's bolt holes."""
    return steel_round(split.bolt_mm, bolt_hole_size(split.bolt_mm).mm)


STYLE = Style(
    name="split",
    sizes=choose_sizes,
    build=build_split,
    build_once=_built,
    fitted=tab_places,
    examples=("forwarder-split-mount",),
)
"""Ears bolted to tabs that are welded to the rail."""
