"""The oil circuit as a small network: heights, line sizes, the return line's loss, heat at relief, the way of the air.

Whatever fails, the pump is to be protected first: it is the part that a dry second ruins.
"""

import math
from dataclasses import dataclass
from itertools import pairwise

from plategen.ground.refusal import Refusal

VELOCITY_LIMIT_M_S = {"suction": 1.2, "pressure": 5.0, "return": 3.0}
"""Oil velocities by kind of line (common practice, no source; books give 0.6-1.2, 3-6 and 2-4 m/s)."""

OIL_DENSITY_KG_M3 = 870.0
"""Mineral hydraulic oil (from memory)."""

OIL_VISCOSITY_MM2_S = 46.0
"""Kinematic viscosity of an ISO VG 46 oil at 40 deg C, by the grade's own definition (ISO 3448)."""

LAMINAR_BELOW = 2300.0
"""Reynolds number up to which pipe flow is taken as laminar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class OilLine:
    """A hose or pipe: ``kind`` is suction, pressure or return."""

    name: str
    kind: str
    inside_mm: float
    length_mm: float

    def __post_init__(self) -> None:
        if self.kind not in VELOCITY_LIMIT_M_S:
            raise Refusal(
                f"line '{self.name}' is of kind '{self.kind}'; the kinds are suction, pressure and return",
                key=f"steering.circuit.line '{self.name}'.kind",
            )


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
class Heights:
    """Heights of the parts above the ground, mm: the reservoir's oil level, pump inlet, box, cylinder ports, cooler."""

    reservoir_mm: float
    pump_mm: float
    box_mm: float | None = None
    cylinder_mm: float | None = None
    cooler_mm: float | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Circuit:
    """The circuit judged."""

    lines: tuple[LineJudged, ...]  # Every line at the pump's flow.
    return_loss_mpa: float  # Sum of the return lines' losses: it stands against the box's seals and the cooler.
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


def loss_mpa(
    flow_lpm: float, inside_mm: float, length_mm: float, viscosity_mm2_s: float = OIL_VISCOSITY_MM2_S
) -> float:
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
    *,
    flow_lpm: float,
    pressure_mpa: float,
    heights: Heights,
    lines: tuple[OilLine, ...] = (),
    relief_share: float = 0.1,
    viscosity_mm2_s: float = OIL_VISCOSITY_MM2_S,
) -> Circuit:
    """Judge the circuit at the pump's flow.

    Args:
        flow_lpm: Pump flow.
        pressure_mpa: Relief setting.
        heights: Of the parts.
        lines: Hoses and pipes.
        relief_share: Share of the time at full relief, 0 to 1: what the cooler has to carry on the long run.
        viscosity_mm2_s: Of the oil at work.
    """
    judged = []
    for line in lines:
        v = velocity_m_s(flow_lpm, line.inside_mm)
        limit = VELOCITY_LIMIT_M_S[line.kind]
        judged.append(
            LineJudged(
                name=line.name,
                kind=line.kind,
                velocity_m_s=v,
                limit_m_s=limit,
                least_inside_mm=line.inside_mm * math.sqrt(v / limit),
                reynolds=v * line.inside_mm * 1000.0 / viscosity_mm2_s,
                loss_mpa=loss_mpa(flow_lpm, line.inside_mm, line.length_mm, viscosity_mm2_s),
            )
        )
    heat = relief_heat_w(flow_lpm, pressure_mpa)
    others = {
        "pump": heights.pump_mm,
        "box": heights.box_mm,
        "cylinder": heights.cylinder_mm,
        "cooler": heights.cooler_mm,
    }
    known = {name: height for name, height in others.items() if height is not None}
    highest = max(known, key=lambda name: known[name])
    return Circuit(
        lines=tuple(judged),
        return_loss_mpa=sum(line.loss_mpa for line in judged if line.kind == "return"),
        heat_w=heat,
        cooler_w=heat * relief_share,
        head_mm=heights.reservoir_mm - heights.pump_mm,
        reservoir_over_mm=heights.reservoir_mm - known[highest],
        highest=highest,
        air_traps=air_traps(heights),
    )


def air_traps(heights: Heights) -> tuple[str, ...]:
    """Where air stays on its way out: every part whose next part towards the reservoir lies lower.

    The way is cylinder, box, cooler, reservoir; parts whose height is not told are left out.
    """
    way = [
        ("cylinder", heights.cylinder_mm),
        ("box", heights.box_mm),
        ("cooler", heights.cooler_mm),
        ("reservoir", heights.reservoir_mm),
    ]
    known = [(name, height) for name, height in way if height is not None]
    return tuple(name for (name, height), (_, after) in pairwise(known) if after < height)
