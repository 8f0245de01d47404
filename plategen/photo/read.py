"""The way from a photograph's bytes to what it shows: one for the command and the page."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.photo.adjust import Adjusted, adjusted
from plategen.photo.by_hand import NOTHING, ByHand
from plategen.photo.camera import View
from plategen.photo.cross import pen_cross
from plategen.photo.detect import Sighting, sighting
from plategen.photo.measure import Bar, Measured, measured
from plategen.photo.pattern import Pattern, pattern
from plategen.photo.picture import read_picture
from plategen.photo.plate import PhotographedPlate, plate
from plategen.photo.sides import Side

EVERY_MM: dict[Units, float] = {"in": 6.35, "mm": 5.0}
"""How far apart the readings stand: closer than a bend's own length, farther than what neighbours share."""


@dataclass(frozen=True, slots=True, eq=False)
class Photographed:
    """A piece as one or several photographs show it."""

    cameras: Adjusted
    piece: Measured
    thickness_mm: float

    @property
    def seen(self) -> Sighting:
        """The picture that shows it best."""
        return self.cameras.sightings[self.piece.picture]

    @property
    def view(self) -> View:
        """Where that picture was taken from."""
        return self.cameras.views[self.piece.picture]

    @property
    def files(self) -> list[str]:
        """The photographs' names."""
        return [each.picture.file for each in self.cameras.sightings]


def sighted(data: bytes, file: str) -> Sighting:
    """The printed pages that a photograph's bytes show.

    Raises:
        Refusal: It is no photograph that can be read, or shows no page.
    """
    return sighting(read_picture(data, file))


def photographed(
    sightings: Sequence[Sighting], thickness_mm: float, printed: Bar | None = None, holes: bool = False
) -> Photographed:
    """The piece that photographs of one lay-out show.

    Args:
        sightings: What each shows of the pages.
        thickness_mm: How thick the piece is.
        printed: A printed length that was measured, None if nobody measured one.
        holes: Whether its holes are measured as well.

    Raises:
        Refusal: Pages or piece cannot be told.
    """
    cameras = adjusted(sightings)
    return Photographed(cameras, measured(cameras, thickness_mm, printed, holes), thickness_mm)


def trace_of(
    of: Photographed, units: Units, side: Side | None = None, cross: bool = False, hand: ByHand = NOTHING
) -> Pattern:
    """The trace that a pattern's edge is.

    Args:
        of: The pattern.
        units: Whose even stations the readings stand at.
        side: Where its straight edge lies in the picture; None for the longest straight side.
        cross: Whether a pen cross marks station 0, in place of a square left end.
        hand: What whoever looked at the picture has set right.

    Raises:
        Refusal: It has no straight edge, no station 0, or too little of its edge could be told.
    """
    piece = of.piece
    try:
        at = None
        if cross:
            z = piece.outline.points / piece.scale
            plan = np.column_stack([z.real, z.imag])
            at = piece.scale * pen_cross(of.seen.picture, of.view, plan, of.thickness_mm / piece.scale)
        return pattern(piece, of.view, of.thickness_mm, EVERY_MM[units], side, at, hand)
    except Refusal as refusal:
        raise _of_piece(of, refusal) from None


def plate_of(of: Photographed) -> PhotographedPlate:
    """The plate that a piece's edges are.

    Raises:
        Refusal: Too little of its outline could be told.
    """
    try:
        return plate(of.piece)
    except Refusal as refusal:
        raise _of_piece(of, refusal) from None


def _of_piece(of: Photographed, refusal: Refusal) -> Refusal:
    """A refusal of the piece, which several photographs may show."""
    return refusal.at(", ".join(of.files))
