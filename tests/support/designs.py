"""A job designed and built on a rail or a tube, in one call."""

from plategen.bracket.model import Bracket
from plategen.bracket.style import build_bracket, design_on
from plategen.design.on_tube import tube_of
from plategen.design.places import written_place
from plategen.job import Job
from plategen.rail.tube import Surface, Tube
from plategen.steering.study import SteeringStudy


def tube_on(job: Job) -> Tube:
    """The tube of a job of style seat."""
    return tube_of(job, written_place(job))


def built(job: Job, on: Surface | None = None, study: SteeringStudy | None = None) -> Bracket:
    """The bracket of a job on a rail, or on its own tube."""
    surface = tube_on(job) if on is None else on
    return build_bracket(design_on(job, surface, study), surface)
