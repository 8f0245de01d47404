"""A comparison, the ways to keep the welds and what can be done with an existing plate, as lines for the screen."""

from plategen.checks.finding import VERDICTS, Finding
from plategen.ground.in_words import in_words
from plategen.ground.show import Show, money
from plategen.revision.change import SAME_MM, PlateChange, RunChange
from plategen.revision.compare import Comparison, FindingChange
from plategen.revision.keep import Kept
from plategen.revision.rail_hole import RailHole
from plategen.revision.trim import Trimmed
from plategen.revision.way import Way
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.cost import cost_words
from plategen.tell.finding_row import used
from plategen.tell.picture.plate_features import spoken


def comparison_lines(change: Comparison, show: Show) -> list[str]:
    """What changed, what is cut again, which welds stay, what it costs, and what caused it."""
    if change.nothing and not change.inputs:
        return ["nothing changed"]
    inputs = [show.text(line) for line in change.inputs] or ["nothing"]
    lines = ["changed in the job:", *(f"  {line}" for line in inputs)]
    lines += ["plates:", *(f"  {_plate_line(plate, show)}" for plate in change.plates)]
    if any(plate.kind == "cut again" and plate.old is not None and plate.old.notch for plate in change.plates):
        lines.append("  (an old plate may still serve with a small gap: plategen trim NEW OLD-PLATE.dxf says)")
    lines += ["welds:", *(f"  {_run_line(run, show)}" for run in change.runs)]
    if change.rail_holes:
        lines += ["holes in the rail:", *(f"  {_rail_hole_line(hole, show)}" for hole in change.rail_holes)]
    if any(hole.kind == "left open" for hole in change.rail_holes):
        lines.append(f"  ({LEFT_OPEN})")
    if change.minutes:
        lines.append(f"  in all about {change.minutes:.0f} min of grinding and welding (common practice, no source)")
    if change.costs:
        was, now, doing = change.costs
        lines.append(f"cost: {money(was.total, was.money)} → {money(now.total, now.money)} for the whole bracket")
        lines.append(f"  this change: {cost_words(doing)}")
    if change.findings:
        lines += ["checks:", *(f"  {_finding_line(one)}" for one in sorted(change.findings, key=_weight))]
    if change.nothing:
        lines.append("nothing changes in the shop")
    lines.append(f"(outlines, holes and welds that differ by less than {show.length(SAME_MM)} count as the same)")
    return lines


LEFT_OPEN = (
    "a hole that is left open stays in the rail: write it as [[rail.feature]], so that the next ones keep clear of it, "
    "and never weld it shut"
)
"""What is said of holes that no bolt fills any more (common practice, no source)."""

KEEPING = {"welds": "keeping every weld:", "holes": "keeping every hole in the rail:"}
MUST = {
    "welds": "  nothing can be done without cutting; what must be cut:",
    "holes": "  nothing can be done without drilling; what would become of the rail's holes:",
}
"""Heads of what is kept, and of what cannot be."""


def kept_lines(kept: Kept, show: Show) -> list[str]:
    """The ways to keep welds or holes, the smallest change that holds first named."""
    lines = [KEEPING[kept.what]]
    if kept.job_stops:
        lines.append(f"  STOP: the new job itself stops: {stops_text(kept.job_stops)}")
    best, nearly = kept.best, kept.best_but_for_the_job
    first = best or nearly
    if first:
        lines.append(f"  {'DO' if best else 'once that is put right'}: {first.change}: {way_advice(kept, first, show)}")
    others = (way for way in kept.ways if way is not first)
    lines += [f"  {'or' if way.holds else 'not'}: {way.change}: {way_advice(kept, way, show)}" for way in others]
    if not first:
        lines.append(MUST[kept.what])
        lines += [f"    {show.text(line)}" for line in kept.must_cut]
    return lines


def way_advice(kept: Kept, way: Way, show: Show) -> str:
    """What a way asks for, or why it does not serve."""
    stops = kept.own_stops(way)
    return show.text(way.advice) + (f"; but it does not hold: {stops_text(stops)}" if stops else "")


def stops_text(stops: tuple[Finding, ...]) -> str:
    """Names of checks that stop, with the parts that they look at."""
    return "; ".join(in_words(f"{f.check}, {f.part}") for f in stops)


def _plate_line(plate: PlateChange, show: Show) -> str:
    line = f"{in_words(plate.name)}: {plate.kind}" + (f", {show.text(plate.why)}" if plate.why else "")
    if plate.kind != "unchanged" and plate.notch_kept:
        line += "; the notch is kept"
    return line + "".join(f"; {name} hole moved {show.length(far)} on the rail" for name, far in plate.holes)


def _run_line(run: RunChange, show: Show) -> str:
    done = [f"{show.length(run.ground_mm)} ground out"] if run.ground_mm else []
    done += [f"{show.length(run.laid_mm)} laid"] if run.laid_mm else []
    done += [f"{run.minutes:.0f} min"] if run.minutes else []
    return f"{run.name} of {in_words(run.plate)}: {run.kind}" + (f", {', '.join(done)}" if done else "")


def _rail_hole_line(hole: RailHole, show: Show) -> str:
    place = f"at station {show.length(hole.station_mm)}, {show.length(hole.plane_mm)} along the pin"
    sizes = " → ".join(show.length(size) for size in dict.fromkeys((hole.was_mm, hole.now_mm)) if size)
    return f"{hole.name} {place}: {hole.kind}, {sizes} dia."


def _finding_line(finding: FindingChange) -> str:
    was, now = (f"{f.verdict} {used(f)}" if f else "not there" for f in (finding.was, finding.now))
    return f"{_turn(finding)}: {finding.check}, {in_words(finding.part)}: {was} → {now}"


def _turn(finding: FindingChange) -> str:
    """How it changed; only what ends worse than it did is shouted."""
    was, now = ("ok" if f is None else f.verdict for f in (finding.was, finding.now))
    worse = VERDICTS.index(now) > VERDICTS.index(was)
    return "better" if finding.better else "WORSE" if worse else "more used"


def _weight(finding: FindingChange) -> tuple[bool, bool, float]:
    now = finding.now
    return finding.better, now is None or now.verdict != "stop", -(now.ratio if now else 0.0)


AS_DRAWN_RAD = 5e-4
"""A smaller turn moves no point of a foot by what a scribed line is wide."""


def trim_lines(answer: Trimmed, show: Show) -> list[str]:
    """What can be done with the plate, and why, a line each; what stops in the job itself comes first."""
    seat = answer.seat
    lines = [f"STOP: the job itself stops: {stops_text(answer.job_stops)}"] if answer.job_stops else []
    lines.append(f"{answer.verdict.upper()}: as {spoken(answer.place.plate)}")
    turned = abs(seat.turn_rad) > AS_DRAWN_RAD
    placed = f"turned {show.angle(seat.turn_rad)} about the pin" if turned else "as it is drawn"
    placed += f", slid {show.length(seat.slide_mm)}" if seat.slide_mm else ""
    lines.append(f"  {placed}{', turned over' if seat.over else ''}")
    if answer.cuts:
        lines.append(
            f"  trim {show.area(answer.removed_mm2)} away, up to {show.bound(seat.proud_mm, up=True)} deep, along "
            f"{show.length(sum(cut.length for cut in answer.cuts))}"
        )
    lines.append(f"  largest gap left {show.length(answer.gap_mm)}; {_rule(answer, show)}")
    lines += [
        f"  short by up to {show.bound(s.gap_mm, up=True)} "
        f"from station {show.short(s.from_mm)} to {show.short(s.to_mm)}"
        for s in answer.short
    ]
    lines.append(f"  weld {show.length(answer.weld_mm)} of {show.length(answer.weld_asked_mm)} on a new plate")
    kept = "holds" if answer.edge_holds else "DOES NOT HOLD"
    asked = show.length(answer.edge_required_mm)
    lines.append(f"  pin hole to edge {show.length(answer.edge_mm)}, {asked} asked: {kept}")
    return lines + [f"  {show.text(reason)}" for reason in answer.reasons]


def _rule(answer: Trimmed, show: Show) -> str:
    if answer.gap_mm > GAP_LARGEST_MM:
        return f"more than {show.length(GAP_LARGEST_MM)} is refused: cut a new one"
    if answer.gap_mm > GAP_AS_IS_MM:
        return f"weld with a leg of {show.length(answer.leg_mm)}, grown by the gap"
    return "weld as detailed"
