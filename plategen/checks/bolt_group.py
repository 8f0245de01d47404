"""Bolt groups by the instantaneous centre of rotation, beside the elastic method that decides."""

from collections.abc import Iterator

from plategen.checks.bolt import shear_strength_n
from plategen.checks.bolt_load import face_of
from plategen.checks.bolt_plate import BOLT
from plategen.checks.finding import Finding, between, first_worst
from plategen.checks.setting import Setting
from plategen.ground.message import message, number
from plategen.rules import bolt_centre as rule

CENTRE = BOLT(
    "bolt group by its instantaneous centre",
    source=rule.SOURCE,
    opinion=True,
    near=False,
)
CHECKS = (CENTRE,)
"""The checks of this file."""


def check_bolt_groups(setting: Setting) -> Iterator[Finding]:
    """What each joint's bolts hold together in shear at their ultimate; a second opinion where AISC decides.

    None of a joint with slots, whose bolts do not bear alike, nor where friction is to hold.
    """
    if not setting.opinions or setting.rules.set == "en-1993" or setting.rules.pretensioned:
        return
    view = next(view for view in setting if not view.opinion)
    for assembly, joint in setting.bolted:
        if joint.upper.slots or len(joint.upper_holes) < 2:
            continue
        face, bolt_mm = face_of(assembly, joint, setting.bracket.pin.centre), joint.upper_holes[0].bolt_mm
        one = shear_strength_n(setting.bolt_grade(bolt_mm), bolt_mm, view.rules)
        forces = [
            (case, flat, rule.coefficient(face.bolts, flat / abs(flat), face.foot))
            for case, flat in zip(setting.cases, face.flat_forces(setting.cases, assembly.share), strict=True)
            if abs(flat) > 0.0
        ]
        if not forces:
            continue
        case, flat, times = first_worst(forces, lambda each: abs(each[1]) / each[2])
        yield view.strength(
            CENTRE,
            between(joint.upper.name, joint.lower.name),
            abs(flat) * view.factor,
            times * one,
            assumed=message(
                "bolts alike and in bearing; C = {}, by the elastic method {}; tension beside it is not in it",
                number(times),
                number(rule.elastic_coefficient(face.bolts, flat, face.foot)),
            ),
            case=case.name,
            cure="larger bolts, or more of them farther apart",
        )
