"""The order of the rooms, held: each imports itself and earlier ones only; only solid work loads the solid kernel."""

import ast
import subprocess
import sys
from functools import cache
from graphlib import CycleError, TopologicalSorter
from pathlib import Path
from typing import NamedTuple

import pytest

PACKAGE = Path(__file__).parents[1] / "plategen"

ORDER: list[list[str]] = [
    ["ground"],
    ["flat"],
    ["draw"],
    ["rail"],
    ["photo"],
    ["job"],
    ["rules"],
    ["steering"],
    ["design"],
    ["bracket"],
    ["checks"],
    ["work"],
    ["cost"],
    ["nearest_seat"],
    ["nearest"],
    ["noted"],
    ["make"],
    ["cause"],
    ["vary"],
    ["cured"],
    ["cut"],
    ["revision"],
    ["tell.picture"],
    ["tell"],
    ["solid"],
    ["paper"],
    ["tell.sheet"],
    ["delivery"],
    ["api"],
    ["page"],
    ["commands"],
    ["cli"],
]
"""The rooms, the ground first. A file belongs to the entry that names it, or else to the one that names its folder."""

KERNEL = {"cadquery", "OCP"}
SOLID_WORK = "solid"
"""Beginning of the names of the files that may import the solid kernel."""

HEAVY = {
    "cv2",
    "cadquery",
    "OCP",
    "vtk",
    "vtkmodules",
    "scipy",
    "matplotlib",
    "shapely",
    "skfem",
    "starlette",
    "uvicorn",
}


class Import(NamedTuple):
    """One import: by which file, of what, and whether it happens when the file is imported."""

    by: str
    of: str
    at_once: bool


@cache
def modules() -> dict[str, Path]:
    """Every file of the package by its name without ``plategen.``; the package itself is the empty name."""
    found = {}
    for path in sorted(PACKAGE.rglob("*.py")):
        parts = path.relative_to(PACKAGE).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def imports() -> tuple[Import, ...]:
    """Every import in the package, those inside functions and for types alone included."""
    return tuple(found for name, path in modules().items() for found in _imports(name, path))


def _imports(by: str, path: Path) -> list[Import]:
    found: list[Import] = []

    def walk(node: ast.AST, at_once: bool) -> None:
        for child in ast.iter_child_nodes(node):
            if isinstance(child, ast.Import):
                found.extend(Import(by, alias.name, at_once) for alias in child.names)
            elif isinstance(child, ast.ImportFrom):
                assert child.level == 0, f"{by}: relative imports hide which room they reach into"
                assert child.module
                whole = [f"{child.module}.{alias.name}" for alias in child.names]
                named = [name if name.removeprefix("plategen.") in modules() else child.module for name in whole]
                found.extend(Import(by, name, at_once) for name in dict.fromkeys(named))
            later = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
            types_only = isinstance(child, ast.If) and "TYPE_CHECKING" in ast.unparse(child.test)
            walk(child, at_once and not later and not types_only)

    walk(ast.parse(path.read_text(encoding="utf-8")), True)
    return found


def layer_of(module: str) -> int:
    """The place of a file's room in the order."""
    parts = module.split(".")
    for name in (".".join(parts[:length]) for length in range(len(parts), 0, -1)):
        for place, names in enumerate(ORDER):
            if name in names:
                return place
    raise AssertionError(f"plategen.{module} belongs to no room of the order; give it its place")


def own_imports() -> list[Import]:
    """The imports of files of the package by others, their names without ``plategen.``."""
    return [
        Import(found.by, found.of.removeprefix("plategen."), found.at_once)
        for found in imports()
        if found.of.startswith("plategen.")
    ]


def test_no_room_imports_a_later_one() -> None:
    wrong = [
        f"plategen.{by} imports plategen.{of}" for by, of, _ in own_imports() if by and layer_of(of) > layer_of(by)
    ]
    assert not wrong, "\n".join(wrong)


def test_every_room_of_the_order_is_there() -> None:
    named = {name for names in ORDER for name in names}
    there = {parent for name in modules() for parent in (name, *name.rpartition(".")[:1], name.split(".")[0])}
    assert named <= there
    assert {layer_of(name) for name in modules() if name} == set(range(len(ORDER)))


def test_no_file_imports_itself_by_way_of_others() -> None:
    graph: dict[str, set[str]] = {}
    for by, of, at_once in own_imports():
        if at_once and by != of:
            graph.setdefault(by, set()).add(of)
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as cycle:
        pytest.fail(" <- ".join(cycle.args[1]))


def test_only_solid_work_imports_the_kernel() -> None:
    wrong = {by for by, of, _ in imports() if of.split(".")[0] in KERNEL and not by.startswith(SOLID_WORK)}
    assert not wrong


def test_nothing_heavy_is_imported_at_once_outside_its_own_room() -> None:
    allowed = {
        "solid": KERNEL | {"vtk", "vtkmodules"},
        "rules": {"skfem", "scipy"},
        "page": {"starlette", "uvicorn"},
    }
    wrong = [
        f"plategen.{by} imports {of}"
        for by, of, at_once in imports()
        if at_once and (top := of.split(".")[0]) in HEAVY and top not in allowed.get(by.split(".")[0], set())
    ]
    assert not wrong, "\n".join(wrong)


def loaded_by(code: str) -> set[str]:
    """The libraries that are loaded after some code ran in a process of its own."""
    report = "import sys; print(*{name.partition('.')[0] for name in sys.modules}, file=sys.stderr)"
    done = subprocess.run([sys.executable, "-c", f"{code}\n{report}"], capture_output=True, text=True, check=True)
    return set(done.stderr.split())


@pytest.mark.parametrize(
    "words",
    [
        [],
        ["judge", "profiles/sprayer-kicked-rail"],
        ["trace", "profiles/sprayer-kicked-rail/front.csv"],
        ["steer", "profiles/orchard-sprayer-steering"],
        ["judge", "profiles/sprayer-kicked-rail", "--vary", "weld.leg=1/4:1/4:1/4"],
    ],
    ids=lambda words: " ".join(words[:1]) + (" varied" if "--vary" in words else "") or "help",
)
def test_the_command_line_loads_no_heavy_library(words: list[str]) -> None:
    code = f"""
import os
os.chdir({str(PACKAGE.parent)!r})
from plategen.cli import main
try:
    main({words or ["--help"]!r})
except SystemExit:
    pass
"""
    assert not loaded_by(code) & HEAVY


def test_make_without_solids_loads_no_solid_kernel(tmp_path: Path) -> None:
    job = PACKAGE.parent / "profiles" / "sprayer-kicked-rail"
    code = f"""
from plategen.cli import main
try:
    main(["make", {str(job)!r}, "--no-solid", "--out", {str(tmp_path / "out")!r}])
except SystemExit as left:
    assert left.code in (0, 1), left.code
"""
    assert not loaded_by(code) & HEAVY


def test_only_commands_print() -> None:
    prints = {
        name
        for name, path in modules().items()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("print", "input")
    }
    assert not {name for name in prints if not name.startswith("commands")}


DISK = {
    "job.load",
    "delivery.deliver",
    "delivery.folder",
    "delivery.lock",
    "delivery.recorded",
    "delivery.starter",
    "delivery.zipped",
    "page.disk",
    "page.shelf",
}
"""The files that may touch the user's disk; ``revision.dxf_file`` opens the one drawing that it is given."""

TOUCHES = {"write_text", "write_bytes", "read_bytes", "mkdir", "unlink", "iterdir", "glob", "rglob", "rmtree", "copy2"}


def test_only_these_files_touch_the_disk() -> None:
    touching = {
        name
        for name, path in modules().items()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Call)
        and (
            (isinstance(node.func, ast.Name) and node.func.id == "open")
            or (isinstance(node.func, ast.Attribute) and node.func.attr in TOUCHES)
            or (
                isinstance(node.func, ast.Attribute)
                and ast.unparse(node.func.value) == "os"
                and node.func.attr == "open"
            )
        )
    }
    assert touching <= DISK
    assert touching >= DISK - {"job.load"}  # which reads by Path.open


def test_the_map_for_engineers_names_every_room() -> None:
    text = (PACKAGE.parent / "DEVELOPERS.md").read_text(encoding="utf-8")
    table = text.split("| room | what |")[1].split("\n\n")[0]
    unnamed = {name for names in ORDER for name in names if f"`{name}" not in table}
    assert not unnamed
