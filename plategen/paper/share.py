"""Which plates share a page: those of one shape and steel that turn the same face the same way and are welded alike."""

from collections.abc import Iterable

from plategen.bracket.model import Plate
from plategen.bracket.shape_mark import shape_mark
from plategen.paper.plate_ink import plate_stations
from plategen.tell.picture.on_rail import beside
from plategen.tell.picture.plate_features import datum_of, facing, roots, spoken
from plategen.work import Work

SAME_MM = 0.01
"""What is drawn of two plates agrees to this."""

Sharing = tuple[Plate, ...]
"""Plates of which one drawing is true, the first of them drawn."""


def sharing(work: Work) -> tuple[Sharing, ...]:
    """Every plate that has a paper, those together of which one page says everything but name and welds."""
    found: dict[tuple[object, ...], list[Plate]] = {}
    for plate in work.paper_plates:
        found.setdefault(_drawn(work.of(plate), plate), []).append(plate)
    return tuple(map(tuple, found.values()))


def names(plates: Iterable[Plate]) -> str:
    """All their names, as one says them."""
    return ", ".join(map(spoken, plates))


def _drawn(work: Work, plate: Plate) -> tuple[object, ...]:
    """What a page says of a plate besides its name and its welds' names."""
    if plate.role in ("wall", "shim") or next(iter(beside(work, plate)), None) is not None:
        # what is on the rail is drawn beside it, in its own place; each shim is ground to corners of its own
        return (plate.name,)
    datum = datum_of(work, plate)
    return (
        shape_mark(plate), plate.steel, plate.role, plate.count, plate.rolled_mm, facing(work, plate),
        tuple((hole.name, hole.made) for hole in plate.holes),
        datum and (_near(datum.at), datum.line),
        tuple((_near(station.point), round(station.along_mm, 2)) for station in plate_stations(work, plate)),
        tuple((_near(root.path.start), _near(root.path.end), len(root.runs)) for root in roots(work, plate)),
        tuple((mark.name, _near(mark.path.start), _near(mark.path.end)) for mark in plate.marks),
    )  # fmt: skip


def _near(p: complex) -> tuple[int, int]:
    return round(p.real / SAME_MM), round(p.imag / SAME_MM)
