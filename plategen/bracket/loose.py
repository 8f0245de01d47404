"""Plates that are cut with the bracket's and stand elsewhere on the machine."""

from typing import TYPE_CHECKING

from plategen.bracket.holes import how_made, round_hole
from plategen.bracket.model import Plate
from plategen.bracket.sawn import sawn
from plategen.design.motion import tables_of
from plategen.flat.placement import Placement
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rules.material import steel

if TYPE_CHECKING:
    from plategen.steering.stop_pad import StopPad
    from plategen.steering.study import SteeringStudy

ON_THE_BENCH = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
"""Stands for the place of a plate whose place on the machine is not told: square to the ears, so never one of them."""


def loose_plates(job: Job, study: "SteeringStudy | None") -> tuple[Plate, ...]:
    """The stop pads that the steering asks for; none without.

    Raises:
        Refusal: A pad's steel is not known.
    """
    if study is None or study.pad is None:
        return ()
    pad = _pad(job, study.pad)
    return (sawn(pad) if job.cutting.straight else pad,)


def _pad(job: Job, pad: "StopPad") -> Plate:
    holes = [
        round_hole(
            f"bolt {number}" if len(pad.holes) > 1 else "bolt",
            "bolt",
            circle,
            pad.bolt_mm,
            how_made(2.0 * circle.radius, pad.thickness_mm, job.cutting),
            tables_of(job),
        )
        for number, circle in enumerate(pad.holes, 1)
    ]
    if pad.steel:
        try:
            steel(pad.steel, pad.thickness_mm)
        except Refusal as refusal:
            raise refusal.under("steering.stops.pad.steel") from None
    return Plate(
        name=pad.name,
        role="stop pad",
        outline=pad.outline,
        thickness_mm=pad.thickness_mm,
        steel=pad.steel or job.bracket.steel,
        placement=ON_THE_BENCH,
        holes=tuple(holes),
        welded=not holes,
        count=pad.count,
    )
