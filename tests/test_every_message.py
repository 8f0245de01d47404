"""Every message that the program can say, gathered into one file and gone over as its readers would.

Messages are templates of ``message(...)`` and ``advise(...)`` and the words of ``Refusal(...)``, read off the source;
``PLATEGEN_MESSAGES=FILE`` writes the list there, to be read through.
"""

import ast
import os
import re
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "plategen"
SAYS = {"message", "advise", "Refusal"}
FEWEST = 400

WORDS_OF_THE_PROGRAM = re.compile(
    r"\b(epsilon|polyline|bulge|null|None|dict|tuple|index out|NaN|nan|residuals?|struct|dataclass|traceback)\b"
)


def said(path: Path) -> list[str]:
    """The words of every message in a file, what is filled in as ``{}``."""
    found = []
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in SAYS and node.args:
            words = _words(node.args[0])
            if words:
                found.append(words)
    return found


def _words(node: ast.expr) -> str:
    match node:
        case ast.Constant(value=str(words)):
            return words
        case ast.JoinedStr(values=parts):
            return "".join(p.value if isinstance(p, ast.Constant) else "{}" for p in parts)
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            return _words(left) + _words(right)
    return ""


def test_every_message_reads_as_a_plain_line(tmp_path: Path) -> None:
    every = {words: path for path in sorted(PACKAGE.rglob("*.py")) for words in said(path)}
    assert len(every) >= FEWEST
    listed = Path(os.environ.get("PLATEGEN_MESSAGES", tmp_path / "messages.txt"))
    lines = (f"{path.relative_to(PACKAGE)}: {words}" for words, path in every.items())
    listed.write_text("\n".join(lines) + "\n", encoding="utf-8")
    wrong = [
        (str(path.relative_to(PACKAGE)), words)
        for words, path in every.items()
        if "\n" in words or "  " in words or WORDS_OF_THE_PROGRAM.search(words)
    ]
    assert wrong == []
