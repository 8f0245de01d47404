"""A stronger or larger bolt, a thicker plate, a larger leg: on random jobs of every style no check uses more for it.

But where its rule says so, or the steel that is more stands elsewhere for it; each such check is named here with why.
The foot stays where it was: one that a rule chooses is no longer than its plate and weld ask.
On a bench where nothing else moves: ``tests/checks/test_more_is_never_worse.py``.
"""

import os
from collections.abc import Iterator, Mapping
from typing import NamedTuple

from plategen.checks.finding import Finding
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.rules import Rules
from plategen.work import Work
from tests.support.fitted import carried
from tests.support.random_jobs import RandomJob, built, on_its_foot

CASES = int(os.environ.get("PLATEGEN_CASES", "5"))
"""Random jobs; 500 before a release."""

STRONGER = {"8.8": "10.9", "A325": "A490", "Grade 5": "Grade 8"}
LARGER_MM = {12.0: 14.0, 12.7: 15.875, 15.875: 19.05, 16.0: 20.0, 19.05: 22.225}
"""Grades and diameters of bolts, and the next ones."""

MORE = 1.25
"""Times as thick a plate, times as large a leg."""

JOINTS = ("fit-up gap", "open joint angle")
"""Checks that tell how far a joint is open."""

HAIR = 2e-3
"""A run over a bend that wanders along the pin becomes a hair longer or shorter with the plate that it holds."""

Key = tuple[str, str, bool]
Reasons = Mapping[str, str]

BY_BOLT: Reasons = {
    "edge distance": "the tables ask more edge of a larger bolt",
    "edge distance to the hole's size": "the same by the hole",
    "greatest edge distance": "a tab grows with the edge that its bolts ask",
    "bolt spacing": "2 2/3 d, and d between the holes",
    "bolt spacing to the hole's size": "2.2 d0",
    "socket beside the bead": "a larger socket",
    "socket beside the next nut": "the same",
    "head beside the eye": "a larger head",
    "heads between the ears": "higher heads",
    "bolt bearing and tear-out": "tear-out counts from a larger hole's edge",
    "block shear": "a larger hole leaves less net area",
    "plate shear": "the same",
    "plate section": "the same",
    "torch access": "the heads stand in the torch's way",
    "swing clearance": "a tab that is higher for its bolts comes nearer to what swings",
}
BY_THICKNESS: Reasons = {
    "pin bending": "the ears' mid-planes move apart: F (b + 4 c + 2 a)/8",
    "pin bending in service": "the same moment",
    "pin shear with bending": "the same moment",
    "bolt tension with shear": "the side force acts at the ear's mid-plane, farther from the joint's face",
    "rail wall in bending": "the plate's mid-plane stands elsewhere on the face",
    "bead to the flange's edge": "the outer bead lies nearer to it",
    "plate at its weld, fatigue": "R_FIL falls with the thickness to the power 1.167, the stress with the thickness",
    "preheat": "thicker steel draws the heat away",
    "bind to expect": "a thicker plate lies over more of the rail",
    "open joint angle": "the same",
    "sharp joint angle": "the same",
    "fit-up gap": "an edge that is cut square leaves more of a rail that slopes under it",
    "socket beside the bead": "the bead moves with the plate's face",
    "swing clearance": "a thicker plate comes nearer to what swings",
    "least leg": "J2.4 goes by the thinner part",
    "torch access": "a plate that is closed or thicker leaves the torch less room",
    "greatest edge distance": "a tab grows with the edge of a thicker plate",
}
WHERE_JOINT_OPENS: Reasons = {
    "weld throat stress": "gap and open angle take from the throat",
    "weld throat fatigue": "the same",
    "tie weld throat stress": "the same",
    "least throat": "the same",
}
WHERE_THROAT_GROWS: Reasons = {
    "least length that carries": "6 a of EN 1993-1-8 4.5.1: the thicker plate closes the joint, whose throat grows",
}
BY_LEG: Reasons = {
    "greatest leg": "a leg of more than the thinner part",
    "least length": "4 w of AISC J2.2b grows with the leg",
    "least length that carries": "6 a of EN 1993-1-8 4.5.1 grows with the throat",
    "socket beside the bead": "the bead is wider",
    "swing clearance": "a closing plate stands farther in for its beads",
    "bead to the flange's edge": "the bead is wider",
    "greatest edge distance": "a tab is higher for its beads",
    "bind to expect": "a foot that is relieved for its beads begins elsewhere",
    "torch access": "a closing plate stands farther in for its beads",
}
WHERE_PLATES_MOVE: Reasons = dict.fromkeys(
    (
        "plate beside the weld", "rail wall beside the weld", "weld throat stress", "weld throat fatigue",
        "tie weld throat stress", "least length", "least length that carries", "movement at the pin, sideways",
        "plate section", "least leg", "least throat", "plate at its weld, fatigue", "free edge of a gusset",
        "gusset at its foot",
    ),
    "closing plates and relieved feet become shorter, gussets and crossheads move, for thicker ears and wider beads",
)  # fmt: skip


WHERE_BASE_GROWS: Reasons = dict.fromkeys(
    (
        "edge distance", "edge distance to the hole's size", "bolt spacing", "bolt spacing to the hole's size",
        "greatest bolt spacing", "bolt bearing and tear-out", "bolt shear", "bolt slip", "bolt held along its slot",
        "bolt tension with shear", "base at its bolts, with prying", "rail wall at the bolts", "hole to the flange",
        "base to the bend at the flange", "socket beside what is on the rail", "plate to what is on the rail",
        "fit-up gap", "block shear", "steel between holes of the rail", "socket beside the next nut",
    ),
    "thicker ears and wider beads push the bolts of their base outward; it grows, and lies otherwise on the rail",
)  # fmt: skip


WHERE_BENT: Reasons = dict.fromkeys(
    ("inside radius of the bend", "leg that lies on the die", "hole beside the bend"),
    "thicker plate asks a wider bend and die, and its bend reaches farther",
)

WHERE_DOUBLER_GROWS: Reasons = {
    "doubler in bending": "its edge beads lie farther from thicker ears' middles, and beyond wider beads of theirs",
    "fit-up gap": "it is wider, and lies over more of a rail that slopes",
}


def _found(work: Work) -> dict[Key, Finding]:
    return {(f.check, f.part.words, f.opinion): f for f in work.findings}


class Worse(NamedTuple):
    """A check that uses more in the changed job."""

    check: str
    part: str
    opens: bool  # The joint there is farther open.
    throat_grows: bool


def _worse(given: RandomJob, work: Work, job: Job) -> Iterator[Worse]:
    try:
        changed = _found(carried(on_its_foot(job, work), given.traces))
    except Refusal:
        return
    first = _found(work)
    for key, finding in first.items():
        other = changed.get(key)
        if other is not None and other.ratio > finding.ratio * (1.0 + HAIR) + 1e-9:
            throat = ("least throat", key[1], key[2])
            yield Worse(
                *key[:2],
                opens=any(_more(first, changed, (joint, key[1], False)) for joint in JOINTS),
                throat_grows=throat in first and changed[throat].capacity > first[throat].capacity,
            )


def _more(first: Mapping[Key, Finding], changed: Mapping[Key, Finding], key: Key) -> bool:
    return key in first and key in changed and changed[key].demand > first[key].demand


def _moves(given: RandomJob) -> bool:
    return any(words in given.style for words in ("closed", "gusset", "crosshead", "round the corner"))


def test_a_stronger_bolt_never_uses_more_and_a_larger_one_only_room_and_steel() -> None:
    count = 0
    for given, work in built(53, 4 * CASES):
        if given.job.split is None or count == CASES:
            continue
        count += 1
        rules = given.job.rules or Rules()
        if rules.bolt_grade in STRONGER:
            stronger = rules.replaced(bolt_grade=STRONGER[rules.bolt_grade])
            assert list(_worse(given, work, given.job.replaced(rules=stronger))) == [], given.style
        larger = given.job.split.replaced(bolt_mm=LARGER_MM[given.job.split.bolt_mm])
        worse = {each.check for each in _worse(given, work, given.job.replaced(split=larger))}
        assert worse <= BY_BOLT.keys(), (given.style, worse - BY_BOLT.keys())
    assert count >= min(CASES, 2)


def test_a_thicker_plate_or_a_larger_leg_uses_more_only_where_a_rule_says_so() -> None:
    for given, work in built(59, CASES):
        job = given.job
        thicker = job.replaced(bracket=job.bracket.replaced(thickness_mm=MORE * job.bracket.thickness_mm))
        larger = job.replaced(weld=job.weld.replaced(leg_mm=MORE * job.weld.leg_mm))
        for reasons, changed in ((BY_THICKNESS, thicker), (BY_LEG, larger)):
            for worse in _worse(given, work, changed):
                check = worse.check
                named = check in reasons or (worse.opens and check in WHERE_JOINT_OPENS)
                named = named or (worse.throat_grows and check in WHERE_THROAT_GROWS)
                moved = _moves(given) and check in WHERE_PLATES_MOVE
                grown = given.job.bolted is not None and check in WHERE_BASE_GROWS
                wider = given.job.doubler is not None and check in WHERE_DOUBLER_GROWS
                bent = work.bracket.folded is not None and check in WHERE_BENT
                assert named or moved or grown or wider or bent, (given.style, worse)
