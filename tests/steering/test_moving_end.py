"""The cylinder as what it pushes sees it, against frames that are carried with the rod by rotations of their own."""

import math

import numpy as np
import pytest
from scipy.spatial.transform import Rotation

from plategen.job.parse import parse_steering
from plategen.steering.mount import Mount, pin_to_pin
from plategen.steering.moving_end import beside_rod_mm, moving_swing
from plategen.steering.study import SteeringStudy, study
from plategen.steering.vector import Floats
from tests.steering.test_alignment import swept
from tests.support.orchard import FREE, HELD, JOINT


@pytest.fixture(scope="module")
def found() -> SteeringStudy:
    return study(parse_steering(HELD))


def carried(u: Floats, v: Floats, line: Floats, at: int) -> tuple[Floats, Floats]:
    """Two directions carried with a rod, level where it was level, from where it is drawn; scipy's rotations.

    A rod turns about the vertical and then about its own level square, as one that something holds from rolling.
    """

    def pose(a: Floats) -> Rotation:
        return Rotation.from_euler("ZY", [math.atan2(a[1], a[0]), -math.asin(a[2] / np.linalg.norm(a))])

    back = pose(line[at]).inv()
    turns = [pose(a) * back for a in line]
    return np.array([t.apply(u) for t in turns]), np.array([t.apply(v) for t in turns])


def test_the_swing_is_that_seen_by_a_frame_that_rides_on_the_rod(found: SteeringStudy) -> None:
    assert found.sweep is not None
    assert found.in_line is not None
    motion, pins, mount = found.sweep.motion, found.in_line.pins, found.in_line.mount
    (seen,) = found.swings_about("moving pin")
    start, end = motion.rod_ends_mm(mount.pushes)
    u, v = carried(np.array(seen.u), np.array(seen.v), end - start, pins.straight)
    to_fixed = (np.array(mount.fixed_mm) - pins.moving_mm) / pins.length_mm[:, None]
    along, aside = np.sum(to_fixed * u, axis=1), np.sum(to_fixed * v, axis=1)
    out = np.sum(to_fixed * np.cross(u, v), axis=1)
    assert seen.in_plane_rad == pytest.approx(np.arctan2(aside, along), abs=1e-9)
    assert np.sin(seen.out_of_plane_rad) == pytest.approx(out, abs=1e-9)


def test_its_directions_are_square_and_point_to_the_fixed_pin_and_to_the_rod(found: SteeringStudy) -> None:
    assert found.sweep is not None
    assert found.in_line is not None
    mount, motion = found.in_line.mount, found.sweep.motion
    (seen,) = found.swings_about("moving pin")
    u, v, w = map(np.array, (seen.u, seen.v, seen.w))
    assert np.column_stack([u, v, w]).T @ np.column_stack([u, v, w]) == pytest.approx(np.eye(3), abs=1e-12)
    assert np.cross(u, v) == pytest.approx(w)
    assert u @ (np.array(mount.fixed_mm) - np.array(mount.moving_mm)) > 0.0
    beside = beside_rod_mm(motion, mount)
    assert beside is not None
    start, end = (e[found.in_line.pins.straight] for e in motion.rod_ends_mm(mount.pushes))
    foot = np.array(mount.moving_mm) + beside * v
    assert np.linalg.norm(np.cross(foot - start, end - start)) / np.linalg.norm(end - start) < 1e-9


def test_the_rod_of_a_parallelogram_sees_the_cylinder_turn_as_the_ground_does() -> None:
    # the rod stays along x, so an angle seen from it is one seen from the ground
    sweep = swept(20.0)
    mount = Mount("rod", (100.0, 260.0, 0.0), (500.0, 260.0, 0.0))
    seen = moving_swing(sweep.motion, mount, pin_to_pin(sweep, mount))
    assert seen is not None
    span = np.array(mount.fixed_mm) - mount.moving_path_mm(sweep.motion)
    assert seen.v == pytest.approx((0.0, -1.0, 0.0))
    assert seen.in_plane_rad == pytest.approx(np.arctan2(-span[:, 1], -span[:, 0]), abs=1e-12)
    assert seen.out_of_plane_rad == pytest.approx(np.zeros(len(span)), abs=1e-12)


def test_on_a_lever_the_cylinder_turns_by_its_own_swing_less_the_levers_turn() -> None:
    # in one plane: angle seen = angle from the ground less the lever's own
    sweep = swept(25.0)
    mount = Mount("a", (400.0, 150.0, 0.0), (0.0, 150.0, 0.0))
    seen = moving_swing(sweep.motion, mount, pin_to_pin(sweep, mount))
    assert seen is not None
    assert beside_rod_mm(sweep.motion, mount) is None
    span = np.array(mount.fixed_mm) - mount.moving_path_mm(sweep.motion)
    ground = np.arctan2(span[:, 1], span[:, 0])
    turn = sweep.motion.angles_rad["a"]
    handed = math.copysign(1.0, seen.w[2])  # v towards the lever's axis says which way counts
    assert seen.in_plane_rad == pytest.approx(handed * (ground - turn), abs=1e-12)


def test_a_pin_on_the_rods_own_line_has_no_side_for_plates() -> None:
    sweep = swept()
    mount = Mount("rod", (-500.0, 200.0, 0.0), (-100.0, 200.0, 0.0))
    assert moving_swing(sweep.motion, mount, pin_to_pin(sweep, mount)) is None
    assert beside_rod_mm(sweep.motion, mount) == pytest.approx(0.0, abs=1e-9)
    assert beside_rod_mm(sweep.motion, Mount("rod", (0, 0, 0), (500.0, 260.0, 80.0))) == pytest.approx(100.0)


def test_a_rolled_rod_and_a_moved_axle_are_seen_as_well() -> None:
    free = FREE.replace(JOINT, JOINT + 'holds_roll = "joints"\nroll_free = "12 deg"\n')
    text = f'{free}\n[steering.axle]\nup = 2\ndown = 2\nroll = "2 deg"\n'
    found = study(parse_steering(text))
    drawn, one, other, moved = found.swings_about("moving pin")
    assert len(moved.in_plane_rad) > len(drawn.in_plane_rad)
    # a rod that rolls takes its plates with it, and they see the cylinder lie aside to one side and to the other
    lies = [float(each.out_of_plane_rad[each.out_of_plane_rad.size // 2]) for each in (one, drawn, other)]
    assert lies == sorted(lies) or lies == sorted(lies, reverse=True)
    assert max(lies) - min(lies) > 0.01


def test_without_a_linkage_nothing_is_seen() -> None:
    measured = 'title = "t"\nunits = "in"\n[steering.travel]\ntravel = 6\n'
    found = study(parse_steering(measured))
    assert found.swings_about("moving pin") == ()
    assert found.beside_rod_mm is None
