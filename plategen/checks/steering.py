"""What the study finds right and wrong, as findings: demand, capacity, verdict, where the rule comes from, the cure."""

import math
from collections.abc import Iterator

from plategen.checks.finding import Finding
from plategen.checks.steering_around import (
    PRACTICE,
    judge_circuit,
    judge_clearances,
    judge_pad,
    judge_ports,
    judge_stops,
)
from plategen.steering.alignment import tube_area_mm2
from plategen.steering.study import SteeringStudy

LEAST_TRANSMISSION_DEG = 30.0
"""Below this a rod pulls its lever more than it turns it."""

IN_LINE_DEG = 5.0
"""Within this the push lost is under half a per cent and the side load under a tenth."""

ROD_SAFETY = 1.5
"""Yield over stress asked of a pushed rod; a rod that bends takes the steering with it."""


def findings(study: SteeringStudy) -> tuple[Finding, ...]:
    """Every check of the study, in the order of the work."""
    return (
        *_linkage(study),
        *_cylinder(study),
        *_in_line(study),
        *judge_ports(study),
        *judge_stops(study),
        *judge_pad(study),
        *judge_clearances(study),
        *judge_circuit(study),
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
            cure="no standard stroke covers it: less lock, or push nearer to a lever's axis"
            if advice.standard is None
            else f"a stroke of {advice.standard.size_mm:.3f} mm covers it",
        )
    if study.assist is not None and study.assist.available_n is not None:
        larger = ""
        if study.sizing is not None and study.sizing.bore is not None and study.sizing.rod is not None:
            larger = f" (bore {study.sizing.bore.size_mm:.3f} mm, rod {study.sizing.rod.size_mm:.3f} mm would do it)"
        yield Finding(
            check="turns the tyres standing, alone",
            part="cylinder",
            demand=float(study.assist.needed_n.max()),
            capacity=min(study.assist.available_n),
            unit="N",
            source="Barton and Fieldhouse, Automotive Chassis Engineering (2018), ch. 2, and common practice",
            assumed="both wheels on dry ground, upper of two formulas; the driver and the box help as well",
            cure=f"a larger bore{larger}, a longer arm or more pressure; rolling takes far less",
            most="caution",
        )
    wanted = study.steering.lock_to_lock_s if study.steering is not None else None
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
    steering = study.steering
    if found is None or steering is None or steering.cylinder_mount is None:
        return
    best = ""
    if found.best is not None:
        best = f"; the best pin in the box brings it to {math.degrees(found.best.worst_rad):.1f} deg"
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
        least = min(found.moving_swing_rad)
        for part, needed, assumed in (
            ("fixed end's joint", out, "angle of the cylinder out of the plates' plane"),
            ("moving end's joint", least, "the smaller of two ranges: the stud stands across the larger"),
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
    found, forces, steering = study.in_line, study.thrust, study.steering
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
