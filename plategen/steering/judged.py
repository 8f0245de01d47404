"""What the study finds right and wrong, as findings: demand, capacity, verdict, where the rule comes from, the cure."""

import math
from collections.abc import Iterator

from plategen.steering.alignment import tube_area_mm2
from plategen.steering.clearance import DEFLECTION_MM
from plategen.steering.stops import Met, Turn
from plategen.steering.study import SteeringStudy
from plategen.strength.finding import Finding, Verdict

PRACTICE = "common practice, no source"

LEAST_TRANSMISSION_DEG = 30.0
"""Below this a rod pulls its lever more than it turns it."""

IN_LINE_DEG = 5.0
"""Within this the push lost is under half a per cent and the side load under a tenth."""

PORTS_UP_DEG = 30.0
"""Within this of straight up a port still lets nearly all air out."""

ROD_SAFETY = 1.5
"""Yield over stress asked of a pushed rod; a rod that bends takes the steering with it."""

FITTING_GAP_MM = 6.35
FLOODED_MM = 25.4


def findings(study: SteeringStudy) -> tuple[Finding, ...]:
    """Every check of the study, in the order of the work."""
    return (
        *_linkage(study),
        *_cylinder(study),
        *_in_line(study),
        *_ports(study),
        *_stops(study),
        *_clearances(study),
        *_circuit(study),
    )


def _linkage(study: SteeringStudy) -> Iterator[Finding]:
    for rod in study.rods:
        yield Finding(
            check="transmission angle",
            part=rod.rod,
            demand=LEAST_TRANSMISSION_DEG,
            capacity=math.degrees(rod.least_transmission_rad),
            unit="deg",
            source=PRACTICE,
            assumed="smallest angle between rod and lever over the sweep, at either end",
            cure="set rod and lever more square to each other at that lock",
            most="caution",
        )


def _cylinder(study: SteeringStudy) -> Iterator[Finding]:
    advice, size = study.stroke, study.size
    if advice is None:
        return
    if size is not None:
        yield Finding(
            check="stroke covers travel",
            part="cylinder",
            demand=advice.travel_mm if advice.enough else size.stroke_mm + max(-advice.at_cap_mm, -advice.at_rod_mm),
            capacity=size.stroke_mm,
            unit="mm",
            source="geometry",
            assumed="with the fixed pin where it is advised",
            cure="" if advice.standard is None else f"a stroke of {advice.standard.size_mm:.1f} mm covers it",
        )
    if study.assist is not None:
        yield Finding(
            check="turns the tyres standing, alone",
            part="cylinder",
            demand=float(study.assist.needed_n.max()),
            capacity=min(study.assist.available_n),
            unit="N",
            source="scrub moment: Barton and Fieldhouse, Automotive Chassis Engineering (2018), ch. 2; and common practice",
            assumed="both wheels on dry ground, upper of two formulas; the driver and the box help as well",
            cure="a larger bore, a longer arm or more pressure; rolling takes far less",
            most="caution",
        )
    wanted = study.job.steering.lock_to_lock_s if study.job.steering is not None else None
    if study.oil is not None and study.oil.open_s is not None and study.oil.close_s is not None and wanted is not None:
        yield Finding(
            check="lock to lock in time",
            part="pump",
            demand=max(study.oil.open_s, study.oil.close_s),
            capacity=wanted,
            unit="s",
            source=PRACTICE,
            assumed="all of the pump's flow goes to the cylinder",
            cure="more flow or a smaller bore",
            most="caution",
        )


def _in_line(study: SteeringStudy) -> Iterator[Finding]:
    found = study.in_line
    steering = study.job.steering
    if found is None or steering is None or steering.cylinder_mount is None:
        return
    best = "" if found.best is None else f"; the best pin in the box brings it to {math.degrees(found.best.worst_rad):.1f} deg"
    yield Finding(
        check="in line with what it pushes",
        part="cylinder",
        demand=math.degrees(found.aligned.worst_rad),
        capacity=IN_LINE_DEG,
        unit="deg",
        source=PRACTICE,
        assumed="worst angle of the sweep",
        cure=f"move the fixed pin{best}",
        most="caution",
    )
    allowed = steering.cylinder_mount.joint_rad
    if allowed is not None:
        out = max(abs(angle) for angle in found.swing.out_of_plane_range_rad)
        for part, needed, assumed in (
            ("fixed end's joint", out, "angle of the cylinder out of the plates' plane"),
            ("moving end's joint", min(found.moving_swing_rad), "the smaller of two ranges: the stud stands across the larger"),
        ):
            yield Finding(
                check="joint tilts far enough",
                part=part,
                demand=math.degrees(needed),
                capacity=math.degrees(allowed),
                unit="deg",
                source="geometry, and the joint's own limit",
                assumed=assumed,
                cure="turn the pin, move the fixed pin, or take a joint that tilts further",
            )
    yield from _bending(study)


def _bending(study: SteeringStudy) -> Iterator[Finding]:
    found, forces, steering = study.in_line, study.thrust, study.job.steering
    if found is None or found.bending is None or forces is None or steering is None:
        return
    for rod in steering.rod:
        if rod.name == found.mount.pushes and rod.diameter_mm is not None and rod.yield_mpa is not None:
            assert found.bending.stress_mpa is not None
            along = max(forces.push_n, forces.pull_n) / tube_area_mm2(rod.diameter_mm, rod.wall_mm)
            yield Finding(
                check="bending and push in the rod",
                part=rod.name,
                demand=found.bending.stress_mpa + along,
                capacity=rod.yield_mpa / ROD_SAFETY,
                unit="MPa",
                source="beam on two supports; safety 1.5 on yield, common practice",
                assumed="full pressure, worst angle, all moments in one plane; no buckling, no fatigue, no threads",
                cure="bring the moving pin nearer to the rod's line or to a ball, or take a stronger rod",
            )


def _ports(study: SteeringStudy) -> Iterator[Finding]:
    steering = study.job.steering
    for port in study.ports:
        yield Finding(
            check="port points up",
            part=f"{port.name} port",
            demand=math.degrees(port.worst_rad),
            capacity=PORTS_UP_DEG,
            unit="deg",
            source=PRACTICE,
            assumed=f"up to {port.trapped_mm3 / 1000.0:.1f} cm3 of air can stay above it",
            cure="turn the cylinder until the ports point up",
            most="caution",
        )
        for name, gap in port.clearance_mm:
            yield Finding(
                check=f"fitting clears {name}",
                part=f"{port.name} port",
                demand=FITTING_GAP_MM,
                capacity=max(gap, 0.0),
                unit="mm",
                source=PRACTICE,
                assumed="over the whole sweep",
                cure="turn the port or use an elbow",
            )
        least = next((p.bend_radius_mm for p in steering.port if p.name == port.name), None) if steering else None
        if least is not None and port.bend_mm is not None:
            yield Finding(
                check="hose bends no tighter than it may",
                part=f"{port.name} port",
                demand=least,
                capacity=min(port.bend_mm, 1e6),
                unit="mm",
                source="the hose's own least bend radius",
                assumed="hose in one even arc, where it is slackest",
                cure="lead the hose further away, or shorten it",
            )


def _stops(study: SteeringStudy) -> Iterator[Finding]:
    order, steering = study.stops, study.job.steering
    if order is None or steering is None or steering.stops is None:
        return
    turns: tuple[Turn, ...] = ("left", "right")
    for turn in turns:
        met = order.of(turn)
        spindle = [m for m in met if m.kind == "spindle" and math.isfinite(m.box_rad)]
        yield Finding(
            check="spindle stops missing",
            part=f"{turn} lock",
            demand=0.0 if spindle else 1.0,
            capacity=0.0,
            unit="1",
            source=PRACTICE,
            cure="fit one: without it box and cylinder are the stop",
        )
        if not spindle:
            continue
        first = spindle[0]
        yield from _before(turn, first, [m for m in met if m.kind == "box"])
        spread = order.spread_left_rad if turn == "left" else order.spread_right_rad
        yield Finding(
            check="stops met together",
            part=f"{turn} lock",
            demand=math.degrees(spread),
            capacity=math.degrees(steering.stops.tolerance_rad),
            unit="deg",
            source="tolerance of the job",
            assumed="in degrees of the box's arm; the box's own stop not counted",
            cure="set the bolts as the table of stops says",
            most="caution",
        )


def _before(turn: str, first: Met, box: list[Met]) -> Iterator[Finding]:
    for stop in box:
        yield Finding(
            check="spindle stop before the box's own",
            part=f"{turn} lock",
            demand=math.degrees(first.box_rad),
            capacity=math.degrees(min(stop.box_rad, 2.0 * math.pi)),
            unit="deg",
            source=PRACTICE,
            assumed="a box that is leaned on takes the linkage's whole force in its shaft and housing",
            cure="screw the spindle stop out so that it is met first",
        )


def _clearances(study: SteeringStudy) -> Iterator[Finding]:
    for found in study.clearances:
        rows: tuple[tuple[str, float, Verdict], ...] = (
            ("tyre clears, deflected", DEFLECTION_MM[0], "stop"),
            ("tyre clears, deflected hard", DEFLECTION_MM[1], "caution"),
        )
        for check, deflection, most in rows:
            yield Finding(
                check=check,
                part=f"{found.tyre}, {found.bar}",
                demand=deflection,
                capacity=max(found.least_mm, 0.0),
                unit="mm",
                source=PRACTICE,
                assumed="tyre as a plain ring; axle and frame where they are drawn, no suspension travel",
                cure="less lock, narrower tyres or wheels set further out",
                most=most,
            )


def _circuit(study: SteeringStudy) -> Iterator[Finding]:
    found, steering = study.circuit, study.job.steering
    if found is None or steering is None or steering.circuit is None:
        return
    yield Finding(
        check="pump flooded",
        part="pump",
        demand=FLOODED_MM,
        capacity=max(found.head_mm, 0.0),
        unit="mm",
        source=PRACTICE,
        assumed="oil level over the pump's inlet; a pump that draws air is ruined first",
        cure="raise the reservoir or lower the pump",
    )
    yield Finding(
        check="reservoir highest, so that air rises to it",
        part="reservoir",
        demand=FLOODED_MM,
        capacity=max(found.reservoir_over_mm, 0.0),
        unit="mm",
        source=PRACTICE,
        assumed=f"the highest other part is the {found.highest}",
        cure="raise the reservoir, or bleed at the highest part each time",
        most="caution",
    )
    for line in found.lines:
        yield Finding(
            check=f"velocity in the {line.kind} line",
            part=line.name,
            demand=line.velocity_m_s,
            capacity=line.limit_m_s,
            unit="m/s",
            source=PRACTICE,
            cure=f"an inside diameter of {line.least_inside_mm:.1f} mm at least",
            most="stop" if line.kind == "suction" else "caution",
        )
    if steering.circuit.cooler_kw is not None:
        yield Finding(
            check="cooler carries the heat",
            part="cooler",
            demand=found.cooler_w / 1000.0,
            capacity=steering.circuit.cooler_kw,
            unit="kW",
            source="Q p at relief times its share of the time",
            cure="a larger cooler, or do not hold the steering on its stops",
            most="caution",
        )
