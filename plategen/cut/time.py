"""How far the torch travels, how often it pierces and about how long that takes."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from plategen.cut.lead import pierce
from plategen.cut.part import CutPart
from plategen.cut.tolerance import table
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal

RAPID_MM_PER_MIN = 10000.0
"""Speed between cuts (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutTime:
    """The work of a table on some parts.

    Args:
        length_mm: Length cut, leads included.
        rapid_mm: Length travelled between cuts, in the order of cutting.
        pierces: How often the torch goes through the plate.
        minutes: Estimate of the whole; None when the table of feeds does not reach that thickness.
        source: Where the feeds are from, or why there are none.
    """

    length_mm: float
    rapid_mm: float
    pierces: int
    minutes: float | None
    source: Message | str


@dataclass(frozen=True, slots=True)
class Feed:
    """Cutting feed, pierce time and usual kerf at one thickness."""

    feed_mm_per_min: float
    pierce_s: float
    kerf_mm: float
    source: str


def feed(process: str, thickness_mm: float) -> Feed:
    """Feed, pierce time and kerf by process and thickness, between the table's rows along straight lines.

    Raises:
        Refusal: The thickness is beyond the table, or the process unknown.
    """
    rows = [row for row in table("cutting_feed") if row["process"] == process]
    if not rows:
        raise Refusal(f'no feeds are tabulated for "{process}"', "cutting.process")
    if thickness_mm > float(rows[-1]["thickness_mm"]):
        words = "feeds for {} are tabulated up to {}, not {}"
        raise Refusal(message(words, process, mm(float(rows[-1]["thickness_mm"])), mm(thickness_mm)))
    if thickness_mm <= float(rows[0]["thickness_mm"]):
        low = high = rows[0]
        share = 0.0
    else:
        low, high = next((a, b) for a, b in pairwise(rows) if thickness_mm <= float(b["thickness_mm"]))
        t0, t1 = float(low["thickness_mm"]), float(high["thickness_mm"])
        share = (thickness_mm - t0) / (t1 - t0)

    def between(column: str) -> float:
        return float(low[column]) * (1.0 - share) + float(high[column]) * share

    return Feed(between("feed_mm_per_min"), between("pierce_s"), between("kerf_mm"), low["source"])


def cut_time(parts: Iterable[CutPart], process: str, thickness_mm: float) -> CutTime:
    """Path, pierces and time of cutting these parts from one plate, in their order."""
    cuts = [cut for part in parts for cut in part.cuts]
    length = sum(cut.length_mm for cut in cuts)
    rapid = sum(abs(pierce(b) - pierce(a)) for a, b in pairwise(cuts))
    try:
        speed = feed(process, thickness_mm)
    except Refusal as refusal:
        return CutTime(length_mm=length, rapid_mm=rapid, pierces=len(cuts), minutes=None, source=refusal.message)
    minutes = length / speed.feed_mm_per_min + rapid / RAPID_MM_PER_MIN + len(cuts) * speed.pierce_s / 60.0
    return CutTime(length_mm=length, rapid_mm=rapid, pierces=len(cuts), minutes=minutes, source=speed.source)
