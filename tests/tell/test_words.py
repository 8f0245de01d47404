"""What a shop reads: limits on their own side, one unit for a quantity, no word that only the program knows."""

import re
from html import unescape
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cause import causes
from plategen.checks.finding import Check, part, stops
from plategen.cli import main
from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.fit_notes import read_fit_notes
from plategen.job.parse import parse_job
from plategen.revision.compare import FindingChange
from plategen.tell.cause import cause_lines
from plategen.tell.finding_row import finding_row
from plategen.tell.revision import comparison_lines
from plategen.tell.screen import findings_lines, stop_lines, trace_lines
from plategen.tell.steering.tables import steer_lines
from plategen.tell.table import up_to
from tests.support.delivered import delivered
from tests.support.every_example import EXAMPLES, PROFILES, loaded_of, work_of
from tests.support.program_words import program_words
from tests.support.sheets import plain_sheet, read_words

IN, MM = Show("in"), Show("mm")
MADE = ("sprayer-kicked-rail", "forestry-bolted-channel", "orchard-sprayer-both-ends", "quarry-screen-corner")
"""Examples of each kind of line that ``make`` prints; the files that it writes are read of all."""


def seen(html: str) -> str:
    """A page's words, without its styles and scripts."""
    return re.sub(r"<[^>]+>", " ", re.sub(r"<(style|script)\b.*?</\1>", " ", html, flags=re.S))


def screen(*words: str) -> str:
    """What a command prints that is carried out."""
    done = CliRunner().invoke(main, words)
    assert done.exit_code in (0, 1), done.output
    assert len(done.output.split()) > 5
    return done.output


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_word_of_the_program_stands_on_a_sheet(name: str) -> None:
    assert program_words("\n".join(read_words(plain_sheet(name)))) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_word_of_the_program_stands_on_the_screen_or_the_form(name: str, tmp_path: Path) -> None:
    """Of every command that speaks of a job, and in what goes to the shop that cuts."""
    job = str(PROFILES / name)
    form = tmp_path / "form.html"
    runs = [["form", job, "--out", str(form)], ["revise", job, job]]
    if name in MADE:
        runs.append(["make", job, "--no-solid", "--out", str(tmp_path / "out")])
    runs += [["trace", str(path)] for path in sorted((PROFILES / name).glob("*.csv")) if path.stem != "fit_notes"]
    for words in runs:
        assert (words[0], program_words(screen(*words))) == (words[0], [])
    assert program_words(seen(form.read_text(encoding="utf-8"))) == []
    for note in ("cut_note.txt", "parts.csv"):
        assert program_words(delivered(name).files[note].decode()) == []


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_word_of_the_program_stands_among_the_numbers_of_a_job(name: str) -> None:
    job = str(PROFILES / name)
    runs = [["judge", job, "--opinions"], *([["steer", job]] if loaded_of(name).job.steering is not None else [])]
    for words in runs:
        assert (words[0], program_words(screen(*words))) == (words[0], [])


@pytest.mark.parametrize("style", ["ears", "split", "bolted", "seat", "steering"])
@pytest.mark.parametrize("units", ["in", "mm"])
def test_no_word_of_the_program_stands_in_a_starter(style: str, units: str, tmp_path: Path) -> None:
    done = CliRunner().invoke(main, ["start", str(tmp_path / "own"), "--style", style, "--units", units])
    assert done.exit_code == 0, done.output
    texts = {path.name: path.read_text(encoding="utf-8") for path in (tmp_path / "own").iterdir()}
    assert "job.toml" in texts
    for text in texts.values():
        assert program_words(re.sub(r'"[^"]*"', '""', text)) == [], "in quotes a value is as a certificate has it"


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_inch_sheet_tells_no_metric_power_speed_or_stress(name: str) -> None:
    work = work_of(name)
    # what a source prints itself stands in brackets behind its name
    wrong = r"\d (kW|m/s|MPa|kN|N|(?:m|km/h)(?![,)]))\b" if work.job.units == "in" else r"\d (hp|ft/s|psi|lbf|mph)\b"
    assert re.findall(wrong, seen(plain_sheet(name))) == []


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


def test_a_stop_says_what_is_and_what_its_limit_is() -> None:
    most = Check("moment", "rod", "N·mm", "at most").at_most(part("rod"), 1000.0, 3000.0)
    least = Check("least leg", "weld", "mm", "at least").at_least(part("W1"), 6.0, 3.0)
    assert finding_row(most, MM).stop_line == "STOP: moment, rod: is 3.000 N·m, limit 1.000 N·m"
    assert finding_row(least, MM).stop_line == "STOP: least leg, W1: is 3.0 mm, at least 6.0 mm needed"


def test_what_has_no_number_is_said_in_words() -> None:
    nothing = Check("moment that rolls", "rod", "N·mm", "at most").at_most(part("rod"), 0.0, 3000.0)
    none_there = Check("weld", "weld", "mm", "at least").at_least(part("W1"), 3.0, 0.0)
    endless = Check("plate section", "section", "1").strength(part("ear_near"), float("inf"), 1.0)
    rows = [finding_row(f, IN) for f in (nothing, none_there, endless)]
    assert [row.used for row in rows] == ["none allowed", "none there", "no strength"]
    assert rows[2].stop_line == "STOP: plate section, ear near: cannot carry it at all"
    assert [finding_row(Check("c", "s", "1").strength(part("p"), share, 1.0), IN).used for share in (1.002, 1.0)] == [
        "just over 100 %", "100 %",
    ]  # fmt: skip


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_sign_stands_for_a_number_in_what_is_printed(name: str) -> None:
    lines = "\n".join(findings_lines(work_of(name).findings, Show(work_of(name).job.units)))
    assert "∞" not in lines
    assert "ratio" not in lines.splitlines()[0]
    assert "endless" not in lines


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
    found = causes(work)
    assert "the foot of 2 in" in cause_lines(found, work.findings, IN)[0]
    assert causes(work_of("sprayer-kicked-rail")) == ()


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
    words = seen(plain_sheet("orchard-sprayer-steering"))
    assert "moved already by the steering study; the job has 6 1/2 in (6.500)" in words
    assert "done already: the bracket's pin stands there" in unescape(words)
    assert "from the job file's numbers" not in words


def test_the_study_of_a_pin_that_is_placed_asks_for_no_move() -> None:
    study = work_of("orchard-sprayer-steering").steering
    assert study is not None
    there, moved = ("\n".join(steer_lines(study, IN, pin_there=placed)) for placed in (True, False))
    assert "done already: the bracket's pin stands there" in there
    assert "fixed pin goes to" not in there
    assert "pin station +" in moved


def test_one_piece_is_one_piece() -> None:
    (fitted,) = work_of("quarry-straight-rail").rail.traces
    first, *lines = trace_lines(fitted, MM)
    assert first.endswith(f"{len(fitted.chain)} piece{'' if len(fitted.chain) == 1 else 's'}")
    assert not re.search(r"\b1 \w+s\b", first)
    assert any(line.startswith("two of three readings are good to ") for line in lines)


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_opinion_has_a_word_of_its_own_on_the_sheet(name: str) -> None:
    opinions = plain_sheet(name).partition("<caption>Second opinions")[2].partition("</table>")[0]
    verdicts = set(re.findall(r'data-head="verdict"><span[^>]*>([^<]*)<', opinions))
    assert verdicts <= {"over", "near", "holds"}
