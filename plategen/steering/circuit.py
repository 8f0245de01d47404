"""The oil circuit as a small network: heights, line sizes, the return line's loss, heat at relief, the way of the air.

Whatever fails, the pump is to be protected first: it is the part that a dry second ruins.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from plategen.job.steering_equipment import CircuitEntry, LineEntry
from plategen.steering.circuit_loss import CircuitLoss, circuit_loss
from plategen.steering.hoses import Hose, hoses
from plategen.steering.hydraulics import Oil, Thrust
from plategen.steering.oil_heat import OilHeat, OilVolume, oil_heat, oil_volume
from plategen.steering.ports import PortAngle

VELOCITY_LIMIT_M_S = {"suction": 1.2, "pressure": 5.0, "return": 3.0}
"""Oil velocities by kind of line (common practice, no source; books give 0.6-1.2, 3-6 and 2-4 m/s)."""

OIL_DENSITY_KG_M3 = 870.0
"""Mineral hydraulic oil (from memory)."""

LAMINAR_BELOW = 2300.0
"""Reynolds number up to which pipe flow is taken as laminar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class LineJudged:
    """A line at the pump's flow: velocity, the bore that would keep the limit, Reynolds number, loss."""

    name: str
    kind: str
    velocity_m_s: float
    limit_m_s: float
    least_inside_mm: float
    reynolds: float
    loss_mpa: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """The circuit judged."""

    lines: tuple[LineJudged, ...]  # Every line at the pump's flow.
    return_loss_mpa: float  # Of return lines and cooler together: it stands against the box's seals.
    cooler_loss_mpa: float  # The cooler's share of it; zero where it is not told.
    relief_mpa: float  # What the relief valve is set to.
    hoses: tuple[Hose, ...]  # Every line as it is to be bought and as it works.
    heat: OilHeat
    volume: OilVolume
    loss: CircuitLoss
    heat_w: float  # Heat while all flow goes over the relief valve, Q p.
    cooler_w: float  # That heat times the share of time the steering leans on relief.
    head_mm: float  # Oil level over the pump's inlet: positive floods the pump.
    reservoir_over_mm: float  # Oil level over the highest other part: positive lets air rise to it by itself.
    highest: str  # Name of that part.
    # Parts on the way cylinder, box, cooler, reservoir from which the air would have to go down to get on.
    air_traps: tuple[str, ...]


def velocity_m_s(flow_lpm: float, inside_mm: float) -> float:
    """Mean velocity Q / (pi d^2 / 4).

    Examples:
        >>> round(velocity_m_s(20.0, 12.0), 2)
        2.95
    """
    return flow_lpm / 60000.0 / (math.pi / 4.0 * (inside_mm / 1000.0) ** 2)


def friction_factor(reynolds: float) -> float:
    """Darcy's factor: 64/Re while laminar, 0.3164 Re^-1/4 (Blasius, smooth pipe) above."""
    return 64.0 / reynolds if reynolds < LAMINAR_BELOW else 0.3164 * reynolds**-0.25


def loss_mpa(flow_lpm: float, inside_mm: float, length_mm: float, viscosity_mm2_s: float) -> float:
    """Pressure lost along a line, f (L/d) rho v^2 / 2 (Darcy-Weisbach), bends and fittings not counted."""
    v = velocity_m_s(flow_lpm, inside_mm)
    reynolds = v * inside_mm * 1000.0 / viscosity_mm2_s
    return friction_factor(reynolds) * length_mm / inside_mm * OIL_DENSITY_KG_M3 * v * v / 2.0 / 1e6


def relief_heat_w(flow_lpm: float, pressure_mpa: float) -> float:
    """Heat of oil throttled over the relief valve, Q p.

    Examples:
        >>> round(relief_heat_w(12.0, 10.0))
        2000
    """
    return flow_lpm / 60000.0 * pressure_mpa * 1e6


def circuit(
    entry: CircuitEntry,
    pressure_mpa: float,
    *,
    ports: tuple[PortAngle, ...] = (),
    forces: Thrust | None = None,
    stroke_mm: float | None = None,
    poured: Oil | None = None,
) -> Circuit:
    """The circuit at the pump's flow and a relief setting; the cooler carries the share of the time at full relief."""
    judged = tuple(_line(line, entry) for line in entry.line)
    losses = {kind: sum(line.loss_mpa for line in judged if line.kind == kind) for kind in VELOCITY_LIMIT_M_S}
    cooler_loss = entry.cooler_loss_mpa or 0.0
    back = losses["return"] + cooler_loss
    bought = hoses(entry.line, ports, pressure_mpa, back)
    heat = relief_heat_w(entry.flow_lpm, pressure_mpa)
    heights = {"pump": entry.pump_mm, "box": entry.box_mm, "cylinder": entry.cylinder_mm, "cooler": entry.cooler_mm}
    known = {name: height for name, height in heights.items() if height is not None}
    highest = max(known, key=lambda name: known[name])
    return Circuit(
        lines=judged,
        return_loss_mpa=back,
        cooler_loss_mpa=cooler_loss,
        relief_mpa=pressure_mpa,
        hoses=bought,
        heat=oil_heat(entry, pressure_mpa, sum(losses.values()) + cooler_loss + entry.neutral_loss_mpa),
        loss=circuit_loss(entry, pressure_mpa, bought, ports, forces),
        volume=oil_volume(entry, sum(hose.oil_mm3 for hose in bought), forces, stroke_mm, poured),
        heat_w=heat,
        cooler_w=heat * entry.relief_share,
        head_mm=entry.reservoir_mm - entry.pump_mm,
        reservoir_over_mm=entry.reservoir_mm - known[highest],
        highest=highest,
        air_traps=air_traps(entry),
    )


def _line(line: LineEntry, entry: CircuitEntry) -> LineJudged:
    v, limit = velocity_m_s(entry.flow_lpm, line.inside_mm), VELOCITY_LIMIT_M_S[line.kind]
    return LineJudged(
        name=line.name,
        kind=line.kind,
        velocity_m_s=v,
        limit_m_s=limit,
        least_inside_mm=line.inside_mm * math.sqrt(v / limit),
        reynolds=v * line.inside_mm * 1000.0 / entry.viscosity,
        loss_mpa=loss_mpa(entry.flow_lpm, line.inside_mm, line.length_mm, entry.viscosity),
    )


def air_traps(entry: CircuitEntry) -> tuple[str, ...]:
    """Where air stays on its way out: every part whose next part towards the reservoir lies lower.

    The way is cylinder, box, cooler, reservoir; parts whose height is not told are left out.
    """
    way = {"cylinder": entry.cylinder_mm, "box": entry.box_mm, "cooler": entry.cooler_mm, "": entry.reservoir_mm}
    known = [(name, height) for name, height in way.items() if height is not None]
    return tuple(name for (name, height), (_, after) in pairwise(known) if after < height)
