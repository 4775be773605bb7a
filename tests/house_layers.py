"""The layer table of DEVELOPERS.md, executed: which room may import what."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGE = ROOT / "simlab"

# room -> (rooms of simlab it may import, other packages it may import)
LAYERS: dict[str, tuple[set[str], set[str]]] = {
    "errors": (set(), set()),
    "notation": ({"notation"}, {"sympy"}),
    "frame": ({"frame", "errors", "notation"}, {"msgspec"}),
    "results": ({"frame", "results"}, {"numpy"}),
    "working": ({"frame", "results", "exact", "errors", "statics", "working"}, {"sympy"}),
    "lesson": ({"notation", "frame", "results", "exact", "statics", "working", "lesson"}, set()),
    "exact": ({"exact", "errors"}, {"sympy", "flint"}),
    "statics": ({"frame", "results", "exact", "errors", "statics"}, {"sympy"}),
    "simulation": ({"frame", "results", "errors", "simulation"}, {"numpy", "pymunk", "_cffi_backend"}),
    "motion": ({"frame", "results", "exact", "errors", "motion"}, {"numpy", "scipy"}),
    "comparison": ({"frame", "results"}, set()),
    "collapse": ({"frame", "results", "errors"}, {"numpy"}),
    "pictures": (
        {"notation", "frame", "results", "pictures", "errors"},
        {"numpy", "matplotlib", "ziamath", "PIL"},
    ),
    "sheet": (
        {"notation", "frame", "results", "pictures", "sheet", "errors"},
        {"numpy", "typst"},
    ),
    "film": ({"notation", "frame", "results", "pictures", "film", "errors"}, {"numpy", "av"}),
    "window": (
        {"frame", "results", "pictures", "window", "errors", "simulation.stage"},
        {"numpy", "pygame"},
    ),
    "commands": ({"*"}, {"typer", "rich"}),
    "__init__": ({"*"}, set()),
    "__main__": ({"commands"}, set()),
}
# Files with a leave of their own, and why.
ALSO = {
    "frame/quantity.py": {"sympy"},  # the one place of the frame where expressions are made
    "frame/numbers.py": {
        "sympy",
        "mpmath",
    },  # and where they are worked out all at once
}
STANDARD = set(sys.stdlib_module_names) | {"__future__"}


def modules() -> list[Path]:
    """Every module of the package."""
    return sorted(PACKAGE.rglob("*.py"))


def room_of(path: Path) -> str:
    """The room a file belongs to: its folder, or its own name at the top."""
    parts = path.relative_to(PACKAGE).parts
    return parts[0] if len(parts) > 1 else path.stem


def imports(path: Path) -> Iterator[tuple[int, str]]:
    """Line and full name of each import of a file, wherever it stands in the file."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield node.lineno, alias.name
        elif isinstance(node, ast.ImportFrom) and node.module:
            assert node.level == 0, f"{path}:{node.lineno}: imports are absolute here"
            for alias in node.names:
                yield node.lineno, f"{node.module}.{alias.name}"


def ids(path: Path) -> str:
    """A file's name in a test report."""
    return str(path.relative_to(ROOT))


@pytest.mark.parametrize("path", modules(), ids=ids)
def test_each_room_imports_only_what_its_layer_allows(path):
    """The table above holds for every import of every file, those inside functions too."""
    rooms, packages = LAYERS[room_of(path)]
    packages = packages | ALSO.get(str(path.relative_to(PACKAGE)), set())
    for line, name in imports(path):
        top, _, rest = name.partition(".")
        if top in STANDARD:
            continue
        if top == "simlab":
            allowed = "*" in rooms or any(rest == room or rest.startswith(f"{room}.") for room in rooms)
            assert allowed, f"{path}:{line}: {room_of(path)} may not import {name}"
        else:
            assert top in packages, f"{path}:{line}: {room_of(path)} may not import {name}"


@pytest.mark.parametrize("path", sorted((PACKAGE / "statics").rglob("*.py")), ids=ids)
def test_statics_has_no_python_float(path):
    """No floating-point literal, no float() and no round() in the exact road."""
    for node in ast.walk(ast.parse(path.read_text())):
        literal = isinstance(node, ast.Constant) and isinstance(node.value, float)
        call = (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Name)
            and node.func.id in ("float", "round")
        )
        assert not literal, f"{path}:{node.lineno}: a floating-point number"
        assert not call, f"{path}:{node.lineno}: a conversion to floating point"


@pytest.mark.parametrize("path", [p for p in modules() if room_of(p) != "commands"], ids=ids)
def test_only_commands_print_and_exit(path):
    """Everything else can run in a dark room; and no assert is left for -O to remove."""
    for node in ast.walk(ast.parse(path.read_text())):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name):
            assert node.func.id not in ("print", "exit", "quit", "input"), f"{path}:{node.lineno}"
        assert not isinstance(node, ast.Assert), f"{path}:{node.lineno}: assert"


@pytest.mark.parametrize(
    "path", [p for p in modules() if room_of(p) in ("simulation", "motion", "statics", "exact")], ids=ids
)
def test_no_clock_and_no_chance_in_the_solvers(path):
    """The same scene gives the same bits: solvers know no wall clock and no random numbers."""
    for line, name in imports(path):
        assert name.split(".")[0] not in ("time", "datetime", "random", "secrets", "uuid"), (
            f"{path}:{line}: {name}"
        )
    assert "np.random" not in path.read_text()


@pytest.mark.parametrize("path", modules(), ids=ids)
def test_files_stay_short(path):
    """A file is split before it reaches 300 lines."""
    assert len(path.read_text().splitlines()) < 300
