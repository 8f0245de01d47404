"""The whole steering study of a job as one frozen value, each part there when the job tells enough for it."""

from dataclasses import dataclass

from plategen.job.job import Job
from plategen.job.steering_job import SteeringJob
from plategen.refusal import Refusal
from plategen.steering import drawn
from plategen.steering.alignment import Alignment, RodBending, alignment, moving_end_swing_rad, rod_bending
from plategen.steering.alignment import tube_section_modulus_mm3 as section_modulus
from plategen.steering.assist import Assist, Tyre, assist
from plategen.steering.best_pin import BestPin, best_pin
from plategen.steering.circuit import Circuit, circuit
from plategen.steering.clearance import Clearance, clearance
from plategen.steering.cylinder import CylinderSize, StrokeAdvice, advise_stroke
from plategen.steering.hydraulics import Oil, Thrust, oil, thrust
from plategen.steering.marks import Reading, readings
from plategen.steering.mount import Mount, PinToPin, Swing, pin_to_pin, swing
from plategen.steering.ports import PortAngle, port_angle
from plategen.steering.simple import from_locks, from_travel
from plategen.steering.standard import Series
from plategen.steering.stop_pad import StopPad, stop_pad
from plategen.steering.stops import StopOrder, stop_order
from plategen.steering.sweep import RodAngles, Sweep, Travel, sweep
from plategen.steering.vector import Floats
from plategen.steering.what_if import Attachment, Sensitivity, attachments, sensitivities

AnyJob = Job | SteeringJob


@dataclass(frozen=True, slots=True, kw_only=True)
class InLine:
    """The cylinder where it is advised: its pins over the sweep, its swing, how well it keeps its line.

    Args:
        mount: With the fixed pin where it is advised.
        pins: Pin-to-pin lengths and directions.
        swing: About the fixed pin, in the plate frame.
        moving_swing_rad: Range of the level and the upright angle in the moving end's joint.
        aligned: Against the rod's line.
        bending: Of the pushed rod and the levers at its ends; None when a lever is pushed or no cylinder is chosen.
        best: The best fixed pin in the box the job gives.
    """

    mount: Mount
    pins: PinToPin
    swing: Swing
    moving_swing_rad: tuple[float, float]
    aligned: Alignment
    bending: RodBending | None
    best: BestPin | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Loads:
    """What the bracket has to hold: forces at the fixed pin and how the cylinder lies when they act.

    Args:
        push_n, pull_n: Along the cylinder.
        swing_rad: Least and greatest angle of the cylinder in the plates' plane, from u towards v.
        out_of_plane_rad: Least and greatest angle out of it, towards w.
    """

    push_n: float
    pull_n: float
    swing_rad: tuple[float, float]
    out_of_plane_rad: tuple[float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class SteeringStudy:
    """Everything that was found; a part is None, or empty, when the job does not tell what it needs."""

    title: str
    series: Series
    job: AnyJob
    size: CylinderSize | None
    sweep: Sweep | None
    rods: tuple[RodAngles, ...]
    travels: tuple[tuple[str, Travel], ...]
    stroke: StrokeAdvice | None
    in_line: InLine | None
    thrust: Thrust | None
    oil: Oil | None
    assist: Assist | None
    ports: tuple[PortAngle, ...]
    stops: StopOrder | None
    pad: StopPad | None
    clearances: tuple[Clearance, ...]
    marks: tuple[Reading, ...]
    circuit: Circuit | None
    sensitivities: tuple[Sensitivity, ...]
    attachments: tuple[Attachment, ...]

    @property
    def loads(self) -> Loads | None:
        """What the bracket room uses; None until both linkage and cylinder are told."""
        if self.in_line is None or self.thrust is None:
            return None
        return Loads(
            push_n=self.thrust.push_n,
            pull_n=self.thrust.pull_n,
            swing_rad=self.in_line.swing.in_plane_range_rad,
            out_of_plane_rad=self.in_line.swing.out_of_plane_range_rad,
        )


def study(job: AnyJob) -> SteeringStudy:
    """Study the steering of a job.

    Raises:
        Refusal: when the job has no steering, when the linkage cannot be or cannot turn so far, naming the part.
    """
    steering = job.steering
    if steering is None:
        raise Refusal("there is no [steering] in this job; add it, with its levers or a travel", where="steering")
    series: Series = "inch" if job.units == "in" else "metric"
    size = drawn.size_of(job.cylinder)
    forces = None if size is None else thrust(size)
    swept = _swept(job)
    mount, stroke, in_line = None, None, None
    if swept is not None and steering.cylinder_mount is not None:
        entry = steering.cylinder_mount
        stroke, mount = advise_stroke(
            swept, drawn.mount_of(entry), size, margin_mm=entry.margin_mm, series=series, limit_at=entry.limit_at
        )
        in_line = _in_line(job, swept, mount, size, forces)
    elif steering.travel is not None:
        stroke = _measured(job, size, series)
    travel_mm = None if stroke is None else stroke.travel_mm
    pins = None if in_line is None else in_line.pins
    helped = None
    if swept is not None and pins is not None and steering.tyre is not None and forces is not None and swept.steer_rad:
        helped = assist(swept, pins, _tyre(job), forces)
    flow = None if steering.circuit is None else steering.circuit.flow_lpm
    return SteeringStudy(
        title=job.title,
        series=series,
        job=job,
        size=size,
        sweep=swept,
        rods=() if swept is None else tuple(swept.rod_angles(rod.name) for rod in swept.linkage.rods),
        travels=() if swept is None else _travels(job, swept),
        stroke=stroke,
        in_line=in_line,
        thrust=forces,
        oil=None
        if size is None or travel_mm is None
        else oil(
            size,
            travel_mm,
            pump_lpm=flow,
            lock_to_lock_s=steering.lock_to_lock_s,
            wheel_turns=None if swept is None else swept.wheel_turns,
        ),
        assist=helped,
        ports=_ports(job, in_line, size),
        stops=_stops(job, swept, in_line, stroke, forces),
        pad=_pad(job),
        clearances=_clearances(job, swept),
        marks=_marks(job, swept, pins),
        circuit=_circuit(job, size),
        sensitivities=() if swept is None else sensitivities(swept, mount),
        attachments=()
        if swept is None or mount is None
        else attachments(swept, mount, None if forces is None else min(forces.push_n, forces.pull_n)),
    )


def _swept(job: AnyJob) -> Sweep | None:
    steering = job.steering
    if steering is None or not steering.lever or steering.sweep is None:
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


def _in_line(
    job: AnyJob, swept: Sweep, mount: Mount, size: CylinderSize | None, forces: Thrust | None
) -> InLine:
    steering = job.steering
    assert steering is not None
    assert steering.cylinder_mount is not None
    pins = pin_to_pin(swept, mount)
    aligned = alignment(swept, mount, pins)
    bending = None
    if forces is not None:
        bending = rod_bending(swept.linkage, mount, aligned, max(forces.push_n, forces.pull_n), _section(job, mount))
    box = steering.cylinder_mount.box
    best = None
    if box is not None:
        reach = None if size is None else (size.closed_mm, size.open_mm)
        best = best_pin(swept, mount, box.low_mm, box.high_mm, lengths_mm=reach)
    return InLine(
        mount=mount,
        pins=pins,
        swing=swing(pins, mount),
        moving_swing_rad=moving_end_swing_rad(swept, mount, pins),
        aligned=aligned,
        bending=bending,
        best=best,
    )


def _section(job: AnyJob, mount: Mount) -> float | None:
    """Section modulus of the pushed rod, when its diameter is told."""
    assert job.steering is not None
    for rod in job.steering.rod:
        if rod.name == mount.pushes and rod.diameter_mm is not None:
            return section_modulus(rod.diameter_mm, rod.wall_mm)
    return None


def _measured(job: AnyJob, size: CylinderSize | None, series: Series) -> StrokeAdvice:
    assert job.steering is not None
    found = job.steering.travel
    assert found is not None
    margin = 25.4 / 4
    if found.travel_mm is not None:
        return from_travel(found.travel_mm, size, margin_mm=margin, series=series)
    assert found.left_length_mm is not None
    assert found.right_length_mm is not None
    shorter, longer = sorted((found.left_length_mm, found.right_length_mm))
    return from_locks(shorter, longer, found.straight_length_mm, size, margin_mm=margin, series=series)


def _tyre(job: AnyJob) -> Tyre:
    assert job.steering is not None
    entry = job.steering.tyre
    assert entry is not None
    return Tyre(
        load_n=entry.load_n,
        width_mm=entry.width_mm,
        contact_mm=entry.contact_mm,
        offset_mm=entry.offset_mm,
        friction=entry.friction,
    )


def _travels(job: AnyJob, swept: Sweep) -> tuple[tuple[str, Travel], ...]:
    """Travel of every ball of the linkage and of every point the job names."""
    assert job.steering is not None
    found = [
        (f"{lever.name}.{ball}", swept.travel(swept.motion.ball_mm((lever.name, ball))))
        for lever in swept.linkage.levers
        for ball in lever.balls
    ]
    for point in job.steering.point:
        on = Mount(point.on, (1e6, 0.0, 1e6), point.at_mm, (0.0, 1.0, 0.0))
        found.append((point.name, swept.travel(on.moving_path_mm(swept.motion))))
    return tuple(found)


def _ports(job: AnyJob, in_line: InLine | None, size: CylinderSize | None) -> tuple[PortAngle, ...]:
    assert job.steering is not None
    if in_line is None or size is None or job.cylinder is None:
        return ()
    bars = drawn.bars_of(job.steering, "fittings")
    ports = drawn.ports_of(job.steering.port, job.cylinder)
    return tuple(port_angle(port, in_line.pins, in_line.mount, size, bars) for port in ports)


def _stops(
    job: AnyJob, swept: Sweep | None, in_line: InLine | None, stroke: StrokeAdvice | None, forces: Thrust | None
) -> StopOrder | None:
    assert job.steering is not None
    if swept is None or job.steering.stops is None:
        return None
    ends = left_right = None
    if in_line is not None and stroke is not None:
        ends = (stroke.limited_closed_mm, stroke.limited_open_mm)
        if forces is not None:
            opens_left = in_line.pins.length_mm[-1] > in_line.pins.length_mm[0]
            left_right = (forces.push_n, forces.pull_n) if opens_left else (forces.pull_n, forces.push_n)
    mount = None if in_line is None else in_line.mount
    return stop_order(swept, drawn.stops_of(job.steering.stops), mount, ends, left_right)


def _pad(job: AnyJob) -> StopPad | None:
    assert job.steering is not None
    if job.steering.stops is None or job.steering.stops.pad is None:
        return None
    pad = job.steering.stops.pad
    return stop_pad(
        width_mm=pad.width_mm,
        height_mm=pad.height_mm,
        thickness_mm=pad.thickness_mm,
        corner_mm=pad.corner_radius_mm,
        hole_mm=pad.hole_mm,
        hole_spacing_mm=pad.hole_spacing_mm,
    )


def _clearances(job: AnyJob, swept: Sweep | None) -> tuple[Clearance, ...]:
    assert job.steering is not None
    if swept is None:
        return ()
    bars = drawn.bars_of(job.steering, "tyres")
    tyres = drawn.tyres_of(job.steering.tyre, swept.linkage)
    return tuple(clearance(swept.motion, tyre, bar) for tyre in tyres for bar in bars)


def _marks(job: AnyJob, swept: Sweep | None, pins: PinToPin | None) -> tuple[Reading, ...]:
    assert job.steering is not None
    marks = job.steering.marks
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
    )


def _rate(values: Floats, along: Floats, at: int) -> float:
    """Central difference at one position."""
    return float((values[at + 1] - values[at - 1]) / (along[at + 1] - along[at - 1]))


def _circuit(job: AnyJob, size: CylinderSize | None) -> Circuit | None:
    assert job.steering is not None
    entry = job.steering.circuit
    if entry is None or size is None:
        return None
    return circuit(
        flow_lpm=entry.flow_lpm,
        pressure_mpa=size.pressure_mpa,
        heights=drawn.heights_of(entry),
        lines=drawn.lines_of(entry),
        relief_share=entry.relief_share,
        viscosity_mm2_s=entry.viscosity,
    )
