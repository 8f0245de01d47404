"""The oil circuit's part of the steering study in the report: lines, hoses, heat, oil, and its parts' loss."""

from typing import TYPE_CHECKING, Annotated

from plategen.tell.report.encode import Level, Maybe, Pair, about, mirrored

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy


class HoseReport(Level, frozen=True, kw_only=True):
    """A line as it is to be bought and as it works."""

    name: Annotated[str, about("What it joins.")]
    kind: Annotated[str, about("Suction, pressure or return.")]
    hose: Annotated[str, about("Kind of hose; empty for a pipe, or where only its rating is told.")]
    inside_mm: Annotated[float, about("Inside diameter.")]
    length_mm: Annotated[float, about("Length.")]
    ends: Annotated[tuple[str, ...], about("Its two ends, where they are told.")]
    clock_deg: Annotated[Maybe, about("Between its bent ends.")]
    rated_mpa: Annotated[Maybe, about("Working pressure that it is rated for; null when not told.")]
    rated_by: Annotated[str, about("Where that comes from.")]
    burst_mpa: Annotated[Maybe, about("Burst pressure, where it is told.")]
    seen_mpa: Annotated[Maybe, about("The most that it carries; null for a suction line.")]
    least_bend_mm: Annotated[Maybe, about("Least radius that it may be bent to.")]
    bend_mm: Annotated[Maybe, about("Its radius where it is slackest; null where it is not followed.")]
    span_mm: Annotated[Pair | None, about("Least and greatest straight distance that it spans; null alike.")]
    slack_mm: Annotated[Maybe, about("Its length over the greatest distance.")]
    oil_mm3: Annotated[float, about("Oil in it.")]


class OilVolumeReport(Level, frozen=True, kw_only=True):
    """How much oil there is; null where the job does not tell it."""

    lines_mm3: Annotated[float, about("In the lines.")]
    cylinder_mm3: Annotated[Maybe, about("In the cylinder with its rod out.")]
    box_mm3: Annotated[Maybe, about("In the box's own cylinder.")]
    cooler_mm3: Annotated[Maybe, about("In the cooler.")]
    reservoir_mm3: Annotated[Maybe, about("In the reservoir.")]
    told_mm3: Annotated[float, about("Sum of what is told.")]
    not_told: Annotated[tuple[str, ...], about("What that sum leaves out.")]
    exchanged_mm3: Annotated[Maybe, about("What the reservoir gives and takes from lock to lock.")]


class CircuitLossReport(Level, frozen=True, kw_only=True):
    """Numbers of what happens when a part fails; null where the job does not tell enough."""

    shut_in_mpa: Annotated[Maybe, about("On the rod's side with its hose shut.")]
    empty_s: Annotated[Maybe, about("Until the pump has emptied the reservoir through a burst hose.")]
    soft_mm: Annotated[Maybe, about("Travel that goes into trapped air.")]
    weakest: Annotated[str, about("The part with the lowest rating; empty where none is told.")]
    weakest_mpa: Annotated[Maybe, about("That rating.")]


class LineReport(Level, frozen=True, kw_only=True):
    """A hose or pipe at the pump's flow."""

    name: Annotated[str, about("Which.")]
    kind: Annotated[str, about("Suction, pressure or return.")]
    velocity_m_s: Annotated[float, about("Velocity of the oil.")]
    limit_m_s: Annotated[float, about("What it may be.")]
    least_inside_mm: Annotated[float, about("Inside diameter that would keep it.")]
    reynolds: Annotated[float, about("Reynolds number.")]
    loss_mpa: Annotated[float, about("Pressure lost.")]


class CircuitReport(Level, frozen=True, kw_only=True):
    """The oil circuit."""

    lines: Annotated[tuple[LineReport, ...], about("Every line.")]
    relief_mpa: Annotated[float, about("What the relief valve is set to.")]
    hoses: Annotated[tuple[HoseReport, ...], about("Every line as it is to be bought and as it works.")]
    return_loss_mpa: Annotated[float, about("Loss of the return lines and the cooler together.")]
    cooler_loss_mpa: Annotated[float, about("The cooler's share of it; zero where it is not told.")]
    heat_in_w: Annotated[float, about("Heat at the use that is told.")]
    oil_celsius: Annotated[Maybe, about("Temperature of the oil then, in the hottest air; null where not told.")]
    volume: Annotated[OilVolumeReport, about("How much oil there is.")]
    loss: Annotated[CircuitLossReport, about("Numbers of what happens when a part fails.")]
    heat_w: Annotated[float, about("Heat while all oil goes over relief.")]
    cooler_w: Annotated[float, about("What the cooler has to carry.")]
    head_mm: Annotated[float, about("Oil level above the pump.")]
    reservoir_over_mm: Annotated[float, about("Oil level above the highest other part.")]
    highest: Annotated[str, about("Name of that part.")]
    relief_share: Annotated[float, about("Share of the time at relief.")]
    air_traps: Annotated[tuple[str, ...], about("Parts after which the air would have to go down.")]


def circuit_report(study: "SteeringStudy") -> CircuitReport | None:
    """The oil circuit; None without one."""
    circuit, entry = study.circuit, study.steering.circuit
    if circuit is None or entry is None:
        return None
    lines = tuple(mirrored(LineReport, line) for line in circuit.lines)
    return mirrored(
        CircuitReport,
        circuit,
        lines=lines,
        relief_share=entry.relief_share,
        hoses=tuple(mirrored(HoseReport, hose) for hose in circuit.hoses),
        heat_in_w=circuit.heat.in_w,
        oil_celsius=circuit.heat.oil_celsius,
        volume=mirrored(OilVolumeReport, circuit.volume),
        loss=mirrored(CircuitLossReport, circuit.loss),
    )
