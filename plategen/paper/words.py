"""The words that stand on every template, whatever it is drawn with."""

from plategen.bracket.model import Plate
from plategen.tell.picture.plate_words import shape_mark, spoken
from plategen.work import Work

MEASURE_FIRST = "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT."
"""On every page."""

HOW_TO_PRINT = 'Print at 100 % ("actual size"), never "fit to page". Out by more than 0.5 mm (1/64 in): print again.'
"""On every page."""

HOW_TO_JOIN = "Cut one sheet along the dashed joining line, lay it on the next: rings and letters must meet."
"""On pages that are joined."""

WARNING = (
    "Steering and welding can kill. This paper proves a shape, not a strength: it certifies nothing.",
    "Local vehicle codes, a qualified welder and a licensed engineer have the last word.",
)
"""On every page."""


def heading(work: Work, plate: Plate) -> str:
    """Plate, revision and shape in one line."""
    revision = f"  |  revision {work.stamp.letter}" if work.stamp else ""
    return f"{spoken(plate)}{revision}  |  shape {shape_mark(plate)}  |  scale 1 : 1"
