"""Every name that a finding can bear, read off the program's source, so that no check can hide from its trial.

The name is the ``check`` of each call of ``Finding``: a literal, one of two, a pattern, a parameter of the function
about it (then what its callers give), the target of a loop over rows (then what the rows hold) or the field of a class
of the file (then what its makers give). Anything else cannot be read and fails: write the name plainly.
"""

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

PACKAGE = Path(__file__).parents[2] / "plategen"


@dataclass(frozen=True)
class Named:
    """A name, ``*`` where a part of it is filled in; whether it never decides, and the worst it may say."""

    name: str
    opinion: bool
    most: str
    file: str


def every_name() -> list[Named]:
    """The names of all findings that the program can make."""
    found = []
    for path in sorted(PACKAGE.rglob("*.py")):
        text = path.read_text(encoding="utf-8")
        if "Finding(" in text:
            found += list(_File(path, ast.parse(text)).names())
    return found


class _File:
    def __init__(self, path: Path, tree: ast.Module) -> None:
        self.path, self.tree = path, tree
        self.above = {child: node for node in ast.walk(tree) for child in ast.iter_child_nodes(node)}

    def names(self) -> Iterator[Named]:
        for call in self._calls("Finding"):
            given = {keyword.arg: keyword.value for keyword in call.keywords}
            always = isinstance(given.get("opinion"), ast.Constant)
            names = self._values(given["check"])
            most = self._values(given["most"]) if "most" in given else ["stop"]
            if len(most) != len(names):  # rows give a name and a worst each; else the worst is that of every name
                most = ["stop" if "stop" in most else "caution"] * len(names)
            for name, worst in zip(names, most, strict=True):
                yield Named(name, always, worst, self.path.name)

    def _calls(self, name: str) -> list[ast.Call]:
        calls = [node for node in ast.walk(self.tree) if isinstance(node, ast.Call)]
        return [call for call in calls if isinstance(call.func, ast.Name) and call.func.id == name]

    def _values(self, node: ast.expr) -> list[str]:
        match node:
            case ast.Constant(value=str(text)):
                return [text]
            case ast.IfExp(body=one, orelse=other):
                return [*self._values(one), *self._values(other)]
            case ast.JoinedStr(values=parts):
                return ["".join(str(p.value) if isinstance(p, ast.Constant) else "*" for p in parts)]
            case ast.Name(id=name):
                return self._of_name(node, name)
            case ast.Attribute(value=ast.Name(id=loop), attr=field):
                return self._of_field(node, loop, field)
        raise AssertionError(f"{self.path.name}:{node.lineno}: a finding's name that cannot be read off the source")

    def _of_name(self, node: ast.AST, name: str) -> list[str]:
        """What a parameter of the function about it is given, or a loop about it runs over."""
        at: ast.AST | None = node
        while (at := self.above.get(at)) is not None:  # type: ignore[arg-type]
            if isinstance(at, ast.For):
                targets = at.target.elts if isinstance(at.target, ast.Tuple) else [at.target]
                names = [target.id for target in targets if isinstance(target, ast.Name)]
                if name in names:
                    return [value for row in self._rows(at) for value in self._values(row.elts[names.index(name)])]
            if isinstance(at, ast.FunctionDef):
                spots = [a.arg for a in (*at.args.posonlyargs, *at.args.args)]
                if name in spots:
                    return [v for call in self._calls(at.name) for v in self._values(_argument(call, spots, name))]
        raise AssertionError(f"{self.path.name}: nothing gives {name}")

    def _rows(self, loop: ast.For) -> list[ast.Tuple]:
        rows = loop.iter
        if isinstance(rows, ast.Name):
            rows = next(
                node.value
                for node in ast.walk(self.tree)
                if isinstance(node, ast.Assign | ast.AnnAssign)
                and node.value is not None
                and any(isinstance(t, ast.Name) and t.id == rows.id for t in _targets(node))
            )
        assert isinstance(rows, ast.Tuple | ast.List), f"{self.path.name}:{loop.lineno}: rows that are not written out"
        return [row for row in rows.elts if isinstance(row, ast.Tuple)]

    def _of_field(self, node: ast.AST, loop: str, field: str) -> list[str]:
        """What the makers of the file's classes give to a field of that name."""
        for made in ast.walk(self.tree):
            if isinstance(made, ast.ClassDef):
                fields = [line.target.id for line in made.body if isinstance(line, ast.AnnAssign)]  # type: ignore[union-attr]
                if field in fields and self._calls(made.name):
                    return [v for call in self._calls(made.name) for v in self._values(_argument(call, fields, field))]
        raise AssertionError(f"{self.path.name}: nothing makes {loop}.{field}")


def _targets(node: ast.Assign | ast.AnnAssign) -> list[ast.expr]:
    return node.targets if isinstance(node, ast.Assign) else [node.target]


def _argument(call: ast.Call, spots: list[str], name: str) -> ast.expr:
    named = {keyword.arg: keyword.value for keyword in call.keywords}
    return named[name] if name in named else call.args[spots.index(name)]
