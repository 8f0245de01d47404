"""Gaps noted at a plate that was held against the rail, and which notes cannot be."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal

HowHeld: TypeAlias = Literal["pin", "home"]
"""By its pin, in its place, or pushed home until it touched."""

MOST_NOTES = 240
"""Of one plate, and in one file: a dozen a round are plenty."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """One note."""

    plate: str  # The plate that was held up.
    station_mm: float  # Where along the straightedge.
    gap_mm: float  # From notch to rail, square to the notch.
    round: int = 1  # 1 for the first plate held up, 2 for one made with the notes of round 1, and so on.
    held: HowHeld = "pin"  # By the pin in its place, or pushed home against the rail.
    # Pushed home: how far the pin hole then was from its place, positive towards the rail; None if nobody looked.
    pin_off_mm: float | None = None


@dataclass(frozen=True, slots=True)
class HeldUp:
    """A plate that was held up: its middle along the pin, and the pin in the straightedge's frame."""

    w_mm: float
    pin: complex


def refuse_misheld(gaps: Sequence[Gap], places: Mapping[str, HeldUp]) -> None:
    """Refuse notes that cannot be: of no plate, at one station, or of a plate held in two ways at once.

    Raises:
        Refusal: They are such notes; which plate and round.
    """
    held: dict[tuple[str, int], tuple[HowHeld, float | None]] = {}
    for gap in gaps:
        if gap.plate not in places:
            raise Refusal(f'no plate is named "{gap.plate}"; the plates are {", ".join(places)}')
        if gap.held == "home" and gap.gap_mm < 0.0:
            words = (
                '{}, round {}: a gap of {}, and the plate was pushed home, where none is less than 0; held = "pin" is '
                "right for gaps read with the pin in its place"
            )
            raise Refusal(message(words, gap.plate, gap.round, mm(gap.gap_mm)))
        if gap.held == "pin" and gap.pin_off_mm:
            raise Refusal(
                f'{gap.plate}, round {gap.round}: held by the pin it has no pin_off; held = "home" is right for a '
                "plate that was pushed home"
            )
        before = held.setdefault((gap.plate, gap.round), (gap.held, gap.pin_off_mm))
        if before != (gap.held, gap.pin_off_mm):
            raise Refusal(
                f"{gap.plate}, round {gap.round}: its notes differ in how it was held or in pin_off; one way and one "
                "pin_off a round is right, a new round for another"
            )
    for plate in dict.fromkeys(gap.plate for gap in gaps):
        if len({gap.station_mm for gap in gaps if gap.plate == plate}) < 2:
            raise Refusal(f"the notes of {plate} are all at one station; note the gap at two stations or more")
        if sum(gap.plate == plate for gap in gaps) > MOST_NOTES:
            raise Refusal(f"more than {MOST_NOTES} notes of {plate}; a dozen a round are plenty")
