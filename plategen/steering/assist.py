"""The moment it takes to turn standing tyres, and whether the cylinder has it, at every position of the sweep."""

import math
from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import TyreEntry
from plategen.steering.hydraulics import Thrust
from plategen.steering.mount import PinToPin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats


def scrub_disc_nmm(tyre: TyreEntry) -> float:
    """Moment about the kingpin to turn one standing tyre, patch as a disc: mu W sqrt(d^2 + (a/3)^2), N mm.

    W load, a contact diameter (the tyre's width when none is told), d offset. A disc under even pressure rubs at two
    thirds of its radius, a/3.

    Source: D. C. Barton, J. D. Fieldhouse, Automotive Chassis Engineering, Springer 2018, chapter 2, "scrub moment".
    """
    patch = tyre.contact_mm if tyre.contact_mm is not None else tyre.width_mm
    return tyre.friction * tyre.load_n * math.hypot(tyre.offset_mm, patch / 3.0)


def scrub_width_nmm(tyre: TyreEntry) -> float:
    """The same from the tyre's width: mu W sqrt(B^2/8 + E^2), N mm, with B the width and E the offset.

    sqrt(B^2/8) is the polar radius of gyration of a disc of diameter B. Common practice of the steering trade,
    no source; a little above the disc formula.
    """
    return tyre.friction * tyre.load_n * math.sqrt(tyre.width_mm**2 / 8.0 + tyre.offset_mm**2)


@dataclass(frozen=True, slots=True, kw_only=True)
class Assist:
    """The cylinder against the tyres."""

    scrub_nmm: tuple[float, float]  # Moment for one wheel, lower and upper of the two formulas.
    # Effective arm of the cylinder on the driver's motion turned to mean wheel angle: |dL/d steer|, (n,).
    arm_mm: Floats
    # Cylinder force that turns the wheels alone, with the upper moment, (n,). No friction in the joints, and
    # nothing left to the driver's hands.
    needed_n: Floats
    # The force there is when turning left and when turning right, in that order; None while no cylinder is
    # chosen.
    available_n: tuple[float, float] | None
    opens_to_left: bool  # True when the cylinder pushes in a left turn.


def assist(sweep: Sweep, pins: PinToPin, tyre: TyreEntry, forces: Thrust | None) -> Assist:
    """Compare by virtual work: F |dL| = M (|d left| + |d right|) for the wheels there are."""
    per_driver = np.gradient(pins.length_mm, sweep.driver_rad, edge_order=2)
    rates = [np.abs(np.gradient(steer, sweep.driver_rad, edge_order=2)) for steer in sweep.steer_rad.values()]
    low, high = sorted((scrub_disc_nmm(tyre), scrub_width_nmm(tyre)))
    total_rate = np.sum(rates, axis=0)
    with np.errstate(divide="ignore"):
        needed = high * total_rate / np.abs(per_driver)
    opens_to_left = bool(pins.length_mm[-1] > pins.length_mm[0])
    available = None
    if forces is not None:
        available = (forces.push_n, forces.pull_n) if opens_to_left else (forces.pull_n, forces.push_n)
    return Assist(
        scrub_nmm=(low, high),
        arm_mm=np.abs(per_driver) / (total_rate / len(rates)),
        needed_n=needed,
        available_n=available,
        opens_to_left=opens_to_left,
    )
