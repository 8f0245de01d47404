"""The ``[rod_end]`` table: the seat for the cylinder's other end, beside the bracket on the frame in one job.

It holds the tables of a job of style seat that differ from the frame's own, by the same names. Everything else (the
cylinder, the steering, the rules, how plates are cut) is the job's, once.
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Annotated

from plategen.ground.cure import Cure
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import CylinderEnd, Swing
from plategen.job.quantities import Table
from plategen.job.rail import RailEntry
from plategen.job.style_tables import Seat

if TYPE_CHECKING:
    from plategen.job.job import Job

ALIKE_MM = 0.5
"""Sizes of the pushed rod that differ by less are one: what a caliper reads on a painted tube."""


class RodEnd(Table, frozen=True, kw_only=True):
    """The seat of the cylinder's moving end, on the rod or lever that it pushes."""

    eye: Annotated[CylinderEnd, "The end that is seated."]
    rail: Annotated[RailEntry, "Wall and steel of the tube; its size stands under `seat`."]
    mount: Annotated[Mount, "Where the pin stands on the tube."]
    bracket: Annotated[BracketEntry, "The tabs; their style is seat."]
    seat: Annotated[Seat, "The tube, and how the tabs stand on it."]
    weld: Annotated[Weld | None, "The fillets; left out, those of the job."] = None
    swing: Annotated[Swing | None, "What is to be kept clear as the cylinder turns about this pin."] = None

    def __post_init__(self) -> None:
        if self.bracket.style != "seat":
            raise Refusal('the rod\'s end is held by a seat; style = "seat" is right', "bracket.style")


_OWN = ("rail", "mount", "bracket", "seat", "swing")
"""The tables of a seat's job that a job with a rod end has under ``rod_end``, by the same name."""


def seat_job(job: Job, rod_end: RodEnd) -> Job:
    """The job of the seat alone: its own tables, and for everything else those of the whole job.

    Raises:
        Refusal: The two do not go together; by the keys of the whole job.
    """
    try:
        return job.replaced(
            title=f"{job.title}: the rod's end",
            rail=rod_end.rail,
            cylinder=job.cylinder.replaced(base=rod_end.eye),
            mount=rod_end.mount,
            bracket=rod_end.bracket,
            seat=rod_end.seat,
            weld=rod_end.weld or job.weld,
            swing=rod_end.swing,
            closing=None, doubler=None, gusset=None, crosshead=None, split=None, bolted=None, revision=None,
            driven=None, rod_end=None,
        )  # fmt: skip
    except Refusal as refusal:
        raise at_rod_end(refusal, rod_end) from None


def key_at(key: str, rod_end: RodEnd) -> str:
    """The key of the whole job's file for a key of the seat's alone."""
    table = key.partition(".")[0]
    if table in _OWN or (table == "weld" and rod_end.weld is not None):
        return f"rod_end.{key}"
    if key.startswith("cylinder.base"):
        return f"rod_end.eye{key.removeprefix('cylinder.base')}"
    return key


def at_rod_end(refusal: Refusal, rod_end: RodEnd) -> Refusal:
    """A refusal of the seat's job as one of the whole."""
    return refusal.rekeyed(lambda key: key_at(key, rod_end))


def cure_at(cure: Cure, rod_end: RodEnd) -> Cure:
    """A cure of the seat's job as one of the whole."""
    rekeyed = cure.rekeyed(lambda key: key_at(key, rod_end))
    return replace(rekeyed, advice=message("at the rod's end: {}", cure.advice))


def refuse_clash(job: Job, rod_end: RodEnd) -> None:
    """Refuse a seat on another tube than the rod that the steering draws.

    Raises:
        Refusal: Size, wall or lie of the tube are not the pushed rod's.
    """
    drawn = None if job.steering is None else job.steering.cylinder_mount
    rods = () if job.steering is None else job.steering.rod
    rod = next((rod for rod in rods if drawn is not None and rod.name == drawn.pushes), None)
    if rod is None:
        return
    seat = rod_end.seat
    if seat.along != "cylinder":
        raise Refusal(
            f"the cylinder pushes '{rod.name}', so the tube runs along it; along = \"cylinder\" is right",
            "rod_end.seat.along",
        )
    for key, here_mm, there_mm in (
        ("seat.across", seat.across_mm, rod.diameter_mm),
        ("rail.wall", rod_end.rail.wall_mm, rod.wall_mm),
    ):
        if there_mm is not None and abs(here_mm - there_mm) > ALIKE_MM:
            words = "{} here, and {} at the steering's rod '{}': it is one tube; the one that a caliper reads is right"
            raise Refusal(message(words, mm(here_mm), mm(there_mm), rod.name), f"rod_end.{key}")
