"""Every line of words that the program can say, gathered into one file and gone over as its readers would.

``PLATEGEN_MESSAGES=FILE`` writes the list there, to be read through: each line once, with the file that says it.
"""

import ast
import os
import re
from pathlib import Path

import pytest

from tests.support.messages import every_message, in_template, refusals, said
from tests.support.program_words import program_words

FEWEST, FEWEST_REFUSALS = 2000, 450

METRIC = re.compile(r"(?:\d|\)|\{\}) ?(?:mm|mm2|mm²|cm³|N|kN|N·m|N/mm|MPa|bar|kg|L/min|m/s|kW)\b")
INCH = re.compile(r"(?:\d|\)|\{\}) ?(?:in|psi|lbf|lbf-ft|lb|gpm|hp)\b")
QUOTED = re.compile(r"\b(?:AISC|EN|ISO) |be = min\(")
"""A source's own words keep its units."""

PRINTED = re.compile(r"The square is 50 mm")
"""What is printed on a check page is as long as it says, whatever the job's units."""

SPACED = ("paper/", "tell/screen.py")
"""Where blanks set words apart on a printed line or in columns."""


@pytest.fixture(scope="module")
def every() -> dict[str, str]:
    return every_message()


def test_the_look_itself() -> None:
    text = """
import click
LATER = "held in a name before {} is said"
def tell(x: "no words at all") -> "nor here":
    \"\"\"Documentation is for engineers.\"\"\"
    words = f"a line with {x} in it and " + "more of it"
    raise ValueError("a defect alone brings this")
@click.command()
@click.option("--by", help="How it is done.")
def go():
    \"\"\"What the command does.\"\"\"
"""
    found = list(said(ast.parse(text)))
    assert found == [
        "held in a name before {} is said",
        "a line with {} in it and more of it",
        "What the command does.",
        "How it is done.",
    ]
    assert list(
        in_template('<p title="read this out">Words of {{ x }} here</p>{% if y %}<b>or there</b>{% endif %}')
    ) == [
        "Words of {} here",
        "or there",
        "read this out",
    ]


def test_every_message_is_listed_once(every: dict[str, str], tmp_path: Path) -> None:
    """Those written where they are said, those kept in a name, headlines, screen lines, steps, losses and help."""
    listed = Path(os.environ.get("PLATEGEN_MESSAGES", tmp_path / "messages.txt"))
    listed.write_text(
        "".join(f"{file}: {' '.join(words.split())}\n" for words, file in every.items()), encoding="utf-8"
    )
    assert len(every) >= FEWEST
    wanted = {
        "checks/headline.py", "checks/loss.py", "checks/caution.py", "tell/screen.py", "tell/sheet/bench.py",
        "tell/steering/hands.py", "tell/form.py", "commands/make.py", "commands/one_line.py", "cli.py", "job/load.py",
        "page/templates/parts.html", "tell/sheet/sheet.html", "revision/keep.py", "steering/mount.py",
    }  # fmt: skip
    assert wanted <= set(every.values())
    assert {words for words, _ in refusals() if " " in words.replace("{}", "").strip(":,; ")} <= set(every)


def test_no_word_stands_twice(every: dict[str, str]) -> None:
    assert [(file, words) for words, file in every.items() if re.search(r"\b([A-Za-z]+) \1(?![\w-])", words)] == []


def test_no_line_says_a_word_of_the_program(every: dict[str, str]) -> None:
    assert [(file, found, words) for words, file in every.items() if (found := program_words(words))] == []


def test_every_line_is_one_line_with_its_places_closed(every: dict[str, str]) -> None:
    broken = [
        (file, words)
        for words, file in every.items()
        if re.search(r"[{}]", words.replace("{}", ""))
        or re.search(r"\( | \)|\.\.$| [,;]", words)
        or (not file.startswith(SPACED) and re.search(r"\S\s*\n\s*\S|\S  \S", words))
    ]
    assert broken == []


def test_what_names_a_metric_size_names_the_shop_s_as_well(every: dict[str, str]) -> None:
    """A number written into the words is not shown in the job's units: an inch shop is told its own beside it."""
    alone = [
        (file, words)
        for words, file in every.items()
        if METRIC.search(words) and not (INCH.search(words) or QUOTED.search(words) or PRINTED.search(words))
    ]
    assert alone == []


def test_a_refusal_is_a_clause_and_ends_without_a_full_stop() -> None:
    every = list(refusals())
    assert len(every) >= FEWEST_REFUSALS
    assert [(file, words) for words, file in every if words.rstrip().endswith((".", ",", ";", ":"))] == []


def test_a_line_of_sentences_ends_with_a_full_stop(every: dict[str, str]) -> None:
    """What has one within has one at its end, where nothing that is filled in ends it."""
    ends = (".", ":", "?", "{}", ")", ",")
    loose = [
        (file, words)
        for words, file in every.items()
        if file.endswith(".py") and re.search(r"[a-z)]\. [A-Z]", words) and not words.rstrip().endswith(ends)
    ]
    assert loose == []
