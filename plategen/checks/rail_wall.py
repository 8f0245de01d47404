"""The rail's wall where the foot stands on it: its bending between its corners, and the beads' room to its free edge.

What pushes, tilts and turns a plate aside uses shares of the wall's strength, which are added. Hinges that two plates
share are given the shares of both.
"""

from collections.abc import Iterable, Iterator, Sequence

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part, part
from plategen.checks.pushed import Pushed, pushed_by, pushed_by_edges
from plategen.checks.setting import Setting
from plategen.checks.tube_wall import DENTED, check_tube_wall, not_ruled
from plategen.checks.view import View
from plategen.checks.worst import worst_of
from plategen.ground.cure import advise
from plategen.ground.message import Message, Quantity, message, mm, newton
from plategen.rules import wall_bending as rule
from plategen.rules.plate_section import Floats
from plategen.rules.safety import AISC, EN_JOINTS, YIELDING, Safety
from plategen.rules.wall_bending import Resistance

EDGE_MM = 19.05
"""Room from a bead to a flange's free edge: 3/4 in, as truck builders keep it (common practice, no source)."""

TOLD = Check(
    "walls of the rail not judged",
    "rail wall",
    "whole",
    "at most",
    most="caution",
    not_covered="The rail as a whole is not judged: its bending and twist as a beam, and its own fatigue.",
)
BENDS = Check(
    "rail wall in bending",
    "rail wall",
    "1",
    source=f"yield lines with {AISC} F11, J10.1 and 360-10 Table K1.2; a flange by {EN_JOINTS} Table 6.4",
    en_source=f"yield lines with {EN_JOINTS} Tables 6.4 and 7.13",
    needs="the rail's section",
    not_covered="A wall is judged as one that goes on past the foot on both sides: near the rail's end it takes less.",
)
EDGE = Check("bead to the flange's edge", "rail wall", "mm", "at least", needs="a flange with a free edge")
OFF = Check("foot off the rail's face", "rail wall", "mm", "at most", needs="the rail's section")
CHECKS = (TOLD, BENDS, OFF, EDGE, DENTED)
"""The checks of this file."""

TELL = 'tell section = "channel", "box", "angle" or "flat" under [rail], and the face that the foot stands on'
ON_TUBE = "have an engineer look at the tube's wall; a clamp is kinder to it than plates welded to it"
"""What is to be done where a wall is not judged."""


def check_rail_wall(setting: Setting) -> Iterator[Finding]:
    """Every finding about the wall under the plates that stand on a rail, or under what is welded to a tube."""
    rail = setting.job.rail
    if setting.job.style.stands_on == "tube":
        yield from _on_tube(setting)
        return
    feet = [
        (assembly, plate)
        for assembly in setting.assemblies
        for plate in assembly.plates
        if plate.notch is not None and any(r.plate == plate.name and r.joint == "rail" for r in assembly.rail_runs)
    ]
    doublers = [
        (assembly, plate) for assembly in setting.assemblies for plate in assembly.plates if plate.role == "doubler"
    ]
    if not feet and not doublers:
        return
    corner = any(len(plate.legs) > 1 for _, plate in feet)
    yield _told(setting, corner=corner)
    if corner or rail.section in (None, "flat"):
        return
    carried = [(assembly, plate) for assembly, plate in feet if assembly.carriers]
    pushed = [pushed for assembly, plate in carried if (pushed := pushed_by(setting, assembly, plate)) is not None]
    pushed += [edge for assembly, plate in doublers for edge in pushed_by_edges(setting, assembly, plate)]
    if pushed:
        for view in setting:
            yield _bent(setting, view, pushed)
    for _, plate in (*feet, *doublers):
        yield from _edges(setting, plate)


def _on_tube(setting: Setting) -> Iterator[Finding]:
    """Whether a published rule covers the wall of a tube that plates or a pad are welded to; if so, what it says."""
    if not any(run.joint == "tube" for run in setting.bracket.welds):
        return
    why = not_ruled(setting)
    if why is None:
        yield TOLD.at_most(part("tube"), 0.0, 0.0, assumed="a tube, by its size")
    else:
        yield _left_out(part("tube"), message("{}: that its wall dents is NOT judged", why), ON_TUBE)
    yield from check_tube_wall(setting)


def _told(setting: Setting, *, corner: bool) -> Finding:
    """Whether the bending of the rail's walls can be judged."""
    section = setting.job.rail.section
    if corner:
        words = "a foot that goes round the rail's corner: the bending of its walls is NOT judged"
        return _left_out(part("rail"), message(words), "have an engineer look at the rail's walls under the foot")
    if section is None:
        words = "the rail's section is not told: the bending of its wall under the foot is NOT judged"
        return _left_out(part("rail"), message(words), TELL)
    flat = "a flat has no wall between corners; it bends and twists as a whole, which is not judged"
    return TOLD.at_most(part("rail"), 0.0, 0.0, assumed=flat if section == "flat" else section)


def _left_out(about: Part, words: Message, cure: str) -> Finding:
    """What is not judged, which stands first in the list of what is not covered as well."""
    plain = str(words)
    row = TOLD.variant(most="caution", not_covered=f"{plain[0].upper()}{plain[1:]}. {TOLD.not_covered}")
    return row.at_most(about, 0.0, 1.0, assumed=words, cure=cure)


def _bent(setting: Setting, view: View, pushed: Sequence[Pushed]) -> Finding:
    share, (case, _) = worst_of(_shares(setting, view, pushed)[:, None] * view.factor)
    rail = setting.job.rail
    return view.strength(
        BENDS,
        part("rail", *dict.fromkeys(on.plate.name for on in pushed)),
        share,
        1.0,
        assumed=message(
            "{} of a {}, {} wide, plates {} it; plate nearest to its held side {} from it; up to {} and {} "
            "along the foot on one plate; the rail's own stress taken as none{}",
            rail.face if rail.section != "box" else "face",
            rail.section or "",
            mm(rail.face_mm),
            rail.plates_lie,
            mm(min(_arm(setting, on) for on in pushed)),
            newton(max(float(on.push_n[case]) for on in pushed)),
            Quantity(max(float(on.tilt_nmm[case]) for on in pushed), "N·mm"),
            "; held as by hinges, for the flanges of an open section turn" if _hinged(setting) else "",
        ),
        case=setting.cases[case].name,
        cure=lambda: advise(
            "a doubler plate on the wall that makes it {} thick or more, or the foot nearer to what holds the wall",
            larger.up(setting, rail.wall_mm * share**0.5),
        ),
    )


def _hinged(setting: Setting) -> bool:
    """True where what holds the face turns with it: a channel's web between its flanges."""
    return setting.job.rail.section == "channel" and not setting.job.rail.free_edge


def _arm(setting: Setting, on: Pushed) -> float:
    """From the side that holds the face to the middle of a plate along it, or of the foot of one across."""
    held, across = setting.job.rail.face_from_mm, setting.job.rail.plates_lie == "across"
    return abs((on.station_mm if across else on.middle_mm) - held) if held is not None else 0.0


def _shares(setting: Setting, view: View, pushed: Sequence[Pushed]) -> Floats:
    """How much of the wall's strength each load case uses, load factor not in."""
    if setting.job.rail.free_edge:
        return _sum(_on_flange(setting, view, on) for on in pushed)
    alone = [_on_face(setting, view, [on]) for on in pushed]
    together = [_on_face(setting, view, pushed)] if setting.job.rail.plates_lie == "along" else []
    worst: Floats = np.maximum.reduce([*alone, *together])
    return worst


def _on_flange(setting: Setting, view: View, on: Pushed) -> Floats:
    """Of the hinges at the web and about the foot, along the flange or across it."""
    fy, t, factor = setting.wall.fy_mpa, setting.job.rail.wall_mm, _factor(view, YIELDING)
    if setting.job.rail.plates_lie == "across":
        wall = rule.flange_across(fy, t, setting.job.rail.face_mm, on.length_mm, _arm(setting, on))
        tilted = on.aside_n * on.length_mm / rule.flange_across_aside_nmm(fy, t, on.length_mm)
        return on.shares(wall, factor) + tilted / factor
    arm = _arm(setting, on)
    beyond = setting.job.rail.face_mm - arm
    aside = on.aside_n * on.length_mm / rule.flange_aside_nmm(fy, t, on.length_mm, beyond)
    return on.shares(rule.flange_along(fy, t, on.length_mm, arm, beyond), factor) + aside / factor


def _on_face(setting: Setting, view: View, pushed: Sequence[Pushed]) -> Floats:
    """Of a face that two walls hold; plates side by side push it in as one that is as wide as they are together."""
    rail, fy, t = setting.job.rail, setting.wall.fy_mpa, setting.job.rail.wall_mm
    sides = [on.middle_mm + half for on in pushed for half in (-on.plate.thickness_mm / 2, on.plate.thickness_mm / 2)]
    wide, length = max(sides) - min(sides), max(on.length_mm for on in pushed)
    held = 0.5 if _hinged(setting) else 1.0
    if rail.plates_lie == "across":
        wall = Resistance(rule.face_across_n(fy, t, rail.face_mm, length, en=view.en), 0.0)
        return _sum(on.shares(wall, held * _factor(view, rule.FACE_ACROSS)) for on in pushed)
    leg = min(on.leg_mm for on in pushed)
    wall = rule.face_along(fy, t, rail.face_mm, wide, length, en=view.en, leg_mm=leg)
    aside = [on.aside_n / rule.face_tilt_n(fy, t, rail.face_mm, on.plate.thickness_mm) for on in pushed]
    most: Floats = np.maximum.reduce(aside) / (held * _factor(view, YIELDING))
    return _sum(on.shares(wall, held * _factor(view, rule.FACE)) for on in pushed) + most


def _sum(shares: Iterable[Floats]) -> Floats:
    return np.asarray(sum(shares))


def _factor(view: View, safety: Safety) -> float:
    """What of a nominal strength may be used."""
    return 1.0 / rule.GAMMA_M5 if view.en else safety.available(1.0, view.rules)


def _edges(setting: Setting, plate: Plate) -> Iterator[Finding]:
    """Whether a plate's beads lie on the face that the job tells, and how far from a free edge of it."""
    rail, place = setting.job.rail, plate.placement
    runs = [run for run in setting.bracket.welds if run.plate == plate.name and run.joint == "rail"]
    assert rail.face_from_mm is not None
    assert rail.face_to_mm is not None
    out = 1.0 if rail.face_to_mm > rail.face_from_mm else -1.0
    if rail.plates_lie == "along" and abs(place.normal[2]) >= 0.5:  # it lies across the pin
        roots = [place.origin[2], place.origin[2] + place.normal[2] * plate.thickness_mm]
    else:
        axis = 0 if rail.plates_lie == "across" else 2
        roots = [run.placement.point(end)[axis] for run in runs for end in (run.path.start, run.path.end)]
    held, free = (min(side) for side in zip(*_rooms(rail.face_from_mm, rail.face_to_mm, roots, out), strict=True))
    over = -held if rail.free_edge else -min(held, free)
    yield OFF.at_most(
        part(plate.name),
        0.0,
        max(0.0, over),
        assumed=message("face from {} to {}, as the job tells it", mm(rail.face_from_mm), mm(rail.face_to_mm)),
        cure=lambda: advise("the foot {} further in, or the face as it is under [rail]", larger.up(setting, over)),
    )
    if rail.free_edge:
        beside = 0.0 if rail.plates_lie == "across" else max(run.leg_mm for run in runs)
        yield _edge(setting, plate, free - beside)


def _rooms(first_mm: float, last_mm: float, roots_mm: Sequence[float], out: float) -> Iterator[tuple[float, float]]:
    """From every root to where the face begins, and to where it ends."""
    return (((root - first_mm) * out, (last_mm - root) * out) for root in roots_mm)


def _edge(setting: Setting, plate: Plate, room_mm: float) -> Finding:
    """From the outermost bead to the flange's free edge; over the edge a stop, near it a caution."""
    across = setting.job.rail.plates_lie == "across"
    near = EDGE if room_mm < 0.0 else EDGE.variant(most="caution")
    return near.at_least(
        part(plate.name),
        EDGE_MM,
        room_mm,
        assumed=message(
            "from {}; truck builders keep heat so far from a flange's edge",
            "where the beads end" if across else "the toe of the outermost bead",
        ),
        cure=lambda: advise(
            "the foot {} shorter towards the edge" if across else "the plates {} nearer to the web, or on the web",
            larger.up(setting, EDGE_MM - room_mm),
        ),
    )
