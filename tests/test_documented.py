"""Every public name of the package is documented: files, classes and functions by ruff, what is assigned here."""

import ast
from pathlib import Path

PACKAGE = Path(__file__).parents[1] / "plategen"


def names_of(statement: ast.stmt) -> list[str]:
    """The names that a statement assigns."""
    match statement:
        case ast.Assign(targets=targets):
            every = [x for target in targets for x in (target.elts if isinstance(target, ast.Tuple) else [target])]
            return [x.id for x in every if isinstance(x, ast.Name)]
        case ast.AnnAssign(target=ast.Name(id=name)):
            return [name]
    return []


def undocumented(text: str) -> list[str]:
    """Public names assigned in a file of code without a text below them; one text serves a run of lines."""
    body, found = ast.parse(text).body, []
    for index, statement in enumerate(body):
        last = index
        while last + 1 < len(body) and names_of(body[last + 1]) and body[last + 1].lineno == body[last].end_lineno + 1:
            last += 1
        match body[last + 1 : last + 2]:
            case [ast.Expr(value=ast.Constant(value=str()))]:
                continue
        found += [name for name in names_of(statement) if not name.startswith("_")]
    return found


def test_the_look_itself() -> None:
    assert undocumented('A = 1\n"""Told."""\n\nB, C = 1, 2\nD: int = 3\n"""Told."""\n_E = 1\n') == []
    assert undocumented('A = 1\n\nB = 2\n"""Told."""\nC: int = 3\n') == ["A", "C"]


def test_every_public_name_is_documented() -> None:
    files = sorted(PACKAGE.rglob("*.py"))
    assert len(files) > 100
    untold = {str(path.relative_to(PACKAGE)): names for path in files if (names := undocumented(path.read_text()))}
    assert {path: names for path, names in untold.items() if names != ["__version__"]} == {}
    assert [p for p in files if p.read_text().strip() and not ast.get_docstring(ast.parse(p.read_text()))] == []
