"""What is found of the seat at the rod's end, as it stands among the findings of the whole job."""

from msgspec.structs import replace

from plategen.bracket.rod_end import PREFIX
from plategen.checks.finding import Finding
from plategen.job.rod_end import RodEnd, cure_at


def seated(finding: Finding, rod_end: RodEnd) -> Finding:
    """A finding of the seat's own job as one of the whole: its part says which end, its cure names the whole's keys."""
    about = finding.part
    own = any(name.startswith(PREFIX) for name in about.names)
    part = about if own else replace(about, words=f"rod end, {about.words}")
    return replace(finding, part=part, cure=finding.cure and cure_at(finding.cure, rod_end))
