"""What the traces do not tell of the rail: the bend between two straightedges, and what lies between unlike traces."""

import math
from collections.abc import Iterator
from itertools import pairwise

from plategen.checks.finding import Check, Finding, Part
from plategen.checks.setting import Setting
from plategen.ground.message import message, mm
from plategen.rail.corner import Corner, corners, goes_round
from plategen.rail.fit import alike
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace

WIDEST_BEND = 3.0
"""Outside radius of a bend over the wall's thickness that none passes that is bent cold or rolled: cold-formed hollow
sections have up to 3 (ASTM A500), pressed rails 2 to 3 (common practice, no source)."""

BEND = Check(
    "bend between straightedges", "rail", "mm", "at most", needs="two straightedges round a corner", most="caution"
)
ALIKE = Check("traces of unlike pieces", "rail", "1", "at most", needs="two traces", most="caution")
BEND_TOLD_BY = "measure the bend's radius (bend_radius) or read one point of it (bend_point), in [rail.trace.second]"
"""What to do where the bend was not read."""

CHECKS = (BEND, ALIKE)
"""The checks of this file."""


def check_rail(setting: Setting) -> Iterator[Finding]:
    """The bends that were not read where a plate goes round them, and whether the traces are of one rail."""
    rail = setting.surface
    if not isinstance(rail, Rail):
        return
    if any(plate.notch is not None and goes_round(plate.notch) for plate in setting.bracket.plates):
        for fitted in rail.traces:
            if (corner := unread_corner(fitted)) is not None:
                yield _bend(setting, fitted, corner)
    if len(rail.traces) > 1:
        unlike = [(a, b) for a, b in pairwise(rail.traces) if not alike(a, b)]
        named = unlike or [(rail.traces[0], rail.traces[-1])]
        yield ALIKE.at_most(
            Part((), " and ".join(fitted.trace.file for fitted in named[0])),
            0.0,
            float(len(unlike)),
            assumed="where a step or a bend is in one plane only, nobody knows how far along the pin it goes",
            cure="read one more trace between them, where a plate stands",
        )


def unread_corner(fitted: FittedTrace) -> Corner | None:
    """The corner between two straightedges that is taken sharp since nothing tells its bend; None if there is none."""
    bend = fitted.trace.bend
    if bend is None or bend.told:
        return None
    first, last = sorted(fitted.chain.nearest(point)[0] for point in bend.beside)
    between = (c for c in corners(fitted.chain) if first <= c.before and c.after <= last)
    return next((corner for corner in between if corner.radius_mm == 0.0), None)


def _bend(setting: Setting, fitted: FittedTrace, corner: Corner) -> Finding:
    """The gap that the widest bend would leave beside the plate; a relief cuts away what lies within its radius."""
    radius = WIDEST_BEND * setting.job.rail.wall_mm
    half = math.acos(max(-1.0, min(1.0, (corner.out * corner.into.conjugate()).real))) / 2.0
    reach, relief = radius * math.tan(half), setting.design.relief.mm
    if relief > 0.0:
        within = max(0.0, reach - relief)
        gap = radius - math.sqrt(radius**2 - within**2)
    else:
        gap = radius * (1.0 / math.cos(half) - 1.0)
    words = (
        "the bend between the two straightedges was not read and is taken sharp; one of {}, three times the wall, "
        "leaves a gap of up to {} that no other figure here holds"
    )
    return BEND.at_most(
        Part((), fitted.trace.file),
        0.0,
        gap,
        assumed=message(words, mm(radius), mm(gap, "up")),
        cure=BEND_TOLD_BY,
    )
