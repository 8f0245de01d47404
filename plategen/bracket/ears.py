"""Style ``ears``: two plates standing on the rail, one on each side of the eye they hold."""

from dataclasses import dataclass

from plategen.bracket.closing import close
from plategen.bracket.holes import pin_hole
from plategen.bracket.model import Bracket, Hole, Pin, Plate, WeldRun
from plategen.bracket.notch import Notch, fit_notch, joint_angle
from plategen.bracket.outline import EarShape, ear_outline
from plategen.design.foot_choice import foot_on
from plategen.design.foot_length import Asked, under_pin
from plategen.design.left_out import nose_and_toe
from plategen.design.proportion import Chosen, relief_radius
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.loop import Loop
from plategen.flat.placement import across_pin
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rail.surface import Rail


@dataclass(frozen=True, slots=True, kw_only=True)
class EarPlace:
    """Where an ear lies along the pin: its name, its two faces, and which of them looks away from the eye."""

    name: str
    faces_mm: tuple[float, float]
    outward: int


def ear_places(job: Job) -> tuple[EarPlace, EarPlace]:
    """The two ears: the first's inner face lies at ``bracket.plane``, the eye and its play lie between them.

    Raises:
        Refusal: If the held end is a fork, which goes about one plate.
    """
    if job.cylinder.base.kind == "fork":
        raise Refusal(
            'a fork goes about one plate; style = "ears" is right for it, or another end', "cylinder.base.kind"
        )
    inner, thickness = job.bracket.plane_mm, job.bracket.thickness_mm
    far_inner = inner + job.cylinder.base.between_mm + 2 * job.bracket.side_play_mm
    return (
        EarPlace(name="ear_near", faces_mm=(inner - thickness, inner), outward=-1),
        EarPlace(name="ear_far", faces_mm=(far_inner, far_inner + thickness), outward=+1),
    )


def standing_places(job: Job) -> tuple[EarPlace, ...]:
    """The ears, or for a fork the one plate that stands in it, its upper face at ``bracket.plane``.

    Raises:
        Refusal: If the plate does not go into the fork.
    """
    base, bracket = job.cylinder.base, job.bracket
    if base.kind != "fork":
        return ear_places(job)
    if bracket.thickness_mm > base.eye_width_mm:
        raise Refusal(
            f"the plate of {bracket.thickness_mm:.4g} mm does not go into the fork's gap of {base.eye_width_mm:.4g} "
            "mm; a thinner plate is right",
            "bracket.thickness",
        )
    return (EarPlace(name="ear", faces_mm=(bracket.plane_mm - bracket.thickness_mm, bracket.plane_mm), outward=-1),)


def build_ears(job: Job, rail: Rail) -> Bracket:
    """The ears with their notches, holes and weld runs, and the plates that close them to a box.

    Raises:
        Refusal: If the plates reach beyond the traced planes by more than their thickness, or an outline is
            impossible (see :func:`plategen.bracket.outline.ear_outline`).
    """
    places = standing_places(job)
    refuse_beyond_traces(rail, places, job.bracket.thickness_mm)
    hole = ear_hole(job)
    shape, chosen = _shape(job, hole)
    relief = relief_of(job)
    faces = (places[0].faces_mm[0], places[-1].faces_mm[1])
    foot = foot_on(job, rail, faces, shape.pin, relief.mm, lambda on, turned: _asked(job, on, shape, turned=turned))
    chosen += (foot.why,) if foot.why else ()
    plates: list[Plate] = []
    welds: list[WeldRun] = []
    for place in places:
        notch = fit_notch(rail, place.faces_mm, foot.foot, job.bracket.root_gap_mm, relief.mm)
        plates.append(_ear(job, place, notch, ear_outline(notch.path, shape), hole))
        welds.extend(rail_welds(job, place, notch, first_number=len(welds) + 1))
        if notch.parts and relief.why and relief.why not in chosen:
            chosen += (relief.why,)
    if job.closing is not None:
        closed = close(job, job.closing, rail, tuple(plates), first_number=len(welds) + 1)
        plates, chosen = [*closed.ears, *closed.plates], (*chosen, *closed.chosen)
        welds.extend(closed.welds)
    return Bracket(style="ears", plates=tuple(plates), welds=tuple(welds), pin=held_pin(job, places), chosen=chosen)


def relief_of(job: Job) -> Chosen:
    """Radius of the relief at sharp corners of the rail, and the rule that chose it where the job left it out."""
    if job.bracket.relief_mm is not None:
        return Chosen(job.bracket.relief_mm, "")
    return relief_radius(job.weld.leg_mm, job.units)


def ear_hole(job: Job) -> Hole:
    """The pin hole that both ears share, on the cylinder's centre line."""
    return pin_hole(
        complex(job.mount.pin_station_mm, 0.0),
        job.cylinder.base.pin_mm,
        job.bracket.pin_fit,
        job.bracket.thickness_mm,
        job.cutting.smallest_hole,
    )


def held_pin(job: Job, places: tuple[EarPlace, ...]) -> Pin:
    """The pin, mid-way between the ears, or in the middle of the one plate that stands in a fork."""
    base = job.cylinder.base
    fork = base.kind == "fork"
    middle = (places[0].faces_mm[0] + places[-1].faces_mm[1]) / 2
    beside = (base.eye_width_mm - job.bracket.thickness_mm) / 2 if fork else job.bracket.side_play_mm + base.spacer_mm
    return Pin(
        centre=(job.mount.pin_station_mm, 0.0, middle),
        diameter_mm=base.pin_mm,
        eye_width_mm=base.width_mm if fork else base.eye_width_mm,
        eye_radius_mm=base.eye_radius_mm,
        gap_mm=beside,
        fork_gap_mm=base.eye_width_mm if fork else 0.0,
        head_width_mm=base.head_width_mm or 0.0,
    )


def refuse_beyond_traces(rail: Rail, places: tuple[EarPlace, ...], allowed_mm: float) -> None:
    """Refuse plates that lie further beyond the traced planes than the surface may be carried on.

    One trace alone means a rail that is straight along the pin, and has no end.
    """
    if len(rail.traces) == 1:
        return
    first, last = rail.planes_mm
    for place in places:
        beyond = max(first - place.faces_mm[0], place.faces_mm[1] - last)
        if beyond > allowed_mm + 1e-9:
            raise Refusal(
                f"{place.name} reaches {beyond:.4g} mm beyond the traced planes ({first:.4g} to {last:.4g} mm), "
                f"more than its thickness of {allowed_mm:.4g} mm; trace the rail nearer to that ear or move the ears",
                "bracket.plane",
            )


def rail_welds(job: Job, place: EarPlace, notch: Notch, first_number: int) -> tuple[WeldRun, ...]:
    """The runs that hold a plate to the rail, two along each leg of its notch, the outside one first."""
    gaps_mm = {-1: notch.fit.gap_near_mm, +1: notch.fit.gap_far_mm}
    sides = (("outside", place.outward), ("inside", -place.outward))
    return tuple(
        WeldRun(
            name=f"W{number}",
            plate=place.name,
            other="rail",
            side=side,
            path=leg.path,
            placement=across_pin(place.faces_mm[towards > 0]),
            leg_mm=job.weld.leg_mm,
            joint_angle_rad=joint_angle(leg.slope[towards > 0], towards),
            gap_mm=gaps_mm[towards],
            electrode=job.weld.electrode,
        )
        for number, (leg, (side, towards)) in enumerate(
            ((leg, side) for leg in notch.legs for side in sides), start=first_number
        )
    )


def _ear(job: Job, place: EarPlace, notch: Notch, outline: Loop, hole: Hole) -> Plate:
    return Plate(
        name=place.name,
        outline=outline,
        thickness_mm=job.bracket.thickness_mm,
        steel=job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=(hole,),
        notch=notch.path,
        fit=notch.fit,
        legs=tuple(leg.path for leg in notch.parts),
    )


def _asked(job: Job, section: Chain, shape: EarShape, *, turned: bool) -> Asked:
    """How long a foot is asked for on a section of the rail."""
    return under_pin(job, -offset_from(section, shape.pin), shape.nose_radius_mm, turned=turned)


def _shape(job: Job, hole: Hole) -> tuple[EarShape, tuple[str, ...]]:
    """The ear's dimensions, those left out chosen by rule, and what was chosen."""
    nose_mm, toe_mm, chosen = nose_and_toe(job, hole, job.bracket.thickness_mm)
    shape = EarShape(
        pin=hole.circle.centre,
        hole_radius_mm=hole.circle.radius,
        nose_radius_mm=nose_mm,
        toe_mm=toe_mm,
        corner_radius_mm=job.bracket.corner_radius_mm,
    )
    return shape, chosen
