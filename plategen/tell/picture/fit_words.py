"""A fit in the trade's words: flats, bends, corners and steps, one after the other along the rail."""

import math

from plategen.flat.segment import Arc
from plategen.ground.message import message
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace, bead_words, free_words, step_words
from plategen.tell.picture.plate_features import tape

CORNER_RAD = math.radians(0.05)
"""Pieces whose directions differ by more than this meet at a corner; less is what rounding leaves of a tangent."""


def pieces_in_words(fitted: FittedTrace, show: Show) -> tuple[str, ...]:
    """Each piece as the trade says it: a flat with its length and lie, a bend with radius and kick, corner and step."""
    pieces: list[str] = []
    steps = {riser.edge: riser for riser in fitted.risers}
    for i, piece in enumerate(fitted.chain):
        if i in steps:
            pieces.append(f"step of {tape(show, piece.length)} {show.units} {_way(steps[i].height_mm)}")
            continue
        if fitted.in_bead(piece.point(0.5).real):
            continue
        if i and abs(corner := corner_rad(fitted, i)) > CORNER_RAD:
            pieces.append(f"corner, kick {degrees_words(corner)} {_way(corner)}")
        if isinstance(piece, Arc):
            sweep = piece.sweep_rad
            pieces.append(f"bend R {tape(show, piece.radius)} {show.units}, kick {degrees_words(sweep)} {_way(sweep)}")
        else:
            lie = math.atan2(piece.start_tangent.imag, piece.start_tangent.real)
            pieces.append(f"flat, {tape(show, piece.length)} {show.units} long, {lie_words(lie)}")
    return tuple(pieces)


def fit_in_words(fitted: FittedTrace, show: Show) -> tuple[str, ...]:
    """The pieces of a fit in words; of a free edge that it is one, and its steps."""
    beads = (show.text(message("a bead of {}", bead_words(bead))) for bead in fitted.beads)
    if fitted.model == "chain":
        return (*pieces_in_words(fitted, show), *beads)
    steps = (show.text(message("a step of {}", step_words(riser))) for riser in fitted.risers)
    return (show.text(free_words(fitted)), *steps, *beads)


def corner_rad(fitted: FittedTrace, edge: int) -> float:
    """How far the rail turns at the start of an edge; 0 where a step stands."""
    if any(riser.edge in (edge - 1, edge) for riser in fitted.risers):
        return 0.0
    return _turn(fitted.chain.segments[edge - 1].end_tangent, fitted.chain.segments[edge].start_tangent)


def _turn(before: complex, after: complex) -> float:
    ratio = after / before
    return math.atan2(ratio.imag, ratio.real)


def _way(turn_rad: float) -> str:
    """Towards the rail's metal, seen from the straightedge, is away; the other way is towards."""
    return "away from the straightedge" if turn_rad > 0 else "towards the straightedge"


def lie_words(angle_rad: float) -> str:
    """How a flat lies against the straightedge."""
    if abs(angle_rad) < CORNER_RAD:
        return "in line with the straightedge"
    return f"{degrees_words(angle_rad)} {'away' if angle_rad > 0 else 'in'}"


def degrees_words(angle_rad: float) -> str:
    """Tenths of a degree, as a bench's angle finder reads (common practice, no source)."""
    return f"{abs(math.degrees(angle_rad)):.1f}°"
