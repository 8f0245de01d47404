"""A comparison and the ways to keep the welds, told: as lines for the screen and as plain values for other programs."""

from collections.abc import Iterator
from typing import Any

from plategen.ground.show import Show
from plategen.revision.compare import Comparison, FindingChange, PlateChange
from plategen.revision.keep import Kept
from plategen.revision.same import SAME_MM


def comparison_lines(change: Comparison, show: Show) -> list[str]:
    """What changed, what is cut again, which welds stay, and what caused it."""
    if change.nothing and not change.inputs:
        return ["nothing changed"]
    lines = ["changed in the job:", *(f"  {line}" for line in change.inputs or ("nothing",))]
    lines += ["plates:", *(f"  {_plate_line(plate, show)}" for plate in change.plates)]
    if any(plate.kind == "cut again" and plate.old is not None and plate.old.notch for plate in change.plates):
        lines.append("  (an old plate may still serve with a small gap: plategen trim NEW OLD-PLATE.dxf says)")
    lines.append("welds:")
    for run in change.runs:
        done = [f"{show.length(run.ground_mm)} ground out"] if run.ground_mm else []
        done += [f"{show.length(run.laid_mm)} laid"] if run.laid_mm else []
        done += [f"{run.minutes:.0f} min"] if run.minutes else []
        lines.append(f"  {run.name} of {run.plate}: {run.kind}" + (f", {', '.join(done)}" if done else ""))
    if change.minutes:
        lines.append(f"  in all about {change.minutes:.0f} min of grinding and welding (common practice, no source)")
    if change.findings:
        lines += ["checks:", *(f"  {line}" for line in _finding_lines(change))]
    if change.nothing:
        lines.append("nothing changes in the shop")
    lines.append(f"(outlines, holes and welds that differ by less than {show.length(SAME_MM)} count as the same)")
    return lines


def kept_lines(kept: Kept) -> list[str]:
    """The ways to keep the welds, the smallest change that holds first named."""
    lines = ["keeping every weld:"]
    best = kept.best
    if best:
        lines.append(f"  DO: {best.change}: {best.told}")
    lines += [f"  {'or' if w.holds else 'not'}: {w.change}: {w.told}" for w in kept.ways if w is not best]
    if not best:
        lines.append("  nothing can be done without cutting; what must be cut:")
        lines += [f"    {line}" for line in kept.must_cut]
    return lines


def comparison_json(change: Comparison, kept: Kept | None = None) -> dict[str, Any]:
    """The same as plain values; lengths mm, times minutes."""
    told: dict[str, Any] = {
        "format": 1,
        "same_within_mm": SAME_MM,
        "inputs": list(change.inputs),
        "plates": [
            {
                "name": p.name,
                "kind": p.kind,
                "why": p.why,
                "notch_kept": p.notch_kept,
                "holes_moved": [{"name": name, "by_mm": far} for name, far in p.holes],
            }
            for p in change.plates
        ],
        "welds": [
            {
                "name": r.name,
                "plate": r.plate,
                "kind": r.kind,
                "length_mm": r.length_mm,
                "ground_mm": r.ground_mm,
                "laid_mm": r.laid_mm,
                "minutes": r.minutes,
            }
            for r in change.runs
        ],
        "minutes": change.minutes,
        "findings": [
            {
                "check": f.check,
                "part": f.part,
                "was": f.was.verdict if f.was else None,
                "now": f.now.verdict if f.now else None,
                "was_ratio": _finite(f.was.ratio) if f.was else None,
                "now_ratio": _finite(f.now.ratio) if f.now else None,
            }
            for f in change.findings
        ],
    }
    if kept is not None:
        told["keep_welds"] = {
            "ways": [{"change": w.change, "holds": w.holds, "told": w.told} for w in kept.ways],
            "must_cut": list(kept.must_cut),
        }
    return told


def _finite(ratio: float) -> float | None:
    return ratio if ratio < 1e300 else None


def _plate_line(plate: PlateChange, show: Show) -> str:
    line = f"{plate.name}: {plate.kind}" + (f", {plate.why}" if plate.why else "")
    if plate.kind != "unchanged" and plate.notch_kept:
        line += "; the notch is kept"
    return line + "".join(f"; {name} hole moved {show.length(far)} on the rail" for name, far in plate.holes)


def _finding_lines(change: Comparison) -> Iterator[str]:
    for finding in sorted(change.findings, key=_weight):
        was, now = (f"{f.verdict} {f.ratio:.2f}" if f else "not there" for f in (finding.was, finding.now))
        yield f"{'better' if finding.better else 'WORSE'}: {finding.check}, {finding.part}: {was} → {now}"


def _weight(finding: FindingChange) -> tuple[bool, bool, float]:
    now = finding.now
    return finding.better, now is None or now.verdict != "stop", -(now.ratio if now else 0.0)
