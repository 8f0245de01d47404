"""The foot that a job asks for on a rail, or the one that a rule chooses where the job leaves it out, and its words."""

from collections.abc import Callable
from typing import TypeAlias

from plategen.design.foot import ChosenFoot, Foot, corner_of, rise_there_is
from plategen.design.foot_length import Asked
from plategen.flat.chain import Chain
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rail.corner import Corner, corners
from plategen.rail.surface import Rail

FROM_END_MM = 3.0
"""The foot ends this far short of the last reading: beyond it nothing is known."""


Asking: TypeAlias = Callable[[Chain, bool], Asked]
"""How long a foot should be on a section of the rail, given whether it goes round the rail's corner."""


def foot_on_rail(
    job: Job, rail: Rail, faces_mm: tuple[float, float], about: complex, relief_mm: float, asked: Asking
) -> ChosenFoot:
    """The foot of plates on a rail: as the job gives it, what it left out chosen by rule.

    Args:
        job: The job.
        rail: The rail, in the frame that the plates are drawn in.
        faces_mm: w of the outermost faces.
        about: What the foot should stand over, in that frame: the pin, or the middle of the bolts.
        relief_mm: Radius of the relief at a sharp corner, where nothing is welded.
        asked: How long it should be.

    Raises:
        Refusal: If the trace has no room for a foot.
    """
    given, rise = job.mount.foot_mm, job.mount.foot_rise_mm
    if given is not None and len(given) == 2:
        return ChosenFoot(foot=Foot(*given))
    if given is not None and rise is not None:
        return ChosenFoot(foot=Foot(given[0], None, rise))
    section = rail.section(sum(faces_mm) / 2)
    if given is None and rise is None and not (_goes_round(rail) and corners(section)):
        return _straight(job, rail, section, about, asked(section, False))
    return _round(job, rail, section, about, relief_mm, asked(section, True))


def _straight(job: Job, rail: Rail, section: Chain, about: complex, asked: Asked) -> ChosenFoot:
    """A foot about the place of the rail that is nearest to what it stands over, within every trace."""
    length_mm, rule = asked
    first = max(min(r.point.real for r in fitted.trace.readings) for fitted in rail.traces) + FROM_END_MM
    last = min(max(r.point.real for r in fitted.trace.readings) for fitted in rail.traces) - FROM_END_MM
    if last <= first:
        raise Refusal("the traces have no stretch in common for a foot; read them over the same stations", "mount.foot")
    index, t = section.nearest(about)
    edge = section.segments[index]
    half = length_mm / 2 * abs(edge.tangent(t).real)
    middle = min(max(edge.point(t).real, first), last)
    begin, end = PLATE_SIZES.down(middle - half, job.units), PLATE_SIZES.up(middle + half, job.units)
    if end - begin > last - first:
        begin, end = first, last
    elif begin < first:
        begin, end = first, first + (end - begin)
    elif end > last:
        begin, end = last - (end - begin), last
    cut = "; cut short by the trace" if end - begin < 2 * half - 1e-6 else ""
    return ChosenFoot(foot=Foot(begin, end), why=message("foot from {}, on the next shop size out{}", rule, cut))


def _round(job: Job, rail: Rail, section: Chain, about: complex, relief_mm: float, asked: Asked) -> ChosenFoot:
    """A foot round the corner: along the underside from beyond what it carries, and half the length up the side."""
    (length_mm, rule), given, rise = asked, job.mount.foot_mm, job.mount.foot_rise_mm
    if given is None:
        corner = min(corners(section), key=lambda c: abs(c.point - about), default=None)
        if corner is None:
            raise Refusal("a foot_rise needs a trace that goes round the rail's corner", "mount.foot_rise")
        away = -1.0 if abs(corner.into.real) >= abs(corner.out.real) else 1.0
        under = max(0.0, away * (about - corner.point).real) + length_mm / 2 + _not_welded(corner, relief_mm)
        ends = [_ends_along(fitted.chain, away) for fitted in rail.traces]
        limit = max(ends) + FROM_END_MM if away < 0.0 else min(ends) - FROM_END_MM
        step_out = PLATE_SIZES.up if away > 0.0 else PLATE_SIZES.down
        begin = step_out(corner.point.real + away * under, job.units)
        begin = max(begin, limit) if away < 0.0 else min(begin, limit)
    else:
        begin = given[0]
    corner, _ = corner_of(section, begin)
    if rise is None:
        there = min(rise_there_is(fitted.chain, begin) for fitted in rail.traces) - FROM_END_MM
        rise = min(PLATE_SIZES.up(length_mm / 2 + _not_welded(corner, relief_mm), job.units), there)
    why = message("foot round the corner from {}, half of it up the side", rule)
    return ChosenFoot(foot=Foot(begin, None, rise), why=why)


def _not_welded(corner: Corner, relief_mm: float) -> float:
    """How much of each face the relief at a corner takes from the weld."""
    return relief_mm if corner.radius_mm < relief_mm else 0.0


def _goes_round(rail: Rail) -> bool:
    return all(fitted.trace.round_corner for fitted in rail.traces)


def _ends_along(chain: Chain, away: float) -> float:
    """Station of the trace's end on the underside."""
    return (chain.start if away < 0.0 else chain.end).real
