"""What is told of a photograph in words: how thick the piece is, and what a print measures."""

from plategen.ground.message import message, mm
from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM, Units
from plategen.photo.measure import Bar
from plategen.photo.target import TALL_MM

LEAST_MM, MOST_MM = 0.1, 60.0
"""Card and plate are no thinner and no thicker than this."""

BAR_WITHIN = 0.05
"""A bar measured farther from its length than this share is another bar, or another unit."""

BAR_MM: dict[Units, float] = {"in": 4 * float(INCH_MM), "mm": 100.0}
"""The check bars' lengths where the print is true."""


def thickness_mm(text: str, units: Units, key: str) -> float:
    """The thickness that a text says, mm; ``units`` are a bare number's, ``key`` is what a refusal names.

    Raises:
        Refusal: It is no length, or none of card or plate.
    """
    return _length(text, units, key, LEAST_MM, MOST_MM)


def printed_bar(text: str, units: Units, key: str) -> Bar:
    """A measured bar: the one that is drawn in the unit it was measured in, or the chequered board's long side.

    Raises:
        Refusal: It is no length, or too far from those that are printed.
    """
    text = text.strip()
    inches = units == "in" if not text[-1:].isalpha() else not text.lower().endswith("mm")
    own = BAR_MM["in" if inches or text.endswith('"') else "mm"]
    length = _length(text, units, key, own * (1 - BAR_WITHIN), TALL_MM * (1 + BAR_WITHIN))
    own = TALL_MM if length > (own + TALL_MM) / 2 else own
    return Bar(own, _length(text, units, key, own * (1 - BAR_WITHIN), own * (1 + BAR_WITHIN)))


def _length(text: str, units: Units, key: str, least_mm: float, most_mm: float) -> float:
    try:
        length = LENGTH.read(text, units)
    except Refusal as refusal:
        raise refusal.at(key) from None
    if not least_mm <= length <= most_mm:
        raise Refusal(message("from {} to {} is right", mm(least_mm), mm(most_mm)), key, units=units)
    return length
