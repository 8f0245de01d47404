"""Gaps noted at a plate that was held against the rail, and which notes cannot be."""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from plategen.ground.in_words import in_words
from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM
from plategen.rail.note.held import HowHeld

MOST_NOTES = 240
"""Of one plate, and in one file: a dozen a round are plenty."""

BESIDE_MM = float(INCH_MM) / 16
"""So far beyond the end of a plate's edge a note may lie: a tape's station and a torch's end are no truer."""

MOST_GAP_MM = float(INCH_MM)
"""No plate stands farther off along half of its notes: they are in another unit (common practice, no source)."""

_ROUNDING_MM = 1e-6


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
    place: str = ""  # File and line that it was read from; "" for one out of the job file.
    key: str = ""  # Its key in the job file; "" for one out of a file of its own.

    @property
    def plate_said(self) -> str:
        """The plate's name as one says it: ``"ear near"``."""
        return in_words(self.plate)

    def refused(self, what: Message | str) -> Refusal:
        """The refusal of this note, with the place where it is written."""
        return Refusal(what, self.key, place=self.place)


@dataclass(frozen=True, slots=True)
class HeldUp:
    """A plate that was held up."""

    w_mm: float  # Its middle along the pin.
    pin: complex  # The pin in the straightedge's frame, mm.
    between_mm: tuple[float, float] = (-math.inf, math.inf)  # Stations between which the rail was read.


def refuse_misheld(gaps: Sequence[Gap], places: Mapping[str, HeldUp]) -> None:
    """Refuse notes that cannot be: of no plate, off the rail that was read, at one station, or held in two ways.

    Raises:
        Refusal: They are such notes; the plate as one says it, and where the note is written.
    """
    first: dict[tuple[str, int], Gap] = {}
    for gap in gaps:
        _refuse_alone(gap, places)
        before = first.setdefault((gap.plate, gap.round), gap)
        if before.held != gap.held:
            words = "in round {} some of {}'s notes say pin, others home; one way a round is right"
            raise gap.refused(message(words, gap.round, gap.plate_said))
        if before.pin_off_mm != gap.pin_off_mm:
            words = (
                "in round {} {}'s notes give different pin_off; a plate pushed home has one, so give it in all of them"
            )
            raise gap.refused(message(words, gap.round, gap.plate_said))
    for plate in dict.fromkeys(gap.plate for gap in gaps):
        own = [gap for gap in gaps if gap.plate == plate]
        if len({gap.station_mm for gap in own}) < 2:
            words = "every note of {} is at station {}; note the gap at two stations or more"
            raise own[0].refused(message(words, own[0].plate_said, mm(own[0].station_mm)))
        if (half := median(abs(gap.gap_mm) for gap in own)) > MOST_GAP_MM:
            words = "half of the gaps at {} are {} or more, which no plate cut to its trace has; check their unit"
            raise own[0].refused(message(words, own[0].plate_said, mm(half)))
        if len(own) > MOST_NOTES:
            words = "more than {} notes of {}; a dozen a round are plenty"
            raise own[MOST_NOTES].refused(message(words, MOST_NOTES, own[0].plate_said))


def _refuse_alone(gap: Gap, places: Mapping[str, HeldUp]) -> None:
    """Refuse a note that cannot be, whatever the others say."""
    if not places:
        raise gap.refused("no plate of this bracket is cut to a trace, so no gap moves one; leave fit notes out")
    if gap.plate not in places:
        words = 'there is no plate "{}" on this bracket; {} is right'
        raise gap.refused(message(words, gap.plate_said, " or ".join(map(in_words, places))))
    begin, end = places[gap.plate].between_mm
    allowed = BESIDE_MM + _ROUNDING_MM
    if not begin - allowed <= gap.station_mm <= end + allowed:
        words = "station {} of {} is off the rail that was read, from {} to {}; a station between them is right"
        raise gap.refused(message(words, mm(gap.station_mm), gap.plate_said, mm(begin), mm(end)))
    if gap.held == "home" and gap.gap_mm < 0.0:
        words = (
            "{}, round {}: a gap of {}, and the plate was pushed home, where none is less than 0; {} is "
            "right for gaps read with the pin in its place"
        )
        raise gap.refused(message(words, gap.plate_said, gap.round, mm(gap.gap_mm), 'held = "pin"'))
    if gap.held == "pin" and gap.pin_off_mm:
        words = "{}, round {}: held by the pin it has no pin_off; {} is right for a plate that was pushed home"
        raise gap.refused(message(words, gap.plate_said, gap.round, 'held = "home"'))
