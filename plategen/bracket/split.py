"""Style ``split``: tabs welded to the rail keep the notch, ears bolted to them carry the pin.

The tabs are drawn in the straightedge's frame, where the in-line offset plays no part: it only says where they stand
beside the cylinder. Within the pattern's reach another in-line offset therefore changes no welded part. What it does
change is where the bolts lie from the pin: slots in the ears take that up as they are, a ladder of holes in the tabs
all but a part of a step, and ears cut anew the rest.
"""

from dataclasses import replace
from functools import lru_cache

from plategen.bracket.bolt_pattern import bolt_hole, bolt_hole_size, bolt_slot, steel_round, steel_round_slot
from plategen.bracket.bolt_plan import BoltPlan, bolt_plan, split_of
from plategen.bracket.ears import EarPlace, ear_hole, ear_places, held_pin, refuse_beyond_traces, relief_of
from plategen.bracket.hull import hull
from plategen.bracket.model import Bracket, Hole, Plate, Slot, WeldRun
from plategen.bracket.split_tab import tab, tab_foot, tab_places, tab_thickness
from plategen.bracket.tab import refuse_broken
from plategen.design.left_out import nose_and_toe
from plategen.flat.distance import chain_distance, offset_from
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.split import Split
from plategen.rail.corner import corners
from plategen.rail.surface import Rail

OFF_THE_BEAD_MM = 1.5
"""Room between an ear's edge and the bead on its tab (common practice, no source)."""

REMEMBERED = 32
"""Rails remembered at other in-line offsets."""

STEPS_PAST_CORNER = 8
"""Parts of the reach between which ears are held against a rail that goes round a corner."""

SLOTS_HOLD_BY_FRICTION = (
    "The slots let the ears move square to the cylinder: there they are held by friction alone. Pretension the bolts, "
    "cover each slot with a plate washer 5/16 in (8 mm) thick or more (AISC 360 J3.2), and mark the ears' place."
)
"""A note of the sheet."""

BOLTS = "Ears are bolted on: mark each nut when tight; look at the marks after the first hour and every service."
"""A note of the sheet."""

STEEL_ABOUT_BOLTS = (
    "steel about each bolt hole from AISC 360 Table J3.4 and EN 1993-1-8 Table 3.3, on the next shop size up"
)
"""A choice by rule, told in the sheet."""


def build_split(job: Job, rail: Rail) -> Bracket:
    """Tabs and ears with their notches, holes, slots and weld runs.

    Raises:
        Refusal: If the in-line offset is out of the pattern's reach, or a plate is impossible.
    """
    split = split_of(job)
    plan = bolt_plan(job, split)
    ears, tabs = ear_places(job), tab_places(job, split)
    refuse_beyond_traces(rail, tabs, tab_thickness(job, split))
    pin = ear_hole(job)
    nose_mm, toe_mm, chosen = nose_and_toe(job, pin, tab_thickness(job, split))
    for offset_mm in _looked_at(split, rail):
        _refuse_ears_on_rail(job, split, _moved(rail, offset_mm), nose_mm, pin)
    plates = [_ear(job, place, plan, nose_mm, pin) for place in ears]
    traced = _moved(rail, 0.0)
    relief = relief_of(job)
    foot = tab_foot(job, split, traced, plan, toe_mm, relief.mm)
    chosen += (foot.why,) if foot.why else ()
    welds: list[WeldRun] = []
    for place in tabs:
        plate, runs = tab(job, split, traced, rail.inline_offset_mm, place, plan, foot.foot, toe_mm, relief.mm,
                          first_number=len(welds) + 1)  # fmt: skip
        plates.append(plate)
        welds.extend(runs)
        if plate.legs and relief.why and relief.why not in chosen:
            chosen += (relief.why,)
    return Bracket(
        style="split",
        plates=tuple(plates),
        welds=tuple(welds),
        pin=held_pin(job, ears),
        chosen=(*chosen, STEEL_ABOUT_BOLTS),
        cautions=(BOLTS, SLOTS_HOLD_BY_FRICTION) if split.adjust == "slots" else (BOLTS,),
    )


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


def _ear(job: Job, place: EarPlace, plan: BoltPlan, nose_mm: float, pin: Hole) -> Plate:
    bolts = _ear_bolts(job, plan)
    holes = tuple(bolt for bolt in bolts if isinstance(bolt, Hole))
    slots = tuple(bolt for bolt in bolts if isinstance(bolt, Slot))
    outline = _ear_outline(job, split_of(job), plan, nose_mm, pin)
    circles = [(hole.name, hole.circle) for hole in (pin, *holes)]
    circles += [(slot.name, Circle(end, slot.width_mm / 2)) for slot in slots for end in slot.ends]
    refuse_broken(outline, place.name, circles, "split.height")
    return Plate(
        name=place.name,
        outline=outline,
        thickness_mm=job.bracket.thickness_mm,
        steel=job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=(pin, *holes),
        openings=tuple(slot.contour for slot in slots),
        slots=slots,
        welded=False,
    )


def _ear_bolts(job: Job, plan: BoltPlan) -> tuple[Hole | Slot, ...]:
    split = split_of(job)
    if plan.reach_mm:
        return tuple(
            bolt_slot(number, middle, plan.reach_mm, at, split.bolt_mm)
            for number, (middle, at) in enumerate(zip(plan.ear, plan.used, strict=True), start=1)
        )
    return tuple(
        bolt_hole(number, at, split.bolt_mm, job.bracket.thickness_mm, job.cutting.smallest_hole)
        for number, at in enumerate(plan.ear, start=1)
    )


def _ear_outline(job: Job, split: Split, plan: BoltPlan, nose_mm: float, pin: Hole) -> Loop:
    """A string round the nose and the steel about the bolts."""
    hole_mm = bolt_hole_size(split.bolt_mm).mm
    round_mm = (steel_round_slot if plan.reach_mm else steel_round)(split.bolt_mm, hole_mm)
    ends = [p + k * 1j * plan.reach_mm for p in plan.ear for k in ((-1, 1) if plan.reach_mm else (0,))]
    try:
        return hull([Circle(pin.circle.centre, nose_mm), *(Circle(p, round_mm) for p in ends)])
    except ValueError:
        raise Refusal("the bolts lie within the nose; a greater height is right", "split.height") from None


def _refuse_ears_on_rail(job: Job, split: Split, rail: Rail, nose_mm: float, pin: Hole) -> None:
    """Refuse ears that would touch the rail or a bead at an end of the reach, so that the whole reach can be used."""
    there = job.replaced(mount=job.mount.replaced(inline_offset_mm=rail.inline_offset_mm))
    outline = _ear_outline(job, split, bolt_plan(there, split), nose_mm, pin)
    keep = job.weld.leg_mm + OFF_THE_BEAD_MM
    for place in ear_places(job):
        for w in {*place.faces_mm, sum(place.faces_mm) / 2}:
            section = rail.section(w)
            room = chain_distance(outline, section)
            if offset_from(section, pin.circle.centre) >= 0.0 or room < keep - 1e-9:
                raise Refusal(
                    f"at an in-line offset of {rail.inline_offset_mm:.5g} mm, within the tabs' reach, {place.name} "
                    f"would come within {room:.4g} mm of the rail; {keep:.4g} mm keep it off the bead: bring the bolts "
                    "nearer to the cylinder, or let the tabs reach less",
                    "split.height",
                )
