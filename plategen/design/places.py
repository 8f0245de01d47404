"""Where the pin is, and where plates lie along it: ears beside the eye, tabs outside the ears, the one plate in a fork.

The pin lies as the job has it, or where the steering study wants it. The study draws the pin in the vehicle frame, the
bracket in the plate frame (u, v, w). Their directions are tied by the study itself: u is its cylinder straight ahead, w
its fixed pin. Their places are tied by the straightedge's station 0, which is (0, in-line offset, 0) in the plate
frame, where the job tells it in the vehicle frame; else by the pin itself: the one drawn in the study and the one at
the mount's station and offset are then one pin.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from plategen.ground.cure import Cure, set_to
from plategen.ground.in_words import in_words
from plategen.ground.message import NOTHING, Message, message, mm, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES, PLATE_SIZES
from plategen.ground.space import Vector
from plategen.job import Job
from plategen.job.style_tables import Split
from plategen.rail.surface import Rail
from plategen.steering.vector import array

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy


@dataclass(frozen=True, slots=True, kw_only=True)
class PlatePlace:
    """Where a plate lies along the pin."""

    name: str  # Its name: ``"ear_near"``.
    faces_mm: tuple[float, float]  # w of its two faces, the lower first.
    outward: Literal[-1, 1]  # Which of them looks away from the eye: -1 the lower, +1 the upper.

    @property
    def middle_mm(self) -> float:
        """Middle of its thickness along the pin."""
        return sum(self.faces_mm) / 2


def ear_places(
    job: Job, plane_mm: float, names: tuple[str, str] = ("ear_near", "ear_far")
) -> tuple[PlatePlace, PlatePlace]:
    """The two plates beside the eye, the first's inner face at ``plane_mm``, the eye and its play between them.

    Raises:
        Refusal: If the held end is a fork, which goes about one plate.
    """
    if job.cylinder.base.kind == "fork":
        raise Refusal('a fork goes about one plate; style = "ears" is right, or kind = "eye"', "cylinder.base.kind")
    thickness = job.bracket.thickness_mm
    far_inner = plane_mm + job.cylinder.base.between_mm + 2 * job.bracket.side_play_mm
    return (
        PlatePlace(name=names[0], faces_mm=(plane_mm - thickness, plane_mm), outward=-1),
        PlatePlace(name=names[1], faces_mm=(far_inner, far_inner + thickness), outward=+1),
    )


def standing_places(job: Job, plane_mm: float) -> tuple[PlatePlace, ...]:
    """The ears, or for a fork the one plate that stands in it, its upper face at ``plane_mm``.

    Raises:
        Refusal: If the plate does not go into the fork.
    """
    base, thickness = job.cylinder.base, job.bracket.thickness_mm
    if base.kind != "fork":
        return ear_places(job, plane_mm)
    if thickness > base.eye_width_mm:
        words = "the plate of {} does not go into the fork's gap of {}; a thinner plate is right"
        raise Refusal(
            message(words, mm(thickness), mm(base.eye_width_mm)),
            "bracket.thickness",
            cure=set_to("bracket.thickness", size(PART_SIZES.down(base.eye_width_mm, job.units)), "thickness to {}"),
        )
    return (PlatePlace(name="ear", faces_mm=(plane_mm - thickness, plane_mm), outward=-1),)


def split_of(job: Job) -> Split:
    """The job's ``[split]`` table."""
    if job.split is None:
        words = 'missing; style "split" needs the table [split] with bolt, height and built_for'
        raise Refusal(f"{words}; `plategen start new --style split` shows it filled in", "split")
    return job.split


def tab_places(job: Job, plane_mm: float) -> tuple[PlatePlace, PlatePlace]:
    """The tabs of a split bracket: each outside its ear, the packing between them."""
    shim, thick, (near, far) = split_of(job).shim_mm, tab_thickness_mm(job), ear_places(job, plane_mm)
    low, high = near.faces_mm[0] - shim, far.faces_mm[1] + shim
    return (
        PlatePlace(name="tab_near", faces_mm=(low - thick, low), outward=-1),
        PlatePlace(name="tab_far", faces_mm=(high, high + thick), outward=+1),
    )


def tab_thickness_mm(job: Job) -> float:
    """Thickness of the tabs of a split bracket."""
    return split_of(job).tab_thickness_mm or job.bracket.thickness_mm


def middle_mm(places: Sequence[PlatePlace]) -> float:
    """Middle along the pin between the outermost faces: where the middle of the pin lies."""
    return (places[0].faces_mm[0] + places[-1].faces_mm[1]) / 2


def refuse_beyond_traces(
    rail: Rail, job: Job, plane_mm: float, places: Sequence[PlatePlace], allowed_mm: float
) -> None:
    """Refuse plates that lie further beyond the traced planes than the surface may be carried on.

    One trace alone means a rail that is straight along the pin, and has no end.
    """
    if len(rail.traces) == 1:
        return
    first, last = rail.planes_mm
    beyond_mm = [max(first - place.faces_mm[0], place.faces_mm[1] - last) for place in places]
    beyond = max(beyond_mm)
    if beyond <= allowed_mm + 1e-9:
        return
    place = places[beyond_mm.index(beyond)]
    traced_mm = place.faces_mm[place.outward > 0] - place.outward * allowed_mm
    there = message("a trace at a plane of {} or less", mm(traced_mm, "down"))
    if place.outward > 0:
        there = message("a trace at a plane of {} or more", mm(traced_mm, "up"))
    cure = _within(rail, job, plane_mm, places, allowed_mm)
    right = message("{}, or {}", cure.advice, there) if cure else there
    words = "{} reaches {} beyond the traced planes ({} to {}), more than its thickness of {}; {} is right"
    raise Refusal(
        message(words, in_words(place.name), mm(beyond), mm(first), mm(last), mm(allowed_mm), right),
        "bracket.plane",
        cure=cure,
    )


def _within(rail: Rail, job: Job, plane_mm: float, places: Sequence[PlatePlace], allowed_mm: float) -> Cure | None:
    """The plane that brings all plates near enough to the traced planes by the shortest way, if the job says it."""
    first, last = rail.planes_mm
    least, most = first - allowed_mm - places[0].faces_mm[0], last + allowed_mm - places[-1].faces_mm[1]
    shop = PLATE_SIZES.up(plane_mm + least, job.units) if least > 0.0 else PLATE_SIZES.down(plane_mm + most, job.units)
    if plane_mm != job.bracket.plane_mm or not least - 1e-9 <= shop - plane_mm <= most + 1e-9:
        return None
    return set_to("bracket.plane", size(shop), "a plane of {}")


@dataclass(frozen=True, slots=True, kw_only=True)
class PinPlace:
    """Where the pin is."""

    station_mm: float  # Station of its centre.
    inline_offset_mm: float  # From the straightedge to the cylinder's centre line.
    plane_mm: float  # Inner face of the first ear along the pin.
    why: Message = NOTHING  # Who placed it, when it was not the job.
    # The same pin in the vehicle frame of the steering study; None where nothing is drawn.
    fixed_mm: Vector | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class PinMiss:
    """How far from the bracket's pin the study wants it: along the cylinder, towards the rail, along the pin, mm."""

    u_mm: float
    v_mm: float
    w_mm: float


def pin_place(job: Job, study: "SteeringStudy | None") -> PinPlace:
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
            else "the steering study places no moving pin beside a rod; a [steering.cylinder_mount] that pushes one is "
            "right",
            "mount.pin",
        )
    return PinPlace(
        station_mm=written.station_mm + miss.u_mm,
        inline_offset_mm=written.inline_offset_mm - miss.v_mm,
        plane_mm=written.plane_mm + miss.w_mm,
        why=message("the pin lies where the steering study wants it"),
        fixed_mm=study.in_line.mount.fixed_mm if job.style.holds == "fixed pin" else written.fixed_mm,
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


def pin_miss(job: Job, study: "SteeringStudy | None", at: PinPlace) -> PinMiss | None:
    """The way from a place of the pin to where the study wants it; None where bracket and study share no pin.

    A study without linkage and cylinder has no place for a pin. Of the moving pin it knows how far beside the pushed
    rod it lies, from the same line as the in-line offset of a bracket on a tube; on a lever it knows no tube.
    """
    drawn = None if job.steering is None else job.steering.cylinder_mount
    if study is None or study.in_line is None or drawn is None:
        return None
    if job.style.holds == "moving pin":
        beside_mm, lean_rad = study.beside_rod_mm, 0.0 if job.seat is None else job.seat.lean_rad
        if beside_mm is None:
            return None
        return PinMiss(u_mm=0.0, v_mm=at.inline_offset_mm - beside_mm / math.cos(lean_rad), w_mm=0.0)
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
