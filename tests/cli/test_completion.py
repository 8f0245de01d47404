"""What the shell offers when a word is begun: asked of the program as each shell asks it, and quick."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from plategen.cli import COMMANDS

ROOT = Path(__file__).parents[2]
RUN = [sys.executable, "-c", "import sys; sys.argv[0] = 'plategen'; from plategen.cli import main; main()"]

BEGUN = [
    (["plategen", ""], set(COMMANDS)),
    (["plategen", "ma"], {"make"}),
    (["plategen", "make", "--pa"], {"--paper"}),
    (["plategen", "make", "--paper", "t"], {"tabloid"}),
    (["plategen", "trace", "--units", ""], {"in", "mm"}),
    (["plategen", "steer", "--js"], {"--json"}),
]


def asked(shell: str, words: list[str]) -> str:
    """The program's answer to one shell; fish hands over the word that is begun instead of its place."""
    at = words[-1] if shell == "fish" else str(len(words) - 1)
    environment = {
        **os.environ, "PYTHONPATH": str(ROOT), "_PLATEGEN_COMPLETE": f"{shell}_complete",
        "COMP_WORDS": " ".join(words), "COMP_CWORD": at,
    }  # fmt: skip
    return subprocess.run(RUN, env=environment, capture_output=True, text=True, check=True).stdout


def offered(shell: str, answer: str) -> set[str]:
    lines = answer.splitlines()
    if shell == "zsh":  # three lines an offer: kind, word, help
        return set(lines[1::3])
    return {line.split(",", 1)[1].split("\t")[0] for line in lines}


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
@pytest.mark.parametrize(("words", "offers"), BEGUN, ids=[" ".join(words) for words, _ in BEGUN])
def test_commands_options_and_choices_are_offered(shell: str, words: list[str], offers: set[str]) -> None:
    assert offered(shell, asked(shell, words)) == offers


@pytest.mark.parametrize("command", ["make", "judge", "trim", "revise", "trace", "steer", "page"])
def test_where_a_job_or_a_file_stands_the_shell_offers_files(command: str) -> None:
    assert asked("bash", ["plategen", command, "prof"]).startswith("file,")


@pytest.mark.parametrize("shell", ["bash", "zsh", "fish"])
def test_each_shell_is_told_how_to_ask(shell: str) -> None:
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "_PLATEGEN_COMPLETE": f"{shell}_source"}
    script = subprocess.run(RUN, env=environment, capture_output=True, text=True, check=True).stdout
    assert f"_PLATEGEN_COMPLETE={shell}_complete" in script
    assert "plategen" in script


def test_bash_itself_takes_the_script_and_completes(tmp_path: Path) -> None:
    program = tmp_path / "plategen"
    program.write_text(f'#!/bin/sh\nPYTHONPATH="{ROOT}" exec "{sys.executable}" -c "{RUN[2]}" "$@"\n')
    program.chmod(0o755)
    code = """
eval "$(_PLATEGEN_COMPLETE=bash_source plategen)"
COMP_WORDS=(plategen make --paper a) COMP_CWORD=3
_plategen_completion plategen
printf '%s\\n' "${COMPREPLY[@]}"
complete -p plategen
"""
    path = f"{tmp_path}{os.pathsep}{os.environ['PATH']}"
    done = subprocess.run(
        ["bash", "--norc", "-c", code], env={**os.environ, "PATH": path}, capture_output=True, text=True, check=True
    )
    assert done.stdout.splitlines()[:3] == ["a4", "a3", "a2"]
    assert "_plategen_completion" in done.stdout.splitlines()[3]


@pytest.mark.parametrize("words", [["plategen", ""], ["plategen", "make", "--"], ["plategen", "judge", "--"]])
def test_completing_loads_nothing_that_computes(words: list[str]) -> None:
    code = RUN[2].replace("main()", "")
    watch = (
        f"{code}\ntry:\n    main()\nexcept SystemExit:\n    pass\n"
        "print('LOADED', *{name.partition('.')[0] for name in sys.modules})"
    )
    environment = {
        **os.environ, "PYTHONPATH": str(ROOT), "_PLATEGEN_COMPLETE": "bash_complete",
        "COMP_WORDS": " ".join(words), "COMP_CWORD": str(len(words) - 1),
    }  # fmt: skip
    done = subprocess.run(
        [sys.executable, "-c", watch], env=environment, capture_output=True, text=True, check=True
    ).stdout
    loaded = set(done.splitlines()[-1].split()[1:])
    assert "click" in loaded
    assert not loaded & {"numpy", "msgspec", "ezdxf", "scipy", "jinja2", "reportlab", "OCP"}
