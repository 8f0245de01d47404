"""The parts of a steering study, each computed from the job's tables when these tell enough for it, else left out."""

from plategen.job.cylinder import Cylinder
from plategen.job.rules import Rules
from plategen.job.steering import Steering
from plategen.rules.material import steel
from plategen.steering import drawn
from plategen.steering.alignment import InLine
from plategen.steering.assist import Assist, Tyre
from plategen.steering.circuit import Circuit, circuit
from plategen.steering.clearance import Clearance, clearance
from plategen.steering.cylinder import CylinderSize, StrokeAdvice, from_locks, from_travel
from plategen.steering.hydraulics import Sizing, Thrust, sizing
from plategen.steering.marks import MarkError, readings
from plategen.steering.mount import Mount, PinToPin
from plategen.steering.ports import PortAngle, port_angle
from plategen.steering.standard import Series
from plategen.steering.stop_pad import StopPad, stop_pad
from plategen.steering.stops import StopOrder, stop_order
from plategen.steering.sweep import Sweep, sweep
from plategen.steering.travel import Travel
from plategen.steering.vector import Floats

MARGIN_MM = 6.35
"""Stroke in hand at each end when only a travel was measured: a quarter of an inch (common practice, no source)."""


def swept_of(steering: Steering) -> Sweep | None:
    """The linkage swept, when one is drawn."""
    if not steering.lever or steering.sweep is None:
        return None
    driver = drawn.driver_of(steering)
    return sweep(
        drawn.linkage_of(steering),
        driver,
        drawn.locks_of(steering.sweep, driver),
        wheelbase_mm=steering.wheelbase_mm,
        column_ratio=steering.column_ratio,
        positions=steering.sweep.positions,
    )


def measured_of(steering: Steering, size: CylinderSize | None, series: Series) -> StrokeAdvice | None:
    """Stroke and spacers from what was measured, when only that is told."""
    measured = steering.travel
    if measured is None:
        return None
    if measured.travel_mm is not None:
        return from_travel(measured.travel_mm, size, margin_mm=MARGIN_MM, series=series)
    assert measured.left_length_mm is not None
    assert measured.right_length_mm is not None
    shorter, longer = sorted((measured.left_length_mm, measured.right_length_mm))
    return from_locks(shorter, longer, measured.straight_length_mm, size, margin_mm=MARGIN_MM, series=series)


def sizing_of(
    steering: Steering,
    rules: Rules,
    size: CylinderSize | None,
    stroke: StrokeAdvice | None,
    helped: Assist | None,
    series: Series,
) -> Sizing | None:
    """Bore and rod to ask for, when the tyres and a pressure are told."""
    pressure = _pressure_mpa(steering, size)
    if helped is None or stroke is None or pressure is None:
        return None
    return sizing(
        float(helped.needed_n.max()),
        pressure,
        stroke.limited_open_mm,
        series,
        yield_mpa=steel(rules.rod_steel).fy_mpa,
        buckling_factor=rules.buckling_factor,
        own_bore_mm=None if size is None else size.bore_mm,
        own_rod_mm=None if size is None else size.rod_mm,
    )


def _pressure_mpa(steering: Steering, size: CylinderSize | None) -> float | None:
    """Relief setting: the cylinder's, or the one told while none is chosen."""
    if size is not None:
        return size.pressure_mpa
    return None if steering.cylinder_mount is None else steering.cylinder_mount.pressure_mpa


def tyre_of(steering: Steering) -> Tyre | None:
    """A steered tyre, when it is told."""
    entry = steering.tyre
    if entry is None:
        return None
    return Tyre(
        load_n=entry.load_n,
        width_mm=entry.width_mm,
        contact_mm=entry.contact_mm,
        offset_mm=entry.offset_mm,
        friction=entry.friction,
    )


def travels_of(steering: Steering, swept: Sweep) -> tuple[tuple[str, Travel], ...]:
    """Travel of every ball of the linkage and of every point the job names."""
    travels = [
        (f"{lever.name}.{ball}", Travel.of(swept.motion.ball_mm((lever.name, ball)), swept.straight))
        for lever in swept.linkage.levers
        for ball in lever.balls
    ]
    for point in steering.point:
        on = Mount(point.on, (1e6, 0.0, 1e6), point.at_mm, (0.0, 1.0, 0.0))
        travels.append((point.name, Travel.of(on.moving_path_mm(swept.motion), swept.straight)))
    return tuple(travels)


def ports_of(
    steering: Steering, cylinder: Cylinder | None, installed: InLine | None, size: CylinderSize | None
) -> tuple[PortAngle, ...]:
    """Every port followed over the sweep."""
    if installed is None or size is None or cylinder is None:
        return ()
    bars = drawn.bars_of(steering, "fittings")
    ports = drawn.ports_of(steering.port, cylinder)
    return tuple(port_angle(port, installed.pins, installed.mount, size, bars) for port in ports)


def stops_of(
    steering: Steering,
    swept: Sweep | None,
    installed: InLine | None,
    stroke: StrokeAdvice | None,
    forces: Thrust | None,
) -> StopOrder | None:
    """The stops in their order."""
    if swept is None or steering.stops is None:
        return None
    ends = left_right = None
    if installed is not None and stroke is not None:
        ends = stroke.ends_mm
        if forces is not None:
            opens_left = installed.pins.length_mm[-1] > installed.pins.length_mm[0]
            left_right = (forces.push_n, forces.pull_n) if opens_left else (forces.pull_n, forces.push_n)
    mount = None if installed is None else installed.mount
    return stop_order(swept, drawn.stops_of(steering.stops), mount, ends, left_right)


def pad_of(steering: Steering) -> StopPad | None:
    """The stop-pad plate, when one is asked for."""
    if steering.stops is None or steering.stops.pad is None:
        return None
    pad = steering.stops.pad
    return stop_pad(
        width_mm=pad.width_mm,
        height_mm=pad.height_mm,
        thickness_mm=pad.thickness_mm,
        corner_mm=pad.corner_radius_mm,
        hole_mm=pad.hole_mm,
        hole_spacing_mm=pad.hole_spacing_mm,
        bolt_mm=pad.bolt_mm,
        steel=pad.steel,
        count=pad.count,
    )


def clearances_of(steering: Steering, swept: Sweep | None) -> tuple[Clearance, ...]:
    """Every tyre against every bar."""
    if swept is None:
        return ()
    bars = drawn.bars_of(steering, "tyres")
    tyres = drawn.tyres_of(steering.tyre, swept.linkage)
    return tuple(clearance(swept.motion, tyre, bar) for tyre in tyres for bar in bars)


def marks_of(steering: Steering, swept: Sweep | None, pins: PinToPin | None) -> tuple[MarkError, ...]:
    """What the marks on the box are worth."""
    marks = steering.marks
    if marks is None:
        return ()
    ratio = travel = None
    if swept is not None:
        ratio = None if swept.ratio is None else float(swept.ratio[swept.straight])
        if pins is not None:
            travel = abs(_rate(pins.length_mm, swept.driver_rad, swept.straight))
    return readings(
        marks.hub_diameter_mm / 2.0,
        marks.reading_error_mm,
        ratio=ratio,
        travel_per_rad_mm=travel,
        splines=marks.splines,
        column_splines=marks.column_splines,
        column_ratio=steering.column_ratio,
    )


def _rate(values: Floats, along: Floats, at: int) -> float:
    """Central difference at one position."""
    return float((values[at + 1] - values[at - 1]) / (along[at + 1] - along[at - 1]))


def circuit_of(steering: Steering, size: CylinderSize | None) -> Circuit | None:
    """The oil circuit judged, when it and a pressure are told."""
    entry = steering.circuit
    pressure = _pressure_mpa(steering, size)
    if entry is None or pressure is None:
        return None
    return circuit(
        flow_lpm=entry.flow_lpm,
        pressure_mpa=pressure,
        heights=drawn.heights_of(entry),
        lines=drawn.lines_of(entry),
        relief_share=entry.relief_share,
        viscosity_mm2_s=entry.viscosity,
    )
