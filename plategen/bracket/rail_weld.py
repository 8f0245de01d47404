"""The plates of a bracket that are welded to a traced rail: the runs that hold them there."""

from plategen.bracket.model import WeldRun
from plategen.bracket.notch import Notch, joint_angle
from plategen.design.places import PlatePlace
from plategen.flat.placement import across_pin
from plategen.job import Job


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
