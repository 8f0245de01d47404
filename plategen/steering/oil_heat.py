"""The oil's own balance: heat in at a stated use, heat out by reservoir and cooler, and how much of it there is."""

from dataclasses import dataclass

from plategen.job.steering_equipment import CircuitEntry
from plategen.steering.hydraulics import Oil, Thrust

WALL_W_M2K = 12.0
"""Heat that a steel reservoir gives to moving air, W for a square metre and degree (common practice, no source; books
give 8 in a corner to 25 in wind)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OilHeat:
    """Heat at the stated use, and the temperature at which as much leaves as comes."""

    in_w: float  # Over relief for its share of the time, through lines, box and cooler for the rest.
    wall_w_k: float | None  # What the reservoir's walls carry for each degree; None when nothing is told of it.
    cooler_w_k: float
    oil_celsius: float | None  # In the hottest air; None when the air, or both ways out of the oil, are not told.


def surface_m2(entry: CircuitEntry) -> float | None:
    """Wetted walls of the reservoir: as told, else the five sides of a cube of its oil; None when neither is told.

    Examples:
        >>> round(surface_m2(CircuitEntry(flow_lpm=12, reservoir_mm=900, pump_mm=700, reservoir_volume_mm3=8e6)), 3)
        0.2
    """
    if entry.reservoir_surface is not None or entry.reservoir_volume_mm3 is None:
        return entry.reservoir_surface
    return 5.0 * float(entry.reservoir_volume_mm3 ** (2.0 / 3.0)) / 1e6


def oil_heat(entry: CircuitEntry, relief_mpa: float, round_mpa: float) -> OilHeat:
    """P = Q (s p_relief + (1 - s) p_round), out by (k A + G)(oil - air), with s the share of the time at relief.

    ``round_mpa`` is the pressure that drives the oil round while nobody steers, lines and cooler included.
    """
    flow_m3_s = entry.flow_lpm / 60000.0
    share = entry.relief_share
    heat = flow_m3_s * 1e6 * (share * relief_mpa + (1.0 - share) * round_mpa)
    surface = surface_m2(entry)
    wall = None if surface is None else WALL_W_M2K * surface
    cooler = 0.0 if entry.cooler_kw is None else entry.cooler_kw * 1000.0 / entry.cooler_rise
    out = (wall or 0.0) + cooler
    known = entry.air_temperature is not None and out > 0.0
    air = entry.air_temperature or 0.0
    return OilHeat(in_w=heat, wall_w_k=wall, cooler_w_k=cooler, oil_celsius=air + heat / out if known else None)


@dataclass(frozen=True, slots=True, kw_only=True)
class OilVolume:
    """How much oil there is, by part; None where the job does not tell it."""

    lines_mm3: float
    cylinder_mm3: float | None  # Both chambers where they hold most: at the open end.
    box_mm3: float | None
    cooler_mm3: float | None
    reservoir_mm3: float | None
    exchanged_mm3: float | None  # What the reservoir's level gives and takes from lock to lock: the rod's own volume.

    @property
    def told_mm3(self) -> float:
        """Sum of what is told."""
        parts = (self.lines_mm3, self.cylinder_mm3, self.box_mm3, self.cooler_mm3, self.reservoir_mm3)
        return sum(part or 0.0 for part in parts)

    @property
    def not_told(self) -> tuple[str, ...]:
        """What the sum leaves out."""
        parts = {
            "cylinder": self.cylinder_mm3,
            "box": self.box_mm3,
            "cooler": self.cooler_mm3,
            "reservoir": self.reservoir_mm3,
        }
        return tuple(name for name, volume in parts.items() if volume is None)


def oil_volume(
    entry: CircuitEntry, lines_mm3: float, forces: Thrust | None, stroke_mm: float | None, poured: Oil | None
) -> OilVolume:
    """Oil by part; a cylinder holds most with its rod out, when its cap side is full."""
    cylinder = None if forces is None or stroke_mm is None else forces.push_area_mm2 * stroke_mm
    return OilVolume(
        lines_mm3=lines_mm3,
        cylinder_mm3=cylinder,
        box_mm3=entry.box_volume_mm3,
        cooler_mm3=entry.cooler_volume_mm3,
        reservoir_mm3=entry.reservoir_volume_mm3,
        exchanged_mm3=None if poured is None else poured.open_mm3 - poured.close_mm3,
    )
