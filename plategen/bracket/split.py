"""Style ``split``: tabs welded to the rail keep the notch, ears bolted to them carry the pin.

The tabs are drawn in the straightedge's frame, where the in-line offset plays no part: it only says where they stand
beside the cylinder. Within the pattern's reach another in-line offset therefore changes no welded part. What it does
change is where the bolts lie from the pin: slots in the ears take that up as they are, a ladder of holes in the tabs
all but a part of a step, and ears cut anew the rest.
"""

import math
from dataclasses import dataclass, replace

from plategen.bracket.bolt_pattern import (
    bolt_hole,
    bolt_hole_size,
    bolt_slot,
    pattern,
    rungs,
    steel_round,
    steel_round_slot,
)
from plategen.bracket.ears import EarPlace, ear_hole, ear_places, foot_of, held_pin, rail_welds, refuse_beyond_traces
from plategen.bracket.hull import hull
from plategen.bracket.left_out import nose_and_toe
from plategen.bracket.model import Bracket, Hole, Placement, Plate, Slot, WeldRun, across_pin
from plategen.bracket.notch import fit_notch
from plategen.bracket.tab import refuse_broken, tab_outline
from plategen.flat.distance import chain_distance
from plategen.flat.loop import Circle, Loop
from plategen.flat.side import offset_from
from plategen.job import Job
from plategen.job.split import Split
from plategen.rail.surface import Rail
from plategen.refusal import Refusal

OFF_THE_BEAD_MM = 1.5
"""Room between an ear's edge and the bead on its tab (common practice, no source)."""

SLOTS_HOLD_BY_FRICTION = (
    "The slots let the ears move square to the cylinder: there they are held by friction alone. Pretension the bolts, "
    "cover each slot with a plate washer 5/16 in (8 mm) thick or more (AISC 360 J3.2), and mark the ears' place."
)
BOLTS = "Ears are bolted on: mark each nut when tight; look at the marks after the first hour and every service."

STEEL_ABOUT_BOLTS = (
    "steel about each bolt hole from AISC 360 Table J3.4 and EN 1993-1-8 Table 3.3, on the next shop size up"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltPlan:
    """Where the bolts go, in mm; the tabs' places in the straightedge's frame, the others in the plate frame.

    Args:
        tab: Every bolt hole of a tab.
        used: The bolts' places now.
        ear: The middles of the holes or slots of an ear.
        reach_mm: Half the slots' travel; 0 for round holes.
    """

    tab: tuple[complex, ...]
    used: tuple[complex, ...]
    ear: tuple[complex, ...]
    reach_mm: float


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
    for offset_mm in {split.built_for_mm - split.reach_mm, split.built_for_mm + split.reach_mm}:
        _refuse_ears_on_rail(job, split, replace(rail, inline_offset_mm=offset_mm), nose_mm, pin)
    plates = [_ear(job, place, plan, nose_mm, pin) for place in ears]
    welds: list[WeldRun] = []
    for place in tabs:
        plate, runs = _tab(job, split, rail, place, plan, toe_mm, first_number=len(welds) + 1)
        plates.append(plate)
        welds.extend(runs)
    return Bracket(
        style="split",
        plates=tuple(plates),
        welds=tuple(welds),
        pin=held_pin(job, ears),
        chosen=(*chosen, STEEL_ABOUT_BOLTS),
        cautions=(BOLTS, SLOTS_HOLD_BY_FRICTION) if split.adjust == "slots" else (BOLTS,),
    )


def split_of(job: Job) -> Split:
    """The job's ``[split]`` table."""
    if job.split is None:
        raise Refusal('missing; style "split" needs the table [split] with bolt, height and built_for', "split")
    return job.split


def tab_thickness(job: Job, split: Split) -> float:
    """Thickness of the tabs."""
    return split.tab_thickness_mm or job.bracket.thickness_mm


def tab_places(job: Job, split: Split) -> tuple[EarPlace, EarPlace]:
    """Where the tabs lie along the pin: each outside its ear, the packing between them."""
    near, far = ear_places(job)
    thick, shim = tab_thickness(job, split), split.shim_mm
    low, high = near.faces_mm[0] - shim, far.faces_mm[1] + shim
    return (
        EarPlace(name="tab_near", faces_mm=(low - thick, low), outward=-1),
        EarPlace(name="tab_far", faces_mm=(high, high + thick), outward=+1),
    )


def bolt_plan(job: Job, split: Split) -> BoltPlan:
    """Where the bolts go for the job's in-line offset.

    Raises:
        Refusal: If it is out of reach.
    """
    moved = job.mount.inline_offset_mm - split.built_for_mm
    if abs(moved) > split.reach_mm + 1e-9:
        low, high = split.built_for_mm - split.reach_mm, split.built_for_mm + split.reach_mm
        raise Refusal(
            f"an in-line offset of {job.mount.inline_offset_mm:.5g} mm is out of the tabs' reach; they are made for "
            f"{low:.5g} mm to {high:.5g} mm",
            "mount.inline_offset",
        )
    station = job.mount.pin_station_mm if split.station_mm is None else split.station_mm
    places = pattern(split.rows, split.in_row, split.row_spacing_mm or 0.0, split.spacing_mm or 0.0)
    middle = complex(station, split.height_mm)
    on_tab = tuple(middle - 1j * split.built_for_mm + p for p in places)
    if split.adjust == "slots":
        used = tuple(p + 1j * job.mount.inline_offset_mm for p in on_tab)
        return BoltPlan(tab=on_tab, used=used, ear=tuple(middle + p for p in places), reach_mm=split.reach_mm)
    ladder, steps = on_tab, 0
    if split.adjust == "ladder" and split.step_mm is not None:
        ladder = rungs(on_tab, math.floor(split.reach_mm / split.step_mm + 0.5), split.step_mm)
        steps = -round(moved / split.step_mm)
    step = complex(0.0, steps * (split.step_mm or 0.0))
    used = tuple(p + step + 1j * job.mount.inline_offset_mm for p in on_tab)
    return BoltPlan(tab=ladder, used=used, ear=used, reach_mm=0.0)


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
            bolt_slot(number, middle, plan.reach_mm, at, split.bolt_mm, job.units)
            for number, (middle, at) in enumerate(zip(plan.ear, plan.used, strict=True), start=1)
        )
    return tuple(
        bolt_hole(number, at, split.bolt_mm, job.bracket.thickness_mm, job.cutting.smallest_hole, job.units)
        for number, at in enumerate(plan.ear, start=1)
    )


def _ear_outline(job: Job, split: Split, plan: BoltPlan, nose_mm: float, pin: Hole) -> Loop:
    """A string round the nose and the steel about the bolts."""
    hole_mm = bolt_hole_size(split.bolt_mm).mm
    round_mm = (steel_round_slot if plan.reach_mm else steel_round)(split.bolt_mm, hole_mm, job.units)
    ends = [p + k * 1j * plan.reach_mm for p in plan.ear for k in ((-1, 1) if plan.reach_mm else (0,))]
    try:
        return hull([Circle(pin.circle.centre, nose_mm), *(Circle(p, round_mm) for p in ends)])
    except ValueError:
        raise Refusal("the bolts lie within the nose; a greater height is right", "split.height") from None


def _tab(
    job: Job, split: Split, rail: Rail, place: EarPlace, plan: BoltPlan, toe_mm: float, first_number: int
) -> tuple[Plate, tuple[WeldRun, ...]]:
    """A tab and its runs, made where the in-line offset plays no part and then stood beside the cylinder."""
    notch = fit_notch(replace(rail, inline_offset_mm=0.0), place.faces_mm, foot_of(job), job.bracket.root_gap_mm)
    thick = tab_thickness(job, split)
    holes = tuple(
        bolt_hole(number, p, split.bolt_mm, thick, job.cutting.smallest_hole, job.units)
        for number, p in enumerate(plan.tab, start=1)
    )
    round_mm = steel_round(split.bolt_mm, 2 * holes[0].circle.radius, job.units)
    outline = tab_outline(notch.path, [Circle(p, round_mm) for p in plan.tab], toe_mm, job.bracket.corner_radius_mm)
    refuse_broken(outline, place.name, [(hole.name, hole.circle) for hole in holes], "split.height")
    plate = Plate(
        name=place.name,
        outline=outline,
        thickness_mm=thick,
        steel=job.bracket.steel,
        placement=stood(rail, place.faces_mm[0]),
        holes=holes,
        notch=notch.path,
        fit=notch.fit,
    )
    runs = rail_welds(job, place, notch, first_number)
    return plate, tuple(replace(run, placement=stood(rail, run.placement.origin[2])) for run in runs)


def stood(rail: Rail, w_mm: float) -> Placement:
    """Where a plate drawn in the straightedge's frame stands in the plate frame."""
    return Placement((0.0, rail.inline_offset_mm, w_mm), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


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
