"""More than one cylinder or box on one steering: a pair of cylinders, a double rod, a second box."""

import numpy as np
import pytest

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_job
from plategen.steering.hands import Rim, asked_nmm, lifted_nmm
from plategen.steering.mount import pin_to_pin
from plategen.steering.moving import moving_lines
from plategen.steering.rates import lever_rates
from plategen.steering.rod_force import most_passed_n
from plategen.steering.skeleton import skeleton
from plategen.steering.stop_load import stop_loads
from plategen.steering.study import SteeringStudy, study
from plategen.steering.sweep import Sweep
from plategen.steering.team import BoxAt, Pusher, Team
from plategen.tell.report.steering import steering_report
from tests.steering.test_hands import TYRE, nodes_of, series
from tests.support.every_example import PROFILES
from tests.support.orchard import STEERING, text_of

LBF, INCH = 4.4482216152605, 25.4
TEXT = text_of(STEERING)
SECOND = """
[[steering.cylinder]]
name = "right cylinder"
pushes = "right spindle"
fixed_pin = [-6, "-7 3/4", 14]
moving_pin = [-6, "-24 1/2", 14]
bore = "1 1/2"
rod = "3/4"
stroke = 8
closed_length = "12 3/4"
body_diameter = "1 7/8"

[steering.tyre]"""
SECOND_BOX = """
[[steering.lever]]
name = "right box arm"
pivot = [-42, -18, 28]
axis = [0, 1, 0]
[steering.lever.balls]
drag = [-42, "-18 1/2", 20]

[[steering.rod]]
name = "right drag link"
from = "right box arm.drag"
to = "right spindle.drag"
diameter = "1 3/4"

[[steering.box]]
lever = "right box arm"
moment = "9000 lbf-in"
volume = "0.2 L"

[steering.sweep]"""
RIGHT_ARM = ('tie = [-7, "-25 1/8", 14]', 'tie = [-7, "-25 1/8", 14]\ndrag = [0, -19, 16]')


def told(*changes: tuple[str, str]) -> SteeringStudy:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return study(parse_job(text))


PAIR = ("\n[steering.tyre]", SECOND)
BOXES = (RIGHT_ARM, ("\n[steering.sweep]", SECOND_BOX))
DOUBLE = ("[cylinder.base]", "double_rod = true\n[cylinder.base]")


def verdicts(found: SteeringStudy) -> dict[str, set[str]]:
    by_check: dict[str, set[str]] = {}
    for each in findings(found):
        by_check.setdefault(each.check, set()).add(each.verdict)
    return by_check


def test_a_pair_turns_the_tyres_with_half_the_force_and_twice_the_oil() -> None:
    one, two = told(), told(PAIR)
    assert one.assist is not None
    assert two.assist is not None
    assert two.sweep is not None
    first, second = two.team.cylinders
    share = two.team.first_share(two.sweep)
    np.testing.assert_allclose(two.assist.needed_n, one.assist.needed_n * share)
    assert 0.2 < float(share.min()) < float(share.max()) < 0.9
    assert one.oil is not None
    assert two.oil is not None
    # one opens while the other closes, or both open: by their own directions
    way = second.pins.opens_to_left == first.pins.opens_to_left
    area = second.thrust.push_area_mm2 if way else second.thrust.pull_area_mm2
    assert two.oil.open_mm3 - one.oil.open_mm3 == pytest.approx(area * second.pins.travel_mm)
    assert two.oil.working is not None
    assert one.oil.working is not None
    assert two.oil.working.open_s > 1.5 * one.oil.working.open_s
    judged = verdicts(two)
    assert judged["further cylinder covers its travel"] == {"ok"}
    assert "spindle stop before a further cylinder's end" not in judged  # within what was swept it never ends
    assert judged["turns the tyres standing"] == {"ok"}
    assert "moment that rolls a rod a further cylinder pushes" not in judged


def test_a_second_cylinder_leans_on_every_stop_too() -> None:
    one, two = told(), told(PAIR)
    assert one.stops is not None
    assert two.stops is not None
    assert two.sweep is not None
    second = two.team.further[0]
    # the further cylinder's moment about the spindle by finite steps of the sweep's last interval
    turn = two.sweep.motion.angles_rad["left spindle"]
    opens = float(second.pins.length_mm[-1] - second.pins.length_mm[-3])
    force = second.thrust.left_right_n(second.pins)[0]
    more = force * abs(opens / float(turn[-1] - turn[-3]))
    alone, both = (
        next(met for met in found.stops.left if met.name == "left spindle bolt")  # type: ignore[union-attr]
        for found in (one, two)
    )
    assert alone.moment_nmm is not None
    assert both.moment_nmm is not None
    assert both.moment_nmm - alone.moment_nmm == pytest.approx(more, rel=0.02)
    assert {met.name for met in two.stops.left} >= {"right cylinder closed"} or {
        met.name for met in two.stops.left
    } >= {"right cylinder open"}


def test_a_second_cylinder_too_short_or_beside_its_rod_stops() -> None:
    short = verdicts(told((PAIR[0], SECOND.replace("stroke = 8", "stroke = 4"))))
    assert short["further cylinder covers its travel"] == {"stop"}
    beside = SECOND.replace('pushes = "right spindle"', 'pushes = "tie rod"').replace(
        'fixed_pin = [-6, "-7 3/4", 14]\nmoving_pin = [-6, "-24 1/2", 14]',
        "fixed_pin = [-9, 12, 16]\nmoving_pin = [-9, -5, 16]",
    )
    assert verdicts(told((PAIR[0], beside)))["moment that rolls a rod a further cylinder pushes"] == {"stop"}
    # closed, it is a hair longer than its pins come together: it ends before the right wheel's stop
    long = verdicts(told((PAIR[0], SECOND.replace('closed_length = "12 3/4"', 'closed_length = "14 1/2"'))))
    assert long["spindle stop before a further cylinder's end"] == {"stop"}


def test_a_first_cylinder_at_its_end_is_driven_on_by_the_second() -> None:
    late = ('turn = "left"\nat = "28 deg"', 'turn = "left"\nat = "33 deg"')
    outer = ('turn = "left"\nat = "23.9 deg"', 'turn = "left"\nat = "30 deg"')
    one, two = told(late, outer), told(late, outer, PAIR)
    (alone,), (driven,) = one.bottomed, two.bottomed
    assert alone.further_n == 0.0
    assert driven.further_n > 1_000.0
    assert driven.force_n == pytest.approx(alone.force_n + driven.further_n)
    (told_of,) = (f for f in findings(two) if f.check == "cylinder bottomed: its pins, rod and balls")
    assert "further cylinders" in str(told_of.assumed)


def test_a_double_rod_pushes_and_pulls_alike() -> None:
    found = told(DOUBLE)
    assert found.thrust is not None
    assert found.thrust.push_n == found.thrust.pull_n
    assert found.oil is not None
    assert found.oil.open_mm3 == found.oil.close_mm3
    assert found.thrust.pull_n == told().thrust.pull_n  # type: ignore[union-attr]


def test_a_second_box_helps_the_hands_and_leans_on_the_stops() -> None:
    one, two = told(), told(*BOXES)
    assert one.hands is not None
    assert two.hands is not None
    assert two.sweep is not None
    turns = np.abs(lever_rates(two.sweep.motion)["right box arm"])
    np.testing.assert_allclose(two.team.boxes_nmm(two.sweep), (16_000.0 + 9_000.0 * turns) * LBF * INCH, rtol=1e-12)
    assert two.hands.needed_n is not None
    assert one.hands.needed_n is not None
    assert float(two.hands.needed_n.max()) < float(one.hands.needed_n.max())
    assert one.steering.stops is not None
    assert one.sweep is not None
    assert one.stops is not None
    assert two.stops is not None
    alone, both = (
        stop_loads(each.sweep, each.stops, each.steering.stops, each.steering.tyre, 1.5, each.team.boxes)[0].box_nmm  # type: ignore[arg-type]
        for each in (one, two)
    )
    assert alone is not None
    assert both is not None
    assert both / alone == pytest.approx(1.0 + 9.0 / 16.0 * float(turns[-1]), rel=0.02)


def test_oil_of_two_boxes_is_counted_when_both_are_told() -> None:
    box = ('flow = "3 gpm"', 'flow = "3 gpm"\nbox_volume = "0.3 L"')
    both = told(box, *BOXES)
    assert both.oil is not None
    assert both.oil.box_mm3 == pytest.approx(0.5e6)
    untold = told(*BOXES)
    assert untold.oil is not None
    assert untold.oil.box_mm3 is None  # the driver's own is not told


def test_work_of_every_cylinder_and_box_and_of_the_hands_is_work_on_tyres_and_friction() -> None:
    found = told(PAIR, *BOXES, DOUBLE)
    swept = found.sweep
    assert swept is not None
    at, weights = nodes_of(swept)
    friction, scrub = 0.1, 1.1e6
    team = Team(
        cylinders=tuple(
            Pusher(name=e.name, mount=e.mount, pins=pin_to_pin(at, e.mount), thrust=e.thrust, size=e.size)
            for e in found.team.cylinders
        ),
        boxes=(*found.team.boxes, BoxAt(lever="left spindle", moment_nmm=2.0e5, volume_mm3=None)),
    )
    rim = Rim(gain_mm=220.0 * 18.0 * 0.7, valve_n=20.0)
    asked = asked_nmm(at, {side: scrub + lift for side, lift in lifted_nmm(at, TYRE).items()}, friction)
    assist = team.cylinders_nmm(at) + team.boxes_nmm(at)
    at_rim, share = rim.force_n(asked, assist), rim.share(asked, assist)
    driver = at.driver_rad
    given = float((weights * at_rim * rim.gain_mm).sum())
    for each in team.cylinders:
        opens = series(swept, lambda moved, each=each: each.mount.lengths_mm(moved.motion)).deriv()(driver)
        force = each.thrust.left_right_n(_pins(found, each.name))[0]
        given += float((weights * share * force * np.abs(opens)).sum())
    for box in team.boxes:
        turned = series(swept, lambda moved, box=box: moved.motion.angles_rad[box.lever]).deriv()(driver)
        assert box.moment_nmm is not None
        given += float((weights * share * box.moment_nmm * np.abs(turned)).sum())
    on_tyres = float((weights * asked_by_positions(swept, scrub, driver)).sum()) * (1.0 + friction)
    assert given == pytest.approx(on_tyres, rel=1e-9)


def _pins(found: SteeringStudy, name: str):  # type: ignore[no-untyped-def]
    return next(each.pins for each in found.team.cylinders if each.name == name)


def asked_by_positions(swept: Sweep, scrub: float, driver: np.ndarray) -> np.ndarray:  # type: ignore[type-arg]
    """What the standing wheels ask about the box's arm, by slopes of their positions alone."""
    total = np.zeros(len(driver))
    for side, name in swept.linkage.wheels().items():
        steer = series(swept, lambda moved, side=side: moved.steer_rad[side])
        axis = swept.linkage.lever(name).axis
        lean = np.arctan2(abs(axis[1]), abs(axis[2]))
        lift = TYRE.load_n * TYRE.offset_mm * np.sin(lean) * np.cos(lean)
        total += (scrub + lift * np.sin(np.abs(steer(driver)))) * np.abs(steer.deriv()(driver))
    return total


def test_pictures_tyres_and_report_know_every_cylinder() -> None:
    found = told(PAIR, *BOXES)
    assert found.sweep is not None
    assert {line.part for line in moving_lines(found.sweep.motion, found.mounts) if line.kind == "cylinder"} == {
        "cylinder",
        "right cylinder",
    }
    assert "right cylinder" in {line.part for line in skeleton(found)}
    assert {"right cylinder", "right cylinder's rod"} <= {each.bar for each in found.clearances}
    assert {"right cylinder.fixed_pin", "right cylinder.moving_pin"} <= found.steering.points_mm.keys()
    # the arm that its moving pin stands on turns with the right wheel, as the spindle's other arms do
    assert not any("right cylinder's moving pin" in each.bar for each in found.clearances)
    report = steering_report(found)
    assert [(each.kind, each.name) for each in report.helpers] == [
        ("cylinder", "cylinder"),
        ("cylinder", "right cylinder"),
        ("box", "box of box arm"),
        ("box", "box of right box arm"),
    ]
    assert steering_report(told()).helpers == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ((("\n[steering.tyre]", SECOND.replace('"right spindle"', '"nobody"')),), "there is no lever or rod 'nobody'"),
        ((("\n[steering.tyre]", SECOND.replace('"right cylinder"', '"cylinder"')),), "give it a name of its own"),
        (
            (("\n[steering.tyre]", SECOND.removesuffix("[steering.tyre]") + SECOND),),
            "two cylinders are called 'right cylinder'",
        ),
        (
            (("\n[steering.tyre]", SECOND.replace('closed_length = "12 3/4"', "closed_length = 7")),),
            "longer than the stroke",
        ),
        ((("\n[steering.tyre]", SECOND.replace('rod = "3/4"', "rod = 2")),), "thinner than the bore"),
        (
            (("\n[steering.tyre]", SECOND.replace('body_diameter = "1 7/8"', "body_diameter = 1")),),
            "wider outside than its bore",
        ),
        (
            (
                (
                    "\n[steering.sweep]",
                    '\n[[steering.box]]\nlever = "box arm"\nmoment = "9000 lbf-in"\n\n[steering.sweep]',
                ),
            ),
            "'box arm' has its box already",
        ),
        (
            (("\n[steering.tyre]", SECOND.replace('[-6, "-7 3/4", 14]', '[-6, "-24 1/2", 14]')),),
            "drawn in the same place",
        ),
    ],
)
def test_what_cannot_be_is_refused(changes: tuple[tuple[str, str], ...], words: str) -> None:
    with pytest.raises(Refusal, match=words):
        told(*changes)


def example(name: str, *changes: tuple[str, str]) -> SteeringStudy:
    text = text_of(PROFILES / name)
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    return study(parse_job(text))


def test_a_pair_on_one_axle_goes_by_the_law_of_cosines() -> None:
    # R. L. Norton, Design of Machinery, inverted slider-crank (from memory): pivot to fixed pin a, pivot to moving
    # pin b, the angle t between: L^2 = a^2 + b^2 - 2 a b cos t, and a force F along L turns by F a b sin t / L
    upright = [("axis = [0, -0.1, 1]", "axis = [0, 0, 1]"), ("axis = [0, 0.1, 1]", "axis = [0, 0, 1]")]
    found = example("quarry-loader-cylinder-pair", *upright)
    assert found.sweep is not None
    turns = found.sweep.motion.angles_rad
    for pusher, spindle, side in zip(found.team.cylinders, ("left spindle", "right spindle"), (1, -1), strict=True):
        fixed, moving = (np.array(p) for p in (pusher.mount.fixed_mm, pusher.mount.moving_mm))
        pivot = np.array([0.0, side * 900.0, 520.0])
        a, b = (np.hypot(*(p - pivot)[:2]) for p in (fixed, moving))
        start = np.arctan2(*(moving - pivot)[1::-1]) - np.arctan2(*(fixed - pivot)[1::-1])
        t = start + turns[spindle]
        long = np.sqrt(a * a + b * b - 2.0 * a * b * np.cos(t))
        assert pusher.pins.length_mm == pytest.approx(long, rel=1e-9)
        about = lever_rates(found.sweep.motion)[spindle]
        assert pusher.arm_mm(found.sweep) == pytest.approx(np.abs(a * b * np.sin(t) / long * about), rel=1e-9)


def test_a_pair_is_as_strong_to_the_left_as_to_the_right() -> None:
    found = example("quarry-loader-cylinder-pair")
    assert found.sweep is not None
    left, right = found.team.cylinders
    assert left.pins.opens_to_left
    assert not right.pins.opens_to_left
    # each wheel turns as far one way as the other wheel the other way, so the two cylinders trade places
    assert left.pins.travel_mm == pytest.approx(right.pins.travel_mm, rel=1e-6)
    assert left.poured_mm3(to_left=True) == pytest.approx(right.poured_mm3(to_left=False), rel=1e-6)


def test_two_relays_and_two_boxes_work_on_one_steering() -> None:
    found = example("peat-carrier-two-relays")
    assert found.sweep is not None
    assert [box.lever for box in found.team.boxes] == ["box arm", "right box arm"]
    assert found.size is not None
    assert found.size.double_ended
    assert found.thrust is not None
    assert found.thrust.push_n == pytest.approx(found.thrust.pull_n)
    # equal arms that hang side by side carry the turn on unchanged: a parallelogram from the box to the front relay
    turns = found.sweep.motion.angles_rad
    assert turns["front relay"] == pytest.approx(turns["box arm"], abs=1e-9)
    # the right box's arm is the mirror image of the front relay, so it turns left as that one turns right
    back = np.interp(-found.sweep.steer_rad["left"], found.sweep.steer_rad["right"], turns["right box arm"])
    inside = np.abs(found.sweep.steer_rad["left"]) < np.radians(20.0)
    assert back[inside] == pytest.approx(turns["front relay"][inside], abs=1e-4) or back[inside] == pytest.approx(
        -turns["front relay"][inside], abs=1e-4
    )


def test_a_rod_passes_on_what_is_pushed_on_its_own_side_of_it_alone() -> None:
    found, pair, boxes = told(), told(PAIR), told(*BOXES)
    swept = found.sweep
    assert swept is not None

    def by_slopes(of: SteeringStudy, rod: str, forces: dict[str, float], moments: dict[str, float]) -> float:
        """Virtual work from positions alone: what lengths and levers move for what the rod's ball moves along it."""
        assert of.sweep is not None
        motion, driver = of.sweep.motion, of.sweep.driver_rad
        start, end = motion.rod_ends_mm(rod)
        way = (end - start) / np.linalg.norm(end - start, axis=1)[:, None]
        along = np.abs((np.gradient(start, driver, axis=0, edge_order=2) * way).sum(axis=1))
        pushed = np.zeros(len(driver))
        for each in of.team.cylinders:
            pushed += forces.get(each.name, 0.0) * np.abs(np.gradient(each.pins.length_mm, driver, edge_order=2))
        for lever, moment in moments.items():
            pushed += moment * np.abs(np.gradient(motion.angles_rad[lever], driver, edge_order=2))
        return float((pushed / along).max())

    first, second = ({each.name: each.thrust.push_n} for each in pair.team.cylinders)
    box = {"box arm": 16000.0 * LBF * INCH}
    alone = by_slopes(found, "tie rod", first, box)
    assert most_passed_n(swept, found.team, "tie rod") == pytest.approx(alone, rel=1e-3)
    assert pair.sweep is not None
    beyond = max(alone, by_slopes(pair, "tie rod", second, {}))
    assert most_passed_n(pair.sweep, pair.team, "tie rod") == pytest.approx(beyond, rel=1e-3), "they do not add up"
    assert boxes.sweep is not None
    # the second box's own drag link has it on the one side, and all else on the other
    theirs = by_slopes(boxes, "right drag link", first, box)
    assert most_passed_n(boxes.sweep, boxes.team, "right drag link") == pytest.approx(theirs, rel=1e-3)
