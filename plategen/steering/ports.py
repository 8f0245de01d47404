"""Ports up, so that air gets out: the clock angle of the ports over the swing, the air that stays when they are not on
top, and whether fitting and hose clear and reach.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.steering_equipment import BarEntry, PortEntry
from plategen.steering.cylinder import CylinderSize
from plategen.steering.mount import Mount, PinToPin
from plategen.steering.vector import Floats, array, cross, dot, length, round_circle, square_to, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class PortAngle:
    """One port over the swing."""

    name: str  # The port.
    radius_mm: float  # From the cylinder's line to its face.
    clock_rad: Floats  # Angle from straight up in the plane across the cylinder, (n,), signed.
    worst_rad: float  # Largest of them.
    # Air that can stay in the chamber above the port with the cylinder level and the chamber full: an upper
    # figure.
    trapped_mm3: float
    face_mm: Floats  # Place of the port's face, (n, 3).
    # Least and greatest straight distance from fitting to the hose's fast end; None without one.
    hose_span_mm: tuple[float, float] | None
    hose_needed_mm: float | None  # Hose that reaches at the greatest distance with five per cent in hand.
    bend_mm: float | None  # Radius of the hose at the least distance when it hangs in one even arc.
    clearance_mm: tuple[tuple[str, float], ...]  # Least distance from fitting to each obstacle, by name.


def trapped_air_mm3(bore_mm: float, stroke_mm: float, clock_rad: float) -> float:
    """Air above the port of a level, full chamber: the segment of the bore above the port's height, times the stroke.

    A segment of half angle k of a circle of diameter D has the area D^2 (2k - sin 2k) / 8. Nothing at the top, the
    whole bore when the port hangs straight down.

    Examples:
        >>> trapped_air_mm3(50.0, 200.0, 0.0)
        0.0
        >>> bool(abs(trapped_air_mm3(50.0, 200.0, math.pi) - math.pi / 4 * 50.0**2 * 200.0) < 1e-6)
        True
    """
    k = abs(math.remainder(clock_rad, 2.0 * math.pi))
    return bore_mm**2 / 8.0 * (2.0 * k - math.sin(2.0 * k)) * stroke_mm


def arc_radius_mm(chord_mm: float, arc_mm: float) -> float:
    """Radius of the one even arc of length ``arc_mm`` that spans ``chord_mm``; infinite for a straight hose.

    sin(x) / x = chord / arc with x half the arc's angle, found by bisection.

    Raises:
        ValueError: when the arc is shorter than the chord.
    """
    if arc_mm < chord_mm - 1e-9:
        raise ValueError(f"an arc of {arc_mm} does not span {chord_mm}")
    if arc_mm - chord_mm < 1e-9 * arc_mm:
        return math.inf
    low, high = 1e-6, math.pi
    for _ in range(80):
        x = 0.5 * (low + high)
        if math.sin(x) / x > chord_mm / arc_mm:
            low = x
        else:
            high = x
    return arc_mm / (2.0 * low)


@dataclass(frozen=True, slots=True)
class PortPath:
    """A port's face and its fitting's tip at every position, and which way the face looks, (n, 3) each."""

    face_mm: Floats
    tip_mm: Floats
    outwards: Floats


def barrel_sides(pins: PinToPin, mount: Mount) -> tuple[Floats, Floats]:
    """Where the sides of the barrel face that are its left and its top straight ahead, (n, 3) each.

    The barrel turns with the fixed pin's eye: in the plane of the plates about the pin, out of it by the least tilt.
    """
    ahead, w = pins.direction[pins.straight], unit(array(mount.pin_axis))
    flat_ahead = unit(ahead - w * dot(w, ahead))
    cos, sin = pins.direction @ flat_ahead, pins.direction @ cross(w, flat_ahead)
    flat = np.sqrt(cos * cos + sin * sin)
    turned_ahead, *sides = (_turned(each, w, cos / flat, sin / flat) for each in (ahead, *square_to(ahead)))
    # Rodrigues with the axis times its sine, for directions that are never opposite
    axis = cross(turned_ahead, pins.direction)
    cosine = dot(turned_ahead, pins.direction)[:, None]
    left, top = (
        each * cosine + cross(axis, each) + axis * (dot(axis, each)[:, None] / (1.0 + cosine)) for each in sides
    )
    return left, top


def _turned(vector: Floats, axis: Floats, cos: Floats, sin: Floats) -> Floats:
    along = axis * dot(axis, vector)
    return round_circle(along, vector - along, cross(axis, vector), cos, sin)


def port_path(
    port: PortEntry, pins: PinToPin, mount: Mount, radius_mm: float, sides: tuple[Floats, Floats] | None = None
) -> PortPath:
    """One port followed with its cylinder, its face so far from the cylinder's line; ``sides`` those of its barrel
    where they are known.
    """
    left, top = barrel_sides(pins, mount) if sides is None else sides
    faces = math.cos(port.clock_rad) * top - math.sin(port.clock_rad) * left
    face = array(mount.fixed_mm) + pins.direction * port.station_mm + faces * radius_mm
    return PortPath(face, face + faces * port.fitting_mm, faces)


def port_angles(
    ports: tuple[PortEntry, ...],
    pins: PinToPin,
    mount: Mount,
    size: CylinderSize,
    body_mm: float,
    bars: tuple[BarEntry, ...] = (),
) -> tuple[PortAngle, ...]:
    """Every port followed round the sweep, with its air, its hose and what its fitting clears; its face lies on the
    barrel, ``body_mm`` across, where the port tells nothing.
    """
    if not ports:
        return ()
    level, sides = square_to(pins.direction), barrel_sides(pins, mount)
    return tuple(_port_angle(port, pins, mount, size, body_mm, bars, level, sides) for port in ports)


def _port_angle(
    port: PortEntry,
    pins: PinToPin,
    mount: Mount,
    size: CylinderSize,
    body_mm: float,
    bars: tuple[BarEntry, ...],
    level: tuple[Floats, Floats],
    sides: tuple[Floats, Floats],
) -> PortAngle:
    radius = port.radius_mm or body_mm / 2.0
    path, (to_left, ups) = port_path(port, pins, mount, radius, sides), level
    clock = np.arctan2(-dot(path.outwards, to_left), dot(path.outwards, ups))
    worst = float(np.abs(clock).max())
    face, tip = path.face_mm, path.tip_mm
    span: tuple[float, float] | None = None
    needed = bend = None
    if port.hose_to_mm is not None:
        reach = length(tip - array(port.hose_to_mm))
        span = (float(reach.min()), float(reach.max()))
        needed = 1.05 * span[1]
        hose = needed if port.hose_length_mm is None else port.hose_length_mm
        if hose < span[1]:
            words = "the hose at the {} port is {} and has to reach {}; use a longer one"
            raise Refusal(message(words, port.name, mm(hose), mm(span[1])), key=f"steering.port '{port.name}'")
        bend = arc_radius_mm(span[0], hose)
    clear = tuple((bar.name, _least_to_bar(path, port.fitting_mm, bar) - bar.diameter_mm / 2.0) for bar in bars)
    return PortAngle(
        name=port.name,
        radius_mm=radius,
        clock_rad=clock,
        worst_rad=worst,
        trapped_mm3=trapped_air_mm3(size.bore_mm, size.stroke_mm, worst),
        face_mm=face,
        hose_span_mm=span,
        hose_needed_mm=needed,
        bend_mm=bend,
        clearance_mm=clear,
    )


def _least_to_bar(path: PortPath, fitting_mm: float, bar: BarEntry) -> float:
    """Least distance from the fittings, face to tip, to a bar's middle."""
    on_fitting, on_bar = _nearest_to_line(path, fitting_mm, bar)
    return float(length(on_fitting - on_bar).min())


def gap_to_bar(path: PortPath, fitting_mm: float, bar: BarEntry) -> tuple[Floats, Floats, Floats]:
    """The gap from the fitting's middle line to a bar at every position, (n,), negative within it, and the points of
    that line and of the bar's skin which are the nearest, (n, 3) each.
    """
    on_fitting, on_line = _nearest_to_line(path, fitting_mm, bar)
    way, radius = on_fitting - on_line, bar.diameter_mm / 2.0
    apart = length(way)
    return apart - radius, on_fitting, on_line + way * (radius / np.where(apart > 0.0, apart, 1.0))[:, None]


def _nearest_to_line(path: PortPath, fitting_mm: float, bar: BarEntry) -> tuple[Floats, Floats]:
    """The point of the fitting's middle line and that of the bar's which are the nearest, (n, 3) each.

    They are where both lines are, each held to its own length and the other then followed to it (Ericson, Real-Time
    Collision Detection, 2005, 5.1.9; from memory).
    """
    start = array(bar.start_mm)
    along, apart = array(bar.end_mm) - start, path.face_mm - start
    square = float(dot(along, along))
    on_bar, on_way, both = apart @ along, dot(path.outwards, apart), path.outwards @ along
    skew, s, t = square - both * both, both * on_bar - on_way * square, np.zeros(len(apart))
    s = np.divide(s, skew, out=np.zeros_like(s), where=skew > 0.0)
    if square > 0.0:
        t = np.minimum(np.maximum((both * np.minimum(np.maximum(s, 0.0), fitting_mm) + on_bar) / square, 0.0), 1.0)
    s = np.minimum(np.maximum(t * both - on_way, 0.0), fitting_mm)
    return path.face_mm + path.outwards * s[:, None], start + along * t[:, None]
