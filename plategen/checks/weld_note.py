"""What the welder must know where runs meet: order and access."""

import math

from plategen.bracket.model import Bracket, WeldRun
from plategen.ground.message import Message, message, mm
from plategen.ground.space import Vector

_MEET_MM = 3.0
"""Ends of runs closer than this, beside their legs, meet: a bead more or less."""


def weld_notes(bracket: Bracket) -> tuple[Message, ...]:
    """Order and access where runs meet: one sentence for each pair of runs whose ends come together.

    Runs on the two faces of one plate end at the same place: a stop there is where cracks begin. Common practice.
    """
    notes = []
    runs = bracket.welds
    for index, one in enumerate(runs):
        for other in runs[index + 1 :]:
            if not _meet(one, other):
                continue
            if one.plate == other.plate and one.other == other.other:
                plate = one.plate.replace("_", " ")
                notes.append(
                    message(
                        "{} and {} end together at the ends of {}: stop each a leg short of the end, or go round it in "
                        "one pass without a stop there.",
                        one.name,
                        other.name,
                        plate,
                    )
                )
            else:
                first, last = (one, other) if one.joint == "rail" else (other, one)
                notes.append(
                    message(
                        "{} and {} meet: weld {} first while it can be reached, dress its end, then {} over it.",
                        first.name,
                        last.name,
                        first.name,
                        last.name,
                    )
                )
    gap = bracket.pin.eye_width_mm + 2.0 * bracket.pin.gap_mm
    inner = [run.name for run in runs if run.side == "inside"]
    if inner and not bracket.pin.fork_gap_mm:
        notes.append(
            message(
                "{} lie between the plates, {} apart: tack both plates with a spacer that wide on the pin, and see "
                "that the torch reaches before the second plate is welded.",
                ", ".join(inner),
                mm(gap),
            )
        )
    return tuple(notes)


def _meet(one: WeldRun, other: WeldRun) -> bool:
    reach = max(one.leg_mm, other.leg_mm, _plate_between(one, other)) + _MEET_MM
    return any(math.dist(a, b) <= reach for a in _ends(one) for b in _ends(other))


def _plate_between(one: WeldRun, other: WeldRun) -> float:
    """Distance of the planes of two runs on the two faces of one plate; 0 for other runs."""
    if one.plate != other.plate or one.other != other.other:
        return 0.0
    return math.dist(one.placement.origin, other.placement.origin)


def _ends(run: WeldRun) -> tuple[Vector, Vector]:
    return run.placement.point(run.path.start), run.placement.point(run.path.end)
