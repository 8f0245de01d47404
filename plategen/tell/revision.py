"""A comparison and the ways to keep the welds as lines for the screen."""

from collections.abc import Iterator

from plategen.checks.finding import Finding
from plategen.ground.message import message
from plategen.ground.show import Show
from plategen.revision.compare import Comparison, FindingChange
from plategen.revision.keep import Kept
from plategen.revision.plate_change import PlateChange
from plategen.revision.same import SAME_MM
from plategen.revision.way import Way
from plategen.revision.weld_change import RunChange


def comparison_lines(change: Comparison, show: Show) -> list[str]:
    """What changed, what is cut again, which welds stay, and what caused it."""
    if change.nothing and not change.inputs:
        return ["nothing changed"]
    inputs = [show.text(line) for line in change.inputs] or ["nothing"]
    lines = ["changed in the job:", *(f"  {line}" for line in inputs)]
    lines += ["plates:", *(f"  {_plate_line(plate, show)}" for plate in change.plates)]
    if any(plate.kind == "cut again" and plate.old is not None and plate.old.notch for plate in change.plates):
        lines.append("  (an old plate may still serve with a small gap: plategen trim NEW OLD-PLATE.dxf says)")
    lines += ["welds:", *(f"  {_run_line(run, show)}" for run in change.runs)]
    if change.minutes:
        lines.append(f"  in all about {change.minutes:.0f} min of grinding and welding (common practice, no source)")
    if change.findings:
        lines += ["checks:", *(f"  {line}" for line in _finding_lines(change))]
    if change.nothing:
        lines.append("nothing changes in the shop")
    lines.append(f"(outlines, holes and welds that differ by less than {show.length(SAME_MM)} count as the same)")
    return lines


def kept_lines(kept: Kept, show: Show) -> list[str]:
    """The ways to keep the welds, the smallest change that holds first named."""
    lines = ["keeping every weld:"]
    if kept.job_stops:
        lines.append(f"  STOP: the new job itself stops: {stops_text(kept.job_stops)}")
    best, nearly = kept.best, kept.best_but_for_the_job
    first = best or nearly
    if first:
        lines.append(f"  {'DO' if best else 'once that is put right'}: {way_text(kept, first, show)}")
    others = (way for way in kept.ways if way is not first)
    lines += [f"  {'or' if way.holds else 'not'}: {way_text(kept, way, show)}" for way in others]
    if not first:
        lines.append("  nothing can be done without cutting; what must be cut:")
        lines += [f"    {show.text(line)}" for line in kept.must_cut]
    return lines


def way_text(kept: Kept, way: Way, show: Show) -> str:
    """A way in words: its change, what to do, and what of its own stops."""
    return f"{way.change}: {way_advice(kept, way, show)}"


def way_advice(kept: Kept, way: Way, show: Show) -> str:
    """What a way asks for, or why it does not serve."""
    stops = kept.own_stops(way)
    but = message("; but it does not hold: {}", stops_text(stops)) if stops else ""
    return show.text(way.advice) + show.text(but)


def stops_text(stops: tuple[Finding, ...]) -> str:
    """Names of checks that stop, with the parts that they look at."""
    return "; ".join(f"{f.check}, {f.part}".replace("_", " ") for f in stops)


def _plate_line(plate: PlateChange, show: Show) -> str:
    line = f"{plate.name}: {plate.kind}" + (f", {show.text(plate.why)}" if plate.why else "")
    if plate.kind != "unchanged" and plate.notch_kept:
        line += "; the notch is kept"
    return line + "".join(f"; {name} hole moved {show.length(far)} on the rail" for name, far in plate.holes)


def _run_line(run: RunChange, show: Show) -> str:
    done = [f"{show.length(run.ground_mm)} ground out"] if run.ground_mm else []
    done += [f"{show.length(run.laid_mm)} laid"] if run.laid_mm else []
    done += [f"{run.minutes:.0f} min"] if run.minutes else []
    return f"{run.name} of {run.plate}: {run.kind}" + (f", {', '.join(done)}" if done else "")


def _finding_lines(change: Comparison) -> Iterator[str]:
    for finding in sorted(change.findings, key=_weight):
        was, now = (f"{f.verdict} {f.ratio:.2f}" if f else "not there" for f in (finding.was, finding.now))
        yield f"{'better' if finding.better else 'WORSE'}: {finding.check}, {finding.part}: {was} → {now}"


def _weight(finding: FindingChange) -> tuple[bool, bool, float]:
    now = finding.now
    return finding.better, now is None or now.verdict != "stop", -(now.ratio if now else 0.0)
