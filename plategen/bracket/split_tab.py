"""The welded tabs of a split bracket: plates that keep the notch, along one face of the rail or round its corner.

They are drawn in the straightedge's frame, where the in-line offset plays no part, and so is all that a rule chooses of
them: it looks at the whole reach and not at where the cylinder lies now. Then they are stood beside the cylinder.
"""

from dataclasses import replace

from plategen.bracket.bolt_pattern import bolt_hole, bolt_hole_size, steel_round
from plategen.bracket.bolt_plan import BoltPlan
from plategen.bracket.ears import EarPlace, ear_places, rail_welds
from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.notch import fit_notch
from plategen.bracket.tab import corner_steel, refuse_broken, tab_outline
from plategen.design.foot import Foot
from plategen.design.foot_choice import ChosenFoot, foot_on
from plategen.design.foot_length import Asked, for_flanks, for_weld
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.loop import Circle
from plategen.flat.placement import Placement
from plategen.flat.segment import dot
from plategen.job import Job
from plategen.job.split import Split
from plategen.rail.surface import Rail


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


def tab_foot(job: Job, split: Split, traced: Rail, plan: BoltPlan, toe_mm: float, relief_mm: float) -> ChosenFoot:
    """The foot of the tabs: as the job gives it, or chosen for the whole reach, over the middle of the bolts.

    Args:
        job: The job.
        split: Its ``[split]`` table.
        traced: The rail in the straightedge's frame.
        plan: Where the bolts go.
        toe_mm: Height of the tabs' ends.
        relief_mm: Radius of the relief at a sharp corner.
    """
    near, far = tab_places(job, split)
    round_mm = _steel_mm(job, split)

    def asked(section: Chain, turned: bool) -> Asked:
        farthest = complex(job.mount.pin_station_mm, -(split.built_for_mm + split.reach_mm))
        height_mm = max(-offset_from(section, p) for p in plan.tab)
        index, t = section.nearest(plan.tab_middle)
        along = section.segments[index].tangent(t)
        places = [dot(p, along) for p in plan.tab]
        steel_mm = max(places) - min(places) + 2.0 * (round_mm + toe_mm)
        return max(
            for_weld(job, -offset_from(section, farthest), turned=turned),
            for_flanks(height_mm, "the bolts'"),
            (steel_mm, "the steel about the bolts, a toe beyond it at each end (common practice, no source)"),
        )

    found = foot_on(job, traced, (near.faces_mm[0], far.faces_mm[1]), plan.tab_middle, relief_mm, asked)
    if found.why and split.reach_mm:
        return replace(found, why=f"{found.why}, for the whole reach")
    return found


def tab(
    job: Job, split: Split, traced: Rail, offset_mm: float, place: EarPlace, plan: BoltPlan, foot: Foot,
    toe_mm: float, relief_mm: float, first_number: int,
) -> tuple[Plate, tuple[WeldRun, ...]]:  # fmt: skip
    """A tab and its runs, made where the in-line offset plays no part and then stood beside the cylinder."""
    notch = fit_notch(traced, place.faces_mm, foot, job.bracket.root_gap_mm, relief_mm)
    thick = tab_thickness(job, split)
    holes = tuple(
        bolt_hole(number, p, split.bolt_mm, thick, job.cutting.smallest_hole)
        for number, p in enumerate(plan.tab, start=1)
    )
    bolts = [Circle(p, _steel_mm(job, split)) for p in plan.tab]
    outline = tab_outline(notch.path, bolts, toe_mm, job.bracket.corner_radius_mm, corner_steel(notch.path, toe_mm))
    refuse_broken(outline, place.name, [(hole.name, hole.circle) for hole in holes], "split.height")
    plate = Plate(
        name=place.name,
        outline=outline,
        thickness_mm=thick,
        steel=job.bracket.steel,
        placement=stood(offset_mm, place.faces_mm[0]),
        holes=holes,
        notch=notch.path,
        fit=notch.fit,
        legs=tuple(leg.path for leg in notch.parts),
    )
    runs = rail_welds(job, place, notch, first_number)
    return plate, tuple(replace(run, placement=stood(offset_mm, run.placement.origin[2])) for run in runs)


def stood(offset_mm: float, w_mm: float) -> Placement:
    """Where a plate drawn in the straightedge's frame stands in the plate frame."""
    return Placement((0.0, offset_mm, w_mm), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def _steel_mm(job: Job, split: Split) -> float:
    """Radius of the steel round a tab's bolt holes."""
    return steel_round(split.bolt_mm, bolt_hole_size(split.bolt_mm).mm)
