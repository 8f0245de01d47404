"""A tube's wall where tabs or a pad are welded to it: dented by what their beads press and pull square to it.

Every bead is a line on the wall. What it pushes uses a share of what the wall takes of one plate in the middle, what
tilts it along its length another, and the shares of all beads are added, whichever way each of them goes: so a plate
that is tilted aside uses the wall as both of its beads do.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from plategen.bracket.model import WeldRun
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.load_path import Assembly
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.checks.weld import group_of, loads_on
from plategen.checks.worst import worst_of
from plategen.ground.cure import advise
from plategen.ground.message import Message, message, mpa, newton, number
from plategen.ground.space import Vector, dot, minus
from plategen.rail.tube import Tube
from plategen.rules import tube_wall as rule
from plategen.rules import wall_bending
from plategen.rules.plate_section import Floats
from plategen.rules.safety import EN_JOINTS, YIELDING, Safety

DENTED = Check(
    "tube wall under its welds",
    "rail wall",
    "1",
    source="AISC 360-22 Table K2.1, AISC 360-10 Table K1.2, the parts added",
    en_source=f"{EN_JOINTS} Tables 7.3 (a plate across it from memory) and 7.13, the parts added",
    needs="plates welded to a tube",
    not_covered="A tube's wall is judged as tested joints of plates on long tubes are: away from its ends, and without "
    "the force of another part that is welded to it close by.",
)
CHECKS = (DENTED,)
"""Asked where the wall of a rail would be: :mod:`.rail_wall`."""


def not_ruled(setting: Setting) -> Message | None:
    """Why no published rule covers the tube's wall; None where one does, or nothing is welded to it."""
    tube = setting.surface
    runs = [run for run in setting.bracket.welds if run.joint == "tube"]
    if not runs or not isinstance(tube, Tube):
        return None
    slender, most = tube.across_mm / tube.wall_mm, rule.MOST_SLENDER_ROUND
    if not tube.round:
        most = rule.MOST_SLENDER_ACROSS if tube.along_pin else rule.MOST_SLENDER_ALONG
    if slender > most:
        words = "a tube {} times as wide as its wall is thick, the rules hold up to {}"
        return message(words, number(slender), number(most))
    least = rule.LEAST_ROUND_ACROSS if tube.round else rule.LEAST_SQUARE_ACROSS
    if tube.along_pin and min(_chord(run) for run in runs) < least * tube.across_mm:
        return message("a plate across a tube that is narrower than {} of it", number(least))
    return None


def check_tube_wall(setting: Setting) -> Iterator[Finding]:
    """The tube's wall in every view, where a published rule covers it."""
    tube = setting.surface
    if not isinstance(tube, Tube) or not_ruled(setting) is not None:
        return
    beads = [bead for assembly in setting.assemblies if assembly.carriers for bead in _beads(setting, assembly, tube)]
    if beads:
        for view in setting:
            yield _dented(setting, view, tube, beads)


@dataclass(frozen=True, slots=True)
class _Bead:
    """What a bead does to the wall square to it, load factor not in: a number for every load case."""

    run: WeldRun
    push_n: Floats
    tilt_nmm: Floats  # Along the bead.


def _beads(setting: Setting, assembly: Assembly, tube: Tube) -> Iterator[_Bead]:
    runs = [run for run in assembly.rail_runs if run.joint == "tube"]
    loads = loads_on(setting, assembly)
    group = group_of(setting, assembly)
    for run in runs:
        ends = [run.placement.point(run.path.start), run.placement.point(run.path.end)]
        lines = group.pressed_at(loads, ends, [_square(tube, at) for at in ends])
        if np.isnan(lines).any():  # runs on one line, turned about it: the throat's strength stops
            continue
        first, last = lines.T
        length = run.length_mm
        yield _Bead(run, np.abs(first + last) / 2.0 * length, np.abs(last - first) * _chord(run) * length / 12.0)


def _chord(run: WeldRun) -> float:
    """From a bead's beginning to its end."""
    return abs(run.path.end - run.path.start)


def _square(tube: Tube, at: Vector) -> Vector:
    """The way square to the wall at a bead: to a round tube's axis along it, else to the side that plates stand on."""
    toward = tube.across(0.0).v
    if not tube.round or tube.along_pin:
        return toward
    away = minus(at, (tube.axis.real, tube.axis.imag, tube.axis_w_mm))
    along = dot(away, tube.direction)
    x, y, z = (a - along * d for a, d in zip(away, tube.direction, strict=True))
    size = math.hypot(x, y, z)
    return (x / size, y / size, z / size)


def _dented(setting: Setting, view: View, tube: Tube, beads: list[_Bead]) -> Finding:
    shares = np.sum([_share(setting, view, tube, bead) for bead in beads], axis=0)
    left = _left(setting, view, tube)
    share, (case, _) = worst_of((shares / np.maximum(left, 1e-9))[:, None] * view.factor)
    names = dict.fromkeys(bead.run.plate for bead in beads)
    return view.strength(
        DENTED,
        part("tube", *names),
        share,
        1.0,
        assumed=message(
            "{} tube, plates {} it, each bead as a plate in the middle of its wall; up to {} on one bead; "
            "yield strength counted {}; the tube's own bending leaves {} of the wall's strength",
            "round" if tube.round else "square",
            "across" if tube.along_pin else "along",
            newton(max(float(bead.push_n[case]) for bead in beads)),
            mpa(_yield(setting, view)),
            number(float(left[case])),
        ),
        case=setting.cases[case].name,
        cure=lambda: advise(
            "a tube of {} wall or more, a longer foot, or a clamp", larger.up(setting, tube.wall_mm * share**0.5)
        ),
    )


def _yield(setting: Setting, view: View) -> float:
    return rule.counted_yield_mpa(setting.wall.fy_mpa, setting.wall.fu_mpa, en=view.en)


def _share(setting: Setting, view: View, tube: Tube, bead: _Bead) -> Floats:
    """Of what the wall takes of one plate, lowered by its safety; the tube's own stress and the load factor not in."""
    fy, length = _yield(setting, view), _chord(bead.run)
    plate_mm = setting.plates[bead.run.plate].thickness_mm
    if tube.round:
        ruled = rule.round_across_n if tube.along_pin else rule.round_along_n
        can = ruled(fy, tube.wall_mm, tube.across_mm, length, en=view.en)
        arm, safety = (rule.ACROSS_ARM if tube.along_pin else rule.ALONG_ARM) * length, YIELDING
    elif tube.along_pin:
        can = wall_bending.face_across_n(fy, tube.wall_mm, tube.across_mm, length, en=view.en)
        arm, safety = rule.ACROSS_ARM * length, wall_bending.FACE_ACROSS
        if length >= tube.across_mm - 2.0 * tube.wall_mm:
            can = min(can, rule.sidewalls_n(fy, tube.wall_mm, plate_mm, tube.corner_mm, en=view.en))
    else:
        wall = wall_bending.face_along(
            fy, tube.wall_mm, tube.across_mm, plate_mm, length, en=view.en, leg_mm=bead.run.leg_mm
        )
        can, safety = wall.push_n, wall_bending.FACE
        arm = wall.tilt_nmm(length) / can
    used: Floats = (bead.push_n + bead.tilt_nmm / arm) / (can * _factor(view, safety))
    return used


def _left(setting: Setting, view: View, tube: Tube) -> Floats:
    """What the tube's own bending leaves of its wall's strength, for every load case.

    Half of the couple by which the cylinder's line lies beside the tube's: what the side that is bent less has of it.
    Along the pin the cylinder bends the tube as a beam whose length is not told.
    """
    sizes = np.array([case.size_n for case in setting.cases])
    if tube.along_pin:
        return np.ones(len(sizes))
    outside, inside = tube.across_mm, tube.across_mm - 2.0 * tube.wall_mm
    modulus = (outside**4 - inside**4) / outside * (math.pi / 32.0 if tube.round else 1.0 / 6.0)
    most = _yield(setting, view) * (0.6 if view.rules == "aisc-asd" else 1.0)
    stressed = sizes * view.factor * abs(tube.inline_offset_mm) / 2.0 / modulus / most
    ruled = rule.left_of_round if tube.round else lambda u: rule.left_of_square(u, en=view.en)
    return np.array([ruled(float(each)) for each in stressed])


def _factor(view: View, safety: Safety) -> float:
    """What of a nominal strength may be used."""
    return 1.0 / wall_bending.GAMMA_M5 if view.en else safety.available(1.0, view.rules)
