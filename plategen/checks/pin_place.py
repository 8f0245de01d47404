"""Whether the bracket holds the pin where the steering study wants it."""

from collections.abc import Iterator

from plategen.checks.finding import Finding
from plategen.design.shared_pin import pin_miss
from plategen.job import Job
from plategen.steering.study import SteeringStudy


def check_pin_place(job: Job, study: SteeringStudy | None) -> Iterator[Finding]:
    """The pin's miss in the plate frame's three directions; nothing where bracket and study share no pin.

    Along the cylinder a miss takes the stroke in hand away at one lock; across it, it puts the cylinder out of line.
    """
    miss = pin_miss(job, study)
    if miss is None or job.steering is None or job.steering.cylinder_mount is None:
        return
    mount, zero = job.mount, job.steering.cylinder_mount.straightedge_mm
    tied = "the pin drawn is the mount's pin" if zero is None else "by the straightedge's station 0"
    for part, off_mm, key, right_mm in (
        ("along the cylinder", miss.u_mm, "pin_station", mount.pin_station_mm + miss.u_mm),
        ("across it, to the rail", miss.v_mm, "inline_offset", mount.inline_offset_mm - miss.v_mm),
        ("along the pin", miss.w_mm, "plane", job.bracket.plane_mm + miss.w_mm),
    ):
        yield Finding(
            check="bracket holds the pin where the study wants it",
            part=part,
            demand=abs(off_mm),
            capacity=mount.pin_within_mm,
            unit="mm",
            source="geometry; the job's `pin_within`, else 1/16 in (common practice, no source)",
            assumed=f"straightedge parallel to the cylinder straight ahead; frames tied: {tied}",
            cure=f'{key} of {right_mm:.2f} mm is right; pin = "study" under [mount] sets it',
        )
