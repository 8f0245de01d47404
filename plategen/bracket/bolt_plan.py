"""Where the bolts of a split bracket go: in the tabs for good, in the ears for the in-line offset of now."""

import math
from dataclasses import dataclass

from plategen.bracket.bolt_pattern import pattern, rungs
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.split import Split


@dataclass(frozen=True, slots=True, kw_only=True)
class BoltPlan:
    """Where the bolts go, in mm; the tabs' places in the straightedge's frame, the others in the plate frame.

    Args:
        tab: Every bolt hole of a tab.
        used: The bolts' places now.
        ear: The middles of the holes or slots of an ear.
        reach_mm: Half the slots' travel; 0 for round holes.
    """

    tab: tuple[complex, ...]
    used: tuple[complex, ...]
    ear: tuple[complex, ...]
    reach_mm: float

    @property
    def tab_middle(self) -> complex:
        """The middle of a tab's bolt holes, in the straightedge's frame."""
        return sum(self.tab) / len(self.tab)


def split_of(job: Job) -> Split:
    """The job's ``[split]`` table."""
    if job.split is None:
        raise Refusal('missing; style "split" needs the table [split] with bolt, height and built_for', "split")
    return job.split


def bolt_plan(job: Job, split: Split) -> BoltPlan:
    """Where the bolts go for the job's in-line offset.

    Raises:
        Refusal: If it is out of reach.
    """
    moved = job.mount.inline_offset_mm - split.built_for_mm
    if abs(moved) > split.reach_mm + 1e-9:
        low, high = split.built_for_mm - split.reach_mm, split.built_for_mm + split.reach_mm
        raise Refusal(
            f"an in-line offset of {job.mount.inline_offset_mm:.5g} mm is out of the tabs' reach; they are made for "
            f"{low:.5g} mm to {high:.5g} mm",
            "mount.inline_offset",
        )
    station = job.mount.pin_station_mm if split.station_mm is None else split.station_mm
    places = pattern(split.rows, split.in_row, split.row_spacing_mm or 0.0, split.spacing_mm or 0.0)
    middle = complex(station, split.height_mm)
    on_tab = tuple(middle - 1j * split.built_for_mm + p for p in places)
    if split.adjust == "slots":
        used = tuple(p + 1j * job.mount.inline_offset_mm for p in on_tab)
        return BoltPlan(tab=on_tab, used=used, ear=tuple(middle + p for p in places), reach_mm=split.reach_mm)
    ladder, steps = on_tab, 0
    if split.adjust == "ladder" and split.step_mm is not None:
        ladder = rungs(on_tab, math.floor(split.reach_mm / split.step_mm + 0.5), split.step_mm)
        steps = -round(moved / split.step_mm)
    step = complex(0.0, steps * (split.step_mm or 0.0))
    used = tuple(p + step + 1j * job.mount.inline_offset_mm for p in on_tab)
    return BoltPlan(tab=ladder, used=used, ear=used, reach_mm=0.0)
