"""The ``[revision]`` table: what was seen when the last plates were held up, and what of them stays."""

from typing import Annotated, Literal, TypeAlias

from plategen.ground.in_words import name_of
from plategen.ground.quantity import NUMBER
from plategen.ground.refusal import Refusal
from plategen.job.quantities import Allowed, Length, Table
from plategen.rail.note.held import HowHeld

MOST_ROUNDS = 20
"""Rounds of fit notes."""

Keep: TypeAlias = Literal["nothing", "welds", "holes"]
"""What of the bracket before stays as it is."""

Round = Annotated[float, Allowed(NUMBER, "1", least=1.0, most=float(MOST_ROUNDS))]
"""Which time plates were held up, from 1."""


class FitNote(Table, frozen=True, kw_only=True):
    """One gap seen between a plate, or its paper, and the rail."""

    plate: Annotated[str, "Name of the plate that was held up."]
    station_mm: Annotated[Length, "Where along the straightedge."]
    gap_mm: Annotated[
        Length,
        "From the plate's edge to the rail; with the pin in its place negative where the plate would have to go in.",
    ]
    round: Annotated[
        Round, "1 for the first plates held up, 2 for plates made with the notes of round 1, and so on."
    ] = 1.0
    held: Annotated[
        HowHeld | None,
        'How the plate was held: by the "pin", in its place, or pushed "home" until it touched; left out, as '
        "[revision] says.",
    ] = None
    pin_off_mm: Annotated[
        Length | None, "Pushed home: how far the pin hole then was from its place, positive towards the rail."
    ] = None

    @property
    def plate_name(self) -> str:
        """The plate's name, which may be written as the sheet writes it: ``"ear near"``."""
        return name_of(self.plate)

    def __post_init__(self) -> None:
        if self.round != int(self.round):
            raise Refusal("is no whole number; 1 for the first plates held up, 2 for the next", "round")


class FiledNote(FitNote, frozen=True, kw_only=True):
    """One gap out of a file of fit notes."""

    place: Annotated[str, "The file, and the line in it, where the note stands."]

    @property
    def unfiled(self) -> FitNote:
        """The note alone, as a job file would hold it."""
        return FitNote(**{name: getattr(self, name) for name in FitNote.__struct_fields__})


class Revision(Table, frozen=True, kw_only=True):
    """How this job follows the one before."""

    notes: Annotated[
        str | None,
        "File of fit notes beside the job file, with the columns plate, station, gap and, if wanted, round, held, "
        "pin_off and note.",
    ] = None
    fit_note: Annotated[tuple[FitNote, ...], "Fit notes written into the job file itself, [[revision.fit_note]]."] = ()
    held: Annotated[
        HowHeld,
        'How plates were held when the gaps were read, unless a note says otherwise: by the "pin", in its place, or '
        'pushed "home" until they touched.',
    ] = "pin"
    keep: Annotated[
        Keep,
        '"welds" to hold every welded edge of the bracket that is on the machine, "holes" to hold every hole that was '
        "drilled in the rail for it.",
    ] = "nothing"
