"""The last look before a cutting file is written, and the first one after: is this what the table should get?"""

from collections.abc import Sequence
from itertools import combinations

from plategen.cut.dxf import MM_PER, dxf_text
from plategen.cut.dxf_read import Drawn, read_dxf
from plategen.cut.part import INSIDE, OUTSIDE, CutPart, Layer
from plategen.flat.inside import inside, simple
from plategen.flat.intersect import chain_crossings
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import SHORTEST_EDGE_MM, SHORTEST_PATH_MM
from plategen.ground.message import Message, message, mm, uv
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.cutting import DxfEntities, DxfVersion

SAME_AREA = 1e-6
"""Relative difference of area and length, written and read back, that counts as the same."""


def check_cut(part: CutPart) -> None:
    """Refuse a part that no table could cut as meant.

    Raises:
        Refusal: An edge is too short, a contour crosses itself or another, or a hole is not inside the outline.
    """
    check_edges(part)
    for cut in part.cuts:
        _check_contour(part.name, cut.contour)
    outside = part.outside.contour
    for cut in part.inside:
        if _meet(cut.contour, outside) or not inside(outside, _somewhere(cut.contour)):
            raise Refusal(
                message("{}: the hole at {} breaks the edge; move it into the plate", part.spoken, _middle(cut.contour))
            )
    for one, other in combinations((cut.contour for cut in part.inside), 2):
        if _meet(one, other) or inside(one, _somewhere(other)) or inside(other, _somewhere(one)):
            words = "{}: the holes at {} and {} overlap; move them apart"
            raise Refusal(message(words, part.spoken, _middle(one), _middle(other)))
    for punch in part.punch:
        if not inside(outside, punch.centre):
            raise Refusal(message("{}: the punch mark at {} is off the plate", part.spoken, uv(punch.centre)))


def _check_contour(name: str, contour: Contour) -> None:
    """Refuse a contour that crosses itself, or a circle too small to be cut."""
    if isinstance(contour, Loop):
        crossing = simple(contour)
        if crossing is not None:
            words = "{}: the outline meets itself at {}; it must not cross or touch itself"
            raise Refusal(message(words, name, uv(crossing)))
    elif contour.radius <= SHORTEST_EDGE_MM:
        raise Refusal(message("{}: a hole of {} diameter cannot be cut", name, mm(2 * contour.radius)))


def check_edges(part: CutPart, as_cut: Message | str = "") -> None:
    """Refuse a part with an edge that no control follows; ``as_cut`` says what was done to it, if anything.

    Raises:
        Refusal: An edge is too short.
    """
    least_mm = SHORTEST_PATH_MM if as_cut else SHORTEST_EDGE_MM
    loops = [cut.contour for cut in part.cuts if isinstance(cut.contour, Loop)]
    for segment in (segment for loop in loops for segment in loop):
        if segment.length < least_mm:
            words = "{}: {}the edge at {} is {} long, too short to cut; at least {} is right"
            raise Refusal(message(words, part.spoken, as_cut, uv(segment.start), mm(segment.length), mm(least_mm)))


WRONG = "the cutting file came out wrong, it {}: do not cut; this is a fault of plategen, not of the job"
"""What is said of a file that does not say what was meant."""


def proved_dxf(
    parts: Sequence[CutPart], units: Units, version: DxfVersion = "R2000", entities: DxfEntities = "polylines"
) -> str:
    """The DXF file of parts where they lie, read back and found right."""
    text = dxf_text(parts, units, version, entities)
    confirm_dxf(text, parts, units, version)
    return text


def confirm_dxf(text: str, parts: Sequence[CutPart], units: Units, version: DxfVersion = "R2000") -> None:
    """Read a written file back and refuse to hand it out unless it says what was meant.

    Raises:
        Refusal: Its unit, its contours, their areas or lengths are not those of the parts.
    """
    drawn = read_dxf(text, MM_PER[units] if version == "R12" else None)
    if drawn.mm_per_unit != MM_PER[units]:
        raise Refusal(WRONG.format("does not carry the job's unit"))
    for layer, meant in (
        (OUTSIDE, [part.outside.contour for part in parts]),
        (INSIDE, [cut.contour for part in parts for cut in part.inside]),
    ):
        _confirm_layer(drawn, layer, meant)


def _confirm_layer(drawn: Drawn, layer: Layer, meant: list[Contour]) -> None:
    contours = drawn.on(layer)
    if len(contours) != len(meant) or any(name == layer for name, _ in drawn.chains):
        raise Refusal(WRONG.format(f"layer {layer} is not {len(meant)} closed outlines"))
    for one, other in zip(sorted(map(_size, contours)), sorted(map(_size, meant)), strict=True):
        if any(abs(a - b) > SAME_AREA * abs(b) for a, b in zip(one, other, strict=True)):
            raise Refusal(WRONG.format(f"layer {layer} differs from the plate"))


def _size(contour: Contour) -> tuple[float, float]:
    return abs(contour.area), contour.length


def _meet(one: Contour, other: Contour) -> bool:
    return bool(chain_crossings(one.segments, other.segments))


def _somewhere(contour: Contour) -> complex:
    return contour.centre if isinstance(contour, Circle) else contour.segments[0].point(0.5)


def _middle(contour: Contour) -> Message:
    u0, v0, u1, v1 = contour.bounds
    return uv(complex(u0 + u1, v0 + v1) / 2)
