"""What is bent of one plate: its bends, and which plates they join."""

from dataclasses import dataclass
from typing import Literal

from plategen.bracket.model import Plate
from plategen.flat.segment import Line


@dataclass(frozen=True, slots=True, kw_only=True)
class Bend:
    """A bend between a base and an ear, which are one plate."""

    name: str  # ``"bend_1"``: the first that is made.
    ear: str  # Name of the ear that it turns up.
    side: Literal[-1, 1]  # Whether that stands where the base's v is least or most.
    edge: Line  # Where the bend begins, in the base's plane, along its u.
    turn_rad: float  # How far the plate is turned.
    inside_mm: float  # Inside radius.
    k: float  # How deep from the inside the fibre lies that keeps its length, over the thickness.
    allowance_mm: float  # Length of that fibre.
    # The bent steel as it stands: a rolled plate, whose middle is kept for its length and not that fibre.
    band: Plate


@dataclass(frozen=True, slots=True, kw_only=True)
class Folded:
    """Base and ears that are cut as one flat plate and bent; the plates themselves stand among the bracket's."""

    name: str  # What the flat plate is called.
    base: str  # Name of the plate that stays as it lies.
    bends: tuple[Bend, ...]  # In the order in which they are made.
