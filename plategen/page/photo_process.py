"""The process that reads the photographs of one trace for the page: it alone opens what was sent.

A picture from a telephone is a stranger's file, and measuring it takes seconds and memory: so it is done beside the
page, under limits, and ends with the process. Run as ``python -m plategen.page.photo_process``, this file reads orders
on standard input and answers each on standard output. Either is a length in eight digits, so much JSON, and the bytes
that the JSON counts.
"""

import contextlib
import os
import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, BinaryIO, Literal

import msgspec

from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.unit import Units
from plategen.page.request import Corrections

if TYPE_CHECKING:
    from plategen.photo.by_hand import ByHand
    from plategen.photo.detect import Sighting
    from plategen.photo.measure import Complexes
    from plategen.photo.read import Photographed

MOST_PHOTOGRAPHS = 4
"""Photographs of one pattern: each takes its seconds, and two say nearly all."""

MOST_MEMORY = 4 * 2**30
"""Bytes of address space: four times what a photograph takes."""

HEAD = 8
"""Digits of a length."""

STEPS_MM, SAME_TURN = 0.1, 1e-4
"""Points of the edge are told to the page on this grid, finer than a finger or a screen; frames that are so alike are
one."""


class Order(msgspec.Struct, frozen=True, kw_only=True):
    """What is to be done: take a picture in, whose bytes follow; or read the trace off those taken in."""

    do: Literal["start", "picture", "read"]
    size: int = 0  # Bytes that follow.
    name: str = ""
    thickness: str = ""
    bar: str = ""
    cross: bool = False
    units: Units = "in"
    corrections: Corrections = Corrections()


class Answer(msgspec.Struct, frozen=True, kw_only=True, omit_defaults=True):
    """What came of an order; ``refused`` is why nothing did, and then only what was seen of the edge is told."""

    refused: str = ""
    size: int = 0  # Bytes of a JPEG that follow: the photograph straightened, where it is another than before.
    pages: int = 0  # Printed pages that a picture shows.
    wide: int = 0  # Pixels of that JPEG.
    tall: int = 0
    box: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)  # What it shows: lower left, upper right; mm.
    ring: list[tuple[float, float]] = []  # The piece's edge, point by point; mm.
    straight: tuple[int, int] | None = None  # First and last point of the straight edge.
    rail: tuple[int, int] | None = None  # First and last of the rail's edge, towards growing stations.
    marks: str = ""  # What was read, as elements of an SVG.
    lines: list[str] = []
    trace: str = ""  # The trace file.
    readings: int = 0


@dataclass
class Reader:
    """The photographs of one pattern, and what was read off them last."""

    sightings: "list[Sighting]" = field(default_factory=list)
    _told: tuple[str, str, Units] | None = None
    _piece: "Photographed | None" = None
    _frame: tuple[complex, complex] = (0j, 0j)  # In which the picture was straightened that was sent last.

    def answer(self, order: Order, data: bytes) -> tuple[Answer, bytes]:
        """What comes of an order."""
        acts: dict[str, Callable[[], tuple[Answer, bytes]]] = {
            "start": self._start,
            "picture": lambda: self._picture(order.name, data),
            "read": lambda: self._read(order),
        }
        try:
            return acts[order.do]()
        except Refusal as refusal:
            return Answer(refused=str(refusal.in_units(order.units))), b""

    def _start(self) -> tuple[Answer, bytes]:
        try:
            import cv2
            from PIL import Image  # noqa: F401
        except ModuleNotFoundError as missing:
            raise missing_library("photographs need", missing.name, "photo", "") from None
        cv2.setNumThreads(1)
        return Answer(), b""

    def _picture(self, name: str, data: bytes) -> tuple[Answer, bytes]:
        from plategen.photo.read import sighted

        if len(self.sightings) >= MOST_PHOTOGRAPHS:
            raise Refusal(f"{MOST_PHOTOGRAPHS} photographs of one pattern are enough; measure these", name)
        self.sightings.append(sighted(data, name))
        self._told = None
        return Answer(pages=len(self.sightings[-1].pages)), b""

    def _read(self, order: Order) -> tuple[Answer, bytes]:
        from plategen.ground.show import Show
        from plategen.photo.read import trace_of
        from plategen.tell.pattern import pattern_lines, trace_text
        from plategen.tell.picture.photograph import bounds_of, marks

        of = self._measured(order)
        try:
            read = trace_of(of, order.units, cross=order.cross, hand=_hand(order.corrections))
        except Refusal as refusal:
            return self._unread(of, str(refusal.in_units(order.units)))
        show, bounds = Show(order.units), bounds_of(read.ring)
        found, jpeg = self._straightened(of, read.ring, (read.origin, read.along))
        return msgspec.structs.replace(
            found,
            straight=(int(read.straight[0]), int(read.straight[-1])),
            rail=(int(read.rail[0]), int(read.rail[-1])),
            marks="".join(marks(read, bounds, show)),
            lines=pattern_lines(read, show),
            trace=trace_text(read, order.units, of.files),
            readings=len(read.points),
        ), jpeg

    def _measured(self, order: Order) -> "Photographed":
        """The piece, measured anew where other things are told of it."""
        from plategen.photo.read import photographed
        from plategen.photo.told import printed_bar, thickness_mm

        told = (order.thickness, order.bar, order.units)
        if self._piece is None or self._told != told:
            thick_mm = thickness_mm(order.thickness, order.units, "thickness")
            bar = printed_bar(order.bar, order.units, "bar") if order.bar.strip() else None
            if not self.sightings:
                raise Refusal("there is no photograph yet; choose one")
            self._piece, self._told, self._frame = photographed(self.sightings, thick_mm, bar), told, (0j, 0j)
        return self._piece

    def _unread(self, of: "Photographed", why: str) -> tuple[Answer, bytes]:
        """The edge alone, where no trace can be read off it: its straight edge may be named, or a stretch put back."""
        from plategen.tell.picture.photograph import bounds_of, outline_marks

        ring = of.piece.outline
        z = ring.points - ring.points.mean()
        found, jpeg = self._straightened(of, z, (complex(ring.points.mean()), 1 + 0j))
        drawn = "".join(outline_marks(z, ring.good, bounds_of(z)))
        return msgspec.structs.replace(found, refused=why, marks=drawn), jpeg

    def _straightened(
        self, of: "Photographed", ring: "Complexes", frame: tuple[complex, complex]
    ) -> tuple[Answer, bytes]:
        """The edge in a frame, and the photograph straightened in it, sent once while the frame stays."""
        from plategen.tell.picture.photograph import bounds_of, straight_jpeg

        (low, high), jpeg, wide, tall = bounds_of(ring), b"", 0, 0
        if abs(frame[0] - self._frame[0]) > STEPS_MM / 2 or abs(frame[1] - self._frame[1]) > SAME_TURN:
            jpeg, wide, tall = straight_jpeg(
                of.seen.picture, of.view, (low, high), of.thickness_mm, of.piece.scale, frame
            )
            self._frame = frame
        return Answer(
            size=len(jpeg),
            wide=wide,
            tall=tall,
            box=(float(low[0]), float(low[1]), float(high[0]), float(high[1])),
            ring=[(_stepped(z.real), _stepped(z.imag)) for z in ring.tolist()],
        ), jpeg


def _stepped(mm: float) -> float:
    return round(round(mm / STEPS_MM) * STEPS_MM, 3)


def _hand(asked: Corrections) -> "ByHand":
    from plategen.photo.by_hand import ByHand, Stretch

    return ByHand(
        straight=asked.straight,
        begin=asked.begin,
        end=asked.end,
        stretches=tuple(Stretch(s.first, s.last, s.keep) for s in asked.stretches),
    )


def read_part(stream: BinaryIO) -> bytes:
    """A length in eight digits, and so many bytes; none at the stream's end."""
    head = stream.read(HEAD)
    return stream.read(int(head)) if len(head) == HEAD else b""


def part(data: bytes) -> bytes:
    """Bytes, behind their length in eight digits."""
    return f"{len(data):0{HEAD}}".encode() + data


def _bounded() -> None:
    """Take little of the machine, and no more memory than photographs need."""
    if hasattr(os, "nice"):
        os.nice(5)  # the page's own process goes first
    with contextlib.suppress(ImportError, ValueError, OSError):
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))


def main() -> None:
    """Answer orders until there are no more; see the top of this file."""
    _bounded()
    out = os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints must not get between the bytes
    reader = Reader()
    while head := read_part(sys.stdin.buffer):
        order = msgspec.json.decode(head, type=Order)
        answer, data = reader.answer(order, sys.stdin.buffer.read(order.size))
        out.write(part(msgspec.json.encode(answer)) + data)
        out.flush()


if __name__ == "__main__":
    main()
