"""Tyres past bars and past the linkage: gaps against points strewn over both, and the jobs in which they meet."""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy import optimize

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_job
from plategen.job.steering import Steering
from plategen.steering.clearance import Bar, Clearance, clearances
from plategen.steering.motion import Motion, move
from plategen.steering.ring import TyreSize, line_gaps
from plategen.steering.study import SteeringStudy, study
from plategen.steering.sweep import INNER_WHEEL, Locks, Sweep, sweep
from plategen.steering.tyre_room import linkage_bars
from plategen.steering.vector import Floats, as_point
from tests.steering.examples import sprayer
from tests.support.every_example import PROFILES
from tests.support.orchard import JOINT, ROLLING, STEERING, text_of

LOCK = math.radians(35.0)
TYRE = TyreSize(lever="left spindle", centre_mm=(0, 838, 559), radius_mm=559, width_mm=286)


FIRST = np.zeros(1, dtype=np.int64)


def standing(
    name: str, start: tuple[float, float, float], end: tuple[float, float, float], n: int, across: float
) -> Bar:
    both = (np.broadcast_to(np.array(each, float), (n, 3)) for each in (start, end))
    return Bar(name=name, start_mm=next(both), end_mm=next(both), diameter_mm=across)


def swept(positions: int = 201) -> Sweep:
    return sweep(sprayer(), "box arm", Locks(INNER_WHEEL, LOCK, LOCK), positions=positions)


def least_mm(motion: Motion, tyre: TyreSize, bar: Bar) -> float:
    (found,) = clearances(motion, (tyre,), (bar,))
    return found.least_mm


def test_a_tyre_beside_a_bar_along_it() -> None:
    motion = move(sprayer(), "box arm", np.array([0.0]))
    beside = standing("rail", (-300, 600, 559), (300, 600, 559), 1, 40.0)
    assert least_mm(motion, TYRE, beside) == pytest.approx(838 - 143 - 600 - 20)
    above = standing("beam", (0, 838, 1200), (1, 838, 1200), 1, 0.0)
    assert least_mm(motion, TYRE, above) == pytest.approx(1200 - 559 - 559, abs=1e-9)
    assert least_mm(motion, TYRE, standing("arm", (0, 800, 559), (0, 900, 559), 1, 0.0)) == pytest.approx(-143.0)
    (found,) = clearances(motion, (TYRE,), (beside,))
    assert found.left_mm(25.4) == pytest.approx(838 - 143 - 600 - 20 - 25.4)


def _seen(tyre: TyreSize, start: Floats, end: Floats, axle: Floats) -> float:
    """The gap by a minimiser over the line and over the ring's own points: outside of it alone."""

    def apart(x: Floats) -> float:
        t, s, r, turn = x
        across = np.cross(axle, [1.0, 0.0, 0.0] if abs(axle[0]) < 0.9 else [0.0, 1.0, 0.0])
        across /= np.linalg.norm(across)
        on = s * axle + r * (math.cos(turn) * across + math.sin(turn) * np.cross(axle, across))
        return float(np.sum((start + t * (end - start) - on) ** 2))

    best = math.inf
    half = tyre.width_mm / 2.0
    for t in (0.1, 0.5, 0.9):
        for turn in np.arange(0.0, 2.0 * math.pi, 0.7):
            found = optimize.minimize(
                apart,
                np.array([t, 0.0, tyre.radius_mm * 0.9, turn]),
                bounds=[(0, 1), (-half, half), (tyre.rim_mm, tyre.radius_mm), (-7.0, 14.0)],
                method="L-BFGS-B",
            )
            best = min(best, math.sqrt(max(float(found.fun), 0.0)))
    return best


@pytest.mark.parametrize("rim_mm", [0.0, 200.0])
def test_the_gap_agrees_with_a_minimiser_over_ring_and_line(rim_mm: float) -> None:
    chance = np.random.default_rng(5)
    tyre = TyreSize(lever="x", centre_mm=(0, 0, 0), radius_mm=400.0, width_mm=220.0, rim_mm=rim_mm)
    outside = 0
    for _ in range(12):
        start, end = chance.uniform(-900, 900, 3), chance.uniform(-900, 900, 3)
        axle = chance.normal(size=3)
        axle /= np.linalg.norm(axle)
        gap = float(line_gaps((replace(tyre, axle=as_point(axle)),), FIRST, start[None], end[None]).mm[0])
        if gap > 1.0:
            outside += 1
            assert gap == pytest.approx(_seen(tyre, start, end, axle), abs=2e-2)
        else:
            assert _seen(tyre, start, end, axle) < 1.0 + 1e-2
    assert outside > 3


def test_a_rod_inside_the_rim_clears_it() -> None:
    across = (np.array([[0.0, -300.0, 100.0]]), np.array([[0.0, 300.0, 100.0]]))
    full = TyreSize(lever="x", centre_mm=(0, 0, 0), radius_mm=400.0, width_mm=220.0)
    hollow = TyreSize(lever="x", centre_mm=(0, 0, 0), radius_mm=400.0, width_mm=220.0, rim_mm=250.0)
    assert float(line_gaps((full,), FIRST, *across).mm[0]) == pytest.approx(-110.0, abs=1e-6)
    assert float(line_gaps((hollow,), FIRST, *across).mm[0]) == pytest.approx(150.0, abs=1e-6)


@pytest.mark.parametrize("positions", [201, 2001])
def test_the_least_over_the_sweep_is_the_least_of_every_position(positions: int) -> None:
    found = swept(positions)
    n = len(found)
    start, end = found.motion.rod_ends_mm("drag link")
    bars = (
        standing("radius arm", (-860, 305, 355), (-100, 330, 355), n, 50.0),
        Bar(name="drag link", start_mm=start, end_mm=end, diameter_mm=40.0),
        standing("stake", (900, 500, 0), (900, 500, 900), n, 30.0),
    )
    for clearance in clearances(found.motion, (TYRE,), bars):
        every = clearance.gaps_mm(np.arange(n))
        assert clearance.least_mm == float(every.min())
        assert every[clearance.position] == clearance.least_mm


def _orchard(**changed: str) -> SteeringStudy:
    text = text_of(STEERING)
    for old, new in changed.values():  # type: ignore[misc]
        assert old in text
        text = text.replace(old, new)
    return study(parse_job(text))


def _named(found: SteeringStudy) -> set[tuple[str, str]]:
    return {(each.part.words, each.verdict) for each in findings(found) if each.check == "tyre clears, deflected"}


def test_the_tyre_that_runs_into_the_drag_link_is_named_and_the_mended_job_clears_it() -> None:
    # the job as it was drawn first: 35 deg of lock, a 44 in tyre and the link's ball 6 1/2 in beside the kingpin
    old = _orchard(
        lock=('left = "28 deg"', 'left = "35 deg"'),
        tyre=("radius = 15\ncentre = [0, 33, 15]", "radius = 22\ncentre = [0, 33, 22]"),
        width=('width = "9 1/2"', 'width = "11 1/4"'),
        ball=("drag = [0, 19, 16]", 'drag = [0, "20 1/2", 16]'),
        pin=("18.4375", "18.25"),
    )
    assert ("left spindle, drag link", "stop") in _named(old)
    (link,) = (each for each in old.clearances if (each.tyre, each.bar) == ("left spindle", "drag link"))
    assert old.sweep is not None
    assert link.position == len(old.sweep) - 1  # at the left lock
    assert {verdict for _, verdict in _named(_orchard())} == {"ok"}


def test_a_thicker_rod_comes_nearer_by_half_of_it() -> None:
    def rod(found: SteeringStudy) -> Clearance:
        return next(each for each in found.clearances if (each.tyre, each.bar) == ("left spindle", "drag link"))

    thin = rod(_orchard())
    thick = rod(_orchard(rod=('diameter = "1 3/4"', 'diameter = "2 1/4"')))
    assert thin.least_mm - thick.least_mm == pytest.approx(25.4 / 4)


def test_the_linkage_is_followed_over_the_axles_travel_too() -> None:
    found = study(parse_job((PROFILES / "bowser-leaf-axle" / "job.toml").read_text(encoding="utf-8")))
    drawn, moved = (
        min(each.least_mm for each in found.clearances if each.bar == "drag link" and each.axle_moved is axle)
        for axle in (False, True)
    )
    assert moved < drawn - 1.0  # the axle takes the tyre nearer to it
    assert moved > 25.4
    assert not any(each.told for each in found.clearances if each.axle_moved)


def test_barrel_and_rod_share_the_cylinders_line() -> None:
    found = study(parse_job(text_of(STEERING)))
    assert found.sweep is not None
    names = [each.bar for each in found.clearances if each.tyre == "left spindle"]
    assert {"drag link", "tie rod", "cylinder", "cylinder's rod", "box arm.drag"} <= set(names)
    assert not any(name.startswith("left spindle") for name in names)  # its own arms turn with it
    assert found.in_line is not None
    bars = {bar.name: bar for bar in linkage_bars(found.steering, found.sweep.motion, {})}
    assert "cylinder" not in bars


def test_a_rod_rolled_to_its_joints_limit_takes_the_cylinder_nearer_to_the_tyre() -> None:
    text = text_of(ROLLING).replace(JOINT, f'{JOINT}holds_roll = "joints"\nroll_free = "20 deg"\n')
    found = study(parse_job(text))
    by_bar = {each.bar: each.least_mm for each in found.clearances if each.tyre == "left spindle"}
    rolled = [by_bar[f"cylinder, its rod rolled {way}"] for way in ("one way", "the other way")]
    assert min(rolled) < by_bar["cylinder"] < max(rolled)


def test_a_rim_as_large_as_its_tyre_is_refused() -> None:
    with pytest.raises(Refusal, match="the rim is smaller than its tyre"):
        _orchard(rim=("radius = 15\n", "radius = 15\nrim_diameter = 30\n"))


def test_a_linkage_without_tyres_says_that_they_were_not_followed() -> None:
    bare = _orchard(
        tyre=("radius = 15\ncentre = [0, 33, 15]\n", ""),
        bar=(
            'diameter = 2\n\n[[steering.bar]]\nname = "rail',
            'diameter = 2\nclears = "fittings"\n\n[[steering.bar]]\nname = "rail',
        ),
    )
    assert isinstance(bare.steering, Steering)
    assert any("whether a tyre meets the drag link" in each.of.not_covered for each in findings(bare))
    assert not any("whether a tyre meets the drag link" in each.of.not_covered for each in findings(_orchard()))
