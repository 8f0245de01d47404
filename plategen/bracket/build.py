"""The styles a bracket can be built in; each is one function in its own file."""

from collections.abc import Callable

from plategen.bracket.ears import build_ears
from plategen.bracket.model import Bracket
from plategen.bracket.seat import build_seat
from plategen.bracket.split import build_split
from plategen.job import Job
from plategen.rail.surface import Rail
from plategen.rail.tube import Surface, Tube

STYLES: dict[str, Callable[[Job, Rail], Bracket]] = {
    "ears": build_ears,
    "split": build_split,
}
"""The styles that stand on a rail; a seat stands on a tube that the job describes."""


def build_bracket(job: Job, on: Surface) -> Bracket:
    """The bracket that the job asks for, on the rail as it was traced or on its tube."""
    return build_seat(job) if isinstance(on, Tube) else STYLES[job.bracket.style](job, on)
