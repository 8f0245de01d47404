"""What a wheel's stop has to bear when everything leans on it at once: the cylinder at full pressure with shock, the
steering box, and a blow on the wheel; and the stresses that it leaves in the stop's bolt, pad, tab and welds.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import StopBoltEntry, StopEntry, StopsEntry, TyreEntry
from plategen.steering.motion import move
from plategen.steering.rates import lever_rates
from plategen.steering.stops import Met, StopOrder
from plategen.steering.sweep import Sweep
from plategen.steering.team import BoxAt

PITCH_OF_STRESS_AREA = 0.9382
"""Stress diameter d - 0.9382 p of ISO threads, whose stress area is pi/4 of its square (ISO 898-1; inch threads alike,
0.9743)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StopLoad:
    """Moments about the lever's axis, N mm, and the force between bolt and pad that they add up to, N."""

    met: Met
    entry: StopEntry
    cylinder_nmm: float  # Of all cylinders, shock included.
    box_nmm: float | None  # Of all boxes; None where no box's moment is told.
    strike_nmm: float | None  # None without a tyre.
    force_n: float


def stop_loads(
    sweep: Sweep,
    order: StopOrder,
    stops: StopsEntry,
    tyre: TyreEntry | None,
    shock_factor: float,
    boxes: tuple[BoxAt, ...],
) -> tuple[StopLoad, ...]:
    """Of every wheel's stop that is met and whose contact is placed.

    A box's moment reaches a lever by virtual work, M_box dbox/dlever.
    """
    entries = {entry.name: entry for entry in stops.stop}
    strike = None if tyre is None else strike_nmm(stops, tyre)
    found = []
    for met in (*order.left, *order.right):
        entry = entries.get(met.name)
        if entry is None or entry.kind != "spindle" or entry.contact_radius_mm is None or met.moment_nmm is None:
            continue
        cylinder, box = shock_factor * met.moment_nmm, None
        if any(each.moment_nmm is not None for each in boxes) and math.isfinite(met.box_rad):
            at = met.box_rad if met.turn == "left" else -met.box_rad
            rates = lever_rates(move(sweep.linkage, sweep.motion.driver, np.array([sweep.left_sense * at])))
            given = sum(float(each.about_driver_nmm(rates)[0]) for each in boxes)
            box = given / abs(float(rates[entry.lever][0]))
        total = cylinder + (box or 0.0) + (strike or 0.0)
        found.append(
            StopLoad(
                met=met,
                entry=entry,
                cylinder_nmm=cylinder,
                box_nmm=box,
                strike_nmm=strike,
                force_n=total / entry.contact_radius_mm,
            )
        )
    return tuple(found)


def strike_nmm(stops: StopsEntry, tyre: TyreEntry) -> float:
    """Moment about the kingpin of a blow on the tyre's outer edge, along the vehicle.

    Its arm is the kingpin's offset and half the tyre's width, the blow a wheel's load where none is told (common
    practice, no source).
    """
    blow_n = tyre.load_n if stops.strike_n is None else stops.strike_n
    return blow_n * (tyre.offset_mm + tyre.width_mm / 2.0)


def stress_diameter_mm(diameter_mm: float, pitch_mm: float) -> float:
    """Diameter of the circle of a thread's stress area.

    >>> round(math.pi / 4.0 * stress_diameter_mm(20.0, 2.5) ** 2)  # ISO 898-1, M20: 245 mm^2
    245
    """
    return diameter_mm - PITCH_OF_STRESS_AREA * pitch_mm


def bolt_stress_mpa(bolt: StopBoltEntry, pitch_mm: float, force_n: float) -> float:
    """Push along a stop bolt and bending where it leaves its nut: F cos a / A + F sin a l / S."""
    d = stress_diameter_mm(bolt.diameter_mm, pitch_mm)
    along = force_n * math.cos(bolt.off_square_rad) / (math.pi / 4.0 * d**2)
    return along + force_n * math.sin(bolt.off_square_rad) * bolt.out_mm / (math.pi / 32.0 * d**3)


def tab_stress_mpa(bolt: StopBoltEntry, force_n: float) -> float:
    """Bending at the foot of the tab that holds the bolt: F h / (w t^2 / 6), t along the bolt."""
    return force_n * bolt.tab_height_mm / (bolt.tab_width_mm * bolt.tab_thickness_mm**2 / 6.0)


def tab_weld_mpa(bolt: StopBoltEntry, force_n: float) -> float:
    """Throat stress of two fillets along the tab's width: shear F / 2w and the moment's couple F h / w (t + leg)."""
    shear = force_n / (2.0 * bolt.tab_width_mm)
    couple = force_n * bolt.tab_height_mm / (bolt.tab_width_mm * (bolt.tab_thickness_mm + bolt.leg_mm))
    return math.hypot(shear, couple) / (bolt.leg_mm / math.sqrt(2.0))


def pad_weld_mpa(force_n: float, off_square_rad: float, around_mm: float, leg_mm: float) -> float:
    """Throat stress of a fillet all round a pad: the part of the force that slides it, F sin a."""
    return force_n * math.sin(off_square_rad) / (around_mm * leg_mm / math.sqrt(2.0))
