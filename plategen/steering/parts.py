"""The parts of a steering study, each computed from the job's tables when these tell enough for it, else left out; what
is incomplete is refused here, by key.
"""

from dataclasses import replace

from plategen.ground.refusal import Refusal
from plategen.job.cylinder import Cylinder
from plategen.job.rules import Rules
from plategen.job.steering import CylinderMountEntry, Steering
from plategen.rules.material import steel
from plategen.steering.alignment import InLine
from plategen.steering.axle import AxleTravel, axle_travel, beyond_mm
from plategen.steering.bottomed import Bottomed, bottomed
from plategen.steering.circuit import Circuit, circuit
from plategen.steering.cylinder import CylinderSize, StrokeAdvice, advise_stroke, from_locks, from_travel
from plategen.steering.hands import Hands, hands
from plategen.steering.hoses import ports_with_hoses
from plategen.steering.hydraulics import Assist, Oil, Sizing, Thrust, sizing
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.marks import READING_ERROR, MarkError, readings
from plategen.steering.mount import Mount, leverage_mm, pin_to_pin
from plategen.steering.ports import PortAngle, port_angles
from plategen.steering.roll import Roll, Rolled, roll, rolled
from plategen.steering.standard import Series
from plategen.steering.stops import StopOrder, stop_order
from plategen.steering.sweep import Locks, Sweep, sweep
from plategen.steering.team import Team
from plategen.steering.travel import Travel
from plategen.steering.tyre_room import Barrel

MARGIN_MM = 6.35
"""Stroke in hand at each end when only a travel was measured: a quarter of an inch (common practice, no source)."""


def linkage_of(steering: Steering) -> Linkage:
    """The linkage as drawn.

    Raises:
        Refusal: when it cannot be, naming the lever or rod.
    """
    levers = tuple(
        Lever(entry.name, entry.pivot_mm, entry.axis, entry.balls, entry.wheel or "") for entry in steering.lever
    )
    sides = [entry.wheel for entry in steering.lever if entry.wheel]
    if len(sides) != len(set(sides)):
        raise Refusal("two levers carry the same wheel; one spindle is the left one, one the right", "steering.lever")
    rods = tuple(
        Rod(entry.name, _end(entry.start, entry.name, "from"), _end(entry.end, entry.name, "to"), entry.length_mm)
        for entry in steering.rod
    )
    return Linkage(levers, rods)


def _end(written: str, rod: str, key: str) -> tuple[str, str]:
    lever, dot, ball = written.rpartition(".")
    if not dot or not lever or not ball:
        words = f'"{written}" names no ball joint; write "lever.ball", like "box arm.drag"'
        raise Refusal(words, key=f"steering.rod '{rod}'.{key}")
    return lever, ball


def swept_of(steering: Steering) -> Sweep | None:
    """The linkage swept, when one is drawn."""
    entry = steering.sweep
    if not steering.lever or entry is None:
        return None
    driver = steering.driver or steering.lever[0].name
    return sweep(
        linkage_of(steering),
        driver,
        Locks(entry.of or driver, entry.left_rad, entry.right_rad),
        wheelbase_mm=steering.wheelbase_mm,
        column_ratio=steering.column_ratio,
        positions=entry.positions,
    )


def size_of(cylinder: Cylinder | None) -> CylinderSize | None:
    """The cylinder's own sizes, when it is chosen."""
    if cylinder is None:
        return None
    return CylinderSize(
        bore_mm=cylinder.bore_mm,
        rod_mm=cylinder.rod_mm,
        stroke_mm=cylinder.stroke_mm,
        closed_mm=cylinder.closed_length_mm,
        pressure_mpa=cylinder.pressure_mpa,
        double_ended=cylinder.double_rod,
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


SETTLED_BY = 4
"""Times that stroke and what it needs in hand are told in turn: that hardly changes with the pin's place."""


def stroke_of(
    steering: Steering, entry: CylinderMountEntry, swept: Sweep, drawn: Mount, size: CylinderSize | None, series: Series
) -> tuple[StrokeAdvice, Mount]:
    """Stroke, spacers and the mount with its pin placed; in hand are the margin, what the marks on the box may be out,
    and what the axle's travel takes.
    """
    hand, mount = (entry.margin_mm, (0.0, 0.0)), drawn
    for _ in range(SETTLED_BY):
        advice, mount = advise_stroke(
            swept, drawn, size, margin_mm=hand[0], series=series, limit_at=entry.limit_at, beyond_mm=hand[1]
        )
        read = next((m for m in marks_of(steering, swept, mount) if m.what == READING_ERROR), None)
        marks_mm = 0.0 if read is None or read.travel_mm is None else read.travel_mm
        wanted = entry.margin_mm + marks_mm, _beyond_mm(steering, swept, mount)
        if wanted == hand:
            break
        hand = wanted
    return advice, mount


def _beyond_mm(steering: Steering, swept: Sweep, mount: Mount) -> tuple[float, float]:
    """How much shorter and longer than in the sweep the cylinder gets as the axle moves."""
    moved = None if steering.axle is None else axle_travel(swept, steering.axle, mount).cylinder_mm
    if moved is None:
        return 0.0, 0.0
    return beyond_mm(pin_to_pin(swept, mount), moved)


def axle_of(steering: Steering, swept: Sweep | None, installed: InLine | None) -> AxleTravel | None:
    """The steering with its axle moved, when that is asked."""
    if swept is None or steering.axle is None:
        return None
    return axle_travel(swept, steering.axle, None if installed is None else installed.mount)


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


def hands_of(steering: Steering, swept: Sweep | None, team: Team, poured: Oil | None) -> Hands | None:
    """What the driver's hands feel, when steering wheel and tyres are told."""
    if swept is None or steering.hands is None or steering.tyre is None:
        return None
    return hands(swept, steering.hands, steering.tyre, team, poured)


def _pressure_mpa(steering: Steering, size: CylinderSize | None) -> float | None:
    """Relief setting: the cylinder's, or the one told while none is chosen."""
    if size is not None:
        return size.pressure_mpa
    return None if steering.cylinder_mount is None else steering.cylinder_mount.pressure_mpa


def roll_of(
    steering: Steering, swept: Sweep | None, installed: InLine | None, forces: Thrust | None
) -> tuple[Roll | None, tuple[Rolled, ...]]:
    """What turns the pushed rod about its line, and the cylinder with it rolled as far as its joints let it."""
    if swept is None or installed is None or forces is None or steering.cylinder_mount is None:
        return None, ()
    turned, free_rad = roll(swept.motion, installed.mount, forces), steering.cylinder_mount.roll_free_rad
    return turned, () if turned is None or free_rad is None else rolled(swept, installed, free_rad)


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
    steering: Steering,
    cylinder: Cylinder | None,
    installed: InLine | None,
    size: CylinderSize | None,
    axle: AxleTravel | None,
) -> tuple[PortAngle, ...]:
    """Every port with its hose followed over the sweep, and from lock to lock at every place of the axle."""
    if installed is None or size is None or cylinder is None:
        return ()
    pins = installed.pins if axle is None or axle.pins is None else installed.pins.and_also(axle.pins)
    bars = tuple(bar for bar in steering.bar if bar.clears == "fittings")
    ports = ports_with_hoses(steering)
    return port_angles(ports, pins, installed.mount, size, cylinder.body_diameter_mm, bars)


def stops_of(
    steering: Steering,
    swept: Sweep | None,
    installed: InLine | None,
    stroke: StrokeAdvice | None,
    forces: Thrust | None,
    team: Team,
) -> StopOrder | None:
    """The stops in their order."""
    if swept is None or steering.stops is None:
        return None
    ends = left_right = None
    if installed is not None and stroke is not None:
        ends = stroke.ends_mm
        left_right = None if forces is None else forces.left_right_n(installed.pins)
    mount = None if installed is None else installed.mount
    return stop_order(swept, steering.stops.stop, mount, ends, left_right, team.further)


def bottomed_of(
    steering: Steering, swept: Sweep | None, installed: InLine | None, order: StopOrder | None, team: Team
) -> tuple[Bottomed, ...]:
    """What the cylinder bears where it ends before a wheel's stop."""
    if swept is None or installed is None or order is None or steering.stops is None:
        return ()
    return bottomed(swept, order, installed.mount, steering.stops, steering.tyre, team)


def barrels_of(
    steering: Steering, cylinder: Cylinder | None, installed: InLine | None, team: Team, lying: tuple[Rolled, ...]
) -> dict[str, Barrel]:
    """Every cylinder as the tyres meet it, by its name, the first one's rod rolled as far as its joints let it too."""
    barrels = {} if installed is None else {"cylinder": Barrel(mount=installed.mount)}
    if cylinder is not None:
        bodies = [cylinder.body_diameter_mm, *(each.body_diameter_mm or each.bore_mm for each in steering.cylinder)]
        for each, body_mm in zip(team.cylinders, bodies, strict=False):
            size = each.size
            barrels[each.name] = Barrel(mount=each.mount, closed_mm=size.closed_mm, body_mm=body_mm, rod_mm=size.rod_mm)
    if installed is not None:
        for rod in lying:
            way = "one way" if rod.roll_rad < 0.0 else "the other way"
            mount = replace(installed.mount, roll_rad=rod.roll_rad)
            barrels[f"cylinder, its rod rolled {way}"] = replace(barrels["cylinder"], mount=mount)
    return barrels


def marks_of(steering: Steering, swept: Sweep | None, mount: Mount | None) -> tuple[MarkError, ...]:
    """What the marks on the box are worth, with the steering straight ahead."""
    if steering.marks is None:
        return ()
    ratio = travel = None
    if swept is not None:
        ratios = swept.ratio
        ratio = None if ratios is None else float(ratios[swept.straight])
        if mount is not None:
            travel = abs(float(leverage_mm(swept, mount, pin_to_pin(swept, mount))[swept.straight]))
    return readings(steering.marks, ratio=ratio, travel_per_rad_mm=travel, column_ratio=steering.column_ratio)


def circuit_of(
    steering: Steering,
    size: CylinderSize | None,
    ports: tuple[PortAngle, ...],
    forces: Thrust | None,
    poured: Oil | None,
) -> Circuit | None:
    """The oil circuit judged, when it and a pressure are told."""
    pressure = _pressure_mpa(steering, size)
    if steering.circuit is None or pressure is None:
        return None
    stroke_mm = None if size is None else size.stroke_mm
    return circuit(steering.circuit, pressure, ports=ports, forces=forces, stroke_mm=stroke_mm, poured=poured)
