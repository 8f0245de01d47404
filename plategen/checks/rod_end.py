"""What is found of the seat at the rod's end, as it stands among the findings of the whole job."""

from msgspec.structs import replace

from plategen.bracket.rod_end import PREFIX
from plategen.checks.finding import Finding, Part
from plategen.job.rod_end import RodEnd, cure_at


def seated(finding: Finding, rod_end: RodEnd) -> Finding:
    """A finding of the seat's own job as one of the whole: its part says which end, its cure names the whole's keys."""
    about = finding.part
    own = PREFIX in about.words or PREFIX.replace("_", " ") in about.words
    words = about.words if own else f"rod end, {about.words}"
    cure = None if finding.cure is None else cure_at(finding.cure, rod_end)
    return replace(finding, part=Part(about.names, words), cure=cure)
