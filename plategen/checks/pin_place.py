"""Whether the bracket holds the pin where the steering study wants it."""

from collections.abc import Iterator

from plategen.checks.finding import Finding
from plategen.design.design import Design
from plategen.design.pin_place import pin_miss


def check_pin_place(design: Design) -> Iterator[Finding]:
    """The pin's miss in the plate frame's three directions; nothing where bracket and study share no pin.

    Along the cylinder a miss takes the stroke in hand away at one lock; across it, it puts the cylinder out of line.
    """
    job, pin = design.job, design.pin
    miss = pin_miss(job, design.study, pin)
    if miss is None or job.steering is None or job.steering.cylinder_mount is None:
        return
    mount, zero = job.mount, job.steering.cylinder_mount.straightedge_mm
    tied = "the pin drawn is the mount's pin" if zero is None else "by the straightedge's station 0"
    for part, off_mm, key, right_mm in (
        ("along the cylinder", miss.u_mm, "pin_station", pin.station_mm + miss.u_mm),
        ("across it, to the rail", miss.v_mm, "inline_offset", pin.inline_offset_mm - miss.v_mm),
        ("along the pin", miss.w_mm, "plane", pin.plane_mm + miss.w_mm),
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
