"""The fillets that hold a plate up: stress in throat, plate and wall under every load case; see also :mod:`.tie`."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache, partial

from plategen.bracket.model import LAPPED, Plate, WeldRun
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part, first_worst
from plategen.checks.load_path import Assembly, standing_alone
from plategen.checks.run import both_sides, part_of
from plategen.checks.setting import REMEMBERED, Setting
from plategen.checks.view import View
from plategen.design.design import relief_for_leg_mm
from plategen.flat.chain import Chain
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Segment
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import Message, message, mm, rad, size
from plategen.ground.space import Vector, dot, mixed
from plategen.rail.corner import corners
from plategen.rules import weld as rule
from plategen.rules.material import Steel, weld_metal
from plategen.rules.safety import AISC, EN_JOINTS
from plategen.rules.weld_group import Piece, WeldGroup

MOST_LONGER = 2.0
"""A foot more than so many times as long is no cure (common practice, no source)."""

GROUP = "runs as lines with their real arcs; the parts added as vectors on the throat, no gain for direction"
"""What every finding about a group of runs assumes."""

THROAT_ROW = partial(Check, unit="MPa", source=f"{AISC} J2.4: 0.60 FEXX", en_source=f"{EN_JOINTS} 4.5.3.3, simplified")
"""Row of a check of throats."""

_STEEL = partial(Check, unit="N/mm", source=f"{AISC} J4.2", en_source="EN 1993-1-1:2005 6.2.6")

THROAT = THROAT_ROW(
    "weld throat stress",
    "weld",
    not_covered="The parts of a weld's load are added as vectors on the throat, the conservative of the two "
    "conventions in use, and no gain is taken for welds loaded across.",
)
BESIDE = _STEEL("plate beside the weld", "weld")
WALL = _STEEL(
    "rail wall beside the weld",
    "weld",
    not_covered="The rail's wall is checked in shear beside the welds; its own bending between its corners is "
    "judged only where the job tells the rail's section.",
)
CHECKS = (THROAT, BESIDE, WALL)
"""The checks of this file."""


@dataclass(frozen=True, slots=True)
class _Loaded:
    """A run whose worst line load is known."""

    run: WeldRun  # The run.
    about: Part  # It, as findings name it.
    plate: Plate  # Its plate.
    steel: Steel  # That plate's steel.
    beads: int  # How many beads its plate has.
    n_per_mm: float  # The worst line load, load factor not in.
    case: Message | str  # The load case that makes it.
    under: Steel  # Steel of what the plate stands on.
    under_mm: float  # That part's thickness.
    shortest_mm: float  # Length of the group's shortest run.


def check_welds(setting: Setting) -> Iterator[Finding]:
    """Stress of every run that holds an assembly to the rail, or a pin plate to another plate, over the load cases."""
    for assembly in setting.assemblies:
        yield from _group(setting, assembly, setting.wall, setting.job.rail.wall_mm)
        for alone in standing_alone(assembly):
            under = setting.plates[alone.rail_runs[0].other]
            yield from _group(setting, alone, setting.steels[under.name], under.thickness_mm)


def _group(setting: Setting, assembly: Assembly, under: Steel, under_mm: float) -> Iterator[Finding]:
    if not assembly.rail_runs or not assembly.carriers:
        return
    runs = assembly.rail_runs
    group, loads = group_of(setting, assembly), loads_on(setting, assembly)
    line_loads, shortest_mm = _worst(group, loads), min(run.length_mm for run in runs)
    for index, run in enumerate(runs):
        of_run = [row[index] for row in line_loads]
        worst = first_worst(range(len(of_run)), of_run.__getitem__)
        loaded = _Loaded(
            run=run,
            about=part_of(run),
            plate=setting.plates[run.plate],
            steel=setting.steels[run.plate],
            beads=sum(1 for other in runs if other.plate == run.plate and not other.piece),
            n_per_mm=of_run[worst],
            case=setting.cases[worst].name,
            under=under,
            under_mm=under_mm,
            shortest_mm=shortest_mm,
        )
        for view in setting:
            yield _throat(setting, view, loaded)
            yield _beside(setting, view, loaded)
            yield _wall(setting, view, loaded)


def group_of(setting: Setting, assembly: Assembly) -> WeldGroup:
    """The runs that hold an assembly to the rail, or a plate to another, as a group."""
    return setting.once(
        ("group", *(plate.name for plate in assembly.plates)),
        lambda: _grouped(tuple((run.path, run.placement) for run in assembly.rail_runs)),
    )


@lru_cache(maxsize=REMEMBERED)
def _grouped(lines: tuple[tuple[Chain, Placement], ...]) -> WeldGroup:
    return WeldGroup([[piece(segment, placement) for segment in path] for path, placement in lines])


@lru_cache(maxsize=REMEMBERED)
def _worst(group: WeldGroup, loads: tuple[tuple[Vector, Vector], ...]) -> list[list[float]]:
    return group.worst(loads)


def loads_on(setting: Setting, assembly: Assembly) -> tuple[tuple[Vector, Vector], ...]:
    """What each load case does to an assembly that holds the pin: its share of the force, and where that acts."""
    return setting.once(("loads", *(plate.name for plate in assembly.plates)), lambda: _loads_on(setting, assembly))


def _loads_on(setting: Setting, assembly: Assembly) -> tuple[tuple[Vector, Vector], ...]:
    at = assembly.loaded_at(setting.bracket.pin.centre)
    # the eye shares its force between the plates, but leans sideways on one of them alone
    n, share = assembly.carriers[0].plate.placement.normal, assembly.share
    forces = (case.force_n for case in setting.cases)
    return tuple((mixed(force, share, n, (1.0 - share) * dot(force, n)), at) for force in forces)


def _throat(setting: Setting, view: View, on: _Loaded) -> Finding:
    run, load = on.run, on.n_per_mm * view.factor
    throat, fexx = _throat_mm(run, run.leg_mm, run.length_mm), weld_metal(run.electrode).fexx_mpa
    # EN 1993-1-8 4.2: weld metal is no weaker than the steel, or counts with its own strength
    can = rule.throat_stress_mpa(fexx, view.rules, min(on.steel.fu_mpa, on.under.fu_mpa, fexx))
    assumed = message(
        "throat {} of the {} leg at up to {}, leg along each face; " + GROUP,
        mm(throat), mm(run.leg_mm), rad(run.joint_angle_rad[1], "up"),
    )  # fmt: skip
    if not view.opinion:
        wanted = max(rule.leg_for_throat_mm(load / can, angle, run.gap_mm) for angle in run.joint_angle_rad)
        assumed = message("{}; leg wanted {}", assumed, larger.up(setting, wanted))
    return view.strength(
        THROAT,
        on.about,
        load / throat if throat > 0.0 else math.inf,
        can,
        assumed=assumed,
        case=on.case,
        cure=lambda: _larger_leg(setting, on, load / can),
    )


def _beside(setting: Setting, view: View, on: _Loaded) -> Finding:
    both, steel = on.n_per_mm * view.factor * on.beads, on.steel
    can = rule.base_metal_n_per_mm(steel.fy_mpa, steel.fu_mpa, on.plate.thickness_mm, view.rules)
    return view.strength(
        BESIDE,
        on.about,
        both,
        can,
        assumed=message(f"the whole plate under {{}} bead{'s' if on.beads > 1 else ''}, each at its worst", on.beads),
        case=on.case,
        cure=lambda: larger.raise_to(
            setting,
            larger.thickness_key(setting, on.plate.name),
            on.plate.thickness_mm * both / can,
            "plate thickness to {}",
            "a stronger plate",
        ),
    )


def _wall(setting: Setting, view: View, on: _Loaded) -> Finding:
    load = on.n_per_mm * view.factor
    can = rule.base_metal_n_per_mm(on.under.fy_mpa, on.under.fu_mpa, on.under_mm, view.rules)
    return view.strength(
        WALL,
        on.about,
        load,
        can,
        assumed="wall in shear through its thickness",
        case=on.case,
        cure=lambda: _longer_foot(setting, on, load / can),
    )


def _throat_mm(run: WeldRun, leg_mm: float, length_mm: float) -> float:
    """Throat that a run counts with: of a leg that its length can use, where its joint gives least."""
    # a joint opened or closed by the rail's slope: the throat is least where the angle is widest, or sharpest
    leg = rule.counted_leg_mm(leg_mm, length_mm)
    throat = min(rule.throat_mm(leg, angle, run.gap_mm) for angle in run.joint_angle_rad)
    return throat * rule.long_run_factor(leg_mm, length_mm)


def _larger_leg(setting: Setting, on: _Loaded, throat_wanted_mm: float) -> Cure:
    """The leg that holds; where the rail's corner is relieved for the beads, a larger leg shortens the runs."""
    run, plate, shortest_mm = on.run, on.plate, on.shortest_mm
    if setting.job.weld.one_side and run.joint != "tie":
        return both_sides()
    relieved = len(plate.legs) > 1 and setting.job.bracket.relief_mm is None
    units, most_mm = setting.job.units, greatest_relief_mm(setting, plate)

    def holds(leg_mm: float) -> bool:
        if relief_for_leg_mm(leg_mm, units) > most_mm:
            return False
        less = relief_for_leg_mm(leg_mm, units) - relief_for_leg_mm(run.leg_mm, units) if relieved else 0.0
        if less >= shortest_mm:
            return False
        more = (shortest_mm / (shortest_mm - less)) ** 2
        return throat_wanted_mm * more <= _throat_mm(run, leg_mm, run.length_mm - less)

    leg = larger.size_that_holds(setting, run.leg_mm, holds)
    if leg is None:
        return advise("a longer run, or a groove weld")
    if plate.role in LAPPED and leg > plate.thickness_mm:
        changes = (
            Change(larger.thickness_key(setting, plate.name), size(leg)),
            Change(larger.leg_key(setting, run), size(leg)),
        )
        return Cure(message("{} thickness and leg to {}", plate.role, size(leg)), changes)
    thick = leg > min(plate.thickness_mm, on.under_mm) + 1e-6
    cure = set_to(larger.leg_key(setting, run), size(leg), "leg to {}")
    if not thick:
        return cure
    return replace(cure, advice=message("{}, which is more than the thinner part: better a longer foot", cure.advice))


def greatest_relief_mm(setting: Setting, plate: Plate) -> float:
    """The greatest relief, chosen by a rule, that leaves whole a bend which the plate's runs follow; else infinite.

    A larger one, for a larger leg, cuts the bend away: it parts the runs and takes from their length.
    """
    if setting.job.bracket.relief_mm is not None or plate.legs or plate.notch is None:
        return math.inf
    return min((corner.radius_mm for corner in corners(plate.notch)), default=math.inf)


def _longer_foot(setting: Setting, on: _Loaded, times: float) -> Cure:
    """Direct load falls with the run's length and bending with its square: so much longer is enough."""
    if on.run.joint != "rail":
        return advise("a longer foot, or a thicker part under the weld")
    foot = setting.design.foot.foot
    if foot.end_mm is None:
        return advise("a longer foot on both faces of the rail, or a doubler plate on it")
    if on.plate.role == "gusset":
        return advise("gussets that reach further out, or a doubler plate under the ears")
    if times > MOST_LONGER:
        return advise("a thicker rail, or a doubler plate on it")
    begin, end = foot.stations
    wanted = larger.next_up_mm(setting, (end - begin) * times)
    words = message("foot to {}, longer at both ends alike, or a doubler plate on the rail", size(wanted))
    more = (wanted - (end - begin)) / 2.0
    first, last = begin - more, end + more
    traces = setting.surface.traces if setting.surface is not None else ()
    traced = (sorted((trace.chain.start.real, trace.chain.end.real)) for trace in traces)
    if not all(low <= first and last <= high for low, high in traced):
        return Cure(message("{}; the rail was not traced so far", words))
    return Cure(words, (Change("mount.foot", (mm(first), mm(last))),))


def piece(segment: Segment, placement: Placement) -> Piece:
    """An edge of a plane, placed in space."""
    start, end = segment.start, segment.end
    middle, along = placement.point((start + end) / 2), (end - start) / 2
    half_chord = mixed(placement.u, along.real, placement.v, along.imag)
    if not isinstance(segment, Arc):
        return Piece(middle, half_chord)
    # an arc that turns left bows to the right of its chord
    bow = (-1j if segment.bulge > 0.0 else 1j) * along / abs(along)
    return Piece(middle, half_chord, mixed(placement.u, bow.real, placement.v, bow.imag), abs(segment.sweep_rad) / 2.0)
