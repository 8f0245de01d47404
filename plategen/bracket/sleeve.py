"""The sleeves about bolts that go right through a closed section: they stand between its walls and keep them apart."""

from dataclasses import dataclass, replace

from plategen.design.design import Design
from plategen.flat.placement import Placement
from plategen.rules.hole_size import bolt_hole_size


@dataclass(frozen=True, slots=True, kw_only=True)
class Sleeve:
    """One sleeve, a piece of tube."""

    name: str
    outside_mm: float
    bore_mm: float  # The bolts' hole.
    length_mm: float  # From wall to wall.
    placement: Placement  # Its end at the far wall, the middle at 0; the normal is that of the base, along the tube.


def sleeves(design: Design) -> tuple[Sleeve, ...]:
    """A sleeve about each bolt of a base; none where the job tells of none."""
    base, wanted = design.base, design.job.bolted
    if base is None or wanted is None or wanted.sleeve_mm is None or wanted.depth_mm is None:
        return ()
    wall_mm = design.job.rail.wall_mm
    return tuple(
        Sleeve(
            name=f"sleeve_{number}",
            outside_mm=wanted.sleeve_mm,
            bore_mm=bolt_hole_size(wanted.bolt_mm).mm,
            length_mm=wanted.depth_mm - 2.0 * wall_mm,
            placement=replace(
                base.placement, origin=base.placement.point(bolt.at, wall_mm - bolt.gap_mm - wanted.depth_mm)
            ),
        )
        for number, bolt in enumerate(base.bolts, start=1)
    )
