"""The words printed on a plate, each with the places where it may stand, the best first.

Heights are Helvetica's: 3.2 mm is 9 point, which a hand holding scissors still reads.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import chain, pairwise, product

from plategen.bracket.model import HOW_MADE, Plate
from plategen.bracket.rod_end import PREFIX
from plategen.bracket.shape_mark import shape_mark
from plategen.bracket.unfold import bend_line, bends_in
from plategen.cut.by_hand import drilled_corners, torch_line_mm
from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, dot
from plategen.ground.show import Show
from plategen.paper.ink import Anchor, Label, Words
from plategen.tell.picture.drafter import readable
from plategen.tell.picture.on_rail import beside, holes_there
from plategen.tell.picture.plate_features import (
    clearance,
    clearances,
    datum_of,
    facing,
    inward,
    roots,
    spoken,
    tape,
)
from plategen.tell.picture.plate_station import Station, crossings, numbered
from plategen.work import Work

NOTE_MM, STATION_MM, RAIL_MM = 3.2, 3.4, 4.2
"""Heights of notes, of stations' numbers and of the rail's side."""

SHARED_MM = 4.6
"""Height of each name where several plates share a drawing."""

NAME_SIZES = (1.0, 0.85, 0.7, 0.58)
"""Sizes tried for the plate's name and what stands under it; the last leaves its smallest line at 1.9 mm."""


def labels(
    work: Work, plate: Plate, ticks: Sequence[Station], show: Show, alike: Sequence[Plate] = ()
) -> Iterator[Label]:
    """Every label, those with least choice first; name and welds also of plates ``alike`` that share the drawing."""
    yield from (_station(plate, tick, show) for tick in ticks)
    yield _name(work, (plate, *alike), show)
    yield from _rail_side(plate, stands_on(work, plate))
    wide_mm = torch_line_mm(work.job, plate)
    if plate.role != "wall" and (wide_mm or work.job.cutting.straight):
        yield _by_hand(plate, wide_mm, _saw(work, plate, show) if work.job.cutting.straight else TORCH)
    yield from _holes(work, plate, show)
    yield from _slots(plate, show, by_hand=work.job.cutting.by_hand)
    yield from _welds(work, (plate, *alike))
    yield from _bends(plate, show)
    yield from _folds(work, plate, show)
    yield from _ground(work, plate, show)
    yield from _on_rail(work, plate, show)
    yield from _datum(work, plate, show)


def _on_rail(work: Work, plate: Plate, show: Show) -> Iterator[Label]:
    """The name of everything on the rail beside the plate, near its shape."""
    for feature, shape in beside(work, plate):
        u0, v0, u1, v1 = shape.bounds
        place = f"at {show.short(feature.plane_mm)} along the pin"
        middle, half = complex(u0 + u1, v0 + v1) / 2, (v1 - v0) / 2
        ups = [sign * (half + far) for far in (3.5, 8.0, 13.0, 19.0, 26.0, 34.0) for sign in (1.0, -1.0)]
        asides = (0.0, 12.0, -12.0, 26.0, -26.0, 40.0, -40.0)
        spots = [middle + complex(aside, up) for up, aside in product(ups, asides)]
        yield [
            *((Words(f"{feature.name}, {place}", spot, NOTE_MM),) for spot in spots),
            *(_stacked(((feature.name, NOTE_MM, False), (place, NOTE_MM, False)), spot, 0.85) for spot in spots),
        ]


def _station(plate: Plate, station: Station, show: Show) -> Label:
    """The number right or left of its tick's inner end, or at its outer end."""
    along = complex(plate.placement.u[0], plate.placement.v[0])
    along /= abs(along)
    into = inward(plate, station.point, along)
    text = numbered(show, station.along_mm)
    inner, outer = station.point + into * 6.0, station.point - into * 7.0
    return (
        (Words(text, inner + along, STATION_MM, "start"),),
        (Words(text, inner - along, STATION_MM, "end"),),
        (Words(text, outer, STATION_MM),),
        (Words(text, station.point + into * 9.5, STATION_MM),),
    )


def _name(work: Work, plates: Sequence[Plate], show: Show) -> Label:
    """Every name, steel, revision and facing, where the plate is widest; smaller only where it must be."""
    plate, count = plates[0], sum(plate.count for plate in plates)
    each = f", {plate.count} for each name" if len(plates) > 1 else ""
    face, _, whither = facing(work, plate).partition(",")
    revision = f"revision {work.stamp.letter}, " if work.stamp else ""
    lines = (
        *((spoken(one), 6.0 if len(plates) == 1 else SHARED_MM, True) for one in plates),
        (f"{show.length(plate.thickness_mm)} {plate.steel}, cut {count}{each}", NOTE_MM, False),
        (f"{revision}mark {shape_mark(plate)}", NOTE_MM, False),
        *(((face, 3.8, True), (whither.strip(), NOTE_MM, False)) if face else ()),
    )
    if plate.role == "wall":
        lines = (
            ("drilling template", 6.0, True),
            ("lay it on the rail, this side to the cylinder, by the holes that are there", NOTE_MM, False),
            (f"{revision}mark {shape_mark(plate)}", NOTE_MM, False),
        )
    u0, v0, u1, v1 = plate.outline.bounds
    grid = [complex(u0 + (u1 - u0) * i / 16, v0 + (v1 - v0) * j / 16) for i, j in product(range(1, 16), repeat=2)]
    rooms = [round(room, 3) for room in clearances(plate, grid)]
    centres = [grid[k] for k in sorted(range(len(grid)), key=lambda k: (-rooms[k], k)) if rooms[k] > 0.0]
    middle, half = complex(u0 + u1, v0 + v1) / 2, complex(u1 - u0, v1 - v0) / 2
    more = 3.1 * (len(plates) - 1)  # half of what each further name adds
    beside = [
        middle - 1j * (half.imag + 22.0 + more), middle + 1j * (half.imag + 26.0 + more), middle + half.real + 40.0,
    ]  # fmt: skip
    # one at a time, as most often the first has room
    return chain(
        (_stacked(lines, at, size) for size in NAME_SIZES for at in centres),
        (_stacked(lines, at, 1.0) for at in beside),
    )


def _stacked(lines: Sequence[tuple[str, float, bool]], middle: complex, size: float) -> tuple[Words, ...]:
    """Lines one under the other about a middle."""
    steps = [0.0] + [(a[1] + b[1]) * 0.5 + 1.6 for a, b in pairwise(lines)]
    level, placed = sum(steps) / 2, []
    for (text, height, bold), step in zip(lines, steps, strict=True):
        level -= step
        placed.append(Words(text, middle + level * size * 1j, height * size, bold=bold))
    return tuple(placed)


TORCH = ("torch in the grey,", "grind to the black")
"""What the band about the edges is for."""

SAW = ("saw beside the line,", "file to it")
"""What is done where there is no torch."""


def _saw(work: Work, plate: Plate, show: Show) -> tuple[str, ...]:
    """What a saw is led by."""
    sizes = sorted({show.length(2.0 * circle.radius) for circle in drilled_corners(work.job, plate)})
    return (*((f"drill the ringed corners first, {' and '.join(sizes)} dia.,",) if sizes else ()), *SAW)


def _by_hand(plate: Plate, wide_mm: float, said: Sequence[str]) -> Label:
    """Beside the edge and its band, or on the steel where there is no room."""
    lines = tuple((words, NOTE_MM, False) for words in said)
    u0, v0, u1, v1 = plate.outline.bounds
    shares = (0.5, 0.25, 0.75, 0.1, 0.9)
    below = [complex(u0 + (u1 - u0) * share, v0 - wide_mm - 7.0) for share in shares]
    aside = [complex(u, v0 + (v1 - v0) * share) for u in (u0 + 14.0, u1 - 14.0) for share in (0.0, 0.1, 0.9, 1.0)]
    grid = [complex(u0 + (u1 - u0) * i / 8, v0 + (v1 - v0) * j / 8) for i, j in product(range(1, 8), repeat=2)]
    return (_stacked(lines, at, 1.0) for at in (*below, *aside, *grid))


STANDS_ON = ("rail", "tube", "pad", "clamp", "base", "doubler")
"""What the edge of a plate may lie on, as the first word of what its runs join it to."""


def stands_on(work: Work, plate: Plate) -> str:
    """What the side of its notch is called: ``'RAIL SIDE'``, ``'CLAMP SIDE'``."""
    others = {run.other.removeprefix(PREFIX).partition("_")[0] for run in work.bracket.welds if run.plate == plate.name}
    return f"{next((name for name in STANDS_ON if name in others), 'rail').upper()} SIDE"


def _rail_side(plate: Plate, text: str) -> Iterator[Label]:
    """Along each part of the notch that lies on the rail."""
    for seat in plate.seats:
        places = []
        # outside the plate; where no sheet shows it whole there, a smaller one, at last on the steel beside the notch
        for (far, size), share in product(
            ((8.5, 1.0), (12.0, 1.0), (16.0, 1.0), (8.0, 0.7), (-12.0, 0.7), (-18.0, 0.7)),
            (0.75, 0.25, 0.5, 0.6, 0.4, 0.85, 0.15),
        ):
            at, tangent = seat.place(share)
            words = Words(text, at - inward(plate, at, tangent) * far, size * RAIL_MM, bold=True)
            places.append((replace(words, turn_rad=readable(tangent)),))
        yield places


def _holes(work: Work, plate: Plate, show: Show) -> Iterator[Label]:
    there = holes_there(work) if plate.role == "wall" else ()
    _, v0, _, v1 = plate.outline.bounds
    for hole in plate.holes:
        c, r = hole.circle.centre, hole.circle.radius
        how = HOW_MADE[hole.made]
        if plate.role == "wall":
            how = "is there: lay the paper by it" if hole.name in there else "drill in steps, deburr"
        size = f"{show.length(2 * r)} dia."
        one, two = (f"{hole.name}: {size}, {how}",), (f"{hole.name}: {size}", how)
        # on a plate that is no wider than the words they stand over it or under it
        beyond = (c.real + 1j * (v1 + 7.0), c.real + 1j * (v0 - 7.0), c.real + 1j * (v1 + 12.0))
        yield [
            *(place for far in (r, r + 6.0) for said in (one, two) for place in _beside(c, far, said)),
            *((Words(one[0], at, NOTE_MM),) for at in beyond),
        ]


def _beside(c: complex, r: float, texts: Sequence[str]) -> Iterator[tuple[Words, ...]]:
    """Above and below a round thing on either side of its upright centre line, then level with it, then in line."""
    pitch = 1.35 * NOTE_MM
    half = pitch * (len(texts) - 1) / 2

    def lines(at: complex, anchor: Anchor) -> tuple[Words, ...]:
        return tuple(Words(text, at + (half - pitch * i) * 1j, NOTE_MM, anchor) for i, text in enumerate(texts))

    off = r + 4.0 + half
    for up in (off, -off):
        yield lines(c + up * 1j + 1.5, "start")
        yield lines(c + up * 1j - 1.5, "end")
    for up in (3.0 + half, -3.0 - half):
        yield lines(c + up * 1j + r + 1.5, "start")
        yield lines(c + up * 1j - r - 1.5, "end")
    for up in (off + 4.0, -off - 4.0):
        yield lines(c + up * 1j, "middle")


def _slots(plate: Plate, show: Show, *, by_hand: bool) -> Iterator[Label]:
    """Beside a slot, each with its size."""
    for slot in plate.slots:
        texts = [
            f"slot {tape(show, slot.width_mm)} by",
            f"{tape(show, slot.length_mm)} {show.units}",
            *(("drill both ends",) if by_hand else ()),
        ]
        middle, reach = sum(slot.ends) / 2, slot.length_mm / 2
        tall = abs((slot.ends[1] - slot.ends[0]).imag) > abs((slot.ends[1] - slot.ends[0]).real)
        up, aside = (reach, slot.width_mm / 2) if tall else (slot.width_mm / 2, reach)
        spots = [middle + sign * (up + more) * 1j for more in (7.5, 11.0) for sign in (-1, 1)]
        high = 2.2 * (len(texts) - 1)
        sides: tuple[tuple[int, Anchor], ...] = ((1, "start"), (-1, "end"))
        yield [
            *((Words(" ".join(texts), spot, NOTE_MM),) for spot in spots),
            *(
                tuple(
                    Words(text, middle + sign * (aside + 6.0) + (high - 4.4 * i) * 1j, NOTE_MM, anchor)
                    for i, text in enumerate(texts)
                )
                for sign, anchor in sides
            ),
        ]


def _welds(work: Work, plates: Sequence[Plate]) -> Iterator[Label]:
    """Inside each root line, level or along it, on steel where there is room; each plate's runs in turn."""
    plate = plates[0]
    for root, *others in zip(*(roots(work, one) for one in plates), strict=True):
        names = ", ".join(one.names for one in (root, *others))
        places = []
        for far, share in product((14.0, 10.0, 18.0, 23.0, 7.0), (0.3, 0.7, 0.5, 0.15, 0.85, 0.4, 0.6)):
            at, tangent = root.path.place(share)
            words = Words(f"weld {names}", at + inward(plate, at, tangent) * far, NOTE_MM, bold=True)
            places += [(words,), (replace(words, turn_rad=readable(tangent)),)]
        yield sorted(places, key=lambda lines: clearance(plate, lines[0].at) <= 0.0)


def _bends(plate: Plate, show: Show) -> Iterator[Label]:
    """A bend's radius beyond its middle; arcs that do not touch the rail are reliefs."""
    for segment in plate.notch or ():
        if not isinstance(segment, Arc):
            continue
        middle = segment.point(0.5)
        out = -inward(plate, middle, segment.tangent(0.5))
        what = "bend" if any(seat.distance(middle) < 1e-6 for seat in plate.seats) else "relief"
        words = f"{what} R {tape(show, segment.radius)}"
        aside = (0.0, 6.0, -6.0, 14.0, -14.0, 22.0, -22.0)
        yield [
            (Words(words, middle + out * complex(far, side), NOTE_MM),)
            for far, side in product((10.5, 14.0, 18.0, -10.0, -16.0), aside)
        ]


def _ground(work: Work, plate: Plate, show: Show) -> Iterator[Label]:
    """How thick a shim is ground at each corner."""
    if plate.role != "shim":
        return
    from plategen.bracket.drill_list import shim_of

    shim = shim_of(work.design, plate.name)
    u0, v0, u1, v1 = plate.outline.bounds
    corners = ((complex(u0, v0), -1), (complex(u1, v0), -1), (complex(u1, v1), 1), (complex(u0, v1), 1))
    for (at, up), thick in zip(corners, shim.corners_mm, strict=True):
        words = f"grind to {show.length(thick)}"
        ways: tuple[Anchor, ...] = ("start", "end") if at.real == u1 else ("end", "start")
        out = 3.0 if at.real == u1 else -3.0
        inner = complex((u0 + u1) / 2.0 + (1.5 if at.real == u1 else -1.5), at.imag)
        yield [
            *((Words(words, at + out + 1j * up * (2.0 + 4.0 * k), NOTE_MM, ways[0]),) for k in range(5)),
            *((Words(words, inner + 1j * up * (4.0 + 4.5 * k), NOTE_MM, ways[0]),) for k in range(3)),
        ]


def _folds(work: Work, plate: Plate, show: Show) -> Iterator[Label]:
    """What is done at each bend, beside its line, where the line passes over steel."""
    for number, bend in enumerate(bends_in(work.bracket, plate), start=1):
        start, end = bend_line(bend).start, bend_line(bend).end
        turned = f"bend {number}: up {math.degrees(bend.turn_rad):.1f}° to R {tape(show, bend.inside_mm)} inside"
        off = bend.allowance_mm / 4.0
        shares, ways = (0.5, 0.3, 0.7, 0.15, 0.85), (off, -off, off + 8.0, -off - 8.0)
        yield [
            (Words(turned, start + (end - start) * share + 1j * way, NOTE_MM),) for way, share in product(ways, shares)
        ]


def _datum(work: Work, plate: Plate, show: Show) -> Iterator[Label]:
    """What the level line is, beyond its ends or over it; how a blank is rolled, over the roll's line."""
    if plate.rolled_mm:
        u0, _, u1, _ = plate.outline.bounds
        text = f"roll along this line to R {show.length(plate.rolled_mm)} inside"
        places = [
            complex(u0 + (u1 - u0) * share, 3.0 * side) for side in (-1, 1) for share in (0.5, 0.4, 0.6, 0.3, 0.7)
        ]
        yield [(Words(text, at, NOTE_MM),) for at in places]
    datum = datum_of(work, plate)
    if datum is None or plate.role == "shim":  # of its one hole it need not be said
        return
    cuts = [p.real for p in crossings(Chain(plate.outline.segments), 1j, dot(datum.at, 1j))]
    level, left, right = datum.at.imag, min(cuts), max(cuts)
    ends: tuple[tuple[float, float, Anchor], ...] = ((right, 1.0, "start"), (left, -1.0, "end"))
    beyond = [(at + out * 7.5, 0.0, anchor) for at, out, anchor in ends]
    outside = [(at + out * 2.0, up, anchor) for up in (2.8, -2.8) for at, out, anchor in ends]
    shares = product((0.15, 0.85, 0.25, 0.75, 0.35, 0.65), (2.8, -2.8))
    over: list[tuple[float, float, Anchor]] = [(left + (right - left) * x, up, "middle") for x, up in shares]
    spots = (*beyond, *outside, *over)
    yield [(Words(datum.line, complex(at, level + up), NOTE_MM, anchor),) for at, up, anchor in spots]
