"""The moment of a steered tyre about its kingpin, standing and rolling, by published formulas."""

import math

import numpy as np

from plategen.job.steering_equipment import TyreEntry
from plategen.steering.linkage import Lever
from plategen.steering.vector import Floats

GRAVITY_MM_S2 = 9806.65
"""Standard gravity."""

PNEUMATIC_TRAIL = 1.0 / 6.0
"""Share of the patch's length by which a rolling tyre's side force acts behind its middle at small slip: brush model
(H. B. Pacejka, Tire and Vehicle Dynamics, chapter 3; from memory)."""


def scrub_disc_nmm(tyre: TyreEntry) -> float:
    """Moment about the kingpin to turn one standing tyre, patch as a disc: mu W sqrt(d^2 + (a/3)^2), N mm.

    W load, a contact diameter (the tyre's width when none is told), d offset. A disc under even pressure rubs at two
    thirds of its radius, a/3.

    Source: D. C. Barton, J. D. Fieldhouse, Automotive Chassis Engineering, Springer 2018, chapter 2, "scrub moment".
    """
    return tyre.friction * tyre.load_n * math.hypot(tyre.offset_mm, patch_mm(tyre) / 3.0)


def scrub_width_nmm(tyre: TyreEntry) -> float:
    """The same from the tyre's width: mu W sqrt(B^2/8 + E^2), N mm, with B the width and E the offset.

    sqrt(B^2/8) is the polar radius of gyration of a disc of diameter B. Common practice of the steering trade,
    no source; a little above the disc formula.
    """
    return tyre.friction * tyre.load_n * math.sqrt(tyre.width_mm**2 / 8.0 + tyre.offset_mm**2)


def patch_mm(tyre: TyreEntry) -> float:
    """Length of the contact patch: as told, else the tyre's width."""
    return tyre.contact_mm if tyre.contact_mm is not None else tyre.width_mm


def jacking_nmm(tyre: TyreEntry, kingpin: Lever, steer_rad: Floats) -> Floats:
    """What lifting the load asks of a leaning kingpin turned out of straight ahead, W e sin k cos k sin(a), N mm.

    k the kingpin's inclination seen from the front, e the offset at the ground, a the steer angle, either way; (n,).

    Source: Barton and Fieldhouse (2018), chapter 2, "jacking moment".
    """
    _, across, up = kingpin.axis
    lean = math.atan2(abs(across), abs(up))
    lift = tyre.load_n * tyre.offset_mm * math.sin(lean) * math.cos(lean)
    return np.asarray(lift * np.sin(np.abs(steer_rad)))


def caster_trail_mm(tyre: TyreEntry, kingpin: Lever) -> float:
    """How far the kingpin's axis meets the ground ahead of the tyre's middle: geometry, ground at z = 0.

    The tyre stands at its told centre, else beside the kingpin's pivot.
    """
    (x, _, z), (forward, _, up) = kingpin.pivot_mm, kingpin.axis
    if abs(up) < 1e-6:
        return 0.0
    return x - z * forward / up - (x if tyre.centre_mm is None else tyre.centre_mm[0])


def rolling_nmm(tyre: TyreEntry, kingpin: Lever, side_g: Floats) -> Floats:
    """Moment that brings a rolling tyre straight again: side force times caster and pneumatic trail, N mm, (n,).

    ``side_g`` is the turn's acceleration in g, of which the tyre's load has its share. The drags of the two tyres'
    rolling balance over the tie rod and are left out.
    """
    trail = caster_trail_mm(tyre, kingpin) + PNEUMATIC_TRAIL * patch_mm(tyre)
    return np.asarray(tyre.load_n * np.abs(side_g) * abs(trail))
