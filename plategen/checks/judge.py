"""Does it hold? Every check over every load case, the worst of each reported and named."""

from collections.abc import Iterator

from plategen.bracket.model import Bracket, Plate
from plategen.checks.bolt import check_bolt_joint
from plategen.checks.clamp import check_clamp
from plategen.checks.cylinder import check_cylinder, check_driven
from plategen.checks.far_bolt import check_far_bolts
from plategen.checks.finding import Finding
from plategen.checks.hole import check_holes
from plategen.checks.load_path import assemblies, bolt_joints, carriers, standing_alone, tab_carrier
from plategen.checks.pin import check_pin
from plategen.checks.pin_plate import check_pin_plate
from plategen.checks.run import check_run
from plategen.checks.section import check_sections
from plategen.checks.setting import Setting
from plategen.checks.slot import check_slots
from plategen.checks.tie import check_ties
from plategen.checks.weld import check_group
from plategen.checks.wrench import check_wrenches
from plategen.design.loads import LoadCase
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rules.material import Steel, steel
from plategen.rules.reach import Edges


def judge(job: Job, bracket: Bracket, cases: tuple[LoadCase, ...], *, opinions: bool = True) -> tuple[Finding, ...]:
    """Every finding about a bracket, those that decide and the second opinions.

    Args:
        job: The job; its ``[rules]`` choose the rule set that decides.
        bracket: The bracket as it was built.
        cases: The load cases, see :func:`plategen.design.loads.load_cases`.
        opinions: Leave out the second opinions when False: those who judge thousands of variants look at none.

    Raises:
        Refusal: A steel or an electrode is not in the tables.
    """
    found = _findings(Setting(job, cases, opinions), bracket)
    return tuple(found if opinions else (finding for finding in found if not finding.opinion))


def _findings(setting: Setting, bracket: Bracket) -> Iterator[Finding]:
    job = setting.job
    pin_steel = _steel(setting.rules.pin_steel, bracket.pin.diameter_mm, "rules.pin_steel")
    wall = _steel(job.rail.steel, job.rail.wall_mm, "rail.steel")
    steels = {plate.name: _steel(plate.steel, plate.thickness_mm, "bracket.steel") for plate in bracket.plates}
    thickness = {plate.name: plate.thickness_mm for plate in bracket.plates}
    plates = {plate.name: plate for plate in bracket.plates}
    held, joints = carriers(bracket), bolt_joints(bracket)
    if held:
        yield from check_pin(setting, bracket, held, pin_steel)
    edges = {carrier.plate.name: _edges(carrier.plate, carrier.hole.name) for carrier in held}
    for carrier in held:
        yield from check_pin_plate(
            setting, carrier, edges[carrier.plate.name][0], steels[carrier.plate.name], pin_steel
        )
    for plate in bracket.plates:
        yield from check_holes(setting, plate)
        yield from check_slots(setting, plate)
    for assembly in assemblies(bracket, held, joints):
        for carrier in assembly.carriers:
            yield from check_sections(
                setting, carrier, assembly, edges[carrier.plate.name][1], steels[carrier.plate.name]
            )
        yield from check_group(setting, bracket, assembly, steels, wall, job.rail.wall_mm)
        yield from check_ties(setting, assembly, plates, steels)
        for alone in standing_alone(assembly):
            under = alone.rail_runs[0].other
            yield from check_group(setting, bracket, alone, steels, steels[under], thickness[under])
        for joint in joints:
            if joint.upper in assembly.plates:
                yield from check_bolt_joint(setting, assembly, joint, steels)
                yield from check_far_bolts(setting, joint)
                yield from check_wrenches(setting, bracket, joint)
                tab = tab_carrier(joint, assembly.carriers, bracket.pin.centre)
                if tab is not None:
                    past = [hole.circle.centre for hole in joint.lower_holes]
                    every = _edges(tab.plate, "")[1]
                    yield from check_sections(setting, tab, assembly, every, steels[tab.plate.name], past)
    for run in bracket.welds:
        yield from check_run(setting, run, plates[run.plate], thickness.get(run.other, job.rail.wall_mm))
    yield from check_clamp(setting, bracket, steels)
    yield from check_cylinder(setting)
    yield from check_driven(setting)


def _steel(name: str, thickness_mm: float, where: str) -> Steel:
    try:
        return steel(name, thickness_mm)
    except Refusal as refusal:
        raise refusal.under(where) from None


def _edges(plate: Plate, own: str) -> tuple[Edges, Edges]:
    """The plate's edges as seen from its pin hole, and all of them."""
    segments = [*plate.outline, *(segment for opening in plate.openings for segment in opening)]
    others = [hole.circle for hole in plate.holes if hole.name != own]
    return Edges.of(segments, others), Edges.of(segments, [hole.circle for hole in plate.holes])
