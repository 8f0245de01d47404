"""Plates that stand across the pin, the pin in their nose, and the runs that hold plates to a traced rail."""

from plategen.bracket.holes import pin_hole
from plategen.bracket.model import Fit, Plate, PlateRole, WeldRun
from plategen.bracket.notch import Notch, joint_angle
from plategen.bracket.outline import EarShape, ear_outline
from plategen.design.design import Design
from plategen.design.places import PlatePlace
from plategen.flat.chain import Chain
from plategen.flat.placement import across_pin
from plategen.job import Job


def pin_plate(
    design: Design, place: PlatePlace, role: PlateRole, notch: Chain, fit: Fit, legs: tuple[Chain, ...] = ()
) -> Plate:
    """A plate with the pin in its nose, standing on its notch.

    Raises:
        Refusal: If its outline is impossible; see :func:`plategen.bracket.outline.ear_outline`.
    """
    return Plate(
        name=place.name,
        role=role,
        outline=ear_outline(notch, EarShape.of(design)),
        thickness_mm=design.job.bracket.thickness_mm,
        steel=design.job.bracket.steel,
        placement=across_pin(place.faces_mm[0]),
        holes=(pin_hole(design),),
        notch=notch,
        fit=fit,
        legs=legs,
    )


def rail_welds(job: Job, place: PlatePlace, notch: Notch, first_number: int) -> tuple[WeldRun, ...]:
    """The runs that hold a plate to the rail, two along each leg of its notch, the outside one first."""
    gaps_mm = {-1: notch.fit.gap_near_mm, +1: notch.fit.gap_far_mm}
    sides = (("outside", place.outward), ("inside", -place.outward))
    return tuple(
        WeldRun(
            name=f"W{number}",
            plate=place.name,
            other="rail",
            joint="rail",
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
