"""The whole job file as one frozen value."""

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.bracket import STYLES, BracketEntry, Mount, StyleEntry, Weld
from plategen.job.cutting import Cutting, SheetStock, SolidEntry
from plategen.job.cylinder import Cylinder, Swing
from plategen.job.quantities import Table
from plategen.job.rail import RailEntry
from plategen.job.revision import Revision
from plategen.job.rules import Driven, Rules
from plategen.job.steering import Steering
from plategen.job.style_tables import Closing, Seat, Split


class Job(Table, frozen=True, kw_only=True):
    """What the user asks for.

    Args:
        title: One line that names the job.
        units: What a bare length means, and how lengths are shown.
        rail: The rail and its traces.
        cylinder: The cylinder.
        mount: Where the cylinder has to lie.
        bracket: The plates.
        closing: Plates between the ears.
        swing: How far the cylinder turns about the pin, and what stands out of it.
        split: The bolts of a bracket of style split.
        seat: The tube that a bracket of style seat stands on.
        weld: The fillets.
        cutting: How the plates are cut.
        sheet_stock: The sheet they are cut from; left out, they are laid side by side.
        solid: What the files of solids hold.
        rules: What decides whether it holds; left out, the usual rules.
        driven: The rod or tube that the cylinder pushes.
        steering: The linkage that the cylinder moves, for the steering study.
        revision: What was seen when the last plates were held up, and what of them stays.
    """

    title: str
    units: Units
    rail: RailEntry
    cylinder: Cylinder
    mount: Mount
    bracket: BracketEntry
    closing: Closing | None = None
    swing: Swing | None = None
    split: Split | None = None
    seat: Seat | None = None
    weld: Weld
    cutting: Cutting = Cutting()
    sheet_stock: SheetStock | None = None
    solid: SolidEntry = SolidEntry()
    rules: Rules | None = None
    driven: Driven | None = None
    steering: Steering | None = None
    revision: Revision | None = None

    def __post_init__(self) -> None:
        if not self.title.strip():
            raise Refusal("the title is empty; one line that names the job is right", "title")
        if self.sheet_stock is not None and self.sheet_stock.spacing_mm < self.cutting.kerf_mm:
            words = "with a kerf of {} the plates would cut into one another; a spacing of the kerf or more is right"
            raise Refusal(message(words, mm(self.cutting.kerf_mm)), "sheet_stock.spacing")
        if self.style.stands_on == "tube" and self.rail.trace:
            raise Refusal(
                f"a {self.bracket.style} stands on a tube, known by its size; leave [[rail.trace]] out", "rail.trace"
            )
        if self.style.stands_on == "rail" and not self.rail.trace:
            raise Refusal("no trace of the rail; add a [[rail.trace]] with its `file` and `plane`", "rail.trace")
        for name, style in STYLES.items():
            if style.table and getattr(self, style.table) is not None and self.bracket.style != name:
                raise Refusal(
                    f'only a bracket of style "{name}" has it, this one is of style "{self.bracket.style}"; leave the '
                    "table out, or take that style",
                    style.table,
                )

    @property
    def style(self) -> StyleEntry:
        """What a bracket of this job's style stands on, holds and has of its own."""
        return STYLES[self.bracket.style]
