"""A job after another: what changes, and what leaves welds or holes alone where that is asked."""

from collections.abc import Callable
from dataclasses import dataclass

from plategen.revision.compare import Comparison, compare
from plategen.revision.keep import Kept, keep_welds
from plategen.revision.keep_holes import keep_holes
from plategen.work import Work


@dataclass(frozen=True, slots=True)
class Revised:
    """The whole answer."""

    change: Comparison
    kept: tuple[Kept, ...]  # What keeps the welds, what keeps the holes; of those that were asked for.


def revised(
    before: Work, after: Work, step: Callable[[str], None], *, welds: bool = False, holes: bool = False
) -> Revised:
    """What changes from one finished job to the next; the job itself may ask to keep as well.

    ``step`` is told what is being done.
    """
    step("comparing them")
    change = compare(before, after)
    kept = []
    asked = after.job.revision.keep if after.job.revision is not None else "nothing"
    if welds or asked == "welds":
        step("looking for what leaves every weld alone")
        kept.append(keep_welds(before, after))
    if holes or asked == "holes":
        step("looking for what drills nothing in the rail")
        kept.append(keep_holes(before, after))
    return Revised(change, tuple(kept))
