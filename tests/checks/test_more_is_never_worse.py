"""A bigger leg, a thicker plate or less pressure never uses more of the same check, but where its rule says so.

On random benches; every finding of every rule set is compared with its own in the changed bench.
"""

import math
import random

import pytest

from plategen.checks.finding import Finding
from tests.checks.bench import Bench

SLACK = 1e-9
BY_LEG = {
    "greatest leg": "a leg of more than the thinner part",
    "least length": "4 w of AISC J2.2b grows with the leg",
    "least length that carries": "6 a of EN 1993-1-8 4.5.1 grows with the throat",
}
BY_THICKNESS = {
    "pin bending": "the ears' mid-planes move apart: F (b + 4 c + 2 a)/8",
    "pin bending in service": "the same moment",
    "pin shear with bending": "the same moment",
    "preheat": "thicker steel draws the heat away",
}


def _bench(seed: int, **changed: float) -> Bench:
    draw = random.Random(seed)
    given = {
        "pressure": draw.uniform(4.0, 20.0),
        "thickness": draw.uniform(6.0, 20.0),
        "leg": draw.choice([4.0, 5.0, 6.0, 8.0]),
        "foot": draw.uniform(60.0, 130.0),
        "pin": draw.choice([20.0, 25.0, 30.0]),
        "wall": draw.uniform(5.0, 12.0),
        "eye_width": draw.uniform(20.0, 60.0),
        "height": draw.uniform(80.0, 140.0),
    }
    given["hole"] = given["pin"] + draw.uniform(0.2, 0.8)
    rules = {"set": draw.choice(["aisc-asd", "aisc-lrfd", "en-1993"]), "skew_rad": math.radians(draw.uniform(0.0, 3.0))}
    return Bench(**{**given, **{key: given[key] * by for key, by in changed.items()}}, rules=rules)  # type: ignore[arg-type]


def _worse(one: Bench, other: Bench) -> dict[str, Finding]:
    """The findings of the other that use more than the same of the one; both are asked the same in one order."""
    pairs = list(zip(one.findings(), other.findings(), strict=True))
    assert all((a.check, a.part, a.opinion) == (b.check, b.part, b.opinion) for a, b in pairs)
    return {b.check: b for a, b in pairs if b.ratio > a.ratio * (1.0 + SLACK) + SLACK}


@pytest.mark.parametrize("seed", range(6))
def test_more_steel_or_less_pressure_is_never_worse(seed: int) -> None:
    one = _bench(seed)
    assert set(_worse(one, _bench(seed, pressure=0.7))) == set()
    assert set(_worse(one, _bench(seed, leg=1.25))) <= set(BY_LEG)
    assert set(_worse(one, _bench(seed, thickness=1.25))) <= set(BY_THICKNESS)
