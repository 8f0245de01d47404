"""What is on the rail already: how near plates and the swinging cylinder come to it."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from functools import partial

import numpy as np

from plategen.bracket.envelope import KEPT_CLEAR_MM, cylinder_bodies, in_cylinder, nearest
from plategen.bracket.feature import Feature, in_the_way, room_to
from plategen.bracket.interrupt import bead_room
from plategen.bracket.model import WeldRun
from plategen.bracket.style import build_bracket, style_of
from plategen.bracket.swing import ANGLES
from plategen.bracket.unfold import bodies_of
from plategen.checks.finding import Check, Finding, between
from plategen.checks.setting import Setting
from plategen.design.motion import leaning
from plategen.ground.cure import Change, Cure, advise
from plategen.ground.message import Message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rules.safety import PRACTICE

_row = partial(
    Check, subject="on the rail", unit="mm", limit="at least", source=f"{PRACTICE}, or the job's `clear`",
    needs="something on the rail",
)  # fmt: skip
PLATES = _row(
    "plate to what is on the rail",
    not_covered="Of what is on the rail only what the job lists under [[rail.feature]] is known.",
)
CYLINDER = _row("cylinder to what is on the rail")
BEADS = _row("bead to what is on the rail")
CHECKS = (PLATES, BEADS, CYLINDER)
"""The checks of this file."""

BEAD_STEP_MM = 2.0
"""How closely a bead is looked at."""

_SAME_MM = 1e-6  # what stops just where it must is clear


def check_features(setting: Setting) -> Iterator[Finding]:
    """For everything on the rail how near the nearest plate, bead, and the cylinder over its swing come."""
    for feature in setting.features:
        yield from _beads(setting, feature)
    for feature in in_the_way(setting.features):
        rooms = [(room_to(feature, plate), plate.name) for plate in bodies_of(setting.bracket)]
        there, name = min(rooms, key=lambda pair: pair[0])
        yield PLATES.at_least(
            between(name, feature.name),
            feature.clear_mm,
            there,
            assumed=_where(feature),
            cure=partial(_clear_of, setting, feature, there),
        )
        yield _cylinder(setting, feature)


def _beads(setting: Setting, feature: Feature) -> Iterator[Finding]:
    """The bead on the rail that comes nearest; it stops short of what it would come too near to, where it can."""
    runs = [run for run in setting.bracket.welds if run.joint == "rail"]
    if runs:
        there, run = min(((_bead_room(run, feature), run) for run in runs), key=lambda pair: pair[0])
        yield BEADS.at_least(
            between(run.plate, feature.name, run.name),
            feature.clear_mm,
            max(0.0, there + _SAME_MM),
            assumed=_where(feature),
            cure=partial(_clear_of, setting, feature, there),
        )


def _bead_room(run: WeldRun, feature: Feature) -> float:
    count = max(1, math.ceil(run.length_mm / BEAD_STEP_MM))
    return min(bead_room(run, feature, run.path.point(run.length_mm * k / count)) for k in range(count + 1))


def _where(feature: Feature) -> Message:
    words = "{} {} across at station {}, {} along the pin, standing out {}"
    sizes = mm(feature.size_mm), mm(feature.station_mm), mm(feature.plane_mm), mm(feature.height_mm)
    return message(words, feature.kind, *sizes)


def _cylinder(setting: Setting, feature: Feature) -> Finding:
    job, pin = setting.job, setting.bracket.pin.centre
    start = job.swing.barrel_start_mm if job.swing else None
    bodies = cylinder_bodies(job, start)
    points = np.array(list(feature.body.starts())).T
    low, high = setting.design.motion.swing_rad
    angles = np.linspace(low, high, ANGLES if high > low else 1).tolist()
    rooms = [(*nearest(bodies, in_cylinder(points, pin, angle))[:2], angle) for angle in angles]
    there, body, angle = min(rooms, key=lambda each: each[0])
    asked = max(feature.clear_mm, job.swing.least_mm if job.swing else KEPT_CLEAR_MM)
    return CYLINDER.at_least(
        between(body.name, feature.name),
        asked,
        max(0.0, there),
        assumed=_where(feature),
        case=leaning(angle, setting.job.style.stands_on),
        cure=lambda: advise("in-line offset larger, or less swing: {} more room is asked", mm(asked - there, "up")),
    )


def _clear_of(setting: Setting, feature: Feature, there: float) -> Cure:
    """The least move of the plates along the pin, or of a foot's end, that keeps clear of all that is on the rail."""
    for move in sorted(_moves(setting, feature), key=lambda each: each.by):
        if _does(setting, move.job):
            return Cure(move.words, (move.change,))
    short = mm(feature.clear_mm - there, "up")
    return advise("{} moved {} farther from the plates, or the bracket elsewhere along the rail", feature.name, short)


@dataclass(frozen=True, slots=True)
class _Move:
    """One key changed: by how much, the words, the change, and the job with it."""

    by: float
    words: Message
    change: Change
    job: Job


def _moves(setting: Setting, feature: Feature) -> Iterator[_Move]:
    """What could be tried: the plates beyond it along the pin on either side, the foot ended before it."""
    job, units = setting.job, setting.job.units
    if setting.surface is None or job.mount.pin != "here":
        return
    u0, v0, u1, v1 = feature.outline.bounds
    keep, now = feature.clear_mm, job.bracket.plane_mm
    for plate in setting.bracket.plates:
        low, high = _along_pin(plate.placement.origin[2], plate.placement.normal[2] * plate.thickness_mm)
        for by in (feature.plane_mm + v0 - keep - high, feature.plane_mm + v1 + keep - low):
            plane = PLATE_SIZES.up(now + by, units) if by > 0.0 else PLATE_SIZES.down(now + by, units)
            moved = job.replaced(bracket=job.bracket.replaced(plane_mm=plane))
            words = message("the plates {} along the pin: a plane of {}", mm(abs(plane - now)), size(plane))
            yield _Move(abs(plane - now), words, Change("bracket.plane", size(plane)), moved)
    foot = setting.design.foot.foot
    if foot.end_mm is None:
        return
    begin, end = foot.stations
    after = PLATE_SIZES.up(feature.station_mm + u1 + keep, units)
    before = PLATE_SIZES.down(feature.station_mm + u0 - keep, units)
    for first, last in ((after, end), (begin, before)):
        if last - first > 1.0:
            moved = job.replaced(mount=job.mount.replaced(foot_mm=(first, last)))
            words = message("a foot from station {} to {}", size(first), size(last))
            yield _Move(max(first - begin, end - last), words, Change("mount.foot", (size(first), size(last))), moved)


def _along_pin(origin: float, through: float) -> tuple[float, float]:
    return min(origin, origin + through), max(origin, origin + through)


def _does(setting: Setting, job: Job) -> bool:
    """Whether the bracket of a changed job can be built, clear of everything on the rail."""
    assert setting.surface is not None
    pin = replace(setting.design.pin, plane_mm=job.bracket.plane_mm)
    style = style_of(job.bracket.style)
    try:
        sizes = style.sizes(job, pin, setting.surface)
        chosen = {field.name: getattr(sizes, field.name) for field in fields(sizes)}
        design, _ = style.settle(replace(setting.design, job=job, pin=pin, **chosen), setting.surface)
        bracket = build_bracket(design, setting.surface)
    except Refusal:
        return False
    features = setting.features
    rooms = [room_to(each, plate) - each.clear_mm for each in in_the_way(features) for plate in bodies_of(bracket)]
    runs = [run for run in bracket.welds if run.joint == "rail"]
    rooms += [_bead_room(run, each) - each.clear_mm for each in features for run in runs]
    return min(rooms, default=math.inf) > -_SAME_MM
