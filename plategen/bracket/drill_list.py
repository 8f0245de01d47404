"""The drilling list of a rail that a base is bolted to: where each hole goes, in which steps, and the packing."""

from collections.abc import Sequence
from dataclasses import dataclass

from plategen.bracket.base import shim_size_mm, shims_of
from plategen.bracket.bolt_places import bolted_of, hole_in_rail_mm
from plategen.bracket.feature import Feature
from plategen.design.design import Design
from plategen.ground.shop_size import PART_SIZES
from plategen.rules.drilling import steps_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Drill:
    """One bolt's hole in the rail."""

    name: str  # ``"bolt 1"``.
    station_mm: float  # Station of its middle on the rail's face,
    plane_mm: float  # and its place along the pin.
    hole_mm: float  # Its diameter once drilled.
    existing: str  # Name of the hole that is there; "" for a new one.
    steps_mm: tuple[float, ...]  # Drills, one after the other; none where the hole is there.
    by: str  # Name of the hole that it is measured from; "" where there is none.
    by_mm: tuple[float, float]  # From that along the rail and along the pin; from station 0 and the pin's middle.


@dataclass(frozen=True, slots=True, kw_only=True)
class Shim:
    """The packing about one bolt: a square with the bolt's hole in its middle, thicker towards one side."""

    name: str  # That of its bolt.
    bolt: int  # The bolt's number.
    side_mm: float
    thickness_mm: float  # At the bolt.
    within_mm: float  # How far that may be off, one way or the other, for 95 bases of 100.
    # At its corners: that of smallest station and place along the pin, then round by the larger station.
    corners_mm: tuple[float, float, float, float]

    @property
    def plate(self) -> str:
        """Name of the plate that it is ground from."""
        return f"shim_{self.bolt}"


def drill_list(design: Design, features: Sequence[Feature]) -> tuple[Drill, ...]:
    """Every hole of a base's bolts; none without a base."""
    base = design.base
    if base is None:
        return ()
    there = {feature.name: feature for feature in features}
    first = next((bolt for bolt in base.bolts if bolt.existing), None)
    units, found = design.job.units, []
    for k, bolt in enumerate(base.bolts, start=1):
        own = there.get(bolt.existing)
        size_mm = hole_in_rail_mm(design.job, own)
        drills = steps_mm(size_mm, own.size_mm if own is not None else 0.0)
        shop = tuple(PART_SIZES.down(each, units) for each in drills[:-1])
        u, w = (first.station_mm, first.plane_mm) if first is not None else (0.0, 0.0)
        found.append(
            Drill(
                name=f"bolt {k}",
                station_mm=bolt.station_mm,
                plane_mm=bolt.plane_mm,
                hole_mm=size_mm,
                existing=bolt.existing,
                steps_mm=(*shop, *drills[-1:]),
                by=first.existing if first is not None and first is not bolt else "",
                by_mm=(bolt.station_mm - u, bolt.plane_mm - w),
            )
        )
    return tuple(found)


def shim_of(design: Design, plate: str) -> Shim:
    """The shim that is ground from a plate, by the plate's name."""
    return next(shim for shim in shim_list(design) if shim.plate == plate)


def shim_list(design: Design) -> tuple[Shim, ...]:
    """The packing under a base; none where pulling the bolts up closes the gaps."""
    base = design.base
    if base is None:
        return ()
    side = shim_size_mm(bolted_of(design.job).bolt_mm)
    numbered = ((base.bolts.index(bolt) + 1, bolt) for bolt in shims_of(base))
    return tuple(
        Shim(
            name=f"bolt {number}",
            bolt=number,
            side_mm=side,
            thickness_mm=bolt.gap_mm,
            within_mm=bolt.within_mm,
            corners_mm=bolt.corners_mm(side),
        )
        for number, bolt in numbered
    )
