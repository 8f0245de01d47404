"""How long a foot should be when the job leaves that to a rule: of the rules that ask, the one that asks for most."""

import math
from typing import TypeAlias

from plategen.design.loads import push_n, rules_of
from plategen.job import Job
from plategen.rules.material import weld_metal
from plategen.rules.pin import near_ear_share
from plategen.rules.weld import throat_mm, throat_stress_mpa

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


def for_nose(nose_mm: float) -> Asked:
    """What the nose asks."""
    return NOSES * nose_mm, f"{NOSES:g} x the nose radius (common practice, no source)"


def under_pin(
    job: Job, height_mm: float, nose_mm: float, *, turned: bool = False, throat: float = 0.0, on: str = "rail"
) -> Asked:
    """The longest that is asked of a plate with the pin in its nose, at a height over its foot."""
    return max(
        for_weld(job, height_mm, turned=turned, throat=throat),
        for_flanks(height_mm, "the pin's", on),
        for_nose(nose_mm),
    )


def weld_length_mm(job: Job, height_mm: float, modulus: float = LINE, throat: float = 0.0) -> float:
    """Length L of an ear's two runs that carries the push: sqrt((F/2L)^2 + (F h/(2 S L^2))^2) = q.

    F the ear's share of the push with shock, h the pin's height from the rail, q what a fillet carries for each mm; S
    the ``modulus`` of a run, its ``throat`` that of a square fillet where left out; the runs as two lines in bending
    and shear (weld treated as a line, Sw = L^2/6 a line).
    """
    base, bracket = job.cylinder.base, job.bracket
    push = rules_of(job).shock_factor * push_n(job.cylinder.pressure_mpa, job.cylinder.bore_mm)
    f = push * near_ear_share(base.eye_width_mm, bracket.thickness_mm, bracket.side_play_mm)
    q = (throat or throat_mm(job.weld.leg_mm)) * throat_stress_mpa(weld_metal(job.weld.electrode).fexx_mpa, "aisc-asd")
    direct, bent = (f / 2.0) ** 2, (f * height_mm / (2.0 * modulus)) ** 2
    return math.sqrt((direct + math.sqrt(direct**2 + 4.0 * q**2 * bent)) / (2.0 * q**2))
