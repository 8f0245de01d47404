"""A linkage in space closes, follows its branch, mirrors, and says where it cannot go."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.vector import Floats, array, length
from tests.steering.examples import five_levers, four_bar, mirrored, spatial_four_link, sprayer

TURN = np.radians(np.linspace(-12.0, 18.0, 201))


@pytest.mark.parametrize("linkage", [five_levers(), spatial_four_link(), sprayer()], ids=["five", "spatial", "sprayer"])
def test_every_rod_keeps_its_length(linkage: Linkage) -> None:
    motion = move(linkage, linkage.levers[0].name, TURN)
    for rod in linkage.rods:
        assert motion.closure_error(rod.name) < 1e-9


coordinate = st.floats(-200.0, 200.0)
place = st.tuples(coordinate, coordinate, coordinate)


@settings(max_examples=60, deadline=None)
@given(first=place, second=place, axis_a=place, axis_b=place)
def test_any_two_levers_in_space_close_or_are_refused(
    first: tuple[float, float, float],
    second: tuple[float, float, float],
    axis_a: tuple[float, float, float],
    axis_b: tuple[float, float, float],
) -> None:
    try:
        linkage = Linkage(
            (Lever("a", (0, 0, 0), axis_a, {"p": first}), Lever("b", (500, 0, 0), axis_b, {"p": second})),
            (Rod("rod", ("a", "p"), ("b", "p")),),
        )
        motion = move(linkage, "a", np.radians(np.linspace(-20.0, 20.0, 41)))
    except Refusal:
        return
    assert motion.closure_error("rod") < 1e-9
    assert abs(float(motion.angles_rad["b"][20])) < 1e-6  # undisturbed at the drawn position
    assert float(np.abs(np.diff(motion.angles_rad["b"])).max()) < math.pi  # never jumps to the other branch


def test_a_mirrored_linkage_moves_as_the_mirror_image() -> None:
    linkage = five_levers()
    straight, mirror = move(linkage, "box arm", TURN), move(mirrored(linkage), "box arm", TURN)
    for lever in linkage.levers:
        for ball in lever.balls:
            expected = straight.ball_mm((lever.name, ball)) * np.array([1.0, -1.0, 1.0])
            np.testing.assert_allclose(mirror.ball_mm((lever.name, ball)), expected, atol=1e-9)


def test_driving_from_the_other_end_gives_the_same_positions() -> None:
    linkage = five_levers()
    there = move(linkage, "box arm", TURN)
    back = move(linkage, "right spindle", there.angles_rad["right spindle"])
    np.testing.assert_allclose(back.angles_rad["box arm"], TURN, atol=1e-9)


def test_it_closes_where_an_independent_root_finder_closes() -> None:
    scipy_optimize = pytest.importorskip("scipy.optimize")
    linkage = spatial_four_link()
    turns = np.radians([-40.0, -15.0, 10.0, 35.0])
    motion = move(linkage, "in", np.radians(np.linspace(-40.0, 35.0, 151)))
    wanted = linkage.rod_length_mm(linkage.rods[0])
    inwards, outwards = (linkage.lever(name) for name in ("in", "out"))

    def miss(angle: float, turn: float) -> float:
        a, b = _rotated(inwards, "ball", turn), _rotated(outwards, "ball", angle)
        return float(length(a - b)) - wanted

    for turn in turns:
        i = int(np.argmin(np.abs(motion.angles_rad["in"] - turn)))
        near = float(motion.angles_rad["out"][i])
        root = scipy_optimize.brentq(miss, near - 0.2, near + 0.2, args=(float(turn),), xtol=1e-13)
        assert near == pytest.approx(root, abs=1e-9)


def _rotated(lever: Lever, ball: str, angle: float) -> Floats:
    """A ball turned by a rotation matrix, exp of the axis' skew matrix: written otherwise than in the package."""
    from scipy.spatial.transform import Rotation

    turn = Rotation.from_rotvec(array(lever.axis) * angle)
    return array(lever.pivot_mm) + turn.apply(array(lever.balls[ball]) - array(lever.pivot_mm))


def test_a_crank_goes_all_the_way_round() -> None:
    linkage = four_bar(100.0, 40.0, 120.0, 80.0, 40.0, 57.325)
    motion = move(linkage, "crank", np.radians(np.linspace(0.0, 360.0, 721)))
    assert motion.angles_rad["rocker"][-1] == pytest.approx(motion.angles_rad["rocker"][0], abs=1e-9)


def test_a_dead_point_is_named_with_lever_and_angle() -> None:
    # rod and rocker in one line: (20 + 60)^2 = 40^2 + 100^2 - 2 40 100 cos t, t = 50.9771 deg
    t = math.degrees(math.acos((40.0**2 + 100.0**2 - 80.0**2) / (2 * 40.0 * 100.0)))
    linkage = four_bar(100.0, 40.0, 60.0, 20.0, 30.0, 100.0)
    with pytest.raises(
        Refusal, match=rf"come in one line: lever 'rocker' at .*'crank' stands at {t - 30.0:.1f}°"
    ) as told:
        move(linkage, "crank", np.radians(np.linspace(0.0, 90.0, 181)))
    assert "too short" in told.value.what
    assert told.value.where == "steering.rod 'coupler'"


@pytest.mark.parametrize(
    ("coupler", "words"),
    [(2.0, "too short to join 'crank' and 'rocker'"), (900.0, "too long to join 'crank' and 'rocker'")],
)
def test_a_rod_that_never_closes_is_named(coupler: float, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        move(four_bar(100.0, 40.0, coupler, 80.0, 40.0, 57.0), "crank", TURN)


def _pair(**changes: object) -> Linkage:
    values = {"axis": (0, 0, 1), "ball": (0, 100, 0), "other": (300, 100, 0), "length": None} | changes
    return Linkage(
        (
            Lever("arm", (0, 0, 0), values["axis"], {"end": values["ball"]}),  # type: ignore[arg-type]
            Lever("spindle", (300, 0, 0), (0, 0, 1), {"end": values["other"]}),  # type: ignore[dict-item]
        ),
        (Rod("link", ("arm", "end"), ("spindle", "end"), values["length"]),),  # type: ignore[arg-type]
    )


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"ball": (0, 0, 50)}, "ball 'end' lies on the axis of its own lever 'arm'"),
        ({"axis": (0, 0, 0)}, "the axis of lever 'arm' has no direction"),
        ({"ball": (300, 100, 0)}, "rod 'link' has no length"),
        ({"length": 0.0}, "rod 'link' has no length"),
        ({"length": 40.0}, "too short to join 'arm' and 'spindle'"),
        ({"ball": (300, 0, 40)}, "lies on the axis of lever 'spindle', so rod 'link' cannot turn it"),
        ({"ball": (300, 100, 70)}, "runs parallel to the axis of lever 'spindle'"),
        ({"ball": (300, 250, 0)}, "lever 'spindle' and rod .* are drawn in one line"),
    ],
)
def test_impossible_levers_and_rods_are_refused_by_name(changes: dict[str, object], words: str) -> None:
    with pytest.raises(Refusal, match=words):
        move(_pair(**changes), "arm", TURN)


def test_a_second_loop_and_a_loose_lever_are_refused_by_name() -> None:
    linkage = sprayer()
    with pytest.raises(Refusal, match="rod 'extra' would lock the steering"):
        Linkage(linkage.levers, (*linkage.rods, Rod("extra", ("box arm", "drag"), ("right spindle", "tie"))))
    with pytest.raises(Refusal, match="no rod joins lever 'right spindle'"):
        Linkage(linkage.levers, linkage.rods[:1])
    with pytest.raises(Refusal, match="lever 'left spindle' has no ball 'knuckle'; it has: drag, tie"):
        Linkage(linkage.levers, (Rod("x", ("box arm", "drag"), ("left spindle", "knuckle")),))
