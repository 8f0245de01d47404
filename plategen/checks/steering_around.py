"""What the study finds about ports, stops, tyres and the oil circuit; see :mod:`plategen.checks.steering`."""

import math
from collections.abc import Iterator

from plategen.checks.finding import Finding, Verdict
from plategen.ground.unit import INCH_MM
from plategen.rules.edge_distance import least_edge_distance
from plategen.steering.clearance import DEFLECTION_MM
from plategen.steering.stops import Met, Turn
from plategen.steering.study import SteeringStudy

PRACTICE = "common practice, no source"
"""Source of what the trade knows and nobody printed."""

PORTS_UP_DEG = 30.0
"""Within this of straight up a port still lets nearly all air out."""

NO_AIR_MM3 = 50.0
"""Less than a drop or two is no air."""

FITTING_GAP_MM = 6.35
"""Room that a fitting keeps from what moves past it: a quarter of an inch."""

FLOODED_MM = 25.4
"""Oil over the pump's inlet, and over the highest part: an inch, what sloshing takes away."""


def judge_ports(study: SteeringStudy) -> Iterator[Finding]:
    """Ports up, fittings clear, hoses not bent too tight."""
    steering = study.steering
    for port in study.ports:
        yield Finding(
            check="port points up",
            part=f"{port.name} port",
            demand=math.degrees(port.worst_rad),
            capacity=PORTS_UP_DEG,
            unit="deg",
            source=PRACTICE,
            assumed=_air_words(port.trapped_mm3),
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


def _air_words(trapped_mm3: float) -> str:
    if trapped_mm3 < NO_AIR_MM3:
        return "no air can stay above it"
    return f"up to {trapped_mm3 / 1000.0:.1f} cm3 ({trapped_mm3 / float(INCH_MM**3):.2f} in3) of air can stay above it"


def judge_pad(study: SteeringStudy) -> Iterator[Finding]:
    """The stop pad's holes far enough from its edges."""
    pad = study.pad
    if pad is None or pad.edge_distance_mm is None:
        return
    rule = least_edge_distance(pad.bolt_mm)
    yield Finding(
        check="edge distance of the stop pad's hole",
        part=pad.name,
        demand=rule.mm,
        capacity=pad.edge_distance_mm,
        unit="mm",
        source=rule.source,
        assumed="from the hole's centre; a bolt that is not told fills its hole",
        cure="a larger pad, or a smaller hole",
    )


def judge_stops(study: SteeringStudy) -> Iterator[Finding]:
    """Stops there, in the right order, and together."""
    order, steering = study.stops, study.steering
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


def judge_clearances(study: SteeringStudy) -> Iterator[Finding]:
    """Tyres clear of the bars, deflected."""
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


def judge_circuit(study: SteeringStudy) -> Iterator[Finding]:
    """Pump flooded, reservoir highest, velocities, cooler."""
    found, steering = study.circuit, study.steering
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
    yield Finding(
        check="places where air has to go down",
        part="return",
        demand=float(len(found.air_traps)),
        capacity=0.0,
        unit="1",
        source=PRACTICE,
        assumed="cylinder, box, cooler, reservoir: air is to rise from each to the next",
        cure=f"raise what follows the {' and the '.join(found.air_traps)}, or bleed there" if found.air_traps else "",
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
            cure=f"an inside diameter of {line.least_inside_mm:.2f} mm at least",
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
