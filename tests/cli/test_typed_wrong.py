"""What is typed wrong on the command line is answered in plain words with what would be right."""

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.commands.one_line import REFUSED

CASES = {
    "no job": (["make"], "say the job's folder: plategen make my-job"),
    "no jobs to compare": (["revise"], "say the old job's folder and the new one's: plategen revise old-job new-job"),
    "another command": (["mak", "x"], "there is no command mak; did you mean make?"),
    "no command like it": (["zzz"], "there is no command zzz; those there are: start, form"),
    "a port there is not": (["page", "x", "--port", "99999"], "--port: 99999 cannot be; 1 to 65535 is right"),
    "two files": (["trace", "a", "b"], "plategen trace takes one file at a time; left over: b"),
    "another option": (["make", "x", "--papr", "A4"], "there is no option --papr; did you mean --paper?"),
}


@pytest.mark.parametrize("name", CASES)
def test_what_is_right_is_said_in_plain_words(name: str) -> None:
    words, says = CASES[name]
    result = CliRunner().invoke(main, words)
    assert result.exit_code == REFUSED
    assert result.output.startswith(says), result.output
    assert result.output.count("\n") == 1
