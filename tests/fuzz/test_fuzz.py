"""A short run of the fuzzers in every run of the tests, and every find of the long ones again."""

import random
import subprocess
import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.fuzz.mutate import mutated, renumbered
from tests.fuzz.targets import ROOT, TARGETS, only_entities, seeds

FINDS = sorted(path for path in (Path(__file__).parent / "finds").iterdir() if "-" in path.name)
SHORT = {"quantity": 300, "trace": 300, "job": 100, "dxf": 25, "notes": 300, "state": 100, "photo": 3, "whole": 40}


@pytest.mark.parametrize("find", FINDS, ids=lambda path: path.name)
def test_finds_stay_mended(find: Path) -> None:
    TARGETS[find.name.split("-")[0]](find.read_bytes())


@pytest.mark.parametrize("name", TARGETS)
def test_right_inputs_are_right(name: str) -> None:
    for data in seeds(name):
        TARGETS[name](data)


@pytest.mark.parametrize("name", TARGETS)
def test_spoiled_inputs(name: str) -> None:
    @settings(max_examples=SHORT[name], deadline=None, suppress_health_check=list(HealthCheck))
    @given(st.integers(0, 2**32))
    def spoil(seed: int) -> None:
        rng, right = random.Random(seed), seeds_of[name]
        chosen = rng.choice(right)
        TARGETS[name](renumbered(chosen, rng) if name == "whole" else mutated(chosen, right, rng))

    spoil()


seeds_of = {name: seeds(name) for name in TARGETS}


@settings(max_examples=200, deadline=None)
@given(st.sampled_from(["quantity", "trace", "job"]), st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_any_bytes(name: str, data: bytes) -> None:
    TARGETS[name](data)


def test_the_long_run_sees_writes_and_hangs() -> None:
    """The watch itself: a target that writes, and one that never ends, are finds."""
    code = """
from tests.fuzz import watch
watch.SECONDS = 0.2
watch.begin()
for sin, caught in ((lambda: open("never", "w"), watch.Touched), (lambda: [0 for _ in iter(int, 1)], watch.Hang)):
    try:
        with watch.watched():
            sin()
    except caught:
        print("caught")
open("/dev/null", "w").close()
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["caught", "caught"]
    assert not (ROOT / "never").exists()


def test_a_drawing_without_its_tables_is_still_read() -> None:
    assert b"LWPOLYLINE" in only_entities(seeds("dxf")[1])
