"""The axle moving under its steering: against a general solver, the derived relations of a link and its path, and what
the job, the design and the judge make of it.
"""

import math
import time
from dataclasses import replace

import numpy as np
import pytest
from scipy.optimize import brentq
from scipy.spatial.transform import Rotation

from plategen.checks.caution import not_covered
from plategen.checks.steering import findings
from plategen.checks.steering_axle import NOT_ASKED
from plategen.design.motion import motion_of
from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_job, parse_steering
from plategen.job.steering_axle import AxleEntry
from plategen.steering.axle import AxleTravel, axle_travel, best_height, carriages, places
from plategen.steering.axle_motion import carried
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.study import SteeringStudy, study
from plategen.steering.sweep import Locks, sweep
from plategen.tell.report.axle import axle_report
from tests.support.every_example import PROFILES
from tests.support.orchard import HELD

BOWSER = PROFILES / "bowser-leaf-axle"
TEXT = HELD
ARM = '[steering.axle]\nup = 3\ndown = 3\nroll = "6 deg"\nabout = [-45, 0, 18]\nturns = true\n\n'
LINK_MM, ARM_MM = 900.0, 150.0
LOCKS = Locks("box", math.radians(20.0), math.radians(20.0))


def with_axle(table: str) -> str:
    return TEXT.replace("[steering.sweep]", f"{table}[steering.sweep]")


def studied(text: str) -> SteeringStudy:
    return study(parse_steering(text))


def moved(text: str) -> AxleTravel:
    axle = studied(text).axle
    assert axle is not None
    return axle


def plain(link_mm: float = LINK_MM, rise_mm: float = 0.0) -> Linkage:
    """A box arm behind, a drag link forwards to one upright spindle; the link's front ball so much higher."""
    return Linkage(
        (
            Lever("box", (-link_mm, 100, 500), (0, 1, 0), {"drag": (-link_mm, 100, 350 - rise_mm)}),
            Lever("left", (0, 100 + ARM_MM, 350), (0, 0, 1), {"drag": (0, 100, 350)}, "left"),
        ),
        (Rod("drag link", ("box", "drag"), ("left", "drag")),),
    )


def bump_rad(linkage: Linkage, entry: AxleEntry) -> tuple[np.ndarray, np.ndarray]:  # type: ignore[type-arg]
    found = axle_travel(sweep(linkage, "box", LOCKS), entry)
    order = np.argsort(found.rise_mm)
    return found.rise_mm[order], found.heading_rad[order]


def test_every_place_of_the_axle_and_every_lock_as_a_general_solver_finds_them() -> None:
    # independent: rotations by scipy, each loop closed by bisection on the rod's own length in the vehicle's frame
    found = studied(with_axle(ARM))
    assert found.sweep is not None
    assert found.steering.axle is not None
    entry, linkage = found.steering.axle, found.sweep.linkage
    rise, roll = places(entry)
    box_rad = np.resize([-0.3, 0.0, 0.25], len(rise))
    motion = carried(linkage, "box arm", box_rad, carriages(linkage, entry, rise, roll))
    middle, centre = np.array([0.0, 0.0, 15.0]) * 25.4, np.array([-45.0, 0.0, 18.0]) * 25.4

    def ride(point: np.ndarray, i: int) -> np.ndarray:  # type: ignore[type-arg]
        def height(turn: float) -> float:
            gone = centre + Rotation.from_rotvec([0, turn, 0]).apply(middle - centre)
            return float(gone[2] - middle[2] - rise[i])

        pitch = Rotation.from_rotvec([0, brentq(height, -0.3, 0.3, xtol=1e-15), 0])
        rolled = middle + Rotation.from_rotvec([roll[i], 0, 0]).apply(point - middle)
        return np.asarray(centre + pitch.apply(rolled - centre))

    def ball(lever: str, name: str, turn: float, i: int) -> np.ndarray:  # type: ignore[type-arg]
        drawn = linkage.lever(lever)
        pivot = np.array(drawn.pivot_mm)
        seen = pivot + Rotation.from_rotvec(np.array(drawn.axis) * turn).apply(np.array(drawn.balls[name]) - pivot)
        return seen if lever == "box arm" else ride(seen, i)

    for i in range(len(rise)):
        left = motion.angles_rad["left spindle"][i]
        right = motion.angles_rad["right spindle"][i]

        def drag_miss(turn: float, i: int = i) -> float:
            apart = ball("left spindle", "drag", turn, i) - ball("box arm", "drag", box_rad[i], i)
            return float(np.linalg.norm(apart)) - linkage.rod_length_mm(linkage.rod("drag link"))

        def tie_miss(turn: float, i: int = i, left: float = left) -> float:
            apart = ball("right spindle", "tie", turn, i) - ball("left spindle", "tie", left, i)
            return float(np.linalg.norm(apart)) - linkage.rod_length_mm(linkage.rod("tie rod"))

        assert brentq(drag_miss, left - 0.1, left + 0.1, xtol=1e-14) == pytest.approx(left, abs=1e-9)
        assert brentq(tie_miss, right - 0.1, right + 0.1, xtol=1e-14) == pytest.approx(right, abs=1e-9)


def test_a_link_as_long_as_the_path_and_parallel_to_it_steers_nothing() -> None:
    # derived: both ends swing about equal parallel radii
    entry = AxleEntry(up_mm=90.0, down_mm=80.0, about_mm=(-LINK_MM, 0.0, 350.0))
    assert bump_rad(plain(), entry)[1] == pytest.approx(0.0, abs=1e-12)


@pytest.mark.parametrize(("path_mm", "rise_mm"), [(600.0, 0.0), (1500.0, 0.0), (900.0, 90.0), (700.0, -60.0)])
def test_bump_steer_is_the_mismatch_of_link_and_path_over_the_arm(path_mm: float, rise_mm: float) -> None:
    # derived: mismatch = z tan(link's slope less the path's) + z^2 / 2 (1 / link - 1 / path), steer = mismatch / arm
    entry = AxleEntry(up_mm=3.0, down_mm=3.0, about_mm=(-path_mm, 0.0, 350.0))
    z, steer = bump_rad(plain(rise_mm=rise_mm), entry)
    mismatch = z * rise_mm / LINK_MM + z**2 / 2.0 * (1.0 / LINK_MM - 1.0 / path_mm)
    assert np.abs(steer) * ARM_MM == pytest.approx(np.abs(mismatch), rel=0.02, abs=2e-4)


def test_an_axle_that_hardly_moves_gives_what_a_steady_one_gives() -> None:
    held = moved(with_axle("[steering.axle]\nup = 0.0001\n"))
    assert held.heading_rad == pytest.approx(0.0, abs=1e-5)
    found = studied(TEXT)
    assert found.in_line is not None
    assert held.pins is not None
    assert held.pins.shortest_mm == pytest.approx(found.in_line.pins.shortest_mm, abs=0.01)
    assert held.pins.longest_mm == pytest.approx(found.in_line.pins.longest_mm, abs=0.01)


def test_a_swing_axle_moves_each_wheel_about_its_own_line_alike() -> None:
    entry = AxleEntry(kind="swing", up_mm=80.0, down_mm=80.0, about_mm=(0.0, -100.0, 300.0))
    levers = tuple(
        Lever(side, (0, y, 380), (0, 0, 1), {"arm": (-150, 0.9 * y, 380)}, side)
        for side, y in (("left", 700.0), ("right", -700.0))
    )
    rise, roll = places(entry)
    tie = Linkage(levers, (Rod("tie", ("left", "arm"), ("right", "arm")),))
    for side, ride in carriages(tie, entry, rise, roll).items():
        pivot = np.array(tie.lever(side).pivot_mm)
        gone = ride.at(pivot)
        assert gone[:, 2] - pivot[2] == pytest.approx(rise, abs=1e-9)
        hinge = np.array([0.0, -100.0 if side == "left" else 100.0, 300.0])
        assert np.linalg.norm(gone - hinge, axis=1) == pytest.approx(float(np.linalg.norm(pivot - hinge)), abs=1e-9)


def test_what_was_tried_steers_less_and_holds_when_it_is_built() -> None:
    linkage = plain(rise_mm=90.0)
    entry = AxleEntry(up_mm=80.0, down_mm=80.0, about_mm=(-LINK_MM, 0.0, 350.0))
    swept = sweep(linkage, "box", LOCKS)
    best = best_height(swept, entry)
    assert best is not None
    assert best.up_mm == pytest.approx(90.0, abs=1.5)
    box = linkage.lever("box")
    x, y, z = box.balls["drag"]
    mended = linkage.with_lever(replace(box, balls={"drag": (x, y, z + best.up_mm)}))
    again = float(np.abs(bump_rad(mended, entry)[1]).max())
    assert again == pytest.approx(best.worst_rad, abs=1e-12)
    assert again < 0.05 * float(np.abs(bump_rad(linkage, entry)[1]).max())


def test_the_worst_swing_of_all_places_counts_and_a_cylinder_that_bottoms_stops() -> None:
    found = studied(with_axle(ARM))
    assert found.axle is not None
    assert found.swings_about("fixed pin")[-1] is found.axle.swing
    far = studied(with_axle("[steering.axle]\nup = 6\ndown = 6\n"))
    verdicts = {f.check: f.verdict for f in findings(far)}
    assert verdicts["stroke covers travel, axle moved"] == "stop"
    assert verdicts["bump steer, steering wheel held"] == "caution"


def test_a_job_that_does_not_ask_says_so_beside_the_verdict() -> None:
    assert any(NOT_ASKED in words for words in not_covered(findings(studied(TEXT))))
    assert not any(NOT_ASKED in words for words in not_covered(findings(studied(with_axle(ARM)))))


@pytest.mark.parametrize(
    ("table", "words"),
    [
        ("[steering.axle]\n", "the axle does not move"),
        ("[steering.axle]\nup = 1\nturns = true\n", "front joint"),
        ('[steering.axle]\nkind = "swing"\nup = 1\n', "swings about a line"),
        ('[steering.axle]\nup = 1\ncarries = ["relay"]\n', "there is no lever 'relay'"),
        ("[steering.axle]\nup = 60\nabout = [-45, 0, 18]\n", "cannot go"),
    ],
)
def test_an_axle_that_cannot_be_is_refused_by_name(table: str, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        studied(with_axle(table))


def test_twenty_one_places_of_101_positions_take_less_than_a_tenth_of_a_second() -> None:
    found = studied(with_axle(ARM))
    assert found.sweep is not None
    assert found.steering.axle is not None
    took = []
    for _ in range(3):
        begun = time.process_time()
        axle = axle_travel(found.sweep, found.steering.axle, found.in_line.mount if found.in_line else None)
        took.append(time.process_time() - begun)
    assert axle.pins is not None
    assert len(axle.pins.length_mm) == 21 * 101
    assert min(took) < 0.1


def test_the_loads_of_the_bracket_are_taken_over_the_whole_travel() -> None:
    # the cylinder pushes the drag link, whose front end the axle carries: it swings further, in and out of the plates
    texts = (TEXT, TEXT.replace("[steering.sweep]", f"{ARM}[steering.sweep]"))
    without, over = (motion_of(job, study(job)) for job in map(parse_job, texts))
    assert over.swing_from == over.skew_from == "drawn"
    for narrow, wide in ((without.swing_rad, over.swing_rad), (without.skew_rad, over.skew_rad)):
        assert wide[0] <= narrow[0]
        assert wide[1] >= narrow[1]
    assert np.ptp(over.swing_rad) > 1.1 * np.ptp(without.swing_rad)
    assert np.ptp(over.skew_rad) > 2.0 * np.ptp(without.skew_rad)
    aside = [max(abs(case.force_n[2]) for case in each.cases) for each in (without, over)]
    assert aside[1] > 1.2 * aside[0], "and so pushes harder out of the plates' plane"


def test_the_box_turned_as_far_as_told_brings_the_wheel_to_its_lock_at_every_place() -> None:
    found = studied((BOWSER / "job.toml").read_text(encoding="utf-8"))
    swept, axle, entry = found.sweep, found.axle, found.steering.axle
    assert swept is not None
    assert axle is not None
    assert entry is not None
    rides = carriages(swept.linkage, entry, axle.rise_mm, axle.roll_rad)
    wheel = swept.linkage.wheels()["left"]
    for lock, turn, sign in ((0, axle.lock_driver_rad[0], -1.0), (-1, axle.lock_driver_rad[1], 1.0)):
        there = carried(swept.linkage, "box arm", swept.left_sense * sign * turn, rides)
        np.testing.assert_allclose(there.angles_rad[wheel], swept.motion.angles_rad[wheel][lock], atol=1e-9)
    assert float(np.ptp(axle.lock_driver_rad[1])) > math.radians(3.0)  # the rod takes the box along as the axle rolls
    report = axle_report(found)
    assert report is not None
    least = min(place.clears_mm for place in report.places if place.clears_mm is not None)
    assert least == min(each.least_mm for each in found.clearances if each.axle_moved)
    assert {place.swing_deg for place in report.places} != {report.swing_deg}


def test_the_cylinder_s_end_comes_after_the_stop_by_the_margin_and_what_marks_and_axle_take() -> None:
    for text, marked in (((BOWSER / "job.toml").read_text(encoding="utf-8"), False), (with_axle(ARM), True)):
        found = studied(text)
        assert found.steering.cylinder_mount is not None
        assert found.in_line is not None
        assert found.axle is not None
        assert found.axle.cylinder_mm is not None
        taken = (
            found.in_line.pins.shortest_mm - float(found.axle.cylinder_mm[0].min()),
            float(found.axle.cylinder_mm[1].max()) - found.in_line.pins.longest_mm,
        )
        assert min(taken) > 1.0
        marks = 0.0 if found.read_to is None else found.read_to.travel_mm or 0.0
        assert (marks > 0.0) is marked
        asked = {f.part.names[0]: f.demand for f in findings(found) if f.check.startswith("stroke left")}
        margin = found.steering.cylinder_mount.margin_mm + marks
        opening, closing = ("left", "right") if found.in_line.pins.opens_to_left else ("right", "left")
        wanted = {f"{opening} lock": margin + taken[1], f"{closing} lock": margin + taken[0]}
        assert asked, "one end at least is reached"
        assert asked == pytest.approx({lock: wanted[lock] for lock in asked})


def test_the_example_s_axle_stays_within_what_it_says() -> None:
    found = studied((BOWSER / "job.toml").read_text(encoding="utf-8"))
    verdicts = {f.check: f.verdict for f in findings(found)}
    assert verdicts["stroke covers travel, axle moved"] == verdicts["bump steer, steering wheel held"] == "ok"
    assert verdicts["hose keeps slack"] == verdicts["hose bends no tighter than it may"] == "ok"
    assert found.axle is not None
    assert len(found.axle.rise_mm) == 21


def test_spacers_leave_what_the_axle_takes_and_the_marks_may_be_out_beside_the_margin() -> None:
    text = with_axle(ARM).replace("stroke = 8", "stroke = 10").replace('"15 1/4"', '"17 1/4"', 1)
    found = studied(text)
    assert found.stroke is not None
    assert found.axle is not None
    assert found.axle.cylinder_mm is not None
    assert found.read_to is not None
    assert found.read_to.travel_mm is not None
    closed, opened = found.stroke.ends_mm
    in_hand = 6.35 + found.read_to.travel_mm
    assert found.stroke.at_cap_mm > 0.0
    assert float(found.axle.cylinder_mm[0].min()) - closed == pytest.approx(in_hand, abs=1e-6)
    assert opened - float(found.axle.cylinder_mm[1].max()) >= in_hand - 1e-6
    verdicts = {f.check: f.verdict for f in findings(found)}
    assert verdicts["stroke covers travel, axle moved"] == "ok"
