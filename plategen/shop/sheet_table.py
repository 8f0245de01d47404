"""The sheet's tables: rows of words made from the report, in the job's own units. Nothing is computed here."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from plategen.quantity import Show
from plategen.rail.trace import FittedTrace
from plategen.shop.plate_words import tape
from plategen.strength.finding import Finding

Told = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in a cell; ``kind`` is how they stand out, ``small`` what stands under them in small type."""

    words: str
    kind: str = ""
    small: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its caption, its columns' heads, its rows; the first cell of a row names it."""

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    name: str = ""


VERDICT_WORDS = {"stop": "STOP", "caution": "CAUTION", "ok": "OK"}


def row(*words: "str | Cell") -> tuple[Cell, ...]:
    """Cells from plain words."""
    return tuple(w if isinstance(w, Cell) else Cell(w) for w in words)


def cut_list(plates: Sequence[Told], show: Show) -> Table:
    """What to cut."""
    return Table(
        "What to cut",
        ("plate", "cut", "thickness", "steel", "over all", "mass each", "cut length each", "file", "shape"),
        tuple(
            row(
                _name(p["name"]),
                str(p["count"]),
                show.length(p["thickness_mm"]),
                p["steel"],
                f"{tape(show, p['width_mm'])} × {tape(show, p['height_mm'])} {show.units}",
                show.mass(p["mass_kg"]),
                show.length(p["cut_length_mm"]),
                Cell(p["file"], "code"),
                Cell(p["shape"], "code"),
            )
            for p in plates
        ),
    )


def holes(plates: Sequence[Told], show: Show) -> Table:
    """Every hole, with its distance to the nearest edge."""
    return Table(
        "Holes",
        ("plate", "hole", "diameter", "for", "how", "centre u, v", "edge distance", "least allowed", "rule"),
        tuple(
            row(
                _name(p["name"]),
                h["name"],
                show.length(h["diameter_mm"]),
                show.length(h["bolt_mm"]),
                "cut" if h["made"] == "cut" else "punch, drill",
                f"{show.short(h['centre_mm'][0])}, {show.short(h['centre_mm'][1])} {show.units}",
                show.length(h["edge_distance_mm"]),
                show.length(h["edge_distance_required_mm"]),
                h["source"],
            )
            for p in plates
            for h in p["holes"]
        ),
    )


def welds(runs: Sequence[Told], order: Mapping[str, int], show: Show) -> Table:
    """The weld map as a table, in the order of welding."""
    return Table(
        "Weld runs, in the order of welding",
        ("run", "order", "plate", "to", "side", "leg", "length", "angle between faces", "gap under it", "filler"),
        tuple(
            row(
                Cell(w["name"], "run"),
                str(order[w["name"]]),
                _name(w["plate"]),
                _name(w["to"]),
                w["side"],
                show.length(w["leg_mm"]),
                show.length(w["length_mm"]),
                _span(w["joint_angle_deg"]),
                show.length(w["gap_mm"]),
                w["electrode"],
            )
            for w in sorted(runs, key=lambda w: order[w["name"]])
        ),
    )


def fit_up(plates: Sequence[Told], show: Show) -> Table:
    """The gaps to expect when the plates stand on the rail."""
    return Table(
        "Gaps to expect at the rail",
        ("plate", "drawn face", "other face", "with the reading error", "overlap"),
        tuple(
            row(
                _name(p["name"]),
                f"up to {show.length(p['fit']['gap_near_mm'])}",
                f"up to {show.length(p['fit']['gap_far_mm'])}",
                f"up to {show.length(p['fit']['expected_gap_mm'])}",
                "none" if p["fit"]["overlap_mm"] < 0.001 else show.length(p["fit"]["overlap_mm"]),
            )
            for p in plates
            if p["fit"]
        ),
    )


def checks(findings: Iterable[Finding], caption: str, show: Show) -> Table:
    """Findings in the order given, with the rule, what was assumed and what would cure them."""
    return Table(
        caption,
        ("verdict", "check", "asked", "there", "used", "rule and what was assumed"),
        tuple(
            row(
                Cell(VERDICT_WORDS[f.verdict], f.verdict),
                Cell(f.check, "strong", tuple(w for w in (f.part.replace("_", " "), f.case) if w)),
                show.finding(f.demand, f.unit),
                show.finding(f.capacity, f.unit),
                f"{100 * f.ratio:.0f} %" if f.ratio < 100 else "over 100 times",
                Cell(f.source, "", tuple(w for w in (f.assumed, f"Cure: {f.cure}" if f.cure else "") if w)),
            )
            for f in findings
        ),
    )


def readings(fitted: FittedTrace, show: Show) -> Table:
    """The readings of a trace and how far each lies off the fit."""
    heads = ("line", "u", "v") if fitted.trace.round_corner else ("line", "station", "offset")
    return Table(
        f"{fitted.trace.file}, as read",
        (*heads, "off the fit", "note"),
        tuple(
            row(
                str(reading.line),
                f"{show.short(reading.point.real)} {show.units}",
                show.length(reading.point.imag),
                Cell(_signed(residual, show), "stop" if i in fitted.doubtful else ""),
                Cell("DOUBTFUL, left out: read it again", "stop", (reading.note,) if reading.note else ())
                if i in fitted.doubtful
                else reading.note,
            )
            for i, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True))
        ),
    )


def _signed(mm: float, show: Show) -> str:
    return f"{'+' if mm >= 0 else '−'}{show.length(abs(mm))}"


def _span(degrees: Sequence[float]) -> str:
    low, high = degrees
    return f"{low:.1f}°" if high - low < 0.05 else f"{low:.1f}° to {high:.1f}°"


def _name(name: str) -> str:
    return name.replace("_", " ")
