"""Bolts, nuts, washers and pin in the report."""

from __future__ import annotations

from typing import Annotated

from plategen.checks.hardware import hardware
from plategen.checks.setting import Setting
from plategen.ground.show import Show
from plategen.tell.report.encode import Level, Maybe, about, mirrored
from plategen.work import Work


class BoltsReport(Level, frozen=True, kw_only=True):
    """Bolts alike."""

    holds: Annotated[str, about("The plates they hold.")]
    count: Annotated[int, about("How many.")]
    diameter_mm: Annotated[float, about("Their diameter.")]
    grade: Annotated[str, about("Their grade.")]
    grip_mm: Annotated[float, about("Plates between head and nut.")]
    washers: Annotated[int, about("Washers of one bolt, the plate washer over a slot not counted.")]
    washers_mm: Annotated[float, about("All washers of one bolt together, the plate washer too.")]
    length_mm: Annotated[float, about("The length to buy, under the head.")]
    thread_mm: Annotated[float, about("Of that, how much has thread.")]
    shank_past_mm: Annotated[
        Maybe, about("How far the shank ends past the shear plane; negative where thread lies in it, null for a clamp.")
    ]
    tension_n: Annotated[float, about("The tension to tighten to; 0 where the grade has no proof load.")]
    torque_oiled_nmm: Annotated[float, about("Torque that gives about that tension, oiled.")]
    torque_dry_nmm: Annotated[float, about("The same, dry as delivered.")]
    turn: Annotated[str, about("Turn of the nut from snug, for structural bolts to be pretensioned; else empty.")]
    source: Annotated[str, about("Where length and thread are from.")]


class BoughtSleevesReport(Level, frozen=True, kw_only=True):
    """The sleeves about bolts that go right through a closed section."""

    count: Annotated[int, about("How many, all alike.")]
    outside_mm: Annotated[float, about("Outside diameter of the tube.")]
    bore_mm: Annotated[float, about("Its bore, that of the bolts' holes.")]
    length_mm: Annotated[float, about("The length it is cut and faced to, from wall to wall.")]


class BoughtPinReport(Level, frozen=True, kw_only=True):
    """The pin that holds the cylinder."""

    diameter_mm: Annotated[float, about("Its diameter.")]
    steel: Annotated[str, about("Its steel.")]
    grip_mm: Annotated[float, about("What lies between its head and the washer of its split pin.")]
    length_mm: Annotated[Maybe, about("The length to buy, under the head; null where no end is tabled for it.")]
    head_mm: Annotated[Maybe, about("Diameter of its head.")]
    split_pin_mm: Annotated[Maybe, about("Diameter of its split pin.")]
    worn_to_mm: Annotated[float, about("Worn to that diameter it is replaced.")]
    source: Annotated[str, about("Where head and split pin are from.")]


class HardwareReport(Level, frozen=True, kw_only=True):
    """What is bought beside the plates."""

    bolts: Annotated[tuple[BoltsReport, ...], about("The bolts, with nuts and washers.")]
    sleeves: Annotated[
        BoughtSleevesReport | None, about("The sleeves between the walls of a closed section; null without them.")
    ]
    pin: Annotated[BoughtPinReport | None, about("The pin; null where no plate holds one.")]
    notes: Annotated[tuple[str, ...], about("What to heed in tightening, keeping and replacing them.")]


def hardware_report(work: Work, show: Show) -> HardwareReport:
    """What is bought for a finished job."""
    bought = hardware(Setting(work.design, work.bracket, work.rail), work.findings)
    return HardwareReport(
        bolts=tuple(mirrored(BoltsReport, each) for each in bought.bolts),
        sleeves=None if bought.sleeves is None else mirrored(BoughtSleevesReport, bought.sleeves),
        pin=None if bought.pin is None else mirrored(BoughtPinReport, bought.pin),
        notes=tuple(map(show.text, bought.notes)),
    )
