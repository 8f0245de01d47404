"""How a plate is bent, of which ears and base are made: decided before it is drawn."""

from dataclasses import dataclass

from plategen.ground.message import Message, message, number
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rules.cold_bending import k_factor, least_radius_mm
from plategen.rules.material import steel


@dataclass(frozen=True, slots=True, kw_only=True)
class FoldPlan:
    """The bends, mm."""

    radius_mm: float  # Inside radius.
    least_mm: float  # The least that it may be.
    source: str  # That rule.
    k: float  # How deep from the inside the fibre lies that keeps its length, over the thickness.
    relief_mm: float  # Width of the slots at the ends of a bend.
    why: tuple[Message, ...]  # Why, where a rule chose.


def fold_of(job: Job) -> FoldPlan | None:
    """How the job's formed bracket is bent; None where it is not formed.

    Raises:
        Refusal: Its steel is in no table, or in none of bends.
    """
    formed = None if job.bolted is None else job.bolted.formed
    if formed is None:
        return None
    thick = job.bracket.thickness_mm
    try:
        least, source = least_radius_mm(steel(job.bracket.steel, thick), thick, across=formed.rolled == "across")
    except Refusal as refusal:
        raise refusal.under("bracket.steel") from None
    radius = formed.radius_mm or PLATE_SIZES.up(least, job.units)
    k = formed.k or k_factor(radius, thick)
    by_standard = message("inside radius of the bends from {}, on the next shop size up", source)
    by_din = message("k of the bends {} by DIN 6935 (its formula and an example of it read in a handbook)", number(k))
    by_practice = message("slots at the ends of the bends as wide as the plate is thick (common practice, no source)")
    asked = ((formed.radius_mm, by_standard), (formed.k, by_din), (formed.relief_mm, by_practice))
    return FoldPlan(
        radius_mm=radius,
        least_mm=least,
        source=source,
        k=k,
        relief_mm=formed.relief_mm or PLATE_SIZES.up(thick, job.units),
        why=tuple(why for given, why in asked if given is None),
    )
