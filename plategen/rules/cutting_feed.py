"""Feed, pierce time and usual kerf of a cutting process by thickness, for estimates."""

from dataclasses import dataclass
from itertools import pairwise

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rules.table import read


@dataclass(frozen=True, slots=True)
class Feed:
    """Cutting feed, pierce time and usual kerf at one thickness."""

    feed_mm_per_min: float
    pierce_s: float
    kerf_mm: float
    source: str

    def minutes(self, length_mm: float, pierces: int) -> float:
        """Time of cutting that length of edge, pierced so often."""
        return length_mm / self.feed_mm_per_min + pierces * self.pierce_s / 60.0


def feed(process: str, thickness_mm: float) -> Feed:
    """Feed, pierce time and kerf by process and thickness, between the table's rows along straight lines.

    Raises:
        Refusal: The thickness is beyond the table, or the process unknown.
    """
    rows = [row for row in read("cutting_feed") if row["process"] == process]
    if not rows:
        raise Refusal(f'no feeds are tabulated for "{process}"', "cutting.process")
    if thickness_mm > float(rows[-1]["thickness_mm"]):
        words = "feeds for {} are tabulated up to {}, not {}"
        raise Refusal(message(words, process, mm(float(rows[-1]["thickness_mm"]), "down"), mm(thickness_mm)))
    low, high = next((a, b) for a, b in pairwise((rows[0], *rows)) if thickness_mm <= float(b["thickness_mm"]))
    t0, t1 = float(low["thickness_mm"]), float(high["thickness_mm"])
    share = (thickness_mm - t0) / (t1 - t0) if low is not high else 0.0

    def between(column: str) -> float:
        return float(low[column]) * (1.0 - share) + float(high[column]) * share

    return Feed(between("feed_mm_per_min"), between("pierce_s"), between("kerf_mm"), low["source"])
