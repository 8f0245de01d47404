"""The foot that a job asks for, or the one that a rule chooses because the job left it out, with the rule's words."""

import math
from dataclasses import dataclass

from plategen.bracket.corner import corners
from plategen.bracket.foot import Foot, corner_of, rise_there_is
from plategen.bracket.proportion import next_shop_size
from plategen.flat.chain import Chain
from plategen.flat.side import offset_from
from plategen.job import Job
from plategen.rail.surface import Rail
from plategen.refusal import Refusal
from plategen.strength.loads import push_n, rules_of
from plategen.strength.material import weld_metal
from plategen.strength.pin import near_ear_share
from plategen.strength.weld import throat_mm, throat_stress_mpa

HEIGHTS = 2.0
"""Foot over the pin's height from the rail: flanks no flatter than 45 degrees (common practice, no source)."""

NOSES = 2.5
"""Foot over nose radius, so that the flanks spread from the nose to the rail (common practice, no source)."""

IN_HAND = 1.25
"""Weld length over what the line load needs: side force and skew come on top of the push."""

FROM_END_MM = 3.0
"""The foot ends this far short of the last reading: beyond it nothing is known."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenFoot:
    """The foot and, where a rule chose any of it, the sentence that says so."""

    foot: Foot
    why: str = ""


def foot_on(job: Job, rail: Rail, faces_mm: tuple[float, float], nose_mm: float) -> ChosenFoot:
    """The foot of plates on a rail: as the job gives it, what it left out chosen by rule.

    Raises:
        Refusal: If the trace has no room for a foot.
    """
    given, rise = job.mount.foot_mm, job.mount.foot_rise_mm
    if given is not None and len(given) == 2:
        return ChosenFoot(foot=Foot(*given))
    if given is not None and rise is not None:
        return ChosenFoot(foot=Foot(given[0], None, rise))
    section = rail.section(sum(faces_mm) / 2)
    length, rule = _length(job, section, nose_mm)
    if given is None and rise is None and not (_goes_round(rail) and corners(section)):
        return _straight(job, rail, section, length, rule)
    return _round(job, rail, section, length, rule)


def _length(job: Job, section: Chain, nose_mm: float) -> tuple[float, str]:
    """How long a foot should be, and the rule that asks for most."""
    height = -offset_from(section, complex(job.mount.pin_station_mm, 0.0))
    asked = (
        (IN_HAND * weld_length_mm(job, max(height, 0.0)), "the weld's line load at relief pressure with shock"),
        (HEIGHTS * height, f"{HEIGHTS:g} x the pin's height from the rail (common practice, no source)"),
        (NOSES * nose_mm, f"{NOSES:g} x the nose radius (common practice, no source)"),
    )
    return max(asked)


def weld_length_mm(job: Job, height_mm: float) -> float:
    """Length L of an ear's two runs that carries the push: sqrt((F/2L)^2 + (3 F h/L^2)^2) = q.

    F the ear's share of the push with shock, h the pin's height from the rail, q what a fillet carries for each mm;
    the runs as two lines in bending and shear (weld treated as a line, Sw = L^2/6 a line).
    """
    base, bracket = job.cylinder.base, job.bracket
    push = rules_of(job).shock_factor * push_n(job.cylinder.pressure_mpa, job.cylinder.bore_mm)
    f = push * near_ear_share(base.eye_width_mm, bracket.thickness_mm, bracket.side_play_mm)
    q = throat_mm(job.weld.leg_mm) * throat_stress_mpa(weld_metal(job.weld.electrode).fexx_mpa, "aisc-asd")
    direct, bent = (f / 2.0) ** 2, (3.0 * f * height_mm) ** 2
    return math.sqrt((direct + math.sqrt(direct**2 + 4.0 * q**2 * bent)) / (2.0 * q**2))


def _straight(job: Job, rail: Rail, section: Chain, length_mm: float, rule: str) -> ChosenFoot:
    """A foot about the place of the rail that is nearest to the pin, within every trace."""
    first = max(min(r.point.real for r in fitted.trace.readings) for fitted in rail.traces) + FROM_END_MM
    last = min(max(r.point.real for r in fitted.trace.readings) for fitted in rail.traces) - FROM_END_MM
    if last <= first:
        raise Refusal("the traces have no stretch in common for a foot; read them over the same stations", "mount.foot")
    index, t = section.nearest(complex(job.mount.pin_station_mm, 0.0))
    edge = section.segments[index]
    half = length_mm / 2 * abs(edge.tangent(t).real)
    middle = min(max(edge.point(t).real, first), last)
    begin, end = _down(middle - half, job.units), _down(middle + half, job.units, up=True)
    if end - begin > last - first:
        begin, end = first, last
    elif begin < first:
        begin, end = first, first + (end - begin)
    elif end > last:
        begin, end = last - (end - begin), last
    cut = "; cut short by the trace" if end - begin < 2 * half - 1e-6 else ""
    return ChosenFoot(foot=Foot(begin, end), why=f"foot from {rule}, on the next shop size out{cut}")


def _round(job: Job, rail: Rail, section: Chain, length_mm: float, rule: str) -> ChosenFoot:
    """A foot round the corner: along the underside from beyond the pin, and half the length up the side."""
    given, rise = job.mount.foot_mm, job.mount.foot_rise_mm
    pin = complex(job.mount.pin_station_mm, 0.0)
    if given is None:
        corner = min(corners(section), key=lambda c: abs(c.point - pin), default=None)
        if corner is None:
            raise Refusal("a foot_rise needs a trace that goes round the rail's corner", "mount.foot_rise")
        away = -1.0 if abs(corner.into.real) >= abs(corner.out.real) else 1.0
        under = max(0.0, away * (pin - corner.point).real) + length_mm / 2
        ends = [_ends_along(fitted.chain, away) for fitted in rail.traces]
        limit = max(ends) + FROM_END_MM if away < 0.0 else min(ends) - FROM_END_MM
        begin = _down(corner.point.real + away * under, job.units, up=away > 0.0)
        begin = max(begin, limit) if away < 0.0 else min(begin, limit)
    else:
        begin = given[0]
    if rise is None:
        there = min(rise_there_is(fitted.chain, begin) for fitted in rail.traces) - FROM_END_MM
        rise = min(next_shop_size(length_mm / 2, job.units), there)
    corner_of(section, begin)
    return ChosenFoot(foot=Foot(begin, None, rise), why=f"foot round the corner from {rule}, half of it up the side")


def _goes_round(rail: Rail) -> bool:
    return all(fitted.trace.round_corner for fitted in rail.traces)


def _ends_along(chain: Chain, away: float) -> float:
    """Station of the trace's end on the underside."""
    return (chain.start if away < 0.0 else chain.end).real


def _down(station_mm: float, units: str, *, up: bool = False) -> float:
    """The next shop station down, or up."""
    return next_shop_size(station_mm, units) if up else -next_shop_size(-station_mm, units)
