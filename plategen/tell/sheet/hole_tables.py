"""The sheet's tables of holes and slots, and of what steel is left about the pin's hole."""

from collections.abc import Iterator, Sequence

from plategen.ground.show import Show
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cells import Cell, Table, named, row
from plategen.tell.table import cells


def holes(plates: Sequence[PlateReport], show: Show) -> Table:
    """Every hole and slot, with its distance to the nearest edge."""
    return Table(
        "Holes",
        (
            "plate",
            "hole",
            "diameter",
            "for",
            "how",
            "centre at",
            "edge distance",
            "least allowed",
            "rule",
        ),
        tuple(
            row(
                named(p.name),
                *cells(show, h, "name", "diameter_mm", "bolt_mm"),
                "cut" if h.made == "cut" else "punch, drill",
                _at(h.centre_mm, show),
                *cells(show, h, "edge_distance_mm", "edge_distance_required_mm", "source"),
            )
            for p in plates
            for h in p.holes
        )
        + tuple(
            row(
                named(p.name),
                f"{s.name} slot",
                f"{show.length(s.width_mm)} × {show.length(s.length_mm)}",
                show.length(s.bolt_mm),
                "cut",
                " to ".join(f"{show.short(u)}, {show.short(v)}" for u, v in s.ends_mm) + f" {show.units}",
                *cells(show, s, "edge_distance_mm", "edge_distance_required_mm", "source"),
            )
            for p in plates
            for s in p.slots
        )
        + tuple(one for p in plates for one in (*_openings(p, show), *_reliefs(p, show))),
    )


def _openings(p: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    """Slots for the tongues of other plates, and how far one stands off upright."""
    for o in p.openings:
        turned = f"its length at {o.turned_deg:.1f}° to the cylinder's line"
        size = Cell(f"{show.length(o.width_mm)} × {show.length(o.length_mm)}", small=(turned,))
        yield row(named(p.name), "tongue slot", size, "tongue", "cut", _at(o.centre_mm, show), "", "", "")


def _reliefs(p: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    for r in p.reliefs:
        size = show.length(2.0 * r.radius_mm)
        yield row(named(p.name), "relief", size, "the rail's corner", "cut", _at(r.centre_mm, show), "", "", "")


def _at(centre_mm: tuple[float, float], show: Show) -> str:
    return f"{show.short(centre_mm[0])}, {show.short(centre_mm[1])} {show.units}"


def edges(plates: Sequence[PlateReport], show: Show) -> Table:
    """From every pin hole to every edge of its plate, the nearest first."""
    return Table(
        "Pin hole to every edge",
        ("plate", "edge", "which way", "from centre", "steel left", "least allowed from centre", "rule"),
        tuple(
            row(
                named(p.name),
                e.edge,
                f"{e.direction_deg:.0f}°",
                *cells(show, e, "from_centre_mm", "from_hole_mm"),
                *cells(show, h, "edge_distance_required_mm", "source"),
            )
            for p in plates
            for h in p.holes
            if h.purpose == "pin"
            for e in h.edges
        ),
    )
