"""Where the machine's front lies in the plate frame: as a study that draws the pin has it, or as the job says."""

from typing import TYPE_CHECKING

from plategen.ground.space import Vector
from plategen.job import Job

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy

WRITTEN: dict[str, Vector] = {
    "ahead": (1.0, 0.0, 0.0),
    "behind": (-1.0, 0.0, 0.0),
    "near": (0.0, 0.0, -1.0),
    "far": (0.0, 0.0, 1.0),
}
"""The directions in which a job can say that it lies."""


def front_of(job: Job, study: "SteeringStudy | None") -> Vector | None:
    """Unit vector to the machine's front in the plate frame; None where nobody has told it.

    In the vehicle frame it is x (ISO 8855), and the study's cylinder has the plate frame's directions there.
    """
    if study is not None and (drawn := study.swings_about(job.style.holds)):
        return (drawn[0].u[0], drawn[0].v[0], drawn[0].w[0])
    return None if job.mount.front is None else WRITTEN[job.mount.front]
