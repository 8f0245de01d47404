"""The oil's part of the steering study in the report: force, what to ask for, ports, the circuit."""

from typing import Annotated

from plategen.steering.standard import Size
from plategen.steering.study import SteeringStudy
from plategen.tell.report.encode import Level, Pair, about, finite, mirrored


class OilReport(Level, frozen=True, kw_only=True):
    """Force and oil; null where the job does not give enough for it."""

    push_n: Annotated[float | None, about("Push at relief.")]
    pull_n: Annotated[float | None, about("Pull at relief.")]
    stronger_by: Annotated[float | None, about("Push over pull.")]
    open_mm3: Annotated[float | None, about("Oil to open from lock to lock.")]
    close_mm3: Annotated[float | None, about("Oil to close.")]
    open_s: Annotated[float | None, about("Time to open at the pump's flow.")]
    close_s: Annotated[float | None, about("Time to close.")]
    flow_lpm: Annotated[float | None, about("Flow for the wanted time, litres a minute.")]
    wheel_rps: Annotated[float | None, about("Turns of the steering wheel a second that the pump follows.")]
    scrub_nmm: Annotated[Pair | None, about("Moment to turn one standing tyre, by two formulas.")]
    least_needed_n: Annotated[float | None, about("Least force of the sweep that turns both alone.")]
    needed_n: Annotated[float | None, about("Greatest force of the sweep that turns both alone.")]
    left_n: Annotated[float | None, about("Force there is when turning left.")]
    right_n: Annotated[float | None, about("Force there is when turning right.")]


class SizingReport(Level, frozen=True, kw_only=True):
    """What cylinder to ask for."""

    needed_n: Annotated[float, about("Force asked both ways.")]
    bore_mm: Annotated[float | None, about("Smallest standard bore that has it; null when none has.")]
    rod_mm: Annotated[float | None, about("Its rod.")]
    nearest_bore_mm: Annotated[float | None, about("Standard bore nearest to the cylinder's own.")]
    nearest_rod_mm: Annotated[float | None, about("Standard rod nearest to its own.")]


class PortReport(Level, frozen=True, kw_only=True):
    """A port of the cylinder over the swing."""

    name: Annotated[str, about("Which.")]
    worst_deg: Annotated[float, about("Furthest off straight up.")]
    trapped_mm3: Annotated[float, about("Air that can stay above it.")]
    hose_span_mm: Annotated[
        Pair | None, about("Least and greatest distance that the hose has to span; null without a hose.")
    ]
    hose_needed_mm: Annotated[float | None, about("Length of hose that reaches.")]
    bend_mm: Annotated[
        float | None, about("Radius of the hose where it is slackest; null without a hose, or when it is straight.")
    ]
    clearance_mm: Annotated[dict[str, float], about("Room from the fitting to each bar.")]


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
    return_loss_mpa: Annotated[float, about("Loss of the return lines together.")]
    heat_w: Annotated[float, about("Heat while all oil goes over relief.")]
    cooler_w: Annotated[float, about("What the cooler has to carry.")]
    head_mm: Annotated[float, about("Oil level above the pump.")]
    reservoir_over_mm: Annotated[float, about("Oil level above the highest other part.")]
    highest: Annotated[str, about("Name of that part.")]
    relief_share: Annotated[float, about("Share of the time at relief.")]
    air_traps: Annotated[tuple[str, ...], about("Parts after which the air would have to go down.")]


def oil_report(study: SteeringStudy) -> OilReport | None:
    """Force, oil, times, assist; None when there is nothing of them."""
    thrust, oil, helped = study.thrust, study.oil, study.assist
    if thrust is None and helped is None:
        return None
    left, right = (None, None) if helped is None or helped.available_n is None else helped.available_n
    return mirrored(
        OilReport,
        thrust,
        oil,
        helped,
        least_needed_n=None if helped is None else finite(float(helped.needed_n.min())),
        needed_n=None if helped is None else finite(float(helped.needed_n.max())),
        left_n=left,
        right_n=right,
    )


def sizing_report(study: SteeringStudy) -> SizingReport | None:
    """What cylinder to ask for."""
    sizing = study.sizing
    if sizing is None:
        return None
    return SizingReport(
        needed_n=sizing.needed_n,
        bore_mm=size_mm(sizing.bore),
        rod_mm=size_mm(sizing.rod),
        nearest_bore_mm=size_mm(sizing.nearest_bore),
        nearest_rod_mm=size_mm(sizing.nearest_rod),
    )


def circuit_report(study: SteeringStudy) -> CircuitReport | None:
    """The oil circuit; None without one."""
    circuit, entry = study.circuit, study.steering.circuit
    if circuit is None or entry is None:
        return None
    lines = tuple(mirrored(LineReport, line) for line in circuit.lines)
    return mirrored(CircuitReport, circuit, lines=lines, relief_share=entry.relief_share)


def size_mm(size: Size | None) -> float | None:
    """A standard size, where there is one."""
    return None if size is None else size.size_mm
