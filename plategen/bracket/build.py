"""The styles a bracket can be built in; each is one function in its own file."""

from collections.abc import Callable

from plategen.bracket.ears import build_ears
from plategen.bracket.model import Bracket
from plategen.bracket.split import build_split
from plategen.job import Job
from plategen.rail.surface import Rail

STYLES: dict[str, Callable[[Job, Rail], Bracket]] = {
    "ears": build_ears,
    "split": build_split,
}


def build_bracket(job: Job, rail: Rail) -> Bracket:
    """The bracket that the job asks for, on the rail as it was traced."""
    return STYLES[job.bracket.style](job, rail)
