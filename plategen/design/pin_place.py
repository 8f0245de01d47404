"""The place of the pin that the bracket holds: as the job has it, or where the steering study wants it.

The study draws the pin in the vehicle frame, the bracket in the plate frame (u, v, w). Their directions are tied by the
study itself: u is its cylinder straight ahead, w its fixed pin. Their places are tied by the straightedge's station 0,
which is (0, in-line offset, 0) in the plate frame, where the job tells it in the vehicle frame; else by the pin itself:
the one drawn in the study and the one at the mount's station and offset are then one pin.
"""

from dataclasses import dataclass

from plategen.design.places import middle_mm, standing_places
from plategen.ground.message import NOTHING, Message, message
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import array


@dataclass(frozen=True, slots=True, kw_only=True)
class PinPlace:
    """Where the pin is.

    Args:
        station_mm: Station of its centre.
        inline_offset_mm: From the straightedge to the cylinder's centre line.
        plane_mm: Inner face of the first ear along the pin.
        why: Who placed it, when it was not the job.
        fixed_mm: The same pin in the vehicle frame of the steering study; None where nothing is drawn.
    """

    station_mm: float
    inline_offset_mm: float
    plane_mm: float
    why: Message = NOTHING
    fixed_mm: Vector | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PinMiss:
    """How far from the bracket's pin the study wants it: along the cylinder, towards the rail, along the pin, mm."""

    u_mm: float
    v_mm: float
    w_mm: float


def pin_place(job: Job, study: SteeringStudy | None) -> PinPlace:
    """The pin's place: the job's, or the study's when the job leaves it to the study.

    Raises:
        Refusal: The job leaves the pin to a study that cannot place it.
    """
    written = written_place(job)
    if job.mount.pin == "here":
        return written
    miss = pin_miss(job, study, written)
    if miss is None or study is None or study.in_line is None:
        raise Refusal(
            "the steering study places no pin; give [steering] with its levers and [steering.cylinder_mount]"
            if job.style.holds == "fixed pin"
            else f"a {job.bracket.style} holds the cylinder's other end, and the study places the fixed pin",
            "mount.pin",
        )
    return PinPlace(
        station_mm=written.station_mm + miss.u_mm,
        inline_offset_mm=written.inline_offset_mm - miss.v_mm,
        plane_mm=written.plane_mm + miss.w_mm,
        why=message("the pin lies where the steering study wants it"),
        fixed_mm=study.in_line.mount.fixed_mm,
    )


def written_place(job: Job) -> PinPlace:
    """The pin's place as the job has it, from where a study that places it starts."""
    drawn = None if job.steering is None else job.steering.cylinder_mount
    return PinPlace(
        station_mm=job.mount.pin_station_mm,
        inline_offset_mm=job.mount.inline_offset_mm,
        plane_mm=job.bracket.plane_mm,
        fixed_mm=None if drawn is None else drawn.fixed_pin_mm,
    )


def pin_miss(job: Job, study: SteeringStudy | None, at: PinPlace) -> PinMiss | None:
    """The way from a place of the pin to where the study wants it; None where bracket and study share no pin.

    A bracket may hold the cylinder's other end; a study without linkage and cylinder has no place for a pin.
    """
    drawn = None if job.steering is None else job.steering.cylinder_mount
    if study is None or study.in_line is None or drawn is None or job.style.holds != "fixed pin":
        return None
    swing = study.in_line.swing
    wanted = array(study.in_line.mount.fixed_mm)
    u, v, w = array(swing.u), array(swing.v), array(swing.w)
    if drawn.straightedge_mm is None:
        off = wanted - array(drawn.fixed_pin_mm if at.fixed_mm is None else at.fixed_mm)
        return PinMiss(u_mm=float(off @ u), v_mm=float(off @ v), w_mm=float(off @ w))
    from_zero = wanted - array(drawn.straightedge_mm)
    return PinMiss(
        u_mm=float(from_zero @ u) - at.station_mm,
        v_mm=float(from_zero @ v) + at.inline_offset_mm,
        w_mm=float(from_zero @ w) - middle_mm(standing_places(job, at.plane_mm)),
    )
