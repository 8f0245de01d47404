"""What the loss of a part of the circuit comes to in numbers: pressure shut in, time to an empty reservoir, air."""

import math
from dataclasses import dataclass

from plategen.job.steering_equipment import CircuitEntry
from plategen.steering.hoses import Hose
from plategen.steering.hydraulics import Thrust
from plategen.steering.ports import PortAngle

AIR_MPA = 0.101325
"""Standard atmosphere, ISO 2533."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CircuitLoss:
    """Numbers of what happens when something fails; None where the job does not tell enough."""

    shut_in_mpa: float | None  # On the rod's side with its hose shut, the cap side at relief.
    empty_s: float | None  # Until the pump has thrown the reservoir's oil out of a burst hose.
    soft_mm: float | None  # Travel that goes into the air that may stay above the worse port, squeezed to relief.
    weakest: (
        str  # What gives first with the relief valve stuck shut: the part with the lowest rating; "" if none is told.
    )
    weakest_mpa: float | None


def shut_in_mpa(pressure_mpa: float, forces: Thrust) -> float:
    """Pressure on the rod's side when no oil leaves it: p A_cap / A_rod side, the forces on the piston in balance.

    Examples:
        >>> from plategen.steering.cylinder import CylinderSize
        >>> from plategen.steering.hydraulics import thrust
        >>> size = CylinderSize(bore_mm=50.0, rod_mm=25.0, stroke_mm=200.0, closed_mm=380.0, pressure_mpa=9.0)
        >>> round(shut_in_mpa(9.0, thrust(size)), 9)
        12.0
    """
    return pressure_mpa * forces.push_area_mm2 / forces.pull_area_mm2


def soft_mm(air_mm3: float, pressure_mpa: float, area_mm2: float) -> float:
    """Travel lost while trapped air is squeezed from the atmosphere's pressure to ``pressure_mpa`` over it (Boyle)."""
    return air_mm3 * (1.0 - AIR_MPA / (AIR_MPA + pressure_mpa)) / area_mm2


def circuit_loss(
    entry: CircuitEntry,
    pressure_mpa: float,
    hoses: tuple[Hose, ...],
    ports: tuple[PortAngle, ...],
    forces: Thrust | None,
) -> CircuitLoss:
    """The numbers beside what each part does if it fails."""
    rated = entry.ratings_mpa | {hose.name: hose.rated_mpa for hose in hoses if hose.kind == "pressure"}
    known = {name: mpa for name, mpa in rated.items() if mpa is not None}
    weakest = min(known, key=lambda name: known[name], default="")
    volume = entry.reservoir_volume_mm3
    air = max((port.trapped_mm3 for port in ports), default=math.nan)
    return CircuitLoss(
        shut_in_mpa=None if forces is None else shut_in_mpa(pressure_mpa, forces),
        empty_s=None if volume is None else volume / (entry.flow_lpm * 1e6 / 60.0),
        soft_mm=None if forces is None or not ports else soft_mm(air, pressure_mpa, forces.pull_area_mm2),
        weakest=weakest,
        weakest_mpa=known.get(weakest),
    )
