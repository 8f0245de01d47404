"""Whether the plates will go on: how deep they may bind on the rail as it truly is, and what standing clear would cost.

A notch is fitted to the rail as it was read, and the true rail lies off that either way. Held by its pin a plate may so
bind as well as gap. Cut clear of the rail by a root gap it goes on, and the price is weld: the gap that a bead has to
bridge grows by as much, and past the fit-up rule's first limit the leg with it.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from plategen.bracket.model import Bracket
from plategen.checks.finding import Check, Finding, part
from plategen.checks.setting import Setting
from plategen.ground.cure import Change, Cure
from plategen.ground.message import Message, message, mm, size
from plategen.ground.shop_size import GAP_SIZES
from plategen.job import Job
from plategen.rules.weld import GAP_LARGEST_MM, laid_leg_mm

DRESSED_MM = 25.4 / 32
"""What a grinder takes off an edge by eye, where it rubs, without spoiling the fit (common practice, no source)."""

BIND = Check("bind to expect", "plate", "mm", "at most", most="caution")
CHECKS = (BIND,)
"""The checks of this file."""


@dataclass(frozen=True, slots=True)
class Clear:
    """What it takes to cut a bracket's plates clear of the rail, and its price in weld; mm."""

    root_gap_mm: float  # The root gap to write into the job.
    gap_mm: float  # The largest gap to expect then, with the pin held.
    leg_mm: float  # The leg that carries as much over such a gap as the job's leg without one.

    def words(self, leg_mm: float) -> Message:
        """What to do and what it costs a job with a weld leg."""
        if self.gap_mm > GAP_LARGEST_MM:
            price = message(
                "but a gap may then be up to {}, more than a fillet bridges: read more", mm(self.gap_mm, "up")
            )
        elif self.leg_mm > leg_mm:
            price = message(
                "a gap may then be up to {}, and there the leg grows from {} to {}",
                mm(self.gap_mm, "up"),
                mm(leg_mm),
                mm(self.leg_mm, "up"),
            )
        else:
            price = message("a gap may then be up to {}, which the leg bridges as it is", mm(self.gap_mm, "up"))
        return message("cut {} clear of the rail (root_gap) and it will go on; {}", size(self.root_gap_mm), price)


def clear_of_rail(job: Job, bracket: Bracket) -> Clear | None:
    """How far clear of the rail the plates must be cut to go on, 95 of 100, on the next shop size; None if they do."""
    fits = [plate.fit for plate in bracket.plates if plate.fit is not None]
    bind = max((fit.expected_bind_mm for fit in fits), default=0.0)
    root = GAP_SIZES.up(job.bracket.root_gap_mm + bind, job.units)
    more = root - job.bracket.root_gap_mm
    if more < GAP_SIZES.step_mm(job.units) / 2.0:
        return None
    gap = more + max(fit.expected_gap_mm for fit in fits)
    return Clear(root, gap, laid_leg_mm(job.weld.leg_mm, gap))


def check_fit_up(setting: Setting) -> Iterator[Finding]:
    """How deep each fitted plate may bind with its pin held."""
    for plate in setting.bracket.plates:
        if plate.fit is not None:
            yield BIND.at_most(
                part(plate.name),
                DRESSED_MM,
                plate.fit.expected_bind_mm,
                assumed="the pin held in its place, 95 plates of 100; more is no work for a grinder",
                cure=lambda: _cut_clear(setting),
            )


def _cut_clear(setting: Setting) -> Cure | None:
    clear = clear_of_rail(setting.job, setting.bracket)
    if clear is None:
        return None
    changes = (Change("bracket.root_gap", size(clear.root_gap_mm)),) if clear.gap_mm <= GAP_LARGEST_MM else ()
    return Cure(clear.words(setting.job.weld.leg_mm), changes)
