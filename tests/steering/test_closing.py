"""Tapes against points: a linkage that was measured well closes; of another the point that is off is named."""

import re
from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.parse import parse_job, parse_steering
from plategen.job.steering import TapeEntry
from plategen.steering.closing import TAPES, Closing, closing, tapes_to_take
from plategen.steering.study import study
from plategen.steering.vector import Floats
from plategen.tell.steering.form import form_blocks, form_pictures, spoken_point
from tests.support.every_example import PROFILES

TEXT = (PROFILES / "orchard-sprayer-steering" / "job.toml").read_text(encoding="utf-8")
STEERING = parse_steering(TEXT).steering
assert STEERING is not None
POINTS = STEERING.points_mm
BALLS = [name for name in POINTS if not name.endswith((".pivot", "_pin"))]


def every_tape(points: dict[str, tuple[float, float, float]]) -> tuple[TapeEntry, ...]:
    return tuple(
        TapeEntry(start=a, end=b, length_mm=float(np.linalg.norm(np.subtract(points[a], points[b]))))
        for a, b in combinations(points, 2)
    )


def closed(tapes: tuple[TapeEntry, ...], error_mm: float = 1.0) -> Closing | None:
    assert STEERING is not None
    return closing(STEERING.replaced(tape=tapes, tape_error_mm=error_mm))


def test_points_that_are_right_close() -> None:
    found = closed(every_tape(POINTS), 3.0)
    assert found is not None
    assert abs(found.worst.over_mm) < 1e-9
    assert found.suspects == ()
    assert closed(()) is None


@given(st.sampled_from(BALLS), st.tuples(*[st.floats(-60.0, 60.0)] * 3).filter(lambda d: np.linalg.norm(d) > 20.0))
def test_the_point_that_is_off_is_named_with_its_move(name: str, off: tuple[float, float, float]) -> None:
    # the true machine has one ball elsewhere than the job says; every tape is of the true machine
    x, y, z = (float(v) for v in np.add(POINTS[name], off))
    found = closed(every_tape(POINTS | {name: (x, y, z)}))
    assert found is not None
    assert [s.point for s in found.suspects] == [name]
    np.testing.assert_allclose(found.suspects[0].move_mm, off, atol=1e-6)


@pytest.mark.parametrize(
    ("name", "ways"),
    [
        (
            "orchard-sprayer-steering",
            np.array([(1.0, 0.0, 0.0), (0.0, 0.0, -1.0), (0.6, 0.6, 0.53), (-0.6, 0.6, -0.53)]),
        ),
        ("quarry-loader-cylinder-pair", np.vstack([np.eye(3)[:2], -np.eye(3)[:2]])),  # its points lie at one height
    ],
)
def test_the_tapes_of_the_form_name_nearly_every_point_that_is_an_inch_off(name: str, ways: Floats) -> None:
    steering = parse_job((PROFILES / name / "job.toml").read_text(encoding="utf-8")).steering
    assert steering is not None
    points, pairs = steering.points_mm, tapes_to_take(steering)
    assert all(sum(point in pair for pair in pairs) >= TAPES for point in points), "the cylinders' pins as well"
    asked = named = 0
    for point, way in product(points, ways):
        true = points | {point: np.add(points[point], 25.4 * way)}
        spans = [float(np.linalg.norm(np.subtract(true[a], true[b]))) for a, b in pairs]
        tapes = [TapeEntry(start=a, end=b, length_mm=mm) for (a, b), mm in zip(pairs, spans, strict=True)]
        found = closing(steering.replaced(tape=tuple(tapes)))
        assert found is not None
        suspects = [each.point for each in found.suspects]
        seen = abs(found.worst.over_mm) > steering.tape_error_mm
        assert not seen or point in suspects, "an innocent point alone is never accused"
        asked, named = asked + 1, named + (suspects == [point])
    assert named >= 0.9 * asked


def test_one_tape_alone_accuses_both_its_ends_and_two_points_off_are_told_so() -> None:
    a, b = "left spindle.tie", "right spindle.tie"
    one = closed((TapeEntry(start=a, end=b, length_mm=1300.0),))
    assert one is not None
    assert {s.point for s in one.suspects} == {a, b}
    moved = POINTS | {a: (0.0, 600.0, 300.0), "box arm.drag": (-1000.0, 500.0, 450.0)}
    two = closed(every_tape(moved))
    assert two is not None
    assert two.suspects == ()


def test_a_job_says_which_point_and_refuses_a_point_that_is_none() -> None:
    tapes = "".join(
        f'[[steering.tape]]\nfrom = "left spindle.tie"\nto = "{to}"\nlength = "{span} mm"\n'
        for to, span in (("right spindle.tie", 1300.0), ("box arm.drag", 950.0), ("left spindle.pivot", 190.0))
    )
    found = findings(study(parse_steering(TEXT.replace("[steering.sweep]", tapes + "[steering.sweep]"))))
    (said,) = (f for f in found if f.check == "tape agrees with the points")
    assert said.verdict == "stop"
    assert said.cure is not None
    assert "measure left spindle.tie again" in Show("in").text(said.cure.advice)
    wrong = tapes.replace('"left spindle.tie"', '"left spindle.tye"') + "[steering.sweep]"
    with pytest.raises(Refusal, match=re.escape("there is no point 'left spindle.tye'")):
        parse_steering(TEXT.replace("[steering.sweep]", wrong))


def test_the_form_has_every_point_by_its_number_and_tapes_to_tell_them_apart() -> None:
    points, tapes = form_blocks(STEERING, "in")
    names = list(POINTS)
    assert [row[0] for row in points.rows] == [f"{i}  {spoken_point(name)}" for i, name in enumerate(names, 1)]
    assert not any(re.search(r"\w\.\w", row[0] + row[1]) for row in (*points.rows, *tapes.rows)), "dots are the file's"
    assert any("box arm, ball drag to left spindle, ball drag" in row[1] for row in tapes.rows)
    drawn = form_pictures(STEERING)
    assert len(drawn) == 2
    assert all(re.search(rf"[> ]{i}[ <]", picture) for picture in drawn for i in range(1, len(names) + 1))
