"""What one revision of a job costs after another: plates, holes, weld runs, findings, and the inputs that caused it.

Everything welded is compared where it lies on the rail, in the straightedge's frame: moving the cylinder in line
moves the pin, not the notch. Two outlines or runs are the same when no point of either lies farther than
:data:`~plategen.revision.change.SAME_MM` from the other.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plategen.checks.finding import Finding
from plategen.cost import Cost, cost_of, cost_of_change
from plategen.ground.in_words import in_words
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.job.inputs import input_changes
from plategen.revision.change import REPLACED, PlateChange, RunChange, ends, plate_changes, run_changes
from plategen.revision.rail_hole import RailHole, rail_holes
from plategen.work import Work

SAME_RATIO = 0.01
"""A check whose use of the capacity changed by less than one per cent is neither better nor worse."""


@dataclass(frozen=True, slots=True)
class FindingChange:
    """One check that is better or worse now."""

    check: str
    part: str
    was: Finding | None
    now: Finding | None

    @property
    def better(self) -> bool:
        """True when less of the capacity is used than before."""
        return self.now is None or (self.was is not None and self.now.ratio < self.was.ratio)


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """The whole answer; ``inputs`` says, a message each, what was changed in the job."""

    inputs: tuple[Message, ...]
    plates: tuple[PlateChange, ...]
    runs: tuple[RunChange, ...]
    findings: tuple[FindingChange, ...]
    rail_holes: tuple[RailHole, ...] = ()  # What becomes of the holes that are drilled in the rail.
    # By the new job's rates, None without any: the bracket before and now, and what the change itself takes.
    costs: tuple[Cost, Cost, Cost] | None = None

    @property
    def nothing(self) -> bool:
        """True when nothing in the shop changes."""
        return (
            all(plate.kind == "unchanged" for plate in self.plates)
            and all(run.kind == "kept" for run in self.runs)
            and all(hole.kind == "kept" for hole in self.rail_holes)
            and not self.findings
        )

    @property
    def minutes(self) -> float:
        """Grinding and welding, minutes."""
        return sum(run.minutes for run in self.runs)


def compare(old: Work, new: Work) -> Comparison:
    """What changes from one finished job to the next."""
    both = ends(old, new)
    plates = tuple(change for was, now in both for change in plate_changes(was, now))
    replaced = {plate.name for plate in plates if plate.kind in REPLACED}
    runs = tuple(change for was, now in both for change in run_changes(was, now, replaced))
    inputs = input_changes((old.job, old.traces), (new.job, new.traces))
    return Comparison(
        inputs=(*(_fit_notes(old, new) if old.traces != new.traces else ()), *inputs),
        plates=plates,
        runs=runs,
        findings=tuple(_findings(old, new)),
        rail_holes=tuple(rail_holes(old, new)),
        costs=_costs(old, new, plates, runs),
    )


def _costs(
    old: Work, new: Work, plates: Sequence[PlateChange], runs: Sequence[RunChange]
) -> tuple[Cost, Cost, Cost] | None:
    """What the bracket cost before and costs now, and what is cut, ground and laid for the change."""
    again = [plate.new for plate in plates if plate.kind in REPLACED and plate.new is not None]
    grinding = sum(run.grinding_minutes for run in runs)
    laid = sum(run.laid_mm for run in runs), sum(run.minutes for run in runs) - grinding
    was, now = cost_of(old, new.job.shop), cost_of(new)
    change = cost_of_change(new, again, *laid, grinding)
    return None if was is None or now is None or change is None else (was, now, change)


def _fit_notes(old: Work, new: Work) -> Iterator[Message]:
    """What fit notes say now that they did not before."""
    for correction in new.corrections:
        if correction in old.corrections:
            continue
        most, doubtful = max(map(abs, correction.moved_mm)), len(correction.doubtful)
        doubt = message("; {} of them doubtful and left out", doubtful) if doubtful else NOTHING
        yield message("fit notes of {} move the rail by up to {}{}", in_words(correction.plate), mm(most, "up"), doubt)


def _findings(old: Work, new: Work) -> Iterator[FindingChange]:
    before, after = (_worst(work.findings) for work in (old, new))
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        if was is None or now is None or was.verdict != now.verdict or abs(now.ratio - was.ratio) > SAME_RATIO:
            yield FindingChange(key[0], key[1], was, now)


def _worst(findings: tuple[Finding, ...]) -> dict[tuple[str, str], Finding]:
    """The findings that decide, the worst of those with one name."""
    worst: dict[tuple[str, str], Finding] = {}
    for f in findings:
        if not f.opinion and (f.judged not in worst or f.ratio > worst[f.judged].ratio):
            worst[f.judged] = f
    return worst
