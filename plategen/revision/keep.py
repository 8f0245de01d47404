"""Holding every weld: what can still be done to reach the new place of the pin, the smallest change first.

The bracket stands on the rail as it was welded; the new job puts the pin elsewhere. Each way is the new job with the
bracket as it would then stand, judged like any other; it holds only when nothing stops.
"""

from collections.abc import Iterator, Set
from dataclasses import dataclass, replace

from plategen.checks.finding import Finding, stops
from plategen.ground.message import Message, message
from plategen.revision.change import on_rail
from plategen.revision.compare import Comparison, compare
from plategen.revision.reach_pin import WAYS
from plategen.revision.way import Move, Way, own_stops
from plategen.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The ways that were tried, in order; what stops in the new job itself, made anew; and what else must be cut.

    ``must_cut`` is empty unless no way can be made or each stops by itself.
    """

    ways: tuple[Way, ...]
    job_stops: tuple[Finding, ...]
    must_cut: tuple[Message, ...] = ()

    @property
    def best(self) -> Way | None:
        """The smallest change that holds."""
        return next((way for way in self.ways if way.holds), None)

    @property
    def best_but_for_the_job(self) -> Way | None:
        """The smallest change of which nothing stops but what stops in the new job itself; None if one holds."""
        return None if self.best else next((w for w in self.ways if w.work and not self.own_stops(w)), None)

    def own_stops(self, way: Way) -> tuple[Finding, ...]:
        """What stops in a way and not, or not as badly, in the new job itself."""
        return () if way.work is None else own_stops(way.work, self.job_stops)


def keep_welds(old: Work, new: Work) -> Kept:
    """What can be done with the bracket as it was welded for the old job, when the new one is wanted."""
    a, b = old.bracket.pin.centre, new.bracket.pin.centre
    step = complex(b[0], b[1]) + on_rail(new) - complex(a[0], a[1]) - on_rail(old)
    move = Move(old, new, step, b[2] - a[2])
    ways: list[Way] = []
    for way in WAYS:
        ways += way(move)
        if move.stays:
            break  # there is nothing else to do
    kept = Kept(ways=tuple(ways), job_stops=tuple(stops(new.findings)))
    if kept.best or kept.best_but_for_the_job:
        return kept
    return replace(kept, must_cut=tuple(_must_cut(compare(old, new))))


def _must_cut(change: Comparison, of: Set[str] | None = None) -> Iterator[Message]:
    """What is cut, of the plates of these names or of all."""
    for plate in change.plates:
        if plate.kind != "unchanged" and (of is None or plate.name in of):
            why = message(" ({})", plate.why) if plate.why else plate.why
            yield message("{}: {}{}", plate.name, plate.kind, why)
    for run in change.runs:
        if run.kind != "kept":
            yield message("weld {} of {}: {}", run.name, run.plate, run.kind)


def welds_lost(old: Work, new: Work) -> tuple[Message, ...]:
    """What is welded and would not stay as it is, a message each; empty when every weld stays."""
    welded = {plate.name for work in (old, new) for plate in work.bracket.plates if plate.welded}
    return tuple(_must_cut(compare(old, new), welded))
