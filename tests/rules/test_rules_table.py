"""The tables ``[rules]`` and ``[driven]`` of the job file."""

import math

import pytest

from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_table
from plategen.job.rules import Driven, Rules


def test_rules_are_read_in_the_shops_notation() -> None:
    rules = parse_table(Rules, {"set": "en-1993", "swing": 12, "skew": "1.5 deg", "shock_factor": 2}, "in", "rules")
    assert rules.set == "en-1993"
    assert rules.swing_rad == pytest.approx(math.radians(12))
    assert rules.skew_rad == pytest.approx(math.radians(1.5))
    assert rules.shock_factor == 2.0


def test_the_usual_rules_need_nothing() -> None:
    assert parse_table(Rules, {}, "mm") == Rules()


@pytest.mark.parametrize(
    ("table", "where", "match"),
    [
        ({"set": "aisc"}, "rules.set", "is not a choice here"),
        ({"shock_factor": 0.5}, "rules.shock_factor", "1 or more"),
        ({"skew": 95}, "rules.skew", "less than 90"),
        ({"sett": "aisc-asd"}, "rules.sett", "did you mean `set`"),
    ],
)
def test_wrong_rules_are_refused_at_their_key(table: dict[str, object], where: str, match: str) -> None:
    with pytest.raises(Refusal, match=match) as refused:
        parse_table(Rules, table, "in", "rules")
    assert refused.value.where == where


def test_a_driven_tube_wider_inside_than_outside_is_refused() -> None:
    with pytest.raises(Refusal, match="bore must be less"):
        parse_table(Driven, {"diameter": 1, "bore": "1 1/4", "length": 40}, "in", "driven")
