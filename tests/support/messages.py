"""Every line of words in the program's source that a user may be shown, read off the source without running it.

Whatever is written in a file of the program as words, and does not document the code, is taken: messages, cures and
refusals, whether written where they are said or in a name before; headlines, screen lines, bench steps, losses and
names of checks; the help of commands and options; the words of the pages' templates. What is filled in is ``{}``.
"""

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "plategen"

FOR_PROGRAMS = PACKAGE / "tell"
"""Where the words of annotations describe numbers to programs, in the report's schema; in a job they tell its keys."""

OF_THE_CODE = {"ValueError", "KeyError", "TypeError", "RuntimeError", "AssertionError", "LookupError", "compile"}
"""What is called with words that no user reads: errors that only a defect brings, and patterns."""

COMMANDS = {"command", "group"}
"""Decorators that make a function's documentation the help of a command."""

WORDS = re.compile(r"[A-Za-z]{2,}[,;:]? [A-Za-z({]")
"""Words in a row: what has none is a name, a sign or a place."""

MARKUP = re.compile(
    r"<[a-z/!]|[a-z-]+: [^ ]+;$|^[MmLl]\d|=>|\bfunction\b|^[.#@]\w+ ?[{,>]|: var\(|\bfont: |^@\{|\d(?:px|em)\b"
    r"|\(\?:|^# units"
)
"""Signs of HTML, styles and scripts; of patterns; of a trace file's head."""


@cache
def every_message() -> dict[str, str]:
    """Each line of words once, with the file it stands in first."""
    found: dict[str, str] = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        for words in said(tree, described=not path.is_relative_to(FOR_PROGRAMS)):
            found.setdefault(words, str(path.relative_to(PACKAGE)))
    for path in sorted(PACKAGE.rglob("*.html")):
        for words in in_template(path.read_text(encoding="utf-8")):
            found.setdefault(words, str(path.relative_to(PACKAGE)))
    return found


def said(tree: ast.Module, *, described: bool = True) -> Iterator[str]:
    """The words in a file of code; ``described``: those with which its annotations describe what they stand by too."""
    for node in ast.walk(tree):
        match node:
            case ast.arg():
                node.annotation = None
            case ast.FunctionDef() | ast.AsyncFunctionDef():
                node.returns = None
            case ast.AnnAssign() if not described or isinstance(node.annotation, ast.Constant):
                node.annotation = ast.Name("_")
    return (line for line in _of(tree) if WORDS.search(line) and not MARKUP.search(line))


def in_template(html: str) -> Iterator[str]:
    """The words of a page's template: what stands between tags, and what is read out."""
    html = re.sub(r"{{.*?}}", "{}", re.sub(r"{#.*?#}|<(style|script)\b.*?</\1>", "", html, flags=re.S), flags=re.S)
    html = re.sub(r"{%.*?%}", "\n", html, flags=re.S)
    labels = re.findall(r'(?:aria-label|title|placeholder|alt|data-sure)="([^"]*)"', html)
    for line in (*re.sub(r"<[^>]*>", "\n", html).splitlines(), *labels):
        if WORDS.search(line.strip()):
            yield line.strip()


def _of(node: ast.AST) -> Iterator[str]:
    match node:
        case ast.Constant(value=str(words)):
            yield words
            return
        case ast.JoinedStr() | ast.BinOp(op=ast.Add()) if (words := _joined(node)) is not None:
            yield words
            for inner in ast.walk(node):
                if isinstance(inner, ast.FormattedValue):
                    yield from _of(inner.value)
            return
        case ast.Call(func=ast.Name(id=name) | ast.Attribute(attr=name)) if name in OF_THE_CODE:
            return
        case ast.FunctionDef() if any(_is_command(each) for each in node.decorator_list):
            yield " ".join((ast.get_docstring(node) or "").split())
    for inner in ast.iter_child_nodes(node):
        if not (isinstance(inner, ast.Expr) and isinstance(inner.value, ast.Constant)):  # what documents the code
            yield from _of(inner)


def _is_command(decorator: ast.expr) -> bool:
    called = decorator.func if isinstance(decorator, ast.Call) else decorator
    return isinstance(called, ast.Attribute) and called.attr in COMMANDS


def _joined(node: ast.AST) -> str | None:
    """Words and what is filled in between, in one line; None where it is no line of words."""
    match node:
        case ast.Constant(value=str(words)):
            return words
        case ast.JoinedStr(values=parts):
            return "".join("{}" if isinstance(part, ast.FormattedValue) else str(_joined(part)) for part in parts)
        case ast.BinOp(left=left, op=ast.Add(), right=right):
            a, b = _joined(left), _joined(right)
            return None if a is None and b is None else ("{}" if a is None else a) + ("{}" if b is None else b)
    return None


def refusals() -> Iterator[tuple[str, str]]:
    """The words of every refusal and cure with the file they stand in, also those that were given a name before."""
    for path in sorted(PACKAGE.rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        named: dict[str, list[str]] = {}
        for node in ast.walk(tree):
            match node:
                case ast.Assign(targets=[ast.Name(id=name)], value=value) if words := _joined(value):
                    named.setdefault(name, []).append(words)
        for node in ast.walk(tree):
            match node:
                case ast.Call(func=ast.Name(id="Refusal" | "advise"), args=[first, *_]):
                    for words in _lines(first, named):
                        yield words, str(path.relative_to(PACKAGE))


def _lines(node: ast.expr, named: dict[str, list[str]]) -> Iterator[str]:
    match node:
        case ast.Name(id=name):
            yield from named.get(name, ())
        case ast.Call(func=ast.Name(id="message"), args=[first, *_]):
            yield from _lines(first, named)
        case ast.IfExp(body=body, orelse=other):
            yield from _lines(body, named)
            yield from _lines(other, named)
        case _ if words := _joined(node):
            yield words
