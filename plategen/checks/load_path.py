"""How the cylinder's force reaches the rail: which plates hold the pin, what is joined to what, who takes how much."""

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations, product

from plategen.bracket.model import Bracket, Hole, Plate, WeldRun
from plategen.flat.loop import Circle
from plategen.ground.space import Vector, dot, minus
from plategen.rules.pin_plate import near_ear_share

_SAME_AXIS_MM = 0.05  # holes whose axes lie closer than this take one bolt
_TOUCHING_MM = 3.2  # plates no further apart than the thickest packing (1/8 in) lie on each other


@dataclass(frozen=True, slots=True)
class Carrier:
    """A plate that holds the pin."""

    plate: Plate  # The plate.
    hole: Hole  # Its pin hole.
    share: float  # Largest share of the force in its plane, the eye hard against it.
    at: Vector  # Where the pin's centre line meets the plate's mid-plane.


@dataclass(frozen=True, slots=True)
class BoltJoint:
    """Two plates that lie on each other, held by bolts through holes on common axes."""

    upper: Plate
    lower: Plate
    upper_holes: tuple[Hole, ...]
    lower_holes: tuple[Hole, ...]

    @property
    def ways(self) -> tuple[complex, ...]:
        """For each bolt the direction of its slot in the upper plate, 0 in a round hole; none without slots."""
        along = {slot.name: slot.ends[1] - slot.ends[0] for slot in self.upper.slots}
        ways = [along.get(hole.name, 0j) for hole in self.upper_holes]
        return tuple(way / abs(way) if way else 0j for way in ways) if along else ()

    @property
    def stopped(self) -> bool:
        """Whether bolts in round holes stop the others along their slots."""
        return 0j in self.ways

    @property
    def on_wall(self) -> bool:
        """Whether the lower one is the rail's own wall, a thin one that gives between its bolts."""
        return self.lower.role == "wall"


@dataclass(frozen=True, slots=True)
class Assembly:
    """Plates joined to each other, that stand on the rail as one."""

    plates: tuple[Plate, ...]  # Its plates.
    carriers: tuple[Carrier, ...]  # Those of them that hold the pin.
    rail_runs: tuple[WeldRun, ...]  # The runs that hold it to the rail.
    ties: tuple[WeldRun, ...]  # The runs between its plates.

    @property
    def share(self) -> float:
        """Largest share of the force in the plates' plane that it takes: all of it when it holds both pin plates."""
        return 1.0 if len(self.carriers) > 1 else self.carriers[0].share if self.carriers else 0.0

    def loaded_at(self, pin: Vector) -> Vector:
        """Where the force acts on it."""
        return pin if len(self.carriers) != 1 else self.carriers[0].at


def carriers(bracket: Bracket) -> tuple[Carrier, ...]:
    """The plates that hold the pin, with their largest shares."""
    holding = []
    for plate in bracket.plates:
        for hole in plate.holes:
            foot = plate.placement.flat(bracket.pin.centre)
            if abs(hole.circle.centre - foot) <= _SAME_AXIS_MM and hole.bolt_mm == bracket.pin.diameter_mm:
                holding.append((plate, hole))
                break
    pin = bracket.pin
    return tuple(
        Carrier(
            plate,
            hole,
            near_ear_share(pin.eye_width_mm, plate.thickness_mm, pin.gap_mm) if len(holding) > 1 else 1.0,
            plate.placement.point(hole.circle.centre, plate.thickness_mm / 2.0),
        )
        for plate, hole in holding
    )


def bolt_joints(bracket: Bracket) -> tuple[BoltJoint, ...]:
    """Pairs of plates with bolt holes on common axes, the one further from the rail first; a base with its wall."""
    joints = []
    wall, base = bracket.wall, bracket.of_role("base")
    if wall is not None and base is not None:
        mine = bolt_holes(base)  # of a base in slots those that are round stand first
        theirs = tuple(next(h for h in bolt_holes(wall) if h.name == each.name) for each in mine)
        joints.append(BoltJoint(base, wall, mine, theirs))
    others = [plate for plate in bracket.plates if bolt_holes(plate) and plate.role not in ("base", "backing")]
    for one, other in combinations(others, 2):
        holes = product(bolt_holes(one), bolt_holes(other)) if _touching(one, other) else ()
        pairs = [(a, b) for a, b in holes if _one_axis(one, a, other, b)]
        if pairs:
            mine, theirs = tuple(a for a, _ in pairs), tuple(b for _, b in pairs)
            welded = any(run.plate == one.name and run.joint == "rail" for run in bracket.welds)
            joints.append(BoltJoint(other, one, theirs, mine) if welded else BoltJoint(one, other, mine, theirs))
    return tuple(joints)


def bolt_holes(plate: Plate) -> tuple[Hole, ...]:
    """A plate's bolt holes; a slot counts as a hole of its width where the bolt sits in it."""
    slots = (
        Hole(
            name=slot.name,
            purpose="bolt",
            circle=Circle(slot.at, slot.width_mm / 2.0),
            bolt_mm=slot.bolt_mm,
            made="cut",
            edge_required_mm=slot.edge_required_mm,
            edge_source=slot.edge_source,
        )
        for slot in plate.slots
    )
    return (*(hole for hole in plate.holes if hole.purpose == "bolt" and hole.bolt_mm > 0.0), *slots)


def standing_alone(assembly: Assembly) -> tuple[Assembly, ...]:
    """Each pin plate that is welded to another plate instead of the rail, as an assembly that stands on that plate."""
    on_rail = {run.plate for run in assembly.rail_runs}
    alone = []
    for carrier in assembly.carriers:
        runs = tuple(run for run in assembly.ties if run.plate == carrier.plate.name)
        if runs and carrier.plate.name not in on_rail:
            alone.append(Assembly((carrier.plate,), (carrier,), runs, ()))
    return tuple(alone)


def tab_carrier(joint: BoltJoint, held: Iterable[Carrier], pin: Vector) -> Carrier | None:
    """The welded plate of a joint seen as what carries the pin through the plate that is bolted to it."""
    tab = joint.lower
    for carrier in held:
        if carrier.plate is joint.upper and tab.notch is not None:
            foot = tab.placement.flat(pin)
            hole = replace(carrier.hole, circle=Circle(foot, carrier.hole.circle.radius))
            return Carrier(tab, hole, carrier.share, tab.placement.point(foot, tab.thickness_mm / 2.0))
    return None


def assemblies(bracket: Bracket, held: Iterable[Carrier], joints: Iterable[BoltJoint]) -> tuple[Assembly, ...]:
    """The groups of plates that are joined by welds or bolts, or are one that is bent."""
    group = {plate.name: {plate.name} for plate in bracket.plates}
    # ears that a crosshead ties lean together and no more: their welds on the rail are not one group for it
    hinged = {plate.name for plate in bracket.plates if plate.role == "crosshead"}
    pairs = [(run.plate, run.other) for run in bracket.welds if run.other in group and run.plate not in hinged]
    pairs += [(joint.upper.name, joint.lower.name) for joint in joints if joint.lower.name in group]
    if bracket.folded is not None:
        pairs += [(bend.ear, bracket.folded.base) for bend in bracket.folded.bends]
    for one, other in pairs:
        both = group[one] | group[other]
        for name in both:
            group[name] = both
    joined = []
    for names in {id(g): g for g in group.values()}.values():
        runs = [run for run in bracket.welds if run.plate in names]
        joined.append(
            Assembly(
                plates=tuple(plate for plate in bracket.plates if plate.name in names),
                carriers=tuple(carrier for carrier in held if carrier.plate.name in names),
                rail_runs=tuple(run for run in runs if run.other not in group),
                ties=tuple(run for run in runs if run.other in group),
            )
        )
    return tuple(joined)


def _touching(one: Plate, other: Plate) -> bool:
    n, m = one.placement.normal, other.placement.normal
    if abs(abs(dot(n, m)) - 1.0) > 1e-6:
        return False
    first = dot(n, minus(other.placement.origin, one.placement.origin))
    last = first + other.thickness_mm * dot(n, m)
    low, high = min(first, last), max(first, last)
    return low <= one.thickness_mm + _TOUCHING_MM and high >= -_TOUCHING_MM


def _one_axis(one: Plate, a: Hole, other: Plate, b: Hole) -> bool:
    return abs(one.placement.flat(other.placement.point(b.circle.centre)) - a.circle.centre) <= _SAME_AXIS_MM
