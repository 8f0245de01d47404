"""``judge --elements`` shows what the elements find, and refuses a bracket that they cannot solve."""

from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from plategen.checks.elements import CHECKS
from plategen.cli import main

pytest.importorskip("skfem")
PROFILES = Path(__file__).parents[2] / "profiles"


def judged(name: str) -> Result:
    return CliRunner().invoke(main, ["judge", str(PROFILES / name), "--elements"])


@pytest.mark.parametrize("name", ["quarry-straight-rail", "vineyard-drag-link-seat", "quarry-clamped-seat"])
def test_the_plates_that_hold_pin_and_rail_or_tube_are_solved_and_shown(name: str) -> None:
    result = judged(name)
    assert result.exit_code == 0, result.stderr
    for check in CHECKS:
        assert result.stdout.count(check.name) == 2


def test_bolted_ears_reach_no_rail_and_are_refused_in_one_line() -> None:
    result = judged("forwarder-split-mount")
    assert result.exit_code == 2
    assert result.stdout == ""
    assert "--elements: this bracket has no plate to solve" in result.stderr
    assert result.stderr.strip().count("\n") == 0
