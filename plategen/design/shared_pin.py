"""The pin that the bracket and the steering study share: where the study wants it, in the bracket's own numbers.

The study draws it in the vehicle frame, the bracket in the plate frame (u, v, w). Their directions are tied by the
study itself: u is its cylinder straight ahead, w its fixed pin. Their places are tied by the straightedge's station 0,
which is (0, in-line offset, 0) in the plate frame, where the job tells it in the vehicle frame; else by the pin itself:
the one drawn in the study and the one at the mount's station and offset are then one pin.
"""

from dataclasses import dataclass

from plategen.bracket.ears import held_pin, standing_places
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import array


@dataclass(frozen=True, slots=True, kw_only=True)
class PinMiss:
    """How far from the bracket's pin the study wants it: along the cylinder, towards the rail, along the pin, mm."""

    u_mm: float
    v_mm: float
    w_mm: float


def pin_miss(job: Job, study: SteeringStudy | None) -> PinMiss | None:
    """The way from the bracket's pin to where the study wants it; None where the two share no pin.

    A seat holds the cylinder's other end; a study without linkage and cylinder has no place for a pin.
    """
    drawn = None if job.steering is None else job.steering.cylinder_mount
    if study is None or study.in_line is None or drawn is None or job.bracket.style == "seat":
        return None
    swing = study.in_line.swing
    wanted = array(study.in_line.mount.fixed_mm)
    u, v, w = array(swing.u), array(swing.v), array(swing.w)
    if drawn.straightedge_mm is None:
        off = wanted - array(drawn.fixed_pin_mm)
        return PinMiss(u_mm=float(off @ u), v_mm=float(off @ v), w_mm=float(off @ w))
    from_zero = wanted - array(drawn.straightedge_mm)
    return PinMiss(
        u_mm=float(from_zero @ u) - job.mount.pin_station_mm,
        v_mm=float(from_zero @ v) + job.mount.inline_offset_mm,
        w_mm=float(from_zero @ w) - held_pin(job, standing_places(job)).centre[2],
    )


def placed(job: Job, study: SteeringStudy | None) -> Job:
    """The job with its pin where the study wants it, when the job leaves the pin to the study; else as it is.

    The pin drawn in the study moves along, so that the job placed again stays where it is.

    Raises:
        Refusal: The job leaves the pin to a study that cannot place it.
    """
    if job.mount.pin == "here":
        return job
    miss = pin_miss(job, study)
    if miss is None or study is None or study.in_line is None or job.steering is None:
        raise Refusal(
            "a seat holds the cylinder's other end, and the study places the fixed pin"
            if job.bracket.style == "seat"
            else "the steering study places no pin; give [steering] with its levers and [steering.cylinder_mount]",
            "mount.pin",
        )
    entry = job.steering.cylinder_mount
    assert entry is not None  # or the study would have placed no pin
    mount = job.mount.replaced(
        pin_station_mm=job.mount.pin_station_mm + miss.u_mm, inline_offset_mm=job.mount.inline_offset_mm - miss.v_mm
    )
    moved = entry.replaced(fixed_pin_mm=study.in_line.mount.fixed_mm)
    return job.replaced(
        mount=mount,
        bracket=job.bracket.replaced(plane_mm=job.bracket.plane_mm + miss.w_mm),
        steering=job.steering.replaced(cylinder_mount=moved),
    )
