"""What the welder must know: whether a torch reaches the runs of a closed bracket, and the order where runs meet.

A torch comes to a fillet between the two faces, half way between them or not far off it, leaning along the run if need
be. From places along each run rays are cast in such directions; the way is free as far as none of the bracket's plates
stands within the nozzle's half width of it. The rail lies behind the run and is in no such way.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, product

from plategen.bracket.feature import in_the_way
from plategen.bracket.measure import along_pin
from plategen.bracket.model import Bracket, Joint, Plate, WeldRun
from plategen.bracket.prism import Prism
from plategen.checks.finding import Check, Finding, Part
from plategen.checks.run import part_of
from plategen.checks.setting import REMEMBERED, Setting
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.placement import Placement
from plategen.ground.in_words import in_words
from plategen.ground.message import Message, message, mm
from plategen.ground.space import Vector, dot, minus, mixed

NOZZLE_MM = 20.0
"""Outside diameter of a gas nozzle (common practice, no source)."""

REACH_MM = 75.0
"""Length of nozzle and neck that must go in straight before the torch may bend away (common practice, no source)."""

TIP_MM = 12.0
"""From the root to the nozzle's end: the wire stands out 10 to 20 mm (welding-machine handbooks)."""

WORK_RAD = tuple(math.radians(a) for a in (45.0, 30.0, 60.0))
"""Torch from the plate's face, across the run: 30 to 60 degrees (welding-machine handbooks)."""

TRAVEL_RAD = tuple(math.radians(a) for a in (0.0, 20.0, -20.0, 40.0, -40.0))
"""Lean along the run; beyond some 20 degrees the bead suffers, beyond 40 it fails (common practice, no source)."""

SHARES = (0.1, 0.5, 0.9)
"""Places along a run that are looked at in a closed bracket; in an open one the middle, farthest from either end."""

RETURN_LEGS = 2.0
"""How far a bead is returned round the end of a bracket's plate, over its leg."""

_STEPS = 7

_MEET_MM = 3.0
"""Ends of runs closer than this, beside their legs, meet: a bead more or less."""


ACCESS = Check(
    "torch access",
    "torch access",
    "mm",
    "at least",
    source="common practice, no source; torch angles from welding-machine handbooks",
    needs="closing plates, or plates beside each other",
    most="caution",
    not_covered="What stands on the rail beyond the trace is not seen in the torch's way.",
)
CHECKS = (ACCESS,)
"""The checks of this file."""


@dataclass(frozen=True, slots=True)
class _Seam:
    """Where a run lies: what its access depends on, whatever its leg."""

    path: Chain
    placement: Placement
    plate: str
    joint: Joint


@dataclass(frozen=True, slots=True)
class _Body:
    """A plate in a torch's way, or something on the rail."""

    name: str
    plate: Plate | Prism
    bounds: tuple[float, float, float, float]  # Of its outline.

    def depth(self, point: Vector) -> float:
        """How far a point lies behind its outline's face."""
        return dot(minus(point, self.plate.placement.origin), self.plate.placement.normal)

    def near(self, root: Vector, way: Vector, far_mm: float, depth_mm: float, within_mm: float) -> bool:
        """Whether it comes within a distance of a point so far along a way, which lies so deep behind its face."""
        plate = self.plate
        if not -within_mm < depth_mm < plate.thickness_mm + within_mm:
            return False
        flat = plate.placement.flat(mixed(root, 1.0, way, far_mm))
        u0, v0, u1, v1 = self.bounds
        if not (u0 - within_mm < flat.real < u1 + within_mm and v0 - within_mm < flat.imag < v1 + within_mm):
            return False
        if inside(plate.outline, flat):
            return True
        beyond = max(0.0, -depth_mm, depth_mm - plate.thickness_mm)
        return math.hypot(plate.outline.distance(flat), beyond) < within_mm


def check_access(setting: Setting) -> Iterator[Finding]:
    """A finding for every run of a closed bracket, and for those between plates of an open one: the free way in.

    Between plates that stand beside each other the torch does best by leaning least off the face it welds at.
    """
    bracket, closed = setting.bracket, setting.job.closing is not None
    on_rail = tuple((each.name, each.body) for each in in_the_way(setting.features))
    stiff = setting.job.gusset is not None or setting.job.crosshead is not None
    close = closed or stiff or bool(on_rail)
    shares, work = (SHARES, WORK_RAD) if close else ((0.5,), (min(WORK_RAD),))
    for run in bracket.welds:
        if not close and run.side != "inside":
            continue
        yield ACCESS.at_least(
            Part(part_of(run).names, in_words(f"{part_of(run)}, {run.side}"), run.name),
            REACH_MM,
            _way_in(_Seam(run.path, run.placement, run.plate, run.joint), bracket.plates, on_rail, shares, work),
            assumed=message(
                "nozzle of {}; every plate in place, the cylinder not; what stands on the rail beyond the trace is not "
                "seen{}",
                mm(NOZZLE_MM),
                "; what the job says is on the rail is" if on_rail else "",
            ),
            cure=_cure(setting, closed=closed),
        )


def _cure(setting: Setting, *, closed: bool) -> str:
    if closed:
        return "weld it before the plate that closes it in, or leave a wider opening"
    if setting.job.gusset is not None:
        return "weld the ears to the rail before the gussets stand beside them, or take a lower gusset"
    if setting.job.crosshead is not None:
        return "weld the crosshead to both ears on the bench, before they stand on the rail, or set it elsewhere"
    beside = "weld it before the plate beside it stands, or set the two wider apart with spacers on the pin"
    return f"{beside}; or take off for the welding what is in the torch's way" if setting.features else beside


@lru_cache(maxsize=REMEMBERED)
def _way_in(
    seam: _Seam,
    plates: tuple[Plate, ...],
    on_rail: tuple[tuple[str, Prism], ...],
    shares: tuple[float, ...],
    works_rad: tuple[float, ...],
) -> float:
    """The longest free way in at the worst of some places of a run, up to the reach that is asked."""
    bodies = [_Body(plate.name, plate, plate.outline.bounds) for plate in plates]
    bodies += [_Body(name, body, body.outline.bounds) for name, body in on_rail]
    return min(_best_way(seam, bodies, share, works_rad) for share in shares)


def _best_way(seam: _Seam, bodies: list[_Body], share: float, works_rad: tuple[float, ...]) -> float:
    """The longest free way in at a place of a run with the torch so far off the face, up to the reach that is asked."""
    index, t = seam.path.at(share * seam.path.length)
    edge = seam.path.segments[index]
    root = seam.placement.point(edge.point(t))
    along, down, out = _directions(seam, bodies, edge.tangent(t))
    best = 0.0
    for travel, work in product(TRAVEL_RAD, works_rad):
        across = mixed(out, math.sin(work), down, math.cos(work))
        best = max(best, _free(root, mixed(across, math.cos(travel), along, math.sin(travel)), bodies))
        if best >= REACH_MM:
            break
    return best


def _directions(seam: _Seam, bodies: list[_Body], tangent: complex) -> tuple[Vector, Vector, Vector]:
    """Along the run; down the face of its plate away from the other part; and square off that face."""
    body = next(body for body in bodies if body.name == seam.plate)
    plate = body.plate
    p, n = seam.placement, plate.placement.normal
    along = mixed(p.u, tangent.real, p.v, tangent.imag)
    depth = dot(minus(p.origin, plate.placement.origin), n)
    out = n if depth > plate.thickness_mm / 2 else (-n[0], -n[1], -n[2])
    into = tangent * -1j if seam.joint == "rail" else _into(body, seam, tangent)
    down = mixed(p.u, into.real, p.v, into.imag)
    return along, down, out


def _into(body: _Body, seam: _Seam, tangent: complex) -> complex:
    """From the edge of a plate into its steel, in its plane."""
    index, t = seam.path.at(seam.path.length / 2)
    at = seam.path.segments[index].point(t)
    u0, v0, u1, v1 = body.bounds
    middle = complex((u0 + u1) / 2, (v0 + v1) / 2)
    side = tangent * 1j
    return side if (side.conjugate() * (middle - at)).real > 0.0 else -side


def _free(root: Vector, way: Vector, bodies: list[_Body]) -> float:
    """How far a nozzle goes back along a way from its end until it would touch a plate."""
    free = 0.0
    lying = [(body, body.depth(root), dot(way, body.plate.placement.normal)) for body in bodies]
    for k in range(_STEPS):
        far = TIP_MM + (REACH_MM - TIP_MM) * k / (_STEPS - 1)
        # the nozzle's end is a cone: it is as wide as the nozzle only from there on
        half = NOZZLE_MM / 2 if k else NOZZLE_MM / 4
        if any(body.near(root, way, far, depth + rate * far, half) for body, depth, rate in lying):
            return free
        free = far
    return free


def weld_notes(bracket: Bracket) -> tuple[Message, ...]:
    """Order and access where runs meet: one sentence for each pair of runs whose ends come together.

    Runs on the two faces of one plate end at the same place, and a stop there is where cracks begin. Every run counts
    its whole length, so none may stop short either: the two are returned round the end as one bead, by two legs at
    least (end returns of brackets, AWS D1.1 and the AISC specification in their older editions; from memory).
    """
    notes, runs = [], bracket.welds
    for one, other in combinations(runs, 2):
        if not _meet(one, other):
            continue
        if one.plate == other.plate and one.other == other.other:
            words = (
                "{} and {} end together at the ends of {}: lay both to the very end, as their length counts, and "
                "return them round it in one pass, by {} at least; begin and stop away from the ends."
            )
            returned = mm(RETURN_LEGS * max(one.leg_mm, other.leg_mm))
            notes.append(message(words, one.name, other.name, in_words(one.plate), returned))
        else:
            first, last = (one.name, other.name) if one.joint == "rail" else (other.name, one.name)
            words = "{} and {} meet: weld {} first while it can be reached, dress its end, then {} over it."
            notes.append(message(words, first, last, first, last))
    for run in runs:
        names = [name for name in run.stops_at if name]
        if names:
            words = "{} stops short of {}: fill its crater before the torch leaves it, and grind no gap shut."
            notes.append(message(words, run.name, " and of ".join(names)))
    standing = {plate.name: plate for plate in bracket.plates if plate.role in ("ear", "tab")}
    inner = [run.name for run in runs if run.side == "inside" and run.plate in standing]
    spans = [along_pin([standing[name]]) for name in {run.plate for run in runs if run.name in inner}]
    gap = max((low for low, _ in spans), default=0.0) - min((high for _, high in spans), default=0.0)
    if inner and gap > 0.0 and not bracket.pin.fork_gap_mm:
        notes.append(
            message(
                "{} lie between the plates, {} apart: tack both plates with a spacer that wide on the pin, and see "
                "that the torch reaches before the second plate is welded.",
                ", ".join(inner),
                mm(gap),
            )
        )
    return tuple(notes)


def _meet(one: WeldRun, other: WeldRun) -> bool:
    faces = (one.plate, one.other) == (other.plate, other.other)  # the two faces of one plate lie its thickness apart
    apart = math.dist(one.placement.origin, other.placement.origin) if faces else 0.0
    reach = max(one.leg_mm, other.leg_mm, apart) + _MEET_MM
    return any(math.dist(a, b) <= reach for a in _ends(one) for b in _ends(other))


def _ends(run: WeldRun) -> tuple[Vector, ...]:
    """The run's ends, but for those where something on the rail stops it."""
    places = zip((run.path.start, run.path.end), run.stops_at, strict=True)
    return tuple(run.placement.point(p) for p, stopped in places if not stopped)
