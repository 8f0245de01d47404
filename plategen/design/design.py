"""What the program decided from a job and its steering study, before any plate is drawn: one frozen value.

The job says what the user wrote and is never changed; whatever was left to the study or to a rule stands here, with its
reason. Bracket, checks, pictures and reports read the design.
"""

from dataclasses import dataclass

from plategen.design.bolts import BoltPlan
from plategen.design.foot import ChosenFoot
from plategen.design.motion import Motion
from plategen.design.pin_place import PinPlace
from plategen.design.sizes import Chosen
from plategen.ground.message import NOTHING, Message
from plategen.job import Job
from plategen.steering.study import SteeringStudy


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizes:
    """The sizes of a bracket on what it stands on, each the job's or chosen by a rule.

    Args:
        nose: Radius of the plates about the pin.
        toe: Height of a welded plate's ends.
        relief: Radius of the hole cut away at a sharp corner of the rail; 0 cuts none.
        foot: From where to where the welded plates stand.
        bolts: Where bolts go, of a bracket that has them between its plates.
    """

    nose: Chosen
    toe: Chosen
    relief: Chosen
    foot: ChosenFoot
    bolts: BoltPlan | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Design(Sizes):
    """A job with everything that was decided about it.

    Args:
        job: What the user wrote.
        study: The steering study, when the job draws or measures its steering.
        pin: Where the pin is.
        motion: How the cylinder turns about it, and its loads.
        nose, toe, relief, foot, bolts: See :class:`Sizes`.
    """

    job: Job
    study: SteeringStudy | None
    pin: PinPlace
    motion: Motion

    def reasons(self, *, relieved: bool) -> tuple[Message, ...]:
        """Why sizes are what they are, one for each that a rule chose; the relief's where one is cut."""
        relief = self.relief.why if relieved else NOTHING
        return tuple(why for why in (self.nose.why, self.toe.why, self.foot.why, relief) if why)
