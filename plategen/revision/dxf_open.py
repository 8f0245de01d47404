"""Opening a plate that someone else drew: one outline with its holes, in mm, or the reason why it is no plate.

Lines, arcs, circles and polylines are taken exactly, loose ones joined where they meet, or nearly meet, which is noted.
"""

from dataclasses import dataclass, replace

from plategen.cut.dxf_read import Drawn, join_ends
from plategen.cut.part import PUNCH
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc
from plategen.ground.message import Message, joined, message, mm
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_load import MOST_EDGES, NOT_CUT, load_dxf

GAP_MM = 0.1
"""Ends of an outline nearer than this are joined, and it is noted: well under a torch's wander."""

ROUND_WITHIN_MM = 0.05
"""A closed contour whose points lie this near to a circle is a hole drawn otherwise."""

LEAST_SIDE_MM = 1.0
"""A smaller drawing is no plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OpenedPlate:
    """A plate as drawn, in mm, in the drawing's own place; its outline anticlockwise.

    ``openings`` are closed contours inside that are not round, ``punched`` the centres of punch marks where a hole was
    drilled; ``mm_per_unit`` is None when the file does not say its unit (it was read as millimetres); ``notes`` say how
    it was read.
    """

    outline: Loop
    holes: tuple[Circle, ...]
    openings: tuple[Loop, ...]
    punched: tuple[complex, ...]
    mm_per_unit: float | None
    notes: tuple[Message, ...]

    def noting(self, note: Message) -> "OpenedPlate":
        """The same with one more note."""
        return replace(self, notes=(*self.notes, note))


def open_plate(data: bytes, mm_per_unit: float | None = None) -> OpenedPlate:
    """The plate that a DXF file draws, in units of ``mm_per_unit`` when the reader knows better than the file.

    Raises:
        Refusal: It is not one flat plate; the message says why.
    """
    drawn, notes = load_dxf(data, mm_per_unit)
    cut = [contour for layer, contour in drawn.contours if layer not in NOT_CUT]
    loose = [chain for layer, chain in drawn.chains if layer not in NOT_CUT]
    runs = list(join_ends(loose, GAP_MM))
    marks = [run for run in runs if isinstance(run, Chain)]
    if len(marks) < len(runs):
        notes = (*notes, message("ends up to {} apart were joined", mm(GAP_MM, "down")))
        cut += [run for run in runs if isinstance(run, Loop)]
    if not cut:
        _refuse_without_outline(drawn, marks)
    edges = sum(len(contour) for contour in cut if isinstance(contour, Loop))
    if edges > MOST_EDGES:
        raise Refusal(f"has outlines of {edges} edges; at most {MOST_EDGES} is right, fit lines and arcs to them first")
    outline, within = _outline(cut)
    for chain in marks:
        if not inside(outline, chain.point(chain.length / 2)):
            raise Refusal(_open_line(chain, marks))
    if marks:
        notes = (*notes, message("{} open lines inside the plate were taken for marks and left out", len(marks)))
    return OpenedPlate(
        outline=outline,
        holes=tuple(c for c in within if isinstance(c, Circle)),
        openings=tuple(c for c in within if isinstance(c, Loop)),
        punched=_punched(drawn),
        mm_per_unit=drawn.mm_per_unit,
        notes=notes,
    )


def _punched(drawn: Drawn) -> tuple[complex, ...]:
    """The middles of the crosses on the layer of punch marks, each once."""
    middles: list[complex] = []
    for layer, chain in drawn.chains:
        middle = (chain.start + chain.end) / 2
        if layer == PUNCH and all(abs(middle - other) > ROUND_WITHIN_MM for other in middles):
            middles.append(middle)
    return tuple(middles)


def _outline(contours: list[Contour]) -> tuple[Loop, list[Contour]]:
    """The one contour that encloses all others, anticlockwise, and those."""
    shapes: list[Contour] = [_circle(contour) for contour in contours]
    outer = max(shapes, key=lambda c: abs(c.area))
    u0, v0, u1, v1 = outer.bounds
    if min(u1 - u0, v1 - v0) < LEAST_SIDE_MM:
        raise Refusal(
            message("has an outline of {} x {}, no size for a plate; check the unit", mm(u1 - u0), mm(v1 - v0))
        )
    if abs(outer.area) < LEAST_SIDE_MM**2:
        raise Refusal("has an outline that encloses nothing; one closed outline and its holes are right")
    _refuse_twice(shapes)
    within = [shape for shape in shapes if shape is not outer]
    beside = [shape for shape in within if not inside(outer, _place(shape))]
    if beside:
        words = "holds several outlines side by side: {}{}; give one plate in a file"
        more = message(" and {} more", len(beside) - 2) if len(beside) > 2 else ""
        raise Refusal(message(words, joined(", ", map(_size, (outer, *beside[:2]))), more))
    for one in within:
        for other in within:
            if one is not other and inside(one, _place(other)):
                raise Refusal("has a contour inside a hole; one outline with holes in it is right")
    if isinstance(outer, Circle):
        outer = Loop(outer.segments)
    return (outer if outer.area > 0.0 else outer.reversed()), within


def _refuse_twice(shapes: list[Contour]) -> None:
    """Refuse contours that lie over each other: a table would cut them twice."""
    seen: set[tuple[float, ...]] = set()
    for shape in shapes:
        key = tuple(round(x, 2) for x in (*shape.bounds, abs(shape.area) / 10))
        if key in seen:
            raise Refusal("has a contour drawn twice over itself; delete one of the two")
        seen.add(key)


def _circle(contour: Contour) -> Contour:
    """The circle that a contour of arcs or of many short edges stands for, or the contour."""
    if isinstance(contour, Circle) or (len(contour) < 12 and not all(isinstance(s, Arc) for s in contour)):
        return contour
    u0, v0, u1, v1 = contour.bounds
    centre = complex(u0 + u1, v0 + v1) / 2
    radii = [abs(s.point(t) - centre) for s in contour for t in (0.0, 0.5)]
    least, most = min(radii), max(radii)
    return Circle(centre, (most + least) / 2) if most - least <= 2 * ROUND_WITHIN_MM else contour


def _size(contour: Contour) -> Message:
    u0, v0, u1, v1 = contour.bounds
    return message("one of {} x {} at x {}, y {}", *map(mm, (u1 - u0, v1 - v0, u0, v0)))


def _place(contour: Contour) -> complex:
    return contour.centre + contour.radius if isinstance(contour, Circle) else contour.segments[0].point(0.5)


def _refuse_without_outline(drawn: Drawn, chains: list[Chain]) -> None:
    if chains:
        raise Refusal(_open_line(max(chains, key=lambda chain: chain.length), chains))
    marks = ["marks"] if any(layer in NOT_CUT for layer, _ in (*drawn.contours, *drawn.chains)) else []
    kinds = ", ".join([*(kind.lower() for kind in drawn.strange), *marks]) or "nothing"
    raise Refusal(f"draws no outline, only {kinds}; one closed outline and its holes are right")


def _open_line(chain: Chain, chains: list[Chain]) -> Message:
    """What is said of an outline's chain that ends beside the next one, or beside its own start."""
    others = [p for other in chains if other is not chain for p in (other.start, other.end)]
    gap = min(abs(p - chain.end) for p in (chain.start, *others))
    return message(
        "has an outline that is open by {} at x {}, y {}; close it in the drawing, gaps up to {} are joined",
        mm(gap), mm(chain.end.real), mm(chain.end.imag), mm(GAP_MM, "down"),
    )  # fmt: skip
