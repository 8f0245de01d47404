"""The order of the rooms, held: no room imports a later one, and only solid work loads the solid kernel."""

import ast
import subprocess
import sys
from pathlib import Path

import pytest

PACKAGE = Path(__file__).parents[1] / "plategen"

ORDER = [
    {"refusal", "unit"},
    {"show", "quantity", "flat"},
    {"job", "rail"},
    {"strength.formulas"},
    {"bracket", "steering"},
    {"strength"},
    {"shop", "screen"},
    {"make"},
    {"revision"},
    {"page"},
    {"cli", "commands"},
]
"""Rooms by layer, the ground first. A room may import its own layer and those below."""

KERNEL = {"cadquery", "OCP"}
KERNEL_ROOMS = ("shop/step", "shop/solid", "shop/body")


def _imports(path: Path) -> list[tuple[str, bool]]:
    """Names that a file imports, and whether it does so at once (not inside a function or for types alone)."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    found: list[tuple[str, bool]] = []

    def walk(node: ast.AST, at_once: bool) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import):
                found.extend((alias.name, at_once) for alias in child.names)
            elif isinstance(child, ast.ImportFrom) and child.module and not child.level:
                found.append((child.module, at_once))
            inside = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef)
            types_only = isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test)
            if not types_only:
                walk(child, at_once and not inside)

    walk(tree, True)
    return found


@pytest.mark.parametrize("banned", ["cadquery", "scipy", "matplotlib", "vtk", "OCP", "shapely"])
def test_the_command_line_loads_no_heavy_library(banned: str) -> None:
    code = f"import plategen.cli, sys; sys.exit({banned!r} in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_only_solid_work_imports_the_kernel() -> None:
    for path in PACKAGE.rglob("*.py"):
        room = path.relative_to(PACKAGE).as_posix()
        used = {name.split(".")[0] for name, _ in _imports(path)} & KERNEL
        assert not used or room.startswith(KERNEL_ROOMS), f"{room} imports {used}"
