"""A base plate's plane on the traced face, and what its bolts are packed with.

The base is flat and lies along the face as well as a flat can: by least squares over all that it covers, drawn back
until it touches the face and goes into it nowhere. What is left open under each bolt is filled by a shim; a base with
shims is drawn back a little more, so that none of them is ground to a sharp edge.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from plategen.bracket.bolt_places import bolt_pattern, bolted_of, placed_bolts
from plategen.bracket.face import Face, Place, refuse_untraced
from plategen.bracket.feature import Feature
from plategen.bracket.meeting import of_all
from plategen.design.base_plan import BaseBolt, BasePlan
from plategen.design.bolts import steel_about
from plategen.design.fold_plan import fold_of
from plategen.design.foot import Foot
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job import Job
from plategen.rail.surface import Rail
from plategen.rules.table import unit_of_size

MOST_SHIM_MM = 19.05
"""Packing thicker than 3/4 in is outside what AISC 360 J5.2 has a factor for."""

NO_SHIM_MM = 0.5
"""A gap that pulling the bolts up closes (common practice, no source)."""

LEAST_SHIM_MM = 1.5
"""No shim is thinner at any corner: a sharper edge burns off the grinder and curls (common practice, no source)."""

OVER_LEG_MM = 6.0
"""How far the base reaches beyond the ears' beads (common practice, no source)."""


def base_mm(job: Job) -> float:
    """Thickness of the base: of a formed bracket, which is one plate, that of the ears."""
    return bolted_of(job).base_mm or job.bracket.thickness_mm


def beyond_ears_mm(job: Job) -> float:
    """How far the base reaches beyond the ears: past their beads; of a formed one past the slots at their ends."""
    fold = fold_of(job)
    return (job.weld.leg_mm if fold is None else fold.relief_mm) + OVER_LEG_MM


def plan_base(job: Job, rail: Rail, features: Sequence[Feature], ears_mm: Place, foot: Foot) -> BasePlan:
    """The base under ears whose outermost faces lie at ``ears_mm`` along the pin.

    Raises:
        Refusal: The base reaches off the trace, or needs more packing than there is a rule for.
    """
    wanted, why = bolt_pattern(job, ears_mm, foot)
    places, existing, moved = placed_bolts(job, wanted, features, ears_mm, foot)
    bolt, reach = bolted_of(job).bolt_mm, bolted_of(job).slot_mm
    edge = steel_about(bolt, slotted=reach > 0.0)
    wide = edge + reach
    beyond = beyond_ears_mm(job)
    begin, end = foot.stations
    us = [*(u - edge for u, _ in places), *(u + edge for u, _ in places), begin - beyond, end + beyond]
    ws = [*(w - wide for _, w in places), *(w + wide for _, w in places), ears_mm[0] - beyond, ears_mm[1] + beyond]
    refuse_untraced(rail, (min(ws), max(ws)), base_mm(job), "base")
    face, side = Face(rail), shim_size_mm(bolted_of(job).bolt_mm)
    size = PLATE_SIZES.step_mm(job.units)  # its outline goes out to the next size
    plane, gap = face.plane((min(us) - size, max(us) + size), (min(ws) - size, max(ws) + size))
    bolts = tuple(replace(face.bolt(plane, at, side), existing=name) for at, name in zip(places, existing, strict=True))
    back = _drawn_back_mm(bolts, side)
    if back > 0.0:
        n = plane.normal
        plane = plane.shifted((back * n[0], back * n[1], back * n[2]))
        bolts = tuple(replace(bolt, gap_mm=bolt.gap_mm + back) for bolt in bolts)
        notice = "base drawn back by {}, so that no shim is thinner than {} at a corner (common practice, no source)"
        why = (*why, message(notice, mm(back), mm(LEAST_SHIM_MM)))
    thickest = max(bolt.gap_mm for bolt in bolts)
    if thickest > MOST_SHIM_MM:
        words = "the base would stand {} off the rail at a bolt, and up to {} of packing has a rule; {} is right"
        advice = "a base on one flat of the rail: another station, or bolts closer together"
        raise Refusal(message(words, mm(thickest), mm(MOST_SHIM_MM, "down"), advice), "bolted.station")
    wider = face.wider(plane, places)
    return BasePlan(
        placement=plane,
        bolts=bolts,
        gap_mm=gap + back,
        wider_mm=of_all(wider.max(axis=0)),
        narrower_mm=of_all(-wider.min(axis=0)),
        why=why,
        moved=moved,
    )


def _drawn_back_mm(bolts: Sequence[BaseBolt], side_mm: float) -> float:
    """How far a base is drawn back for its thinnest shim; not at all where pulling the bolts up closes the gaps."""
    if max(bolt.gap_mm for bolt in bolts) <= NO_SHIM_MM:
        return 0.0
    return max(0.0, LEAST_SHIM_MM - min(thick for bolt in bolts for thick in bolt.corners_mm(side_mm)))


def shims_of(plan: BasePlan) -> Iterator[BaseBolt]:
    """The bolts that are packed: all of them where the gap under any is more than pulling up closes."""
    if max(bolt.gap_mm for bolt in plan.bolts) > NO_SHIM_MM:
        yield from plan.bolts


def shim_size_mm(bolt_mm: float) -> float:
    """Side of the square packing about a bolt: three diameters, on the next size up in the bolt's unit."""
    return PLATE_SIZES.up(3.0 * bolt_mm, unit_of_size(bolt_mm))
