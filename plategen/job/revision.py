"""The ``[revision]`` table and its file of fit notes: what was seen when the last plates were held up, what stays.

The file's columns are ``plate,station,gap`` and, if wanted, ``round,held,pin_off,note``; ``#`` lines are remarks.
"""

import csv
from typing import Annotated, Literal

from plategen.ground import quantity
from plategen.ground.quantity import NUMBER
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.quantities import Allowed, Length, Table
from plategen.rail.note.gap import HowHeld
from plategen.rail.trace_columns import is_remark, noted_units

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


MOST_NOTES = 240
FARTHEST_MM = 1e5
MOST_NAME = 100
"""More notes than a bracket has rounds and places, numbers farther off, or names of more signs are a slip."""

_NEEDED = ("plate", "station", "gap")
_KNOWN = (*_NEEDED, "round", "held", "pin_off", "note")
_HELD: dict[str, HowHeld | None] = {"": None, "pin": "pin", "home": "home"}


def read_fit_notes(text: str, file: str, units: Units) -> tuple[FitNote, ...]:
    """The notes of one file.

    Args:
        text: The file's text.
        file: Its name, for messages.
        units: What a bare number means, unless a ``# units: mm`` line of the file says otherwise.

    Raises:
        Refusal: It is no such table or a number cannot be read; with the file's name and line.
    """
    header: list[str] | None = None
    notes: list[FitNote] = []
    for number, line in enumerate(text.splitlines(), 1):
        try:
            if is_remark(line):
                units = noted_units(line, late=bool(notes)) or units
                continue
            cells = [cell.strip() for cell in next(csv.reader([line], skipinitialspace=True))]
            if header is None:
                header = _header(cells)
            elif len(notes) == MOST_NOTES:
                raise Refusal(f"more than {MOST_NOTES} notes; a dozen for each plate are plenty")
            else:
                notes.append(_note(dict(zip(header, cells, strict=False)), units))
        except Refusal as refusal:
            raise refusal.at(f"line {number}").at(file) from None
        except csv.Error as error:
            raise Refusal(f"not a row of a table ({error})", place=f"{file}: line {number}") from None
    if not notes:
        raise Refusal("holds no notes; a first line `plate,station,gap` and the notes below it are right", place=file)
    return tuple(notes)


def _header(cells: list[str]) -> list[str]:
    names = [cell.lower() for cell in cells]
    strange = [name for name in names if name not in _KNOWN]
    if strange or any(name not in names for name in _NEEDED) or len(set(names)) != len(names):
        wrong = f"{strange[0][:40]!r} is no column of fit notes" if strange else f"the columns are {', '.join(names)}"
        raise Refusal(f"{wrong}; `plate,station,gap`, and `round`, `held`, `pin_off`, `note` if wanted, are right")
    return names


def _note(row: dict[str, str], units: Units) -> FitNote:
    for name in _NEEDED:
        if not row.get(name):
            raise Refusal(f"the {name} is missing; a row like `ear_near,6 1/2,1/8` is right")
    plate = row["plate"]
    if len(plate) > MOST_NAME or not plate.isprintable():
        raise Refusal(f"{plate[:40]!a} is no name of a plate; one like `ear_near` is right")
    station, gap = (quantity.LENGTH.read(row[name], units) for name in ("station", "gap"))
    pin_off = quantity.LENGTH.read(row["pin_off"], units) if row.get("pin_off") else None
    if max(abs(station), abs(gap), abs(pin_off or 0.0)) > FARTHEST_MM:
        raise Refusal("a length is more than 100 m; check the number and its unit")
    round_text = row.get("round") or "1"
    if not round_text.isascii() or not round_text.isdigit() or not 1 <= int(round_text) <= MOST_ROUNDS:
        raise Refusal(f"round {round_text[:20]!r} is no whole number from 1 to {MOST_ROUNDS}")
    how = (row.get("held") or "").lower()
    if how not in _HELD:
        raise Refusal(f"held {how[:20]!a}; pin is right for a plate held by its pin, home for one pushed home")
    return FitNote(
        plate=plate, station_mm=station, gap_mm=gap, round=float(round_text), held=_HELD[how], pin_off_mm=pin_off
    )  # fmt: skip
