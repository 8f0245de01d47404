"""Where the feet of a seat's tabs begin and end."""

from plategen.job import Job
from plategen.refusal import Refusal


def foot_on_tube(job: Job) -> tuple[float, float]:
    """The stations at which the feet begin and end.

    Raises:
        Refusal: They are missing.
    """
    foot = job.mount.foot_mm
    if foot is None:
        raise Refusal("missing; the two stations between which the tabs stand on the tube are right", "mount.foot")
    return float(foot[0]), float(foot[1])
