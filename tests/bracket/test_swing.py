"""The cylinder's swing against closed forms, against brute force, and against the solid kernel."""

import cmath
import dataclasses
import math
import random

import numpy as np
import pytest

from plategen.bracket import swing as module
from plategen.bracket.envelope import Block, Floats, Post, cylinder_bodies, in_cylinder, least_distances, nearest
from plategen.bracket.model import Bracket, Plate
from plategen.bracket.style import design_on
from plategen.bracket.swing import Room, swept_rooms
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.segment import Line
from plategen.job import Job
from plategen.job.cylinder import PortPost, Swing
from plategen.job.style_tables import Closing
from plategen.make import on_rail
from plategen.rail.surface import Rail
from plategen.solid.clearance import swing_clearances
from plategen.work import Work
from tests.support.brackets import INLINE_MM, corner_job, corner_rail, flat_rail
from tests.support.corners import exact_rail
from tests.support.designs import built


def _swept(job: Job, rail: Rail, bracket: Bracket, swing_rad: tuple[float, float] | None = None) -> tuple[Room, ...]:
    """The clearances over the job's own swing, or over another."""
    design = design_on(job, rail)
    swing_rad = swing_rad or design.motion.swing_rad
    return swept_rooms(
        dataclasses.replace(design, motion=dataclasses.replace(design.motion, swing_rad=swing_rad)), rail, bracket
    )


def _room(job: Job, rail: Rail, to: str, of: str = "") -> Room:
    rooms = _swept(job, rail, built(job, rail))
    return next(room for room in rooms if room.to == to and (room.of == of or (not of and room.of != "eye")))


def _level_rail(height_mm: float, length_mm: float = 900.0) -> Rail:
    chain = Chain((Line(complex(-40, height_mm - INLINE_MM), complex(length_mm, height_mm - INLINE_MM)),))
    return exact_rail(((0.0, chain),), INLINE_MM)


@pytest.mark.parametrize("degrees", [0.0, 4.0, 8.0])
def test_a_cylinder_under_a_level_rail(degrees: float) -> None:
    # an upper corner at the far end of barrel or rod comes nearest: h - (x sin a + r cos a), the rail over all of it
    a, height = math.radians(degrees), 170.0
    job = corner_job(False, swing_rad=a)
    cylinder, eye = job.cylinder, job.cylinder.base.eye_radius_mm
    ends = (
        (cylinder.closed_length_mm - eye, cylinder.body_diameter_mm / 2),
        (cylinder.open_length_mm - eye, cylinder.rod_mm / 2),
    )
    room = _room(job, _level_rail(height, 1500.0), "rail")
    assert room.mm == pytest.approx(height - max(x * math.sin(a) + r * math.cos(a) for x, r in ends), abs=1e-3)
    assert room.angle_rad == pytest.approx(a if degrees else 0.0, abs=1e-3)


def test_the_boss_clears_the_rail_by_the_pins_height_less_its_radius() -> None:
    assert _room(corner_job(False), _level_rail(140.0), "rail", "eye").mm == pytest.approx(140.0 - 42.0, abs=1e-3)


def test_a_port_towards_the_rail_takes_room_and_one_away_does_not() -> None:
    job = corner_job(False, swing_rad=0.0)
    for towards, expected in (("rail", 140.0 - 38.0 - 30.0), ("away", 140.0 - 42.0)):
        port = PortPost(at_mm=150.0, diameter_mm=25.0, height_mm=30.0, towards=towards)  # type: ignore[arg-type]
        ported = job.replaced(swing=job.swing.replaced(port=(port,)))  # type: ignore[union-attr]
        rooms = _swept(ported, _level_rail(140.0), built(ported, _level_rail(140.0)), (0.0, 0.0))
        assert min(room.mm for room in rooms if room.to == "rail") == pytest.approx(min(expected, 98.0), abs=1e-3)


def test_the_worst_angle_may_lie_inside_the_swing() -> None:
    # a port's post passes under the edge of a bottom plate about half way
    job = corner_job(False, 60.0, 0.35).replaced(closing=Closing(back=True, thickness_mm=8.0, leg_mm=5.0))
    rail = flat_rail(0.0, 0.0)
    bracket = built(job, rail)
    bodies = [b for b in cylinder_bodies(job, 80.0) if b.name != "eye"]
    ears = [plate for plate in bracket.plates if plate.name == "ear_near"]
    room = next(r for r in _swept(job, rail, bracket, (-0.35, 0.35)) if r.to == "ear_near")
    outline = [edge.point(k / 200) for edge in ears[0].outline for k in range(201)]
    points = np.array([[p.real for p in outline], [p.imag for p in outline], [15.0] * len(outline)])
    held = [b for b in bodies if b.name != "lug"]
    brute = min(
        nearest(held, in_cylinder(points, bracket.pin.centre, angle))[0] for angle in np.linspace(-0.35, 0.35, 701)
    )
    assert room.mm == pytest.approx(brute, abs=5e-3)


def test_the_answer_has_converged(monkeypatch: pytest.MonkeyPatch) -> None:
    job, rail = corner_job(True, 60.0, 0.3), corner_rail(8.0, 0.08, 0.1, 4.0)
    bracket = built(job, rail)
    coarse = _swept(job, rail, bracket, (-0.3, 0.3))
    for name, value in (("SPACING_MM", 0.5), ("SLICES", 25), ("ANGLES", 61), ("GOLDEN_STEPS", 25)):
        monkeypatch.setattr(module, name, value)
    fine = _swept(job, rail, bracket, (-0.3, 0.3))
    for one, other in zip(coarse, fine, strict=True):
        assert one.mm == pytest.approx(other.mm, abs=0.02)


@pytest.mark.parametrize("round_corner", [True, False])
def test_the_solid_model_agrees_at_the_ends_and_the_worst_angle(round_corner: bool) -> None:
    rail = corner_rail(8.0, 0.05, 0.05, 3.0) if round_corner else flat_rail(0.05, 0.05)
    closing = Closing(back=True, bottom=round_corner, thickness_mm=8.0, leg_mm=5.0)
    port = PortPost(at_mm=140.0, diameter_mm=25.0, height_mm=25.0, towards="rail")
    swing = Swing(low_rad=-0.2, high_rad=0.15, barrel_start_mm=90.0, port=(port,))
    work = on_rail(corner_job(round_corner, 60.0).replaced(closing=closing, swing=swing), rail)
    measured = swing_clearances(work)
    assert len(measured) == len(work.rooms) >= 5
    for room, solid in zip(work.rooms, measured, strict=True):
        assert solid.other == room.to
        assert max(0.0, room.mm) == pytest.approx(solid.gap_mm, abs=0.02)


def test_a_barrel_that_begins_too_near_the_pin_meets_the_ears() -> None:
    job = corner_job(False, 50.0)
    near = job.replaced(swing=job.swing.replaced(barrel_start_mm=45.0))  # type: ignore[union-attr]
    assert _room(near, flat_rail(0.0, 0.0), "ear_near").mm < 0.0
    work = on_rail(near, flat_rail(0.0, 0.0))
    assert any(f.check == "swing clearance" and f.verdict == "stop" for f in work.findings)


def test_distances_to_the_bodies_are_exact() -> None:
    post = Post("port", "p", 0, (0.0, 0.0, 0.0), 10.0, 50.0, 5.0)
    block = Block("lug", "b", (0.0, -1.0, -2.0), (4.0, 1.0, 2.0))
    points = np.array([[30.0, 53.0, 30.0, 12.0], [9.0, 9.0, 0.0, 0.0], [0.0, 0.0, 0.0, 4.0]])
    assert post.distance(points) == pytest.approx([4.0, 5.0, -5.0, -1.0])
    beside = np.array([[7.0, 2.0, -3.0], [1.0, 0.0, -5.0], [6.0, 0.5, 0.0]])
    assert block.distance(beside) == pytest.approx([5.0, -1.0, 5.0])


def replace_swing(job: Job) -> Job:
    """The job without its swing."""
    return job.replaced(swing=None)


def test_a_port_over_the_middle_of_a_plate_is_seen() -> None:
    # it stands wholly within the ear as seen along the pin, so no edge of the ear comes near it
    job = corner_job(False, 80.0, 0.0)
    port = PortPost(at_mm=42.0, diameter_mm=12.0, height_mm=40.0, towards="near")
    swing = Swing(low_rad=0.0, high_rad=0.3, barrel_start_mm=45.0, port=(port,))
    ported, rail = job.replaced(swing=swing), flat_rail(0.0, 0.0)
    bracket = built(ported, rail)
    ear = bracket.plates[0]
    face = ear.placement.origin[2] + ear.thickness_mm
    assert inside(ear.outline, complex(ported.mount.pin_station_mm, 0.0) + cmath.rect(42.0, 0.3))
    work = on_rail(ported, rail)
    room = next(r for r in work.rooms if r.to == "ear_near")
    assert room.of == "port"
    # how deep: the post's tip lies barrel radius and height from the pin's middle; beside it, to the round of the post
    tip = bracket.pin.centre[2] - 38.0 - 40.0
    assert room.mm == pytest.approx(max(tip - face, -6.0), abs=0.02)
    assert any(f.check == "swing clearance" and f.verdict == "stop" for f in work.findings)
    assert all(solid.gap_mm == 0.0 for solid in swing_clearances(work) if solid.other == "ear_near")


@pytest.mark.slow
def test_a_dense_sweep_of_every_face_finds_nothing_nearer() -> None:
    """Random brackets, every plate as a cloud of points over its whole body, 61 angles, the distances written anew."""
    rng = random.Random(11)
    looked = 0
    for _ in range(6):
        round_corner = rng.random() < 0.5
        ports = tuple(
            PortPost(
                name=f"port{k}",
                at_mm=rng.uniform(90.0, 250.0),
                diameter_mm=rng.uniform(15.0, 45.0),
                height_mm=rng.uniform(5.0, 40.0),
                towards=towards,  # type: ignore[arg-type]
            )
            for k, towards in enumerate(rng.sample(["rail", "away", "near", "far"], 2))
        )
        swing = Swing(
            low_rad=-0.3, high_rad=rng.uniform(0.0, 0.3), barrel_start_mm=rng.uniform(70.0, 120.0), port=ports
        )
        rail = corner_rail(12.0, 0.05, 0.05, 2.0) if round_corner else flat_rail(0.05, 0.05)
        closing = Closing(back=True, bottom=True, thickness_mm=8.0, leg_mm=5.0)
        work = on_rail(corner_job(round_corner, rng.uniform(45.0, 80.0)).replaced(swing=swing, closing=closing), rail)
        plates = {plate.name: plate for plate in work.bracket.plates}
        for room in work.rooms:
            if room.to in plates and room.mm > 0.0:
                dense = _dense(work, plates[room.to])
                assert room.mm == pytest.approx(dense, abs=0.08)
                looked += 1
    assert looked >= 12


def _dense(work: Work, plate: Plate) -> float:
    """Least distance of a plate's whole body to the cylinder, by brute force over points and angles."""
    depths = np.linspace(0.0, plate.thickness_mm, 5)
    u0, v0, u1, v1 = plate.outline.bounds
    grid = [complex(u, v) for u in np.arange(u0, u1, 4.0) for v in np.arange(v0, v1, 4.0)]
    flat = [p for p in grid if inside(plate.outline, p)]
    flat += [edge.point(k / n) for edge in plate.outline for n in [max(2, int(edge.length / 0.5))] for k in range(n)]
    pin = work.bracket.pin.centre
    cloud = np.array([plate.placement.point(p, float(d)) for p in flat for d in depths]).T - np.array([pin]).T
    job, swing = work.job, work.job.swing
    assert swing is not None
    assert swing.barrel_start_mm is not None
    held = any(hole.name == "pin" for hole in plate.holes)
    eye, barrel = job.cylinder.base.eye_radius_mm, job.cylinder.body_diameter_mm / 2
    best = math.inf
    for angle in np.linspace(*work.design.motion.swing_rad, 61):
        c, s = math.cos(angle), math.sin(angle)
        x, y, z = c * cloud[0] + s * cloud[1], c * cloud[1] - s * cloud[0], cloud[2]
        found = [_round(np.hypot(y, z) - barrel, swing.barrel_start_mm - x)]
        for port in swing.port:
            axis, across = (y, z) if port.towards in ("rail", "away") else (z, y)
            along = axis if port.towards in ("rail", "far") else -axis
            found.append(
                _round(np.hypot(x - port.at_mm, across) - port.diameter_mm / 2, -along, along - barrel - port.height_mm)
            )
        if not held:
            half = job.cylinder.base.width_mm / 2
            found.append(_round(np.hypot(x, y) - eye, -half - z, z - half))
            if swing.barrel_start_mm > eye:
                neck = min(eye, barrel)
                found.append(_round(np.abs(y) - neck, np.maximum(-x, x - swing.barrel_start_mm), np.abs(z) - half))
        best = min(best, *(float(f.min()) for f in found))
    return best


def _round(*bounds: Floats) -> Floats:
    """Distance, from outside, to what lies within bounds square to each other."""
    return np.asarray(np.sqrt(sum(np.maximum(bound, 0.0) ** 2 for bound in bounds)))


def test_a_cylinder_wholly_beside_its_tube_is_refused() -> None:
    from plategen.bracket.swing import _rail_surface
    from plategen.ground.refusal import Refusal
    from plategen.rail.tube import Tube
    from tests.support.every_example import work_of

    tube = work_of("vineyard-drag-link-seat").rail
    assert isinstance(tube, Tube)
    with pytest.raises(Refusal):
        _rail_surface(tube, tube.axis_w_mm + 1e4, 20.0)


def test_a_body_that_is_passed_over_is_nearest_to_no_point() -> None:
    rng, bodies = np.random.default_rng(5), cylinder_bodies(corner_job(False, 60.0, 0.35), 80.0)
    for _ in range(200):
        middle, spread = rng.uniform(-150.0, 600.0, (3, 1)), rng.choice((1.0, 20.0, 200.0))
        points = middle + rng.uniform(-spread, spread, (3, 40))
        every = np.min([body.distance(points) for body in bodies], axis=0)
        assert np.array_equal(least_distances(bodies, points), every)
