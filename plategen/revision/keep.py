"""Holding every weld: what can still be done to reach the new place of the pin, the smallest change first.

The bracket stands on the rail as it was welded; the new job puts the pin elsewhere. See
:mod:`~plategen.revision.keep_ways`.
"""

from collections.abc import Iterator, Set
from dataclasses import dataclass

from plategen.revision.compare import Comparison, compare, on_rail
from plategen.revision.keep_ways import WAYS, Move, Way
from plategen.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The ways in order, and what must be cut when none holds."""

    ways: tuple[Way, ...]
    must_cut: tuple[str, ...]

    @property
    def best(self) -> Way | None:
        """The smallest change that holds."""
        return next((way for way in self.ways if way.holds), None)


def keep_welds(old: Work, new: Work) -> Kept:
    """What can be done with the bracket as it stands on the machine.

    Args:
        old: The job as it was welded.
        new: The job that is wanted now.
    """
    a, b = old.bracket.pin.centre, new.bracket.pin.centre
    step = complex(b[0], b[1]) + on_rail(new) - complex(a[0], a[1]) - on_rail(old)
    move = Move(old, new, step, b[2] - a[2])
    tried: list[Way] = []
    for way in WAYS:
        tried += way(move)
        if move.stays:
            break  # there is nothing else to do
    must_cut = () if any(way.holds for way in tried) else tuple(_must_cut(compare(old, new)))
    return Kept(ways=tuple(tried), must_cut=must_cut)


def _must_cut(change: Comparison, of: Set[str] | None = None) -> Iterator[str]:
    """What is cut, of the plates of these names or of all."""
    for plate in change.plates:
        if plate.kind != "unchanged" and (of is None or plate.name in of):
            yield f"{plate.name}: {plate.kind}" + (f" ({plate.why})" if plate.why else "")
    for run in change.runs:
        if run.kind != "kept":
            yield f"weld {run.name} of {run.plate}: {run.kind}"


def welds_lost(old: Work, new: Work) -> tuple[str, ...]:
    """What is welded and would not stay as it is, a line each; empty when every weld stays."""
    welded = {plate.name for work in (old, new) for plate in work.bracket.plates if plate.welded}
    return tuple(_must_cut(compare(old, new), welded))
