"""A headline says no more than was checked: a limit that is passed is passed, and what is left out stands beside it."""

from functools import partial

import pytest

from plategen.checks.caution import NOT_COVERED, not_covered
from plategen.checks.finding import Check, Finding, part
from plategen.checks.headline import headline
from plategen.tell.screen import verdict_line, verdict_lines
from tests.checks.bench import Bench
from tests.checks.cases import FLANGE

WARNS = Check("a limit that only warns", "weld", "1", "at most", most="caution")
HOLDS = Check("a strength", "weld", "N")


def _at(check: Check, ratio: float) -> Finding:
    return check.strength(part("W1"), ratio, 1.0)


warned, judged = partial(_at, WARNS), partial(_at, HOLDS)


@pytest.mark.parametrize(
    ("findings", "words"),
    [
        ((warned(3.64), judged(0.5)), "Of 2 checks 1 is over a limit that warns; the rest hold."),
        ((judged(0.95), judged(0.5)), "Of 2 checks 1 is near the limit; the rest hold."),
        (
            (warned(1.2), warned(1.3), judged(0.95), judged(0.1)),
            "Of 4 checks 2 are over a limit that warns and 1 is near the limit; the rest hold.",
        ),
        (
            (judged(1.2), warned(3.64), judged(0.95)),
            "STOP: 1 of 3 checks fails. Beside them 1 is over a limit that warns and 1 is near the limit. "
            "Do not build this.",
        ),
        ((judged(1.2), judged(1.3)), "STOP: 2 of 2 checks fail. Do not build this."),
        ((judged(0.5),), "All 1 checks that were made hold."),
        ((), "Nothing was checked."),
    ],
)
def test_a_limit_that_is_passed_is_over_and_not_near(findings: tuple[Finding, ...], words: str) -> None:
    assert headline(findings) == words


def test_what_is_not_covered_stands_with_the_verdict() -> None:
    findings = Bench().findings()
    lines = verdict_lines(findings)
    assert lines[0] == verdict_line(findings)
    assert lines[0].startswith(headline(findings))
    assert [f"- {words}" for words in not_covered(findings)] == lines[2:]
    assert set(NOT_COVERED) < set(not_covered(findings))


def test_a_verdict_names_the_three_worst_kinds_once_each() -> None:
    first, second, third, fourth = (Check(f"check {n}", "weld", "N") for n in (1, 2, 3, 4))
    findings = (_at(first, 1.2), _at(second, 3.64), _at(second, 3.0), _at(third, 1.5), _at(fourth, 1.3), judged(0.5))
    assert verdict_line(findings).endswith(" Worst: check 2 364 %, W1; check 3 150 %, W1; check 4 130 %, W1.")
    rolls = Check("moment that rolls", "rod", "N·mm", "at most").at_most(part("rod"), 0.0, 3.0)
    assert verdict_line((rolls,)).endswith(" Worst: moment that rolls: none allowed, rod.")
    assert verdict_line((judged(0.5),)) == headline((judged(0.5),))


def test_a_wall_that_is_not_judged_stands_first_among_what_is_not_covered() -> None:
    untold, told = (not_covered(Bench(rail=rail).findings()) for rail in ({}, FLANGE))
    assert untold[0].startswith("The rail's section is not told: the bending of its wall under the foot is NOT judged.")
    assert told[0] == NOT_COVERED[0]
    assert not any("NOT judged" in words for words in told)
