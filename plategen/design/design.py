"""What the program decided from a job and its steering study, before any plate is drawn: one frozen value.

The job says what the user wrote and is never changed; whatever was left to the study or to a rule stands here, with its
reason. Bracket, checks, pictures and reports read the design.
"""

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from plategen.design.foot import ChosenFoot
from plategen.design.motion import Motion, tables_of
from plategen.design.places import PinPlace
from plategen.ground.message import NOTHING, Message, message
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.rules.edge_distance import least_edge_distance

if TYPE_CHECKING:
    from plategen.design.base_plan import BasePlan
    from plategen.design.bolts import BoltPlan
    from plategen.design.doubler_plan import DoublerPlan
    from plategen.steering.study import SteeringStudy

NOSE_OVER_PIN = 1.5
"""Nose radius over pin diameter: a lug about as wide as three pins (common practice, no source)."""

NOSE_CLEAR_MM = 1.0
"""A nose that a rule makes smaller stays this far off what it stands on, so that the notch does not cut it."""

TOE_OVER_LEG = 2.0
TOE_OVER_THICKNESS = 1.5
"""A toe holds the end of the weld and keeps the plate's end from burning away (common practice, no source)."""

RELIEF_OVER_LEG = 2.0
"""Two beads that come to a corner from both sides stay a leg apart, and a bend as wide can be followed by the bead."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A length in mm and why it is that; no reason where the job gives it."""

    mm: float
    why: Message = NOTHING


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """The sizes of a bracket on what it stands on, each the job's or chosen by a rule."""

    nose: Chosen  # Radius of the plates about the pin.
    toe: Chosen  # Height of a welded plate's ends.
    relief: Chosen  # Radius of the hole cut away at a sharp corner of the rail; 0 cuts none.
    foot: ChosenFoot  # From where to where the welded plates stand.
    bolts: "BoltPlan | None" = None  # Where bolts go, of a bracket that has them between its plates.
    doubler: "DoublerPlan | None" = None  # How the doubler under the ears lies, where there is one.
    base: "BasePlan | None" = None  # Where the base of a bracket that is bolted to the rail lies, and its bolts.


@dataclass(frozen=True, slots=True, kw_only=True)
class Design(Sizes):
    """A job with everything that was decided about it.

    Args:
        job: What the user wrote.
        study: The steering study, when the job draws or measures its steering.
        pin: Where the pin is.
        motion: How the cylinder turns about it, and its loads.
        nose, toe, relief, foot, bolts, doubler, base: See :class:`Sizes`.
    """

    job: Job
    study: "SteeringStudy | None"
    pin: PinPlace
    motion: Motion

    def reasons(self, *, relieved: bool) -> tuple[Message, ...]:
        """Why sizes are what they are, one for each that a rule chose; the relief's where one is cut."""
        relief = self.relief.why if relieved else NOTHING
        return tuple(why for why in (self.nose.why, self.toe.why, self.foot.why, relief) if why)


def nose_radius(job: Job, height_mm: float = math.inf) -> Chosen:
    """Nose radius: the job's, or from the edge-distance rule, no less than 1.5 pins, on the next shop size up.

    Where the pin is too low over its welds for that, at ``height_mm``, the largest that clears them, no less than the
    edge-distance rule.
    """
    if job.bracket.nose_radius_mm is not None:
        return Chosen(job.bracket.nose_radius_mm)
    pin_mm = job.cylinder.base.pin_mm
    edge = least_edge_distance(pin_mm, tables_of(job))
    by_edge = edge.mm >= NOSE_OVER_PIN * pin_mm
    wanted = PLATE_SIZES.up(max(edge.mm, NOSE_OVER_PIN * pin_mm), job.units)
    lower = PLATE_SIZES.down(height_mm - NOSE_CLEAR_MM, job.units) if height_mm < wanted + NOSE_CLEAR_MM else wanted
    if lower < wanted:
        least = PLATE_SIZES.up(edge.mm, job.units)
        words = "nose radius as large as clears the rail under a low pin, no less than {}"
        return Chosen(max(lower, least), message(words, edge.source))
    rule = edge.source if by_edge else f"{NOSE_OVER_PIN:g} x pin: common practice, no source"
    return Chosen(wanted, message("nose radius from {}, on the next shop size up", rule))


def toe_height(job: Job, thickness_mm: float) -> Chosen:
    """Toe height: the job's, or from weld leg and the thickness of the plate that is welded."""
    if job.bracket.toe_mm is not None:
        return Chosen(job.bracket.toe_mm)
    wanted = max(TOE_OVER_LEG * job.weld.leg_mm, TOE_OVER_THICKNESS * thickness_mm)
    why = message(
        "toe from 2 x weld leg and 1.5 x thickness, the larger (common practice, no source), on the next shop size up"
    )
    return Chosen(PLATE_SIZES.up(wanted, job.units), why)


def relief_radius(job: Job, near_mm: float = math.inf) -> Chosen:
    """Radius of the relief at a sharp corner of the rail: the job's, or such that two beads end clear of each other.

    Where the pin lies as near to the corner as ``near_mm``, it leaves the pin its edge distance, no less than a leg.
    """
    if job.bracket.relief_mm is not None:
        return Chosen(job.bracket.relief_mm)
    wanted, edge = (
        relief_for_leg_mm(job.weld.leg_mm, job.units),
        least_edge_distance(job.cylinder.base.pin_mm, tables_of(job)),
    )
    left_mm = near_mm - PLATE_SIZES.up(edge.mm, job.units) - NOSE_CLEAR_MM
    if left_mm < wanted:
        words = "relief at the rail's sharp corner as large as leaves the pin beside it {}, no less than the weld leg"
        lower = PLATE_SIZES.down(left_mm, job.units)
        return Chosen(max(lower, PLATE_SIZES.up(job.weld.leg_mm, job.units)), message(words, edge.source))
    why = message(
        "relief at the rail's sharp corner from 2 x weld leg (common practice, no source), on the next shop size up"
    )
    return Chosen(wanted, why)


def relief_for_leg_mm(leg_mm: float, units: Units) -> float:
    """Radius of the relief that the rule chooses for a weld leg, mm."""
    return PLATE_SIZES.up(RELIEF_OVER_LEG * leg_mm, units)
