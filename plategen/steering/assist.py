"""The moment it takes to turn standing tyres, and whether the cylinder has it, at every position of the sweep."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from plategen.steering.hydraulics import Thrust
from plategen.steering.mount import PinToPin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats

FRICTION_DRY = 0.7
"""Sliding friction of a rubber tyre standing on dry concrete, upper end (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tyre:
    """A steered tyre on the ground."""

    load_n: float  # Vertical load of one wheel.
    width_mm: float  # Width of the contact patch (the tyre's nominal width when not measured).
    contact_mm: float | None = None  # Diameter or length of the contact patch; the width when left out.
    offset_mm: float = 0.0  # Kingpin offset at the ground, from where its axis meets the ground to the patch's middle.
    friction: float = FRICTION_DRY  # Coefficient, 0.7 on dry concrete at the most.


def scrub_disc_nmm(tyre: Tyre) -> float:
    """Moment about the kingpin to turn one standing tyre, patch as a disc: mu W sqrt(d^2 + (a/3)^2), N mm.

    W load, a contact diameter, d offset. A disc under even pressure rubs at two thirds of its radius, a/3.

    Source: D. C. Barton, J. D. Fieldhouse, Automotive Chassis Engineering, Springer 2018, chapter 2, "scrub moment".
    """
    patch = tyre.contact_mm if tyre.contact_mm is not None else tyre.width_mm
    return tyre.friction * tyre.load_n * math.hypot(tyre.offset_mm, patch / 3.0)


def scrub_width_nmm(tyre: Tyre) -> float:
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


def assist(sweep: Sweep, pins: PinToPin, tyre: Tyre, forces: Thrust | None) -> Assist:
    """Compare by virtual work: F |dL| = M (|d left| + |d right|) for the wheels there are."""
    per_driver = np.gradient(pins.length_mm, sweep.driver_rad, edge_order=2)
    wheel_rates = _wheel_rates(sweep.steer_rad, sweep.driver_rad)
    disc, width = scrub_disc_nmm(tyre), scrub_width_nmm(tyre)
    low, high = min(disc, width), max(disc, width)
    total_rate = np.sum([np.abs(rate) for rate in wheel_rates.values()], axis=0)
    with np.errstate(divide="ignore"):
        needed = high * total_rate / np.abs(per_driver)
    opens_to_left = bool(pins.length_mm[-1] > pins.length_mm[0])
    available = None
    if forces is not None:
        available = (forces.push_n, forces.pull_n) if opens_to_left else (forces.pull_n, forces.push_n)
    mean_rate = total_rate / max(len(wheel_rates), 1)
    return Assist(
        scrub_nmm=(low, high),
        arm_mm=np.abs(per_driver) / mean_rate,
        needed_n=needed,
        available_n=available,
        opens_to_left=opens_to_left,
    )


def _wheel_rates(steer_rad: Mapping[str, Floats], driver_rad: Floats) -> dict[str, Floats]:
    return {side: np.gradient(steer, driver_rad, edge_order=2) for side, steer in steer_rad.items()}
