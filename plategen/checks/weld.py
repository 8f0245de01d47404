"""The fillets: the rules of the run, and the stress in throat, plate and rail wall under every load case."""

import math
from collections.abc import Callable, Iterator

from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.checks.load_path import Assembly
from plategen.checks.run_piece import pieces_of
from plategen.space import dot
from plategen.strength import weld as rule
from plategen.strength.finding import Finding
from plategen.strength.material import Steel, weld_metal
from plategen.strength.safety import AISC, EN_JOINTS
from plategen.strength.setting import Setting, View
from plategen.strength.weld_group import WeldGroup

GROUP = "runs as lines with their real arcs; the parts added as vectors on the throat, no gain for direction"
"""What every finding about a group of runs assumes."""


def check_run(setting: Setting, run: WeldRun, plate: Plate, other_mm: float) -> Iterator[Finding]:
    """The rules that a run must meet whatever the load; ``other_mm`` is the thickness of what it is welded to."""
    thinner = min(plate.thickness_mm, other_mm)
    least, source = rule.least_leg_mm(thinner)
    low, high = run.joint_angle_rad
    part, show = f"{run.name}, {run.plate} to {run.other}", setting.show
    in_en = setting.rules.set == "en-1993"
    yield _rule(
        "least leg",
        part,
        least,
        run.leg_mm,
        "mm",
        source,
        "thinner part, single pass",
        lambda: f"leg to {setting.up(least)}",
        opinion=in_en,
    )
    yield Finding(
        check="greatest leg",
        part=part,
        demand=run.leg_mm,
        capacity=thinner,
        unit="mm",
        source="common practice, no source",
        assumed="more than the thinner part heats it without holding more; the code's limit is for edges of laps only",
        cure=f"leg to {setting.up(math.floor(thinner * 16 / 25.4 + 1e-9) * 25.4 / 16)}" if run.leg_mm > thinner else "",
        most="caution",
    )
    yield _rule(
        "least length",
        part,
        rule.least_length_mm(run.leg_mm),
        run.length_mm,
        "mm",
        f"{AISC} J2.2b: 4 w",
        "",
        lambda: f"run to {setting.up(rule.least_length_mm(run.leg_mm))}",
        opinion=in_en,
    )
    throat = rule.throat_mm(run.leg_mm, high, run.gap_mm)
    yield _rule(
        "least length that carries",
        part,
        rule.least_length_en_mm(throat),
        run.length_mm,
        "mm",
        f"{EN_JOINTS} 4.5.1",
        "max(6 a, 30 mm)",
        lambda: f"run to {setting.up(rule.least_length_en_mm(throat))}",
        opinion=not in_en,
    )
    yield _rule(
        "least throat",
        part,
        rule.LEAST_THROAT_EN_MM,
        throat,
        "mm",
        f"{EN_JOINTS} 4.5.2",
        "3 mm, gap taken off",
        lambda: f"leg to {setting.up(rule.leg_for_throat_mm(rule.LEAST_THROAT_EN_MM, high, run.gap_mm))}",
        opinion=not in_en,
    )
    yield _rule(
        "fit-up gap",
        part,
        run.gap_mm,
        rule.GAP_LARGEST_MM,
        "mm",
        "AWS D1.1 7.21 (5.21 before 2020)",
        f"up to {show.length(rule.GAP_AS_IS_MM)} as it is; more is taken off the leg",
        lambda: "bevel or re-cut the notch to close the gap",
        opinion=False,
    )
    yield _rule(
        "sharp joint angle",
        part,
        math.degrees(rule.ANGLE_LEAST_RAD),
        math.degrees(low),
        "deg",
        "AWS D1.1 skewed T-joints",
        "least dihedral angle of a fillet, 60 deg",
        lambda: "a groove weld, or tilt the plate",
        opinion=False,
    )
    yield _rule(
        "open joint angle",
        part,
        math.degrees(high),
        math.degrees(rule.ANGLE_MOST_RAD),
        "deg",
        "AWS D1.1 skewed T-joints",
        "greatest dihedral angle of a fillet, 135 deg",
        lambda: "a bevel and a groove weld, or tilt the plate",
        opinion=False,
    )


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
    plates = {plate.name: plate for plate in assembly.plates}
    for index, run in enumerate(runs):
        loads_of_run = [row[index] for row in found]
        worst = max(range(len(loads_of_run)), key=loads_of_run.__getitem__)
        q, name = loads_of_run[worst], setting.cases[worst].name
        plate = plates[run.plate]
        steel = plate_steels[run.plate]
        yield from _strength(setting, run, q, name, plate, steel, beads[run.plate], wall, wall_mm)


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
) -> Iterator[Finding]:
    """Throat, plate and wall of one run whose worst line load is ``q`` N/mm."""
    high = run.joint_angle_rad[1]
    # a joint opened or closed by the rail's slope: the throat is least where the angle is widest, or sharpest
    leg = rule.counted_leg_mm(run.leg_mm, run.length_mm)
    throat = min(rule.throat_mm(leg, angle, run.gap_mm) for angle in run.joint_angle_rad)
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
        can = rule.throat_stress_mpa(fexx, rules, min(steel.fu_mpa, wall.fu_mpa))
        stress = load / throat if throat > 0.0 else math.inf
        wanted = max(rule.leg_for_throat_mm(load / can, angle, run.gap_mm) for angle in run.joint_angle_rad)
        leg_wanted = setting.up(wanted) if stress > can or not view.opinion else ""
        yield _force(
            "weld throat stress",
            run,
            view,
            stress,
            can,
            "MPa",
            case,
            f"{EN_JOINTS} 4.5.3.3, simplified" if en else f"{AISC} J2.4: 0.60 FEXX",
            f"{of_throat}; leg wanted {leg_wanted}" if leg_wanted else of_throat,
            f"leg to {leg_wanted}" if math.isfinite(wanted) else "a groove weld",
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
            "a longer foot, or a doubler plate on the rail",
        )


def _rule(
    check: str,
    part: str,
    demand: float,
    capacity: float,
    unit: str,
    source: str,
    assumed: str,
    cure: Callable[[], str],
    *,
    opinion: bool,
) -> Finding:
    short = demand > capacity * (1.0 + 1e-9)
    return Finding(
        check=check,
        part=part,
        demand=demand,
        capacity=capacity,
        unit=unit,
        source=source,
        assumed=assumed,
        cure=cure() if short else "",
        opinion=opinion,
    )


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
