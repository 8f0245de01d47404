"""The ``[revision]`` table: what was seen when the last plates were held up, and what of them stays."""

from typing import Annotated, Literal

from plategen.ground.quantity import NUMBER
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Allowed, Length, Table
from plategen.rail.note.gap import HowHeld

MOST_ROUNDS = 20
"""Rounds of fit notes."""

Round = Annotated[float, Allowed(NUMBER, "1", least=1.0, most=float(MOST_ROUNDS))]
"""Which time plates were held up, from 1."""


class FitNote(Table, frozen=True, kw_only=True):
    """One gap seen between a plate, or its paper, and the rail.

    Args:
        plate: Name of the plate that was held up.
        station_mm: Where along the straightedge.
        gap_mm: From the plate's edge to the rail; with the pin in its place negative where the plate would have to go
            in.
        round: 1 for the first plates held up, 2 for plates made with the notes of round 1, and so on.
        held: How the plate was held: by the "pin", in its place, or pushed "home" until it touched; left out, as
            [revision] says.
        pin_off_mm: Pushed home: how far the pin hole then was from its place, positive towards the rail.
    """

    plate: str
    station_mm: Length
    gap_mm: Length
    round: Round = 1.0
    held: HowHeld | None = None
    pin_off_mm: Length | None = None

    def __post_init__(self) -> None:
        if self.round != int(self.round):
            raise Refusal("is no whole number; 1 for the first plates held up, 2 for the next", "round")


class Revision(Table, frozen=True, kw_only=True):
    """How this job follows the one before.

    Args:
        notes: File of fit notes beside the job file, with the columns plate, station, gap and, if wanted, round,
            held, pin_off and note.
        fit_note: Fit notes written into the job file itself, [[revision.fit_note]].
        held: How plates were held when the gaps were read, unless a note says otherwise: by the "pin", in its place,
            or pushed "home" until they touched.
        keep: "welds" to hold every welded edge of the bracket that is on the machine.
    """

    notes: str | None = None
    fit_note: tuple[FitNote, ...] = ()
    held: HowHeld = "pin"
    keep: Literal["nothing", "welds"] = "nothing"
