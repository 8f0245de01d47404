"""The rules that a fillet run must meet whatever the load: leg, length, throat, gap and joint angle."""

import math
from collections.abc import Iterator
from dataclasses import replace

from plategen.bracket.model import LAPPED, Plate, WeldRun
from plategen.checks import larger
from plategen.checks.finding import Check, Finding, Part
from plategen.checks.setting import Setting
from plategen.design.on_tube import LEAST_TAB_MM
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES
from plategen.rail.tube import Tube
from plategen.rules import weld as rule
from plategen.rules.safety import AISC, EN_JOINTS, PRACTICE

_SKEWED = "AWS D1.1 skewed T-joints"

LEAST_LEG = Check("least leg", "weld", "mm", "at least", source=f"{AISC} Table J2.4")
GREATEST_LEG = Check("greatest leg", "weld", "mm", "at most", most="caution")
LEAST_LENGTH = Check("least length", "weld", "mm", "at least", source=f"{AISC} J2.2b: 4 w")
CARRYING_LENGTH = Check("least length that carries", "weld", "mm", "at least", source=f"{EN_JOINTS} 4.5.1")
LEAST_THROAT = Check("least throat", "weld", "mm", "at least", source=f"{EN_JOINTS} 4.5.2")
GAP = Check("fit-up gap", "weld", "mm", "at most", source="AWS D1.1 7.21 (5.21 before 2020)")
SHARP = Check("sharp joint angle", "weld", "deg", "at least", source=_SKEWED)
OPEN = Check("open joint angle", "weld", "deg", "at most", source=_SKEWED)
ROOT = Check(
    "run on one side alone",
    "weld",
    "1",
    "at most",
    source="EN 1993-1-8:2005 4.12(2): no tension at the root of a fillet on one side, where it can be helped",
    needs="plates welded from one side",
)
CHECKS = (LEAST_LEG, GREATEST_LEG, LEAST_LENGTH, CARRYING_LENGTH, LEAST_THROAT, GAP, SHARP, OPEN, ROOT)
"""The checks of this file."""


def part_of(run: WeldRun) -> Part:
    """A run as findings name it: ``"W1, ear_near to rail"``."""
    return Part((run.name, run.plate, run.other), f"{run.name}, {run.plate} to {run.other}", run.name)


def check_runs(setting: Setting) -> Iterator[Finding]:
    """The rules that every run must meet whatever the load."""
    tied = {name for run in setting.bracket.welds if run.joint == "tie" for name in (run.plate, run.other)}
    for run in setting.bracket.welds:
        other = setting.plates.get(run.other)
        other_mm = setting.job.rail.wall_mm if other is None else other.thickness_mm
        about = part_of(run)
        yield from _legs(setting, run, about, setting.plates[run.plate], other_mm)
        yield from _lengths(setting, run, about)
        yield from _joint(setting, run, about)
        if setting.job.weld.one_side and run.side == "outside" and run.joint != "tie":
            yield (ROOT.variant(most="caution") if run.plate in tied else ROOT).at_most(
                about,
                0.0,
                1.0,
                assumed="what bends the plate towards its bead opens the root, which nobody can see"
                + ("" if run.plate in tied else "; no other plate keeps this one from bending"),
                cure=both_sides,
            )


def both_sides() -> Cure:
    """Weld the inside as well."""
    return Cure(message("weld both sides of each plate"), (Change("weld.one_side", False),))


def _legs(setting: Setting, run: WeldRun, about: Part, plate: Plate, other_mm: float) -> Iterator[Finding]:
    """Least and greatest leg; ``other_mm`` is the thickness of what the plate is welded to."""
    thinner = min(plate.thickness_mm, other_mm)
    least, source = rule.least_leg_mm(thinner, setting.tables)
    yield LEAST_LEG.at_least(
        about,
        least,
        run.leg_mm,
        source=source,
        assumed="thinner part, single pass",
        cure=lambda: _leg(setting, run, least),
        opinion=setting.rules.set == "en-1993",
    )
    # only a pad or a doubler is welded along its edge, as the code's limit has it
    lap = plate.role in LAPPED
    most = rule.most_leg_mm(plate.thickness_mm, setting.tables) if lap else thinner
    yield GREATEST_LEG.at_most(
        about,
        most,
        run.leg_mm,
        source=f"{AISC} J2.2b" if lap else PRACTICE,
        assumed="along the lapped plate's edge, unless the bead is built out to its full throat"
        if lap
        else "more than the thinner part heats it without holding more; the code's limit is for edges of laps only",
        cure=lambda: set_to(larger.leg_key(setting, run), size(PART_SIZES.down(most, setting.job.units)), "leg to {}"),
    )


def _lengths(setting: Setting, run: WeldRun, about: Part) -> Iterator[Finding]:
    in_en, high = setting.rules.set == "en-1993", run.joint_angle_rad[1]
    for_leg = rule.least_length_mm(run.leg_mm)
    yield LEAST_LENGTH.at_least(
        about, for_leg, run.length_mm, cure=lambda: advise("run to {}", larger.up(setting, for_leg)), opinion=in_en
    )
    throat = rule.throat_mm(run.leg_mm, high, run.gap_mm)
    carries = rule.least_length_en_mm(throat)
    yield CARRYING_LENGTH.at_least(
        about,
        carries,
        run.length_mm,
        assumed="max(6 a, 30 mm)",
        cure=lambda: advise("run to {}", larger.up(setting, carries)),
        opinion=not in_en,
    )
    yield LEAST_THROAT.at_least(
        about,
        rule.LEAST_THROAT_EN_MM,
        throat,
        assumed="with the gap taken off the leg",
        cure=lambda: _leg(setting, run, rule.leg_for_throat_mm(rule.LEAST_THROAT_EN_MM, high, run.gap_mm)),
        opinion=not in_en,
    )


def _joint(setting: Setting, run: WeldRun, about: Part) -> Iterator[Finding]:
    low, high = run.joint_angle_rad
    yield GAP.at_most(
        about,
        rule.GAP_LARGEST_MM,
        run.gap_mm,
        assumed=message("at most {} as it is; more is taken off the leg", mm(rule.GAP_AS_IS_MM, "down")),
        cure=lambda: _thinner_tab(setting, run) or advise("bevel or re-cut the notch to close the gap"),
    )
    yield SHARP.at_least(
        about,
        math.degrees(rule.ANGLE_LEAST_RAD),
        math.degrees(low),
        assumed="least dihedral angle of a fillet, 60 deg",
        cure="a groove weld, or tilt the plate",
    )
    yield OPEN.at_most(
        about,
        math.degrees(rule.ANGLE_MOST_RAD),
        math.degrees(high),
        assumed="greatest dihedral angle of a fillet, 135 deg",
        cure="a bevel and a groove weld, or tilt the plate",
    )


def _thinner_tab(setting: Setting, run: WeldRun) -> Cure | None:
    """The thickest tab whose square edge stays near enough to a round tube, which falls away under it; else None."""
    job, tube = setting.job, setting.surface
    if job.seat is None or not isinstance(tube, Tube) or setting.plates[run.plate].role != "tab":
        return None
    from plategen.bracket.seat import seat_notches

    for each in PART_SIZES.below(job.bracket.thickness_mm, job.units, LEAST_TAB_MM):
        thinner = job.replaced(bracket=job.bracket.replaced(thickness_mm=each))
        try:
            notches = seat_notches(replace(setting.design, job=thinner), tube)
        except Refusal:
            continue
        if all(max(notch.fit.gap_near_mm, notch.fit.gap_far_mm) <= rule.GAP_LARGEST_MM for notch in notches):
            return set_to("bracket.thickness", size(each), "tabs {} thick, whose edges reach less far down the tube")
    return None


def _leg(setting: Setting, run: WeldRun, least_mm: float) -> Cure:
    return larger.raise_to(
        setting, larger.leg_key(setting, run), least_mm, "leg to {}", "a groove weld, or tilt the plate"
    )
