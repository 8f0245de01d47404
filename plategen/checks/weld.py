"""The fillets: the stress in throat, plate and rail wall under every load case."""

import math
from collections.abc import Iterator

from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.checks.finding import Finding
from plategen.checks.load_path import Assembly
from plategen.checks.run import PAD
from plategen.checks.run_piece import pieces_of
from plategen.checks.setting import Setting, View
from plategen.checks.worst import first_worst
from plategen.design.sizes import relief_for_leg_mm
from plategen.ground.space import dot
from plategen.rail.corner import goes_round
from plategen.rules import weld as rule
from plategen.rules.material import Steel, weld_metal
from plategen.rules.safety import AISC, EN_JOINTS
from plategen.rules.weld_group import WeldGroup

MOST_LONGER = 2.0
"""A foot more than so many times as long is no cure (common practice, no source)."""

GROUP = "runs as lines with their real arcs; the parts added as vectors on the throat, no gain for direction"
"""What every finding about a group of runs assumes."""


def check_group(
    setting: Setting, bracket: Bracket, assembly: Assembly, plate_steels: dict[str, Steel], wall: Steel, wall_mm: float
) -> Iterator[Finding]:
    """Stress of every run that holds an assembly to the rail, worst over the load cases."""
    if not assembly.rail_runs or not assembly.carriers:
        return
    runs = assembly.rail_runs
    group = WeldGroup([pieces_of(run) for run in runs])
    at = assembly.loaded_at(bracket.pin.centre)
    loads = []
    for each in setting.cases:
        f, n = each.force_n, assembly.carriers[0].plate.placement.normal
        # the eye shares its force between the plates, but leans sideways on one of them alone
        side = dot(f, n)
        s, rest = assembly.share, (1.0 - assembly.share) * side
        loads.append(((s * f[0] + rest * n[0], s * f[1] + rest * n[1], s * f[2] + rest * n[2]), at))
    found = group.worst(loads)
    beads = {name: sum(1 for run in runs if run.plate == name) for name in {run.plate for run in runs}}
    plates, shortest = {plate.name: plate for plate in assembly.plates}, min(run.length_mm for run in runs)
    for index, run in enumerate(runs):
        loads_of_run = [row[index] for row in found]
        worst = first_worst(range(len(loads_of_run)), loads_of_run.__getitem__)
        q, name = loads_of_run[worst], setting.cases[worst].name
        plate = plates[run.plate]
        steel = plate_steels[run.plate]
        yield from _strength(setting, run, q, name, plate, steel, beads[run.plate], wall, wall_mm, shortest)


def _strength(
    setting: Setting,
    run: WeldRun,
    q: float,
    case: str,
    plate: Plate,
    steel: Steel,
    beads: int,
    wall: Steel,
    wall_mm: float,
    shortest_mm: float,
) -> Iterator[Finding]:
    """Throat, plate and wall of one run whose worst line load is ``q`` N/mm."""
    high = run.joint_angle_rad[1]
    throat = _throat(run, run.leg_mm, run.length_mm)
    fexx = weld_metal(run.electrode).fexx_mpa
    show = setting.show
    of_throat = (
        f"throat {show.length(throat)} of the {show.length(run.leg_mm)} leg at up to {math.degrees(high):.0f} deg, "
        f"leg along each face; {GROUP}"
    )
    of_plate = f"the whole plate under {beads} bead{'s' if beads > 1 else ''}, each at its worst"
    for view in setting:
        rules = view.rules
        en = rules == "en-1993"
        load = q * view.factor
        # EN 1993-1-8 4.2: weld metal is no weaker than the steel, or counts with its own strength
        can = rule.throat_stress_mpa(fexx, rules, min(steel.fu_mpa, wall.fu_mpa, fexx))
        stress = load / throat if throat > 0.0 else math.inf
        wanted = max(rule.leg_for_throat_mm(load / can, angle, run.gap_mm) for angle in run.joint_angle_rad)
        yield _force(
            "weld throat stress",
            run,
            view,
            stress,
            can,
            "MPa",
            case,
            f"{EN_JOINTS} 4.5.3.3, simplified" if en else f"{AISC} J2.4: 0.60 FEXX",
            of_throat if view.opinion else f"{of_throat}; leg wanted {setting.up(wanted)}",
            _leg_cure(setting, run, plate, load / can, min(plate.thickness_mm, wall_mm), shortest_mm)
            if stress > can
            else "",
        )
        both = load * beads
        can_plate = rule.base_metal_n_per_mm(steel.fy_mpa, steel.fu_mpa, plate.thickness_mm, rules)
        yield _force(
            "plate beside the weld",
            run,
            view,
            both,
            can_plate,
            "N/mm",
            case,
            "EN 1993-1-1:2005 6.2.6" if en else f"{AISC} J4.2",
            of_plate,
            f"plate thickness to {setting.up(plate.thickness_mm * both / can_plate)}" if both > can_plate else "",
        )
        can_wall = rule.base_metal_n_per_mm(wall.fy_mpa, wall.fu_mpa, wall_mm, rules)
        yield _force(
            "rail wall beside the weld",
            run,
            view,
            load,
            can_wall,
            "N/mm",
            case,
            "EN 1993-1-1:2005 6.2.6" if en else f"{AISC} J4.2",
            "wall in shear through its thickness; the wall's own bending between its corners is not covered",
            _foot_cure(setting, run, plate, load / can_wall) if load > can_wall else "",
        )


def _throat(run: WeldRun, leg_mm: float, length_mm: float) -> float:
    """Throat that a run counts with: of a leg that its length can use, where its joint gives least."""
    # a joint opened or closed by the rail's slope: the throat is least where the angle is widest, or sharpest
    leg = rule.counted_leg_mm(leg_mm, length_mm)
    throat = min(rule.throat_mm(leg, angle, run.gap_mm) for angle in run.joint_angle_rad)
    return throat * rule.long_run_factor(leg_mm, length_mm)


def _leg_cure(
    setting: Setting, run: WeldRun, plate: Plate, throat_wanted_mm: float, thinner_mm: float, shortest_mm: float
) -> str:
    """The leg that holds; where the rail's corner is relieved for the beads, a larger leg shortens the runs."""
    relieved = len(plate.legs) > 1 and setting.job.bracket.relief_mm is None

    def holds(leg_mm: float) -> bool:
        less = _relief(setting, leg_mm) - _relief(setting, run.leg_mm) if relieved else 0.0
        if less >= shortest_mm:
            return False
        more = (shortest_mm / (shortest_mm - less)) ** 2
        return throat_wanted_mm * more <= _throat(run, leg_mm, run.length_mm - less)

    leg = setting.size_that_holds(run.leg_mm, holds)
    if leg is None:
        return "a longer run, or a groove weld"
    if plate.name == PAD and leg > plate.thickness_mm:
        return f"pad thickness and leg to {setting.up(leg)}"
    thick = ", which is more than the thinner part: better a longer foot" if leg > thinner_mm + 1e-6 else ""
    return f"leg to {setting.up(leg)}{thick}"


def _relief(setting: Setting, leg_mm: float) -> float:
    return relief_for_leg_mm(leg_mm, setting.job.units)


def _foot_cure(setting: Setting, run: WeldRun, plate: Plate, times: float) -> str:
    """Direct load falls with the run's length and bending with its square: so much longer is enough."""
    if run.other != "rail":
        return "a longer foot, or a thicker part under the weld"
    if plate.notch is not None and goes_round(plate.notch):
        return "a longer foot on both faces of the rail, or a doubler plate on it"
    if times > MOST_LONGER:
        return "a thicker rail, or a doubler plate on it"
    return f"foot to {setting.up(run.length_mm * times)}, longer at both ends alike, or a doubler plate on the rail"


def _force(
    check: str,
    run: WeldRun,
    view: View,
    demand: float,
    capacity: float,
    unit: str,
    case: str,
    source: str,
    assumed: str,
    cure: str,
) -> Finding:
    return Finding(
        check=check,
        part=f"{run.name}, {run.plate} to {run.other}",
        demand=demand,
        capacity=capacity,
        unit=unit,
        source=source,
        assumed=f"{assumed}; {view.loads}",
        case=case,
        cure=cure if demand > capacity else "",
        opinion=view.opinion,
    )
