"""The whole job file as one frozen value."""

from typing import Annotated

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.bolted import Bolted
from plategen.job.bracket import STYLES, BracketEntry, Mount, StyleEntry, Weld
from plategen.job.crosshead import Crosshead
from plategen.job.cutting import Cutting, SheetStock, SolidEntry
from plategen.job.cylinder import Cylinder, Swing
from plategen.job.doubler import Doubler
from plategen.job.gusset import Gusset
from plategen.job.paper import Paper
from plategen.job.quantities import Table
from plategen.job.rail import RailEntry
from plategen.job.revision import Revision
from plategen.job.rod_end import RodEnd, refuse_clash, seat_job
from plategen.job.rules import Driven, Rules, Use
from plategen.job.shop import Shop
from plategen.job.steering import Steering
from plategen.job.style_tables import Closing, Seat, Split


class Job(Table, frozen=True, kw_only=True):
    """What the user asks for."""

    title: Annotated[str, "One line that names the job."]
    units: Annotated[Units, "What a bare length means, and how lengths are shown."]
    rail: Annotated[RailEntry, "The rail and its traces."]
    cylinder: Annotated[Cylinder, "The cylinder."]
    mount: Annotated[Mount, "Where the cylinder has to lie."]
    bracket: Annotated[BracketEntry, "The plates."]
    closing: Annotated[Closing | None, "Plates between the ears."] = None
    doubler: Annotated[Doubler | None, "A plate on the rail under the ears' foot."] = None
    gusset: Annotated[Gusset | None, "A rib behind each ear."] = None
    crosshead: Annotated[Crosshead | None, "A plate between the ears, off the rail."] = None
    swing: Annotated[Swing | None, "How far the cylinder turns about the pin, and what stands out of it."] = None
    split: Annotated[Split | None, "The bolts of a bracket of style split."] = None
    bolted: Annotated[Bolted | None, "The base plate of a bracket of style bolted, and its bolts."] = None
    seat: Annotated[Seat | None, "The tube that a bracket of style seat stands on."] = None
    rod_end: Annotated[
        RodEnd | None, "A seat for the cylinder's other end, in the same job as the bracket on the frame."
    ] = None
    weld: Annotated[Weld, "The fillets."]
    cutting: Annotated[Cutting, "How the plates are cut."] = Cutting()
    sheet_stock: Annotated[SheetStock | None, "The sheet they are cut from; left out, they are laid side by side."] = (
        None
    )
    shop: Annotated[Shop | None, "The shop's own rates and the steel in its rack; left out, nothing is priced."] = None
    paper: Annotated[Paper, "What the true-scale paper shows besides."] = Paper()
    solid: Annotated[SolidEntry, "What the files of solids hold."] = SolidEntry()
    rules: Annotated[Rules | None, "What decides whether it holds; left out, the usual rules."] = None
    use: Annotated[Use | None, "How much it works, for fatigue; left out, ten years of little use are looked at."] = (
        None
    )
    driven: Annotated[Driven | None, "The rod or tube that the cylinder pushes."] = None
    steering: Annotated[Steering | None, "The linkage that the cylinder moves, for the steering study."] = None
    revision: Annotated[Revision | None, "What was seen when the last plates were held up, and what of them stays."] = (
        None
    )

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
        for table, name in ((table, name) for name, style in STYLES.items() for table in style.tables):
            if getattr(self, table) is not None and self.bracket.style != name:
                raise Refusal(
                    f'only a bracket of style "{name}" has it, this one is of style "{self.bracket.style}"; leave the '
                    "table out, or take that style",
                    table,
                )
        deep_mm = None if self.bolted is None else self.bolted.depth_mm
        if deep_mm is not None and deep_mm <= 2.0 * self.rail.wall_mm:
            words = "two walls of {} leave no room in a section so deep; its depth from outside to outside is right"
            raise Refusal(message(words, mm(self.rail.wall_mm)), "bolted.depth")
        if self.doubler is not None and (self.closing is not None or self.gusset is not None):
            what = "plates between the ears" if self.closing is not None else "gussets"
            raise Refusal(
                f"{what} stand on the rail itself, where the doubler lies; leave one of the two out", "doubler"
            )
        if self.crosshead is not None and (self.closing is not None or self.gusset is not None):
            what = "plates that close the ears tie them" if self.closing is not None else "gussets hold both ears"
            raise Refusal(f"{what} already; leave one of the two out", "crosshead")
        if (self.rail.tilt_rad or self.rail.turn_rad) and self.revision is not None and self.revision.fit_note:
            words = "a plate out of the trace's plane tells another plane's rail; a new trace in the plates' own plane"
            raise Refusal(f"{words} is right", "revision.fit_note")
        if self.rod_end is not None:
            if self.style.holds == "moving pin":
                raise Refusal(
                    f"a {self.bracket.style} holds the rod's end itself; leave the table out, or take a style for the "
                    "frame",
                    "rod_end",
                )
            refuse_clash(self, self.rod_end)
            seat_job(self, self.rod_end)

    @property
    def rod_end_job(self) -> "Job | None":
        """The job of the seat at the rod's end alone; None where there is none."""
        return None if self.rod_end is None else seat_job(self, self.rod_end)

    @property
    def takes_gussets(self) -> bool:
        """Whether ears that stand free may be given gussets: the style has them, and no stiffener is there already."""
        return "gusset" in self.style.tables and (self.gusset, self.crosshead, self.doubler) == (None,) * 3

    @property
    def style(self) -> StyleEntry:
        """What a bracket of this job's style stands on, holds and has of its own."""
        return STYLES[self.bracket.style]
