"""What a shop reads: limits on their own side, one unit for a quantity, no word that only the program knows."""

import re

import pytest

from plategen.checks.finding import Check, part, stops
from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.load import read_fit_notes
from plategen.job.parse import parse_job
from plategen.revision.compare import FindingChange
from plategen.tell.finding_row import finding_row
from plategen.tell.revision import comparison_lines
from plategen.tell.screen import cause_lines, stop_lines
from plategen.tell.sheet.sheet import sheet_html
from plategen.tell.table import up_to
from tests.support.every_example import EXAMPLES, PROFILES, work_of

IN, MM = Show("in"), Show("mm")

PROGRAM_WORDS = (
    r"\basked\b[^.]{0,40}\bthere\b", r"towards [+-]w\b", r"\bdrawn face\b", r"\bother face\b", r"\bshape mark\b",
    r"\bresiduals?\b", r"\bksi\b", r"\binfinity\b", "∞", r"\bnan\b", r"\bu runs\b", r"\bu, v\b", r"\bu \d",
    r"\bepsilon\b", r"\bpolyline\b", r"\bbulge\b", r"\bnull\b", r"\bw = \d",
)  # fmt: skip
"""Words of the program that no user needs a key for."""


def seen(html: str) -> str:
    """A page's words, without its styles and scripts."""
    return re.sub(r"<[^>]+>", " ", re.sub(r"<(style|script)\b.*?</\1>", " ", html, flags=re.S))


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_word_of_the_program_stands_on_a_sheet(name: str) -> None:
    words = seen(sheet_html(work_of(name)))
    assert [found[0] for pattern in PROGRAM_WORDS for found in re.finditer(pattern, words)] == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_inch_sheet_tells_no_metric_power_speed_or_stress(name: str) -> None:
    work = work_of(name)
    # what a source prints itself stands in brackets behind its name
    wrong = r"\d (kW|m/s|MPa|kN|N|(?:m|km/h)(?![,)]))\b" if work.job.units == "in" else r"\d (hp|ft/s|psi|lbf|mph)\b"
    assert re.findall(wrong, seen(sheet_html(work))) == []


def test_a_limit_stands_on_its_own_side() -> None:
    most = Check("play of the pin", "pin", "mm", "at most").at_most(part("pin"), 1.0, 0.8)
    least = Check("least leg", "weld", "mm", "at least").at_least(part("W1"), 3.2, 6.35)
    strength = Check("pin shear", "pin", "N").strength(part("pin"), 9000.0, 20000.0)
    rows = [finding_row(f, IN) for f in (most, least, strength)]
    assert [(row.there, row.limit) for row in rows] == [
        ("1/32 in (0.031)", "at most 1/32 in (0.039)"),
        ("1/4 in (0.250)", "at least 9/64 in (0.126)"),
        ("2023 lbf", "at most 4496 lbf"),
    ]


def test_lengths_that_bound_are_rounded_to_the_safe_side() -> None:
    assert up_to(1.113, IN) == "up to 3/64 in (0.044)", "1/32 in would be less than there may be"
    assert IN.bound(1.6, up=False) == "1/16 in (0.062)", "a most is never rounded up"
    assert (MM.bound(1.11, up=True), MM.bound(1.19, up=False)) == ("1.2 mm", "1.1 mm")
    assert IN.bound(9.525, up=True) == IN.bound(9.525, up=False) == "3/8 in (0.375)"


def test_one_radius_is_printed_one_way() -> None:
    assert {MM.short(6.35 + off) for off in (-1e-9, 0.0, 1e-9)} == {"6.4"}


def test_psi_stays_psi() -> None:
    assert IN.stress(1500 * 0.006894757293168361) == "1500 psi"


@pytest.mark.parametrize(
    ("written", "hint"),
    [
        ("03-Aug", "write 3/8"), ("8-Mar", "write 3/8"), ("Jul-16", "write 7/16"), ("05-Aug-2024", "write 5/8"),
        ("''", "no length is written there"), ("", "no length is written there"),
    ],
)  # fmt: skip
def test_what_a_spreadsheet_makes_of_a_fraction_is_known(written: str, hint: str) -> None:
    with pytest.raises(Refusal, match=re.escape(hint)):
        LENGTH.read(written, "in")


def test_a_fit_note_may_name_its_plate_as_the_sheet_does() -> None:
    notes = read_fit_notes("plate,station,gap\near near,2,0\nEar Far,3,1/16\n", "fit_notes.csv", "in")
    assert [note.plate_name for note in notes] == ["ear_near", "ear_far"]


def test_a_key_that_is_wrong_is_answered_with_the_one_that_is_meant() -> None:
    text = (PROFILES / "bale-trailer-second/job.toml").read_text(encoding="utf-8")
    with pytest.raises(Refusal, match="did you mean `notes`"):
        parse_job(text.replace("\nnotes =", "\nfit_notes ="))


def test_stops_of_one_check_stand_in_one_line_and_a_short_foot_is_named_as_their_cause() -> None:
    from plategen.job.load import load_job
    from plategen.make import carry_through

    loaded = load_job(PROFILES / "sprayer-kicked-rail")
    mount = loaded.job.mount.replaced(foot_mm=(5.5 * 25.4, 7.5 * 25.4))
    work = carry_through(loaded.job.replaced(mount=mount), loaded.traces)
    lines = stop_lines(work.findings, IN)
    stopping = stops(work.findings)
    assert len(lines) == len({finding.check for finding in stopping}) < len(stopping) / 2
    assert any("the same on W2, ear near to rail" in line for line in lines)
    assert "the foot of 2 in" in cause_lines(work, IN)[0]
    assert cause_lines(work_of("sprayer-kicked-rail"), IN) == []


def test_only_what_ends_worse_is_shouted() -> None:
    check = Check("pin shear", "pin", "N")

    def change(was: float, now: float) -> str:
        before, after = (check.strength(part("pin"), share, 1.0) for share in (was, now))
        from plategen.revision.compare import Comparison

        one = FindingChange("pin shear", "pin", before, after)
        shown = comparison_lines(Comparison(inputs=(), plates=(), runs=(), findings=(one,)), IN)
        return next(line.split(":")[0].strip() for line in shown if "pin shear" in line)

    assert [change(0.70, 0.74), change(0.74, 0.70), change(0.85, 0.95), change(0.95, 1.2)] == [
        "more used", "better", "WORSE", "WORSE",
    ]  # fmt: skip


def test_the_header_says_when_the_study_has_moved_the_pin_already() -> None:
    words = seen(sheet_html(work_of("orchard-sprayer-steering")))
    assert "moved already by the steering study; the job has 6 1/2 in (6.500)" in words


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_opinion_has_a_word_of_its_own_on_the_sheet(name: str) -> None:
    opinions = sheet_html(work_of(name)).partition("<caption>Second opinions")[2].partition("</table>")[0]
    verdicts = set(re.findall(r'data-head="verdict"><span[^>]*>([^<]*)<', opinions))
    assert verdicts <= {"over", "near", "holds"}
