"""The ports of the steering's cylinder, in the plates' frame straight ahead, and the hoses from them.

A hose is drawn as long as the job says it is, else as long as it needs to be: square out of its fitting, to where it is
made fast, and there as it left. Which way it takes between is the fitter's; the picture shows one that is that long.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from plategen.ground.space import Vector, dot, minus, mixed, unit
from plategen.job.steering_equipment import PortEntry
from plategen.steering.vector import Floats
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.steering.ports import PortAngle

HOSE_WALL_MM, HOSE_INSIDE_MM = 5.0, 10.0
"""A hose with braid is about so thick, and so wide inside where no line of the circuit tells it (about EN 853, from
memory): for the picture alone."""

PIECES = 16
"""Straight pieces that a hose is drawn in."""


@dataclass(frozen=True, slots=True, kw_only=True)
class DrawnPort:
    """A port with what is screwed into it, and the middle line of its hose; mm, in the plates' frame."""

    name: str
    station_mm: float  # From the pin along the cylinder.
    face_mm: Vector
    tip_mm: Vector  # Of its fitting.
    radius_mm: float  # Of the hose.
    hose: tuple[Vector, ...]  # From the tip to where it is made fast; empty where the job does not say where.
    hose_mm: float  # How long it is.


def drawn_ports(work: Work) -> Iterator[DrawnPort]:
    """The ports of a cylinder that the bracket holds at its fixed pin; none without a steering that tells them."""
    study, fixed = work.steering, work.design.pin.fixed_mm
    if study is None or study.in_line is None or fixed is None or work.job.style.holds != "fixed pin":
        return
    from plategen.steering.hoses import ports_with_hoses
    from plategen.steering.ports import port_path

    at, followed = study.in_line, {port.name: port for port in study.ports}
    axes, pin = (at.swing.u, at.swing.v, at.swing.w), work.bracket.pin.centre
    circuit = study.steering.circuit
    inside = {line.port: line.inside_mm for line in circuit.line} if circuit else {}
    for entry in ports_with_hoses(study.steering):
        port = followed.get(entry.name)
        if port is None:
            continue
        outwards = port_path(entry, at.pins, at.mount, port.radius_mm).outwards[at.pins.straight]
        out = _across(outwards, axes)
        middle = mixed(pin, 1.0, (1.0, 0.0, 0.0), entry.station_mm)
        face = mixed(middle, 1.0, out, port.radius_mm)
        tip = mixed(face, 1.0, out, entry.fitting_mm)
        hose: tuple[Vector, ...] = ()
        if entry.hose_to_mm is not None:
            way = minus(entry.hose_to_mm, fixed)
            end = mixed(pin, 1.0, (dot(way, axes[0]), dot(way, axes[1]), dot(way, axes[2])), 1.0)
            hose = hanging(tip, out, end, _length_mm(entry, port))
        yield DrawnPort(
            name=entry.name,
            station_mm=entry.station_mm,
            face_mm=face,
            tip_mm=tip,
            radius_mm=inside.get(entry.name, HOSE_INSIDE_MM) / 2 + HOSE_WALL_MM,
            hose=hose,
            hose_mm=_length_mm(entry, port),
        )


def _across(outwards: Floats, axes: tuple[Vector, Vector, Vector]) -> Vector:
    """A direction of the vehicle frame in the plates', square to the cylinder as it is drawn there."""
    x, y, z = (float(each) for each in outwards)
    return unit((0.0, dot((x, y, z), axes[1]), dot((x, y, z), axes[2])))


def _length_mm(entry: PortEntry, port: "PortAngle") -> float:
    return entry.hose_length_mm or port.hose_needed_mm or 0.0


def hanging(start: Vector, out: Vector, end: Vector, length_mm: float) -> tuple[Vector, ...]:
    """A cubic curve that leaves ``start`` along ``out`` and comes to ``end`` against it, so long; straight where that
    is no longer than the way.
    """
    if length_mm <= math.dist(start, end):
        return _curve(start, start, end, end)
    low, high = 0.0, length_mm
    for _ in range(24):
        rise = (low + high) / 2
        points = _curve(start, mixed(start, 1.0, out, rise), mixed(end, 1.0, out, rise), end)
        if sum(math.dist(p, q) for p, q in pairwise(points)) < length_mm:
            low = rise
        else:
            high = rise
    return points


def _curve(a: Vector, b: Vector, c: Vector, d: Vector) -> tuple[Vector, ...]:
    """Points of the Bernstein polynomial of four points."""
    shares = (k / PIECES for k in range(PIECES + 1))
    return tuple(
        mixed(mixed(a, (1 - t) ** 3, b, 3 * t * (1 - t) ** 2), 1.0, mixed(c, 3 * t * t * (1 - t), d, t**3), 1.0)
        for t in shares
    )
