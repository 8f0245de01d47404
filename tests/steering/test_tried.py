"""The fixed pin as the cure of a cylinder out of line tells it: put there, it brings what is told."""

import dataclasses
import math

import numpy as np
import pytest

from plategen.checks.steering_cylinder import IN_LINE_DEG
from plategen.checks.steering_pin import pin_elsewhere
from plategen.job.parse import parse_job
from plategen.steering.study import study
from plategen.steering.tried import pin_tried
from tests.support.every_example import PROFILES


def example(name: str):  # type: ignore[no-untyped-def]
    return parse_job((PROFILES / name / "job.toml").read_text(encoding="utf-8"))


@pytest.mark.parametrize("name", ["bowser-leaf-axle", "orchard-sprayer-steering", "peat-carrier-two-relays"])
def test_a_pin_put_where_the_cure_tells_brings_the_angle_that_it_tells(name: str) -> None:
    job, chance, told = example(name), np.random.default_rng(17), 0
    assert job.steering is not None
    entry = job.steering.cylinder_mount
    for _ in range(6):
        off = tuple(float(x) for x in np.add(entry.fixed_pin_mm, chance.uniform(-60.0, 60.0, 3)))

        def placed(at: tuple[float, ...]):  # type: ignore[no-untyped-def]
            mount = entry.replaced(fixed_pin_mm=at)
            return study(job.replaced(steering=job.steering.replaced(cylinder_mount=mount)))

        found = placed(off)
        lies = found.in_line
        tried = pin_tried(found.steering, found.sweep, lies, found.size, found.series, (0.0,))
        if tried is None or tried.worst_rad >= lies.aligned.worst_rad:
            continue
        told += 1
        then = placed(tried.fixed_mm).in_line
        assert then.aligned.worst_rad == pytest.approx(tried.worst_rad, abs=1e-9)
        assert then.mount.fixed_mm == pytest.approx(tried.fixed_mm, abs=1e-6)
        assert np.add(lies.mount.fixed_mm, tried.by_mm) == pytest.approx(tried.fixed_mm)
    assert told >= 4


def test_the_cure_says_which_way_and_how_far() -> None:
    found = study(example("bowser-leaf-axle"))
    lies = found.in_line
    assert lies is not None
    assert math.degrees(lies.aligned.worst_rad) > IN_LINE_DEG
    words = str(pin_elsewhere(found, lies, lies.aligned.worst_rad).advice)
    assert "move the fixed pin 3.0 mm forward, 56.2 mm to the right, 5.5 mm up, to x -1513.0 mm" in words
    tried = pin_tried(found.steering, found.sweep, lies, found.size, found.series, (0.0,))
    assert tried is not None
    assert math.degrees(tried.worst_rad) < IN_LINE_DEG


def test_where_no_place_does_better_the_cure_says_so() -> None:
    found = study(example("bowser-leaf-axle"))
    assert found.in_line is not None
    words = str(pin_elsewhere(dataclasses.replace(found, sweep=None), found.in_line, 0.1).advice)
    assert "no place of the fixed pin within 150.0 mm of it does better" in words
