"""A doubler between its two long edges: the ears pull it off the rail, and it bends across to its beads.

It is taken as a strip that its edge beads hold down and no more: plugs, the rail's wall under it and what it carries
along the rail are left out. Pressed, it lies on the rail; it is judged as if pulled as hard.
"""

from collections.abc import Iterator
from functools import partial

import numpy as np

from plategen.bracket.model import Plate
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, part
from plategen.checks.load_path import Assembly, standing_alone
from plategen.checks.pushed import Pushed, pushed_by
from plategen.checks.setting import Setting
from plategen.checks.view import View
from plategen.checks.worst import worst_of
from plategen.ground.cure import Cure
from plategen.ground.message import message, mm
from plategen.rules.plate_section import Floats
from plategen.rules.safety import AISC, YIELDING

BENDS = Check(
    "doubler in bending",
    "doubler",
    "1",
    source=f"{AISC} F11, a strip across the rail",
    en_source="EN 1993-1-1:2005 6.2.5, a strip across the rail",
    needs="a doubler under the ears",
    not_covered="A doubler's plug welds count for nothing, and rust between it and the rail is not judged.",
)
CHECKS = (BENDS,)
"""The checks of this file."""


def check_doubler(setting: Setting) -> Iterator[Finding]:
    """Bending of a doubler across the rail; nothing without one."""
    for assembly in setting.assemblies:
        doubler = next((plate for plate in assembly.plates if plate.role == "doubler"), None)
        if doubler is not None:
            yield from _bent(setting, assembly, doubler)


def _bent(setting: Setting, assembly: Assembly, doubler: Plate) -> Iterator[Finding]:
    pulled = [(alone, pushed_by(setting, alone, alone.plates[0])) for alone in standing_alone(assembly)]
    feet = [(on, _arm_mm(assembly, doubler, on)) for _, on in pulled if on is not None]
    if not feet:
        return
    # a pull of both ears at once bends the strip as that of the one that bends it more: the moment between them is one
    moments: Floats = np.max([_line_n(on) * arm + on.aside_n for on, arm in feet], axis=0)
    fy, t = setting.steels[doubler.name].fy_mpa, doubler.thickness_mm
    for view in setting:
        most, (case, _) = worst_of(moments[:, None] * view.factor)
        share = most / _strength(view, fy, t)
        yield view.strength(
            BENDS,
            part(doubler.name),
            share,
            1.0,
            assumed=message(
                "plastic over {}, held down by its edge beads alone, up to {} from an ear's middle; plugs not counted",
                mm(t),
                mm(max(arm for _, arm in feet), "up"),
            ),
            case=setting.cases[case].name,
            cure=partial(_thicker, setting, t * share**0.5),
        )


def _thicker(setting: Setting, least_mm: float) -> Cure:
    return larger.raise_to(setting, "doubler.thickness", least_mm, "a doubler of {}", "less pressure")


def _line_n(on: Pushed) -> Floats:
    """The largest pull of a foot on a millimetre of its length: from its middle push, and from its tilt at the end."""
    line: Floats = on.push_n / on.length_mm + 6.0 * on.tilt_nmm / on.length_mm**2
    return line


def _arm_mm(assembly: Assembly, doubler: Plate, on: Pushed) -> float:
    """From an ear's middle to the nearest long edge of the doubler."""
    edges = [run.placement.point(run.path.start)[2] for run in assembly.rail_runs if run.plate == doubler.name]
    return min(abs(edge - on.middle_mm) for edge in edges)


def _strength(view: View, fy_mpa: float, thickness_mm: float) -> float:
    """Plastic moment of a millimetre of the strip that may be used, N mm/mm."""
    nominal = fy_mpa * thickness_mm**2 / 4.0
    return nominal if view.en else YIELDING.available(nominal, view.rules)
