"""The foot: from where to where a plate stands on the rail, a section cut to it, and the rules that choose it.

On a rail that only runs along, the foot is two stations. Where it goes round the rail's corner and up its side, the
side has no stations of its own: there one station says where the foot begins, and the rise how far up the side it
ends, as a tape reads it from the corner where underside and side would meet. A foot that a job leaves out is the
longest that any rule asks for.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

from plategen.design.motion import push_and_pull_n, rules_of
from plategen.flat.chain import Chain
from plategen.flat.clip import between, where_u
from plategen.ground.ended import ended
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rail.corner import FACE_MM, Corner, corners, where_round
from plategen.rail.surface import Rail
from plategen.rules.material import weld_metal
from plategen.rules.pin_plate import near_ear_share
from plategen.rules.weld import throat_mm, throat_stress_mpa

RISE = "mount.foot_rise"
"""The key that is named when it is wrong."""


class Foot(NamedTuple):
    """Where a plate stands."""

    begin_mm: float  # Station where it begins.
    end_mm: float | None = None  # Station where it ends; None when it goes round the rail's corner.
    rise_mm: float | None = None  # How far from that corner it ends on the rail's other face, when it goes round.

    @property
    def stations(self) -> tuple[float, float]:
        """The two stations between which a foot stands that goes round no corner."""
        assert self.end_mm is not None, "a foot round a corner has one station"
        return self.begin_mm, self.end_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class ChosenFoot:
    """A foot and, where a rule chose any of it, why it is that."""

    foot: Foot
    why: Message = NOTHING


def cut_to_foot(section: Chain, foot: Foot) -> Chain:
    """The part of a section, or of a notch, that the foot stands on.

    Raises:
        Refusal: If the section does not reach so far, or goes round no corner where one is asked.
    """
    if foot.end_mm is not None:
        return between(section, foot.begin_mm, foot.end_mm)
    rise_mm = foot.rise_mm or 0.0
    corner, reverse = corner_of(section, foot.begin_mm)
    walk = section.reversed() if reverse else section
    first, last = _along(section, corner, foot.begin_mm, reverse), _up(walk, corner, rise_mm, reverse)
    part = walk.part(first, last)
    return part.reversed() if reverse else part


def corner_of(section: Chain, station_mm: float) -> tuple[Corner, bool]:
    """The corner that a foot beginning at a station goes round, and whether the section is walked from the side to it.

    Raises:
        Refusal: If there is none.
    """
    found = corners(section)
    ahead = [c for c in found if abs(c.into.real) >= abs(c.out.real) and c.point.real > station_mm]
    if ahead:
        return min(ahead, key=lambda c: c.point.real), False
    behind = [c for c in found if abs(c.into.real) < abs(c.out.real) and c.point.real < station_mm]
    if behind:
        return max(behind, key=lambda c: c.point.real), True
    words = "the trace goes round no corner from station {}; one station is only for a foot round a corner"
    ends = sorted((section.start.real + FROM_END_MM, section.end.real - FROM_END_MM), key=lambda u: abs(u - station_mm))
    two = sorted((station_mm, ends[-1]))
    right = message("a foot of two stations, like from {} to {},", mm(two[0], "up"), mm(two[1], "down"))
    raise ended(message(words, mm(station_mm)), "mount.foot", right)


def rise_there_is(section: Chain, station_mm: float) -> float:
    """How far from the corner the rail's other face was traced, mm."""
    corner, reverse = corner_of(section, station_mm)
    return abs((section.start if reverse else section.end) - corner.point)


def _along(section: Chain, corner: Corner, station_mm: float, reverse: bool) -> tuple[int, float]:
    """The place, on the walk, where the foot begins."""
    places = where_u(section, station_mm)
    on_face = [p for p in places if (p[0] >= corner.after if reverse else p[0] <= corner.before)]
    if on_face and reverse:
        index, t = on_face[-1]
        return len(section) - 1 - index, 1.0 - t
    if on_face:
        return on_face[0]
    raise Refusal(
        message("the rail was not traced at station {}; the foot must begin within the trace", mm(station_mm)),
        "mount.foot",
    )


def _up(walk: Chain, corner: Corner, rise_mm: float, reverse: bool) -> tuple[int, float]:
    """The first place, on the walk, that lies ``rise_mm`` beyond the corner."""
    first = len(walk) - 1 - corner.before if reverse else corner.after
    for index in range(first, len(walk)):
        edge = walk.segments[index]
        if rise_mm <= abs(edge.start - corner.point):
            break
        if abs(edge.end - corner.point) < rise_mm:
            continue
        t = where_round(edge, corner.point, rise_mm, last=True)
        if t is not None:
            return index, t
    reach_mm = abs(walk.end - corner.point)
    bend_mm = abs(walk.segments[first].start - corner.point)
    if rise_mm <= bend_mm:
        words = "a rise of {} ends within the bend of the rail's corner; over {} is right"
        raise Refusal(message(words, mm(rise_mm), mm(bend_mm, "up")), RISE)
    words = (
        "the foot rises {} up the rail's side, but the side was traced only {} up; let it rise less, or read further "
        "up the side"
    )
    raise Refusal(message(words, mm(rise_mm), mm(reach_mm, "down")), RISE)


HEIGHTS = 2.0
"""Foot over the height of what it carries: flanks no flatter than 45 degrees (common practice, no source)."""

NOSES = 2.5
"""Foot over nose radius, so that the flanks spread from the nose to the rail (common practice, no source)."""

IN_HAND = 1.25
"""Weld length over what the line load needs: side force and skew come on top of the push."""

LINE, L_SHAPE = 1.0 / 6.0, 0.13
"""Section modulus of a weld as a line, over its length squared: of one straight line, and of two equal legs about the
rail's corner, where J = 5 L^3/96 about a centroid L/8 off both legs, and the ends lie 0.395 L from it."""

OFF_CORNER = 1.0 / 8.0
"""That centroid's distance from the underside, over the length: the push has so much more arm."""

Asked: TypeAlias = tuple[float, str]
"""A length in mm and the rule that asks for it."""


def for_weld(job: Job, height_mm: float, *, turned: bool = False, throat: float = 0.0) -> Asked:
    """What the weld's line load asks, the pin at a height over the welds; ``turned`` where they go round a corner.

    ``throat`` is the least of their throats in mm, or 0 where they stand square.
    """
    length_mm = weld_length_mm(job, max(height_mm, 0.0), throat=throat)
    if turned:
        length_mm = weld_length_mm(job, max(height_mm, 0.0) + OFF_CORNER * length_mm, L_SHAPE, throat)
    return IN_HAND * length_mm, "the weld's line load at relief pressure with shock"


def for_flanks(height_mm: float, of: str, on: str = "rail") -> Asked:
    """What the flanks ask, down to something at a height over what the plate stands on."""
    return HEIGHTS * height_mm, f"{HEIGHTS:g} x {of} height from the {on} (common practice, no source)"


def under_pin(
    job: Job, height_mm: float, nose_mm: float, *, turned: bool = False, throat: float = 0.0, on: str = "rail"
) -> Asked:
    """The longest that is asked of a plate with the pin in its nose, at a height over its foot."""
    return max(
        for_weld(job, height_mm, turned=turned, throat=throat),
        for_flanks(height_mm, "the pin's", on),
        (NOSES * nose_mm, f"{NOSES:g} x the nose radius (common practice, no source)"),
    )


def weld_length_mm(job: Job, height_mm: float, modulus: float = LINE, throat: float = 0.0) -> float:
    """Length L of an ear's two runs that carries the push: sqrt((F/2L)^2 + (F h/(2 S L^2))^2) = q.

    F the ear's share of the push with shock, h the pin's height from the rail, q what a fillet carries for each mm; S
    the ``modulus`` of a run, its ``throat`` that of a square fillet where left out; the runs as two lines in bending
    and shear (weld treated as a line, Sw = L^2/6 a line).
    """
    base, bracket = job.cylinder.base, job.bracket
    push = rules_of(job).shock_factor * push_and_pull_n(job.cylinder)[0]
    f = push * near_ear_share(base.eye_width_mm, bracket.thickness_mm, bracket.side_play_mm)
    q = (throat or throat_mm(job.weld.leg_mm)) * throat_stress_mpa(weld_metal(job.weld.electrode).fexx_mpa, "aisc-asd")
    direct, bent = (f / 2.0) ** 2, (f * height_mm / (2.0 * modulus)) ** 2
    return math.sqrt((direct + math.sqrt(direct**2 + 4.0 * q**2 * bent)) / (2.0 * q**2))


FROM_END_MM = 3.0
"""The foot ends this far short of the last reading: beyond it nothing is known."""


Asking: TypeAlias = Callable[[Chain, bool], Asked]
"""How long a foot should be on a section of the rail, given whether it goes round the rail's corner."""


def foot_on_rail(
    job: Job, rail: Rail, faces_mm: tuple[float, float], about: complex, relief_mm: float, asked: Asking
) -> ChosenFoot:
    """The foot of plates on a rail: as the job gives it, what it left out chosen by rule.

    It should be as long as ``asked`` says and stand over ``about``, the pin or the middle of the bolts, in the rail's
    own frame. ``faces_mm`` is w of the outermost faces; at a relief of a sharp corner nothing is welded.

    Raises:
        Refusal: If the trace has no room for a foot.
    """
    given, rise = job.mount.foot_mm, job.mount.foot_rise_mm
    if given is not None and len(given) == 2:
        return ChosenFoot(foot=Foot(*given))
    if given is not None and rise is not None:
        return ChosenFoot(foot=Foot(given[0], None, rise))
    section = rail.section(sum(faces_mm) / 2)
    rounded = all(fitted.trace.round_corner for fitted in rail.traces) and corners(section)
    if given is None and rise is None and not rounded:
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
        half_mm = max(length_mm / 2 + _not_welded(corner, relief_mm), _least_mm(section, corner))
        under = max(0.0, away * (about - corner.point).real) + half_mm
        ends = [(fitted.chain.start if away < 0.0 else fitted.chain.end).real for fitted in rail.traces]
        limit = max(ends) + FROM_END_MM if away < 0.0 else min(ends) - FROM_END_MM
        step_out = PLATE_SIZES.up if away > 0.0 else PLATE_SIZES.down
        begin = step_out(corner.point.real + away * under, job.units)
        begin = max(begin, limit) if away < 0.0 else min(begin, limit)
    else:
        begin = given[0]
    corner, _ = corner_of(section, begin)
    if rise is None:
        there = min(rise_there_is(fitted.chain, begin) for fitted in rail.traces) - FROM_END_MM
        half_mm = max(length_mm / 2 + _not_welded(corner, relief_mm), _least_mm(section, corner))
        rise = min(PLATE_SIZES.up(half_mm, job.units), there)
    why = message("foot round the corner from {}, half of it up the side", rule)
    return ChosenFoot(foot=Foot(begin, None, rise), why=why)


def _least_mm(section: Chain, corner: Corner) -> float:
    """From a corner to where its bend has ended on both faces, and two faces' least length beyond."""
    bend = section.segments[corner.before].end, section.segments[corner.after].start
    return max(abs(p - corner.point) for p in bend) + 2.0 * FACE_MM


def _not_welded(corner: Corner, relief_mm: float) -> float:
    """How much of each face the relief at a corner takes from the weld."""
    return relief_mm if corner.radius_mm < relief_mm else 0.0
