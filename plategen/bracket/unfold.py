"""A formed plate spread out flat, as it is cut, and the bodies of which it is made once it is bent.

It is read off the plates as they stand, so that whatever changes a part of it changes the cutting file.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from plategen.bracket.model import Bracket, Hole, Mark, Plate
from plategen.bracket.sawn import run_together
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SAME_POINT_MM, Line, Segment, unit
from plategen.ground.space import Vector

if TYPE_CHECKING:
    from plategen.bracket.folded import Bend, Folded

SHORT_OF_EDGE_MM = 3.0
"""A bend's line is scribed no nearer to the edges: a scratch at an edge is where a bend begins to crack."""


def cut_of(bracket: Bracket) -> tuple[Plate, ...]:
    """The bracket's plates as they are cut, its packing last: one that is bent lies flat, in the place of its parts."""
    folded = bracket.folded
    if folded is None:
        return (*bracket.plates, *bracket.packing)
    parts = {folded.base, *(bend.ear for bend in folded.bends)}
    others = (plate for plate in bracket.plates if plate.name not in parts)
    return (unfolded(bracket.plates, folded), *others, *bracket.packing)


def bodies_of(bracket: Bracket) -> tuple[Plate, ...]:
    """The bracket's plates as they stand, with the bent steel between those that are one."""
    return (*bracket.plates, *(bend.band for bend in bracket.folded.bends)) if bracket.folded else bracket.plates


def bends_in(bracket: Bracket, plate: Plate) -> "tuple[Bend, ...]":
    """The bends of a plate that is cut; none of one that stays flat."""
    folded = bracket.folded
    return folded.bends if folded is not None and plate.name == folded.name else ()


def bent_at(folded: "Folded", by: Vector) -> "Folded":
    """The bends with the plate moved in space."""
    bends = (replace(bend, band=replace(bend.band, placement=bend.band.placement.shifted(by))) for bend in folded.bends)
    return replace(folded, bends=tuple(bends))


def unfolded(plates: Sequence[Plate], folded: "Folded") -> Plate:
    """The flat plate in its base's plane, seen from the inside of the bends, their lines scribed there."""
    named = {plate.name: plate for plate in plates}
    base = named[folded.base]
    edges, holes = list(base.outline), list(base.holes)
    openings = list(base.openings)
    for bend in folded.bends:
        ear = named[bend.ear]
        k = next(k for k, edge in enumerate(edges) if {edge.start, edge.end} == {bend.edge.start, bend.edge.end})
        edges[k : k + 1] = _out_and_back(edges[k], bend, ear)
        holes += [_turned_down(hole, bend, ear) for hole in ear.holes]
        openings += [Loop(tuple(_flat(edge, bend, ear) for edge in loop)) for loop in ear.openings]
    return replace(
        base,
        name=folded.name,
        role="formed",
        outline=Loop(tuple(run_together(edges))),
        holes=tuple(holes),
        openings=tuple(openings),
        marks=tuple(Mark(name=bend.name, path=bend_line(bend)) for bend in folded.bends),
        welded=False,
    )


def bend_line(bend: "Bend") -> Chain:
    """The middle of a bend in the flat plate, where the brake's punch comes down, short of the edges."""
    line = _level(bend, bend.allowance_mm / 2.0)
    short = unit(line.end - line.start) * SHORT_OF_EDGE_MM
    return Chain((Line(line.start + short, line.end - short),))


def bend_limits(bend: "Bend") -> tuple[Line, Line]:
    """Where a bend begins and ends in the flat plate."""
    return _level(bend, 0.0), _level(bend, bend.allowance_mm)


def _level(bend: "Bend", out_mm: float) -> Line:
    """The bend's edge moved outwards."""
    return bend.edge.moved(1, 1j * bend.side * out_mm)


def _out_and_back(edge: Segment, bend: "Bend", ear: Plate) -> list[Segment]:
    """In place of a bend's edge, as the base's outline is walked: out over the bend, round the ear, and back."""
    begins, ends = bend_limits(bend)
    around = [_flat(each, bend, ear) for each in _from_notch(ear)]
    walk: list[Segment] = [Line(begins.start, ends.start), *around, Line(ends.end, begins.end)]
    forward = abs(edge.start - begins.start) <= SAME_POINT_MM
    return walk if forward else [each.reversed() for each in reversed(walk)]


def _from_notch(ear: Plate) -> list[Segment]:
    """An ear's outline from one end of its bend to the other, the bend left out.

    Raises:
        ValueError: The outline has no such edge.
    """
    assert ear.notch is not None
    first, last = ear.notch.start, ear.notch.end
    edges = list(ear.outline)
    for k, edge in enumerate(edges):
        if abs(edge.start - last) <= SAME_POINT_MM and abs(edge.end - first) <= SAME_POINT_MM:
            return [*edges[k + 1 :], *edges[:k]]
    raise ValueError(f"{ear.name} has no edge along its bend")


def _flat(edge: Segment, bend: "Bend", ear: Plate) -> Segment:
    """An edge of an ear in the flat plate."""
    assert ear.notch is not None
    start, way = ear.notch.start, unit(ear.notch.end - ear.notch.start).conjugate()
    own = edge.moved(way, -start * way)  # along the bend, and away from it where v is negative
    own = own if bend.side < 0 else own.mirrored()
    return own.moved(1, bend_limits(bend)[1].start)


def _turned_down(hole: Hole, bend: "Bend", ear: Plate) -> Hole:
    """A hole of an ear in the flat plate; the two ears' are told apart by their places along the pin."""
    at = _flat(Line(hole.circle.centre, hole.circle.centre + 1.0), bend, ear).start
    which = ear.name.rpartition("_")[2]
    return replace(hole, name=f"{hole.name} {which}", circle=Circle(at, hole.circle.radius))
