"""What a plate's dimensions are measured from: the pin's hole, or on a plate without one its first bolt hole."""

from dataclasses import dataclass

from plategen.bracket.model import Plate
from plategen.work import Work


@dataclass(frozen=True, slots=True)
class Datum:
    """The point dimensions are measured from, in the plate's plane, and what the level line through it is called."""

    at: complex
    line: str


def datum_of(work: Work, plate: Plate) -> Datum | None:
    """The plate's datum; None when it has no hole."""
    pin = pin_in(work, plate)
    if pin is not None and any(abs(hole.circle.centre - pin) < 1e-6 for hole in plate.holes):
        return Datum(pin, "cylinder centre line")
    if plate.holes:
        return Datum(plate.holes[0].circle.centre, f"level with {plate.holes[0].name}")
    return None


def pin_in(work: Work, plate: Plate) -> complex | None:
    """Where the pin's axis goes through the plate's plane; None for a plate that does not lie across it."""
    if abs(plate.placement.normal[2]) < 1.0 - 1e-9:
        return None
    return plate.placement.flat(work.bracket.pin.centre)


def bolt_places(plate: Plate) -> list[complex]:
    """Centres of all holes, and the places of the bolts in slots."""
    return [hole.circle.centre for hole in plate.holes] + [slot.at for slot in plate.slots]
