"""Every length of every example's sheet: limits lie on the safe side of their decimals, and one value is shown one way.

A plain length is shown to the nearest 1/32 in. A limit, or the worst to expect, is shown to the next 1/64 in on its
safe side, so that only behind the words of a limit may the same decimals have another fraction.
"""

import re
from dataclasses import replace
from fractions import Fraction

import pytest

from plategen.checks.welding import bead_notes
from plategen.ground.show import Show
from plategen.tell.report.plate import weld_report
from plategen.tell.sheet.facts import facts
from plategen.tell.sheet.weld_tables import leg_to_lay
from tests.support.every_example import EXAMPLES, work_of
from tests.support.sheets import delivered_sheet, read_words

LENGTH = re.compile(r"(?<![\d./])((?:\d+ )?\d+/\d+|\d+) in \(-?(\d+\.\d{3})\)")
"""A fraction with its decimals."""

WORST = re.compile(r"(up to|lean by) $")
"""What stands before the worst to expect."""

LIMIT = re.compile(r"(at most|at least|±) $")
"""What stands before a limit."""

HALF_OF_THE_LAST_IN = Fraction(6, 10_000)
"""Decimals of three places are rounded themselves."""


def lengths(name: str) -> list[tuple[str, Fraction, Fraction]]:
    """The words before each length, its fraction and its decimals, inches."""
    return [
        (words[: found.start()], sum(map(Fraction, found[1].split())), Fraction(found[2]))
        for words in read_words(delivered_sheet(name))
        for found in LENGTH.finditer(words)
    ]


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_limit_is_rounded_to_its_unsafe_side(name: str) -> None:
    for before, fraction, decimals in lengths(name):
        told = (name, before[-60:], str(fraction), float(decimals))
        if re.search(r"(up to|lean by|at least) $", before):
            assert fraction >= decimals - HALF_OF_THE_LAST_IN, told
        if before.endswith("at most "):
            assert fraction <= decimals + HALF_OF_THE_LAST_IN, told


@pytest.mark.parametrize("name", EXAMPLES)
def test_one_value_has_one_fraction(name: str) -> None:
    shown: dict[Fraction, set[Fraction]] = {}
    for before, fraction, decimals in lengths(name):
        if not LIMIT.search(before):
            shown.setdefault(decimals, set()).add(fraction)
    assert {float(value): sorted(map(str, ways)) for value, ways in shown.items() if len(ways) > 1} == {}


def test_the_examples_have_lengths_of_each_kind() -> None:
    inch = [found for name in EXAMPLES for found in lengths(name)]
    assert sum(bool(WORST.search(before)) for before, *_ in inch) > 20
    assert sum(bool(LIMIT.search(before)) for before, *_ in inch) > 20


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_leg_laid_as_drawn_reads_as_the_drawn_leg(name: str) -> None:
    table = re.search(r"<caption>Weld runs, in the order of welding</caption>.*?</table>", delivered_sheet(name), re.S)
    assert bool(table) != (name == "hay-rake-formed-bracket"), "a bracket that is bent has no bead"
    if table is None:
        return
    legs = re.findall(r'data-head="leg"[^>]*><span[^>]*>([^<]+)', table[0])
    laid = re.findall(r'data-head="leg to lay"[^>]*><span[^>]*>([^<;]+)', table[0])
    assert legs
    for leg, lay in zip(legs, laid, strict=True):
        if leg.split(" in")[0] == lay.split(" in")[0]:
            assert leg == lay


@pytest.mark.parametrize("gap_mm", [0.5, 2.0, 3.64])
def test_first_facts_and_heat_say_a_leg_to_lay_on_the_mark_above_as_the_table_does(gap_mm: float) -> None:
    work = work_of("sprayer-kicked-rail")
    runs = tuple(replace(run, gap_mm=gap_mm) for run in work.bracket.welds)
    bracket = replace(work.bracket, welds=runs)
    said = dict(facts(replace(work, bracket=bracket), Show("in")))["weld"]
    told = leg_to_lay(weld_report(runs[0], 1), (), Show("in"))
    mark = told.split(" in")[0].split(";")[0]
    assert said.endswith(f", {mark} leg")
    assert f", leg {mark} in (" in Show("in").text(next(iter(bead_notes(bracket))))
