"""Everything the shop's files are written from: the finished job, as one frozen value."""

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from plategen.bracket.feature import features_on
from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.bracket.swing import Room
from plategen.bracket.unfold import cut_of
from plategen.checks.finding import Finding, must_stop
from plategen.ground.message import Message

if TYPE_CHECKING:
    from plategen.bracket.feature import Feature
    from plategen.checks.elements import EarField
    from plategen.design.design import Design
    from plategen.ground.stamp import Stamp
    from plategen.job import Job
    from plategen.rail.note.correction import Correction
    from plategen.rail.trace import Trace
    from plategen.rail.tube import Surface
    from plategen.steering.study import SteeringStudy


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """A job that was carried through: what was decided, the rail as fitted, the bracket and what was found.

    ``loose`` are plates that are cut with the bracket's and stand elsewhere; ``rooms`` is what the cylinder's swing
    leaves free on its way; ``ear_fields`` are the ears under finite elements, if asked for; ``corrections`` is what fit
    notes changed in the traces before the rail was fitted; ``stamp`` is the revision, known once the job is delivered
    into a folder. ``rod_end`` is the seat for the cylinder's other end, where the job has it: its findings are among
    this work's. Of that seat ``whole`` is False, for what belongs to the machine is told with the bracket on the frame,
    and ``halted`` says that a check there says stop. ``tried`` is False where cures are told untried.
    """

    design: "Design"
    rail: "Surface"
    bracket: Bracket
    findings: tuple[Finding, ...] = ()
    cautions: tuple[Message | str, ...] = ()
    rooms: tuple[Room, ...] = ()
    loose: tuple[Plate, ...] = ()
    ear_fields: "tuple[EarField, ...]" = ()
    corrections: "tuple[Correction, ...]" = ()
    stamp: "Stamp | None" = None
    rod_end: "Work | None" = None
    whole: bool = True
    halted: bool = False
    tried: bool = True

    @property
    def ends(self) -> "tuple[Work, ...]":
        """This bracket, and after it the seat at the rod's end where there is one."""
        return (self,) if self.rod_end is None else (self, self.rod_end)

    def of(self, plate: Plate) -> "Work":
        """The end that a plate is cut for; this bracket for one that stands elsewhere."""
        return next((end for end in self.ends if any(plate.name == own.name for own in end.bracket.plates)), self)

    def stamped(self, stamp: "Stamp") -> "Work":
        """The same with its revision."""
        seat = None if self.rod_end is None else self.rod_end.stamped(stamp)
        return replace(self, stamp=stamp, rod_end=seat)

    @property
    def traces(self) -> "tuple[Trace, ...]":
        """The traces that the rail was fitted to, as fit notes left them; none for a rail that was not traced."""
        return tuple(fitted.trace for fitted in self.rail.traces)

    @property
    def features(self) -> "tuple[Feature, ...]":
        """What the job says is on the rail, in its place; nothing on a tube."""
        return features_on(self.design.job, self.rail)

    @property
    def paper_plates(self) -> tuple[Plate, ...]:
        """Everything that has a true-scale paper: the plates, and the rail's wall where it is drilled."""
        return self.cut_plates if self.bracket.wall is None else (*self.cut_plates, self.bracket.wall)

    @property
    def stopped(self) -> bool:
        """True when a check says stop: nothing may be cut or welded from these files."""
        return self.halted or must_stop(self.findings)

    @property
    def job(self) -> "Job":
        """What the user wrote."""
        return self.design.job

    @property
    def steering(self) -> "SteeringStudy | None":
        """The steering study of a job that has one, told once of a machine."""
        return self.design.study if self.whole else None

    @property
    def own_plates(self) -> tuple[Plate, ...]:
        """The plates that are cut for this end: the bracket's, one that is bent lying flat, then the loose ones."""
        return (*cut_of(self.bracket), *self.loose)

    @property
    def runs(self) -> tuple[WeldRun, ...]:
        """Every weld run: this end's, then those of the seat at the rod's end."""
        return tuple(run for end in self.ends for run in end.bracket.welds)

    @property
    def standing_plates(self) -> tuple[Plate, ...]:
        """Every plate as it stands: this end's, then those of the seat at the rod's end."""
        return tuple(plate for end in self.ends for plate in end.bracket.plates)

    @property
    def cut_plates(self) -> tuple[Plate, ...]:
        """Every plate that is cut: this end's, then those of the seat at the rod's end."""
        return (*self.own_plates, *(self.rod_end.own_plates if self.rod_end else ()))
