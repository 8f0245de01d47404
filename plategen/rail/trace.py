"""A traced rail, before and after fitting, as frozen values.

Both live in the straightedge's frame: u along the straightedge, v square from it towards the rail, so a reading
``station, offset`` is the point ``station + offset * 1j`` and the in-line offset of the cylinder is nowhere in it.
Walking a chain towards growing stations the rail's metal is on the left hand and the free side on the right.
"""

import math
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

from plategen.flat.chain import Chain
from plategen.ground.message import Message, message, mm
from plategen.rail.question import Question
from plategen.rail.spread import Spread

Mark: TypeAlias = Literal["", "step", "bead", "hole", "edge"]
"""What the user says is at a reading: a step across the trace, weld or spatter on the rail that will be ground off, a
hole that the rule went into, or the edge where the rail's plate ends; "" for the rail itself."""


WIDE_MM = 30.0
"""Between readings farther apart than this a step is not told from a joggle (common practice, no source)."""

Model: TypeAlias = Literal["chain", "free"]
"""What explains a trace: a chain of flats and bends, or a free edge, which follows the readings as smoothly as they
allow."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One point read off the rail."""

    point: complex  # Where it lies in the straightedge's frame, mm.
    line: int  # Line of the trace file, from 1.
    note: str = ""  # The note beside it, or "".
    mark: Mark = ""  # What is there, by its own column or by unmistakable words of the note.

    @property
    def beside(self) -> str:
        """Mark and note as they stand beside the numbers.

        >>> Reading(0j, 2, "weld bead", "bead").beside, Reading(0j, 2, "left of it", "hole").beside
        ('weld bead', 'hole, left of it')
        """
        return self.note if self.mark in self.note.lower() else ", ".join(filter(None, (self.mark, self.note)))


@dataclass(frozen=True, slots=True, kw_only=True)
class UnreadBend:
    """The bend of a corner between two straightedges, of which neither has a reading."""

    beside: tuple[complex, complex]  # The last point that the one read before it, and the first that the other read.
    radius_mm: float | None = None  # Its radius, 0 if it is sharp; None if it was not measured.
    point: complex | None = None  # One point of it, if that was read instead.

    @property
    def told(self) -> bool:
        """Whether anything is known of it."""
        return self.radius_mm is not None or self.point is not None


@dataclass(frozen=True, slots=True, kw_only=True)
class Trace:
    """Readings taken in one plane across the pin."""

    file: str  # Name of the file, for messages.
    plane_mm: float  # The plane's place along the pin.
    readings: tuple[Reading, ...]  # In the order along the rail: by station, or as written for (u, v) points.
    round_corner: bool = False  # True when the trace may turn back on itself in u, as (u, v) points may.
    read_error_mm: float | None = None  # One standard deviation of a reading, when the user says it; None to estimate.
    noted: tuple[complex, ...] = ()  # Points of the rail that fit notes found, which the fit heeds beside the readings.
    bend: UnreadBend | None = None  # Where two straightedges meet; None for one, or points.
    drift: complex = 0j  # How far the rail moves in the plane for each mm along the pin, where one trace tells it.
    in_tenths: bool = False  # Whether its offsets, taken for inches without a word of it, all stand in tenths.


@dataclass(frozen=True, slots=True, kw_only=True)
class Riser:
    """A step across the trace, where a plate on the rail may end."""

    edge: int  # Which edge of the fitted chain it is.
    height_mm: float  # Positive towards the rail as the stations grow.
    between_mm: tuple[float, float]  # Stations of the readings before and after it: it stands anywhere between.

    @property
    def wide(self) -> bool:
        """Whether that is too wide a gap to draw it as a step: the edge runs straight across."""
        return self.between_mm[1] - self.between_mm[0] > WIDE_MM


def step_words(riser: Riser) -> Message:
    """What a step is like and where, and what it may be.

    >>> print(step_words(Riser(edge=1, height_mm=-8.0, between_mm=(100.0, 112.5))))
    8.0 mm towards you, between stations 100.0 mm and 112.5 mm: a doubler or a splice plate that begins there?
    """
    return message(
        "{} {}, between stations {} and {}: a doubler or a splice plate that {} there?",
        mm(abs(riser.height_mm)),
        "away from you" if riser.height_mm > 0.0 else "towards you",
        *map(mm, riser.between_mm),
        "ends" if riser.height_mm > 0.0 else "begins",
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Bead:
    """Where readings stand out so that a weld bead or spatter may lie there, which the edge clears."""

    height_mm: float  # How far it stands out towards you.
    between_mm: tuple[float, float]  # Stations between which the edge is led over it.


def bead_words(bead: Bead) -> Message:
    """What a bead is like, and what to do.

    >>> print(bead_words(Bead(height_mm=3.5, between_mm=(100.0, 114.0))))
    3.5 mm towards you, between stations 100.0 mm and 114.0 mm: a weld bead? the edge clears it; mark it if ground off
    """
    return message(
        "{} towards you, between stations {} and {}: a weld bead? the edge clears it; mark it if ground off",
        mm(bead.height_mm),
        *map(mm, bead.between_mm),
    )


def free_words(fitted: "FittedTrace") -> Message:
    """That the rail is no chain of flats and bends, and what the edge is instead."""
    return message(
        "the rail here is neither flat nor bent to one radius: a dent or a sweep; the edge follows the readings, in {} "
        "lines and arcs",
        len(fitted.chain),
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class FittedTrace:
    """A trace with the chain of lines and arcs that explains it, or that follows its readings smoothly."""

    trace: Trace  # What was read.
    chain: Chain  # The fitted chain, from the first reading's foot to the last one's.
    doubtful: tuple[int, ...]  # Indexes of the readings left out of the fit, in order.
    residuals_mm: tuple[float, ...]  # For every reading, its signed distance from the chain, positive towards the rail.
    read_error_mm: float  # One standard deviation of a reading as used in the fit.
    spread: Spread = field(compare=False)  # Where the true rail may lie beside the chain.
    risers: tuple[Riser, ...] = ()  # The steps among its edges.
    beads: tuple[Bead, ...] = ()  # Where it is led over readings that stand out, which are doubtful all the same.
    unheeded: tuple[int, ...] = ()  # Indexes of the readings that their marks keep out of the fit: beads, holes.
    model: Model = "chain"
    # By how much its score is less than the other model's: twice the logarithm of the odds. Infinite if there is none.
    lead: float = math.inf
    questions: tuple[Question, ...] = field(default=(), compare=False)  # What it leaves open, heard or not.

    def in_bead(self, station_mm: float) -> bool:
        """Whether the chain is led over a bead at a station."""
        return any(bead.between_mm[0] <= station_mm <= bead.between_mm[1] for bead in self.beads)

    @property
    def rms_mm(self) -> float:
        """Root mean square of the residuals of the readings that were kept."""
        kept = [r for i, r in enumerate(self.residuals_mm) if i not in self.doubtful and i not in self.unheeded]
        return math.sqrt(sum(r * r for r in kept) / len(kept))


TENTHS = (
    "every offset is taken for inches and stands in tenths, which no rule in fractions has: were they centimetres? "
    "write `3.5 cm` in each cell, or `# units: in` as the first line where they are tenths of an inch"
)
"""What is asked about offsets that make sense in centimetres as well."""


def told(fitted: FittedTrace) -> tuple[Message, ...]:
    """What is said of a fit beside its pieces: a free edge, beads, every step, and the questions that are heard."""
    free = (free_words(fitted),) if fitted.model == "free" else ()
    beads = tuple(message("a bead of {}", bead_words(bead)) for bead in fitted.beads)
    tenths = (message(TENTHS),) if fitted.trace.in_tenths else ()
    return (
        tenths
        + free
        + beads
        + tuple(question.words for question in fitted.questions if question.heard or question.cause == "step")
    )
