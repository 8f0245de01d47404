"""From the tables of a job file to the values this room computes with; what is incomplete is refused here, by key."""

from plategen.ground.refusal import Refusal
from plategen.job.cylinder import Cylinder
from plategen.job.steering import CylinderMountEntry, Steering, SweepEntry
from plategen.job.steering_equipment import CircuitEntry, PortEntry, StopsEntry, TyreEntry
from plategen.steering.circuit import Heights, OilLine
from plategen.steering.clearance import Bar, TyreSize
from plategen.steering.cylinder import CylinderSize
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.mount import Mount
from plategen.steering.ports import Port
from plategen.steering.stops import Stop
from plategen.steering.sweep import Locks


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
        raise Refusal(
            f'"{written}" names no ball joint; write "lever.ball", like "box arm.drag"',
            key=f"steering.rod '{rod}'.{key}",
        )
    return lever, ball


def driver_of(steering: Steering) -> str:
    """The steering box's arm: the one named, or the first lever."""
    return steering.driver or steering.lever[0].name


def locks_of(entry: SweepEntry, driver: str) -> Locks:
    """How far the sweep goes."""
    return Locks(entry.of or driver, entry.left_rad, entry.right_rad)


def mount_of(entry: CylinderMountEntry) -> Mount:
    """The cylinder's two pins."""
    return Mount(entry.pushes, entry.fixed_pin_mm, entry.moving_pin_mm, entry.pin_axis, entry.in_line_with)


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
    )


def ports_of(entries: tuple[PortEntry, ...], cylinder: Cylinder) -> tuple[Port, ...]:
    """The ports, their faces on the barrel where nothing else is told."""
    return tuple(
        Port(
            name=entry.name,
            station_mm=entry.station_mm,
            radius_mm=entry.radius_mm or cylinder.body_diameter_mm / 2.0,
            clock_rad=entry.clock_rad,
            fitting_mm=entry.fitting_mm,
            hose_to_mm=entry.hose_to_mm,
            bend_radius_mm=entry.bend_radius_mm,
            hose_mm=entry.hose_length_mm,
        )
        for entry in entries
    )


def stops_of(entry: StopsEntry) -> tuple[Stop, ...]:
    """The stops as values."""
    return tuple(
        Stop(
            name=stop.name,
            lever=stop.lever,
            turn=stop.turn,
            at_rad=stop.at_rad,
            kind=stop.kind,
            contact_radius_mm=stop.contact_radius_mm,
            pitch_mm=stop.pitch_mm,
        )
        for stop in entry.stop
    )


def tyres_of(entry: TyreEntry | None, linkage: Linkage) -> tuple[TyreSize, ...]:
    """The tyres whose place and size are told: the left as given, the right as its mirror image."""
    if entry is None or entry.radius_mm is None or entry.centre_mm is None:
        return ()
    x, y, z = entry.centre_mm
    wheels = linkage.wheels()
    places = {"left": (x, y, z), "right": (x, -y, z)}
    return tuple(
        TyreSize(lever=wheels[side], centre_mm=place, radius_mm=entry.radius_mm, width_mm=entry.width_mm)
        for side, place in places.items()
        if side in wheels
    )


def bars_of(steering: Steering, clears: str) -> tuple[Bar, ...]:
    """The bars that tyres, or that fittings, are to clear."""
    return tuple(
        Bar(bar.name, bar.start_mm, bar.end_mm, bar.diameter_mm / 2.0) for bar in steering.bar if bar.clears == clears
    )


def heights_of(entry: CircuitEntry) -> Heights:
    """Heights of the circuit's parts."""
    return Heights(
        reservoir_mm=entry.reservoir_mm,
        pump_mm=entry.pump_mm,
        box_mm=entry.box_mm,
        cylinder_mm=entry.cylinder_mm,
        cooler_mm=entry.cooler_mm,
    )


def lines_of(entry: CircuitEntry) -> tuple[OilLine, ...]:
    """The circuit's hoses and pipes."""
    return tuple(OilLine(name=x.name, kind=x.kind, inside_mm=x.inside_mm, length_mm=x.length_mm) for x in entry.line)
