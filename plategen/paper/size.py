"""Paper as printers take it, and the parts of a printed sheet: margins, a strip for the bars, a window for the plate.

Sizes: ISO 216 for the A series, ANSI/ASME Y14.1 for Letter and Tabloid, a 36 in (914.4 mm) roll as plotters load it.
"""

from dataclasses import dataclass, replace

from plategen.ground.refusal import Refusal

PAPERS_MM: dict[str, tuple[float, float]] = {
    "letter": (215.9, 279.4),
    "a4": (210.0, 297.0),
    "tabloid": (279.4, 431.8),
    "a3": (297.0, 420.0),
    "a2": (420.0, 594.0),
}
"""Width and height, upright."""

ROLL = "roll"
ROLL_WIDTH_MM = 914.4
"""Name of the roll and its width; its length is cut to the plate."""

PAPERS = (*PAPERS_MM, ROLL)
USUAL_PAPER = "letter"
"""Every paper that may be chosen, and the one taken where none is."""

MARGIN_MM = 12.0
"""Kept clear all round: common desk printers reach to within 4 to 6 mm of an edge, some to 10 only."""

INCH_MM = 25.4
"""As a plain number, for the bars and rings in inches."""

BARS_LEFT_MM, STRIP_BELOW_MM, HEAD_MM = 13.0, 25.0, 8.0
"""Room for the bars at the left and below, and for the heading."""


TIGHT_BELOW_MM, TIGHT_ABOVE_MM = 11.5, 3.0
"""Room below and above of a sheet whose words stand beside its bars instead of over them; the heading goes up by 3."""

TIGHT_LEAST_MM = 265.0
"""Least width of a sheet on which they have room there."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of paper as it is laid: its name, width and height in mm.

    ``tight`` is one whose words stand beside its bars, so that a plate that would just need two sheets takes one;
    ``part`` is what one plate of several has of it.
    """

    name: str
    width_mm: float
    height_mm: float
    tight: bool = False
    part: tuple[float, float, float, float] | None = None

    @property
    def window(self) -> tuple[float, float, float, float]:
        """Where the plate is drawn: left, bottom, width, height in mm from the sheet's lower left corner."""
        if self.part is not None:
            return self.part
        left, bottom = MARGIN_MM + BARS_LEFT_MM, MARGIN_MM + (TIGHT_BELOW_MM if self.tight else STRIP_BELOW_MM)
        above = MARGIN_MM + (TIGHT_ABOVE_MM if self.tight else HEAD_MM)
        return left, bottom, self.width_mm - MARGIN_MM - left, self.height_mm - above - bottom

    @property
    def tightened(self) -> "Sheet | None":
        """The same with its words beside its bars; None where they have no room there."""
        return replace(self, tight=True) if self.name != ROLL and self.width_mm >= TIGHT_LEAST_MM else None

    @property
    def label(self) -> str:
        """What the printer's dialogue calls it."""
        return self.name.title()


def sheets(paper: str, width_mm: float, height_mm: float) -> tuple[Sheet, ...]:
    """The ways a drawing of this size may be laid on the paper: upright and on its side, or a length of the roll.

    Raises:
        Refusal: If there is no such paper.
    """
    name = paper.lower()
    if name == ROLL:
        beside, above = Sheet(ROLL, 0.0, 0.0).window[2:]
        length = max(width_mm - beside, 300.0)
        tall = max(height_mm - above, 300.0)
        return (Sheet(ROLL, ROLL_WIDTH_MM, tall), Sheet(ROLL, length, ROLL_WIDTH_MM))
    if name not in PAPERS_MM:
        raise Refusal(f"no paper {paper!r}; there are {', '.join(PAPERS)}")
    width, height = PAPERS_MM[name]
    return Sheet(name, width, height), Sheet(name, height, width)
