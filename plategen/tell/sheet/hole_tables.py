"""The sheet's tables of a plate's holes and slots, and of what steel is left about its pin hole."""

from collections.abc import Iterator

from plategen.bracket.model import HOW_MADE
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cells import Cell, Table, row
from plategen.tell.table import cells


def holes(plate: PlateReport, show: Show) -> Table | None:
    """Every hole and slot, with its distance to the nearest edge; None for a plate without any."""
    rows = (*_holes(plate, show), *_slots(plate, show), *_openings(plate, show), *_reliefs(plate, show))
    if not rows:
        return None
    heads = ("hole", "diameter", "for", "how", "centre at", "edge distance", "least allowed", "rule")
    return Table(f"Holes of {in_words(plate.name)}", heads, rows)


def _holes(plate: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    for h in plate.holes:
        yield row(
            *cells(show, h, "name", "diameter_mm", "bolt_mm"),
            HOW_MADE[h.made],
            _at(h.centre_mm, show),
            *cells(show, h, "edge_distance_mm", "edge_distance_required_mm", "source"),
        )


def _slots(plate: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    for s in plate.slots:
        yield row(
            f"{s.name} slot",
            f"{show.length(s.width_mm)} × {show.length(s.length_mm)}",
            show.length(s.bolt_mm),
            "cut",
            " to ".join(f"{show.short(u)}, {show.short(v)}" for u, v in s.ends_mm) + f" {show.units}",
            *cells(show, s, "edge_distance_mm", "edge_distance_required_mm", "source"),
        )


def _openings(plate: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    """Slots for the tongues of other plates, and how far one stands off upright."""
    for o in plate.openings:
        turned = f"its length at {o.turned_deg:.1f}° to the cylinder's line"
        size = Cell(f"{show.length(o.width_mm)} × {show.length(o.length_mm)}", small=(turned,))
        yield row("tongue slot", size, "tongue", "cut", _at(o.centre_mm, show), "", "", "")


def _reliefs(plate: PlateReport, show: Show) -> Iterator[tuple[Cell, ...]]:
    for r in plate.reliefs:
        size = show.length(2.0 * r.radius_mm)
        yield row("relief", size, "the rail's corner", "cut", _at(r.centre_mm, show), "", "", "")


def _at(centre_mm: tuple[float, float], show: Show) -> str:
    return f"{show.short(centre_mm[0])}, {show.short(centre_mm[1])} {show.units}"


def edges(plate: PlateReport, show: Show) -> Table | None:
    """From the pin hole to every edge of its plate, the nearest first; None for a plate without a pin hole.

    The least that is allowed, and by which rule, stands beside the hole itself.
    """
    rows = tuple(
        row(e.edge, f"{e.direction_deg:.0f}°", *cells(show, e, "from_centre_mm", "from_hole_mm"))
        for h in plate.holes
        if h.purpose == "pin"
        for e in h.edges
    )
    if not rows:
        return None
    heads = ("edge", "which way", "from centre", "steel left")
    return Table(f"Pin hole of {in_words(plate.name)} to every edge", heads, rows, slim=True)
