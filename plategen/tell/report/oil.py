"""The oil's part of the steering study in the report: force, what to ask for, ports, the circuit."""

from plategen.steering.standard import Size
from plategen.steering.study import SteeringStudy
from plategen.tell.report.encode import Level, Pair, finite, mirrored


class OilReport(Level, frozen=True, kw_only=True):
    """Force and oil; null where the job does not give enough for it.

    Args:
        push_n: Push at relief.
        pull_n: Pull at relief.
        stronger_by: Push over pull.
        open_mm3: Oil to open from lock to lock.
        close_mm3: Oil to close.
        open_s: Time to open at the pump's flow.
        close_s: Time to close.
        flow_lpm: Flow for the wanted time, litres a minute.
        wheel_rps: Turns of the steering wheel a second that the pump follows.
        scrub_nmm: Moment to turn one standing tyre, by two formulas.
        least_needed_n: Least force of the sweep that turns both alone.
        needed_n: Greatest force of the sweep that turns both alone.
        left_n: Force there is when turning left.
        right_n: Force there is when turning right.
    """

    push_n: float | None
    pull_n: float | None
    stronger_by: float | None
    open_mm3: float | None
    close_mm3: float | None
    open_s: float | None
    close_s: float | None
    flow_lpm: float | None
    wheel_rps: float | None
    scrub_nmm: Pair | None
    least_needed_n: float | None
    needed_n: float | None
    left_n: float | None
    right_n: float | None


class SizingReport(Level, frozen=True, kw_only=True):
    """What cylinder to ask for.

    Args:
        needed_n: Force asked both ways.
        bore_mm: Smallest standard bore that has it; null when none has.
        rod_mm: Its rod.
        nearest_bore_mm: Standard bore nearest to the cylinder's own.
        nearest_rod_mm: Standard rod nearest to its own.
    """

    needed_n: float
    bore_mm: float | None
    rod_mm: float | None
    nearest_bore_mm: float | None
    nearest_rod_mm: float | None


class PortReport(Level, frozen=True, kw_only=True):
    """A port of the cylinder over the swing.

    Args:
        name: Which.
        worst_deg: Furthest off straight up.
        trapped_mm3: Air that can stay above it.
        hose_span_mm: Least and greatest distance that the hose has to span; null without a hose.
        hose_needed_mm: Length of hose that reaches.
        bend_mm: Radius of the hose where it is slackest; null without a hose, or when it is straight.
        clearance_mm: Room from the fitting to each bar.
    """

    name: str
    worst_deg: float
    trapped_mm3: float
    hose_span_mm: Pair | None
    hose_needed_mm: float | None
    bend_mm: float | None
    clearance_mm: dict[str, float]


class LineReport(Level, frozen=True, kw_only=True):
    """A hose or pipe at the pump's flow.

    Args:
        name: Which.
        kind: Suction, pressure or return.
        velocity_m_s: Velocity of the oil.
        limit_m_s: What it may be.
        least_inside_mm: Inside diameter that would keep it.
        reynolds: Reynolds number.
        loss_mpa: Pressure lost.
    """

    name: str
    kind: str
    velocity_m_s: float
    limit_m_s: float
    least_inside_mm: float
    reynolds: float
    loss_mpa: float


class CircuitReport(Level, frozen=True, kw_only=True):
    """The oil circuit.

    Args:
        lines: Every line.
        return_loss_mpa: Loss of the return lines together.
        heat_w: Heat while all oil goes over relief.
        cooler_w: What the cooler has to carry.
        head_mm: Oil level above the pump.
        reservoir_over_mm: Oil level above the highest other part.
        highest: Name of that part.
        relief_share: Share of the time at relief.
        air_traps: Parts after which the air would have to go down.
    """

    lines: tuple[LineReport, ...]
    return_loss_mpa: float
    heat_w: float
    cooler_w: float
    head_mm: float
    reservoir_over_mm: float
    highest: str
    relief_share: float
    air_traps: tuple[str, ...]


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
