"""Everything the shop's files are written from: the finished job, as one frozen value."""

from dataclasses import dataclass
from typing import TYPE_CHECKING

from plategen.bracket.model import Bracket
from plategen.rail.fit_note import Correction
from plategen.shop.stamp import Stamp
from plategen.strength.finding import Finding

if TYPE_CHECKING:
    from plategen.job import Job
    from plategen.rail.surface import Rail


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A job that was carried through: what was asked, the rail as fitted, the bracket and what was found.

    ``corrections`` is what fit notes changed in the traces before the rail was fitted; ``stamp`` is the revision,
    known once the job is delivered into a folder.
    """

    job: "Job"
    rail: "Rail"
    bracket: Bracket
    findings: tuple[Finding, ...] = ()
    cautions: tuple[str, ...] = ()
    corrections: tuple[Correction, ...] = ()
    stamp: Stamp | None = None
