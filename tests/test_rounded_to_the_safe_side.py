"""What a message says something goes "up to" is rounded to the safe side, by its form where the message is made."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from plategen.ground.message import mm, rad
from plategen.ground.show import Show

ROOM = Path(__file__).parents[1] / "plategen"
QUANTITIES = {"mm": 1, "rad": 1}
"""Which of their arguments is the form; forces and stresses are shown to four figures, where rounding is no matter."""


def told_up_to(source: str) -> Iterator[tuple[int, ast.expr]]:
    """Every value that a message says something goes up to, with its line."""
    tree = ast.parse(source)
    for scope in (node for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)):
        named: dict[str, str] = {}
        for node in ast.walk(scope):
            if (
                isinstance(node, ast.Assign)
                and isinstance(node.value, ast.Constant)
                and isinstance(node.value.value, str)
            ):
                named |= {target.id: node.value.value for target in node.targets if isinstance(target, ast.Name)}
        for node in ast.walk(scope):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "message":
                first, *values = node.args
                template = first.value if isinstance(first, ast.Constant) else named.get(getattr(first, "id", ""), "")
                for place, before in enumerate(template.split("{}")[:-1]):
                    if before.endswith("up to ") and place < len(values):
                        yield node.lineno, values[place]


def without_form(value: ast.expr) -> bool:
    """True for a length or an angle that is shown to the nearest."""
    if not isinstance(value, ast.Call) or not isinstance(value.func, ast.Name):
        return False
    form = QUANTITIES.get(value.func.id)
    return form is not None and len(value.args) <= form


def test_what_goes_up_to_a_length_is_rounded_to_the_safe_side() -> None:
    told = [
        f"{path.relative_to(ROOM)}:{line}"
        for path in sorted(ROOM.rglob("*.py"))
        for line, value in told_up_to(path.read_text(encoding="utf-8"))
        if without_form(value)
    ]
    assert told == []


def test_the_look_finds_one_that_is_not() -> None:
    source = 'def f(x):\n    words = "up to {} is right"\n    return message(words, mm(x))\n'
    assert [without_form(value) for _, value in told_up_to(source)] == [True]
    assert [without_form(v) for _, v in told_up_to(source.replace("mm(x)", 'mm(x, "down")'))] == [False]


@pytest.mark.parametrize(
    ("units", "of", "said"),
    [
        ("mm", rad(0.0532, "up"), "3.1°"),
        ("mm", rad(0.0539, "down"), "3.0°"),
        ("mm", mm(12.34, "up"), "12.4 mm"),
        ("in", mm(1.0, "down"), "1/32 in (0.031)"),
        ("in", mm(0.25, "down"), "0.0098 in"),
    ],
)
def test_a_limit_is_shown_on_the_safe_side_and_never_as_nothing(units, of, said) -> None:
    assert Show(units).quantity(of) == said
