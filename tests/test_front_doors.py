"""Front doors: each package and module exports what it says, and nothing else is used from outside."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
PACKAGES = ("vision", "solver", "cli")
NOT_SHIPPED_WITHOUT_EXTRAS = "training"


def modules() -> list[str]:
    """Return every module of the three packages."""
    files = (file for package in PACKAGES for file in sorted((ROOT / package).rglob("*.py")))
    names = (
        ".".join(file.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__") for file in files
    )
    return [name for name in names if NOT_SHIPPED_WITHOUT_EXTRAS not in name.split(".")]


@pytest.mark.parametrize("name", modules())
def test_every_module_says_what_it_offers(name: str) -> None:
    """`__all__` is there, sorted as ruff has it, and every name in it exists."""
    module = importlib.import_module(name)
    assert module.__file__ is not None
    code = ast.parse(Path(module.__file__).read_text(encoding="utf-8")).body
    assert hasattr(module, "__all__") or len(code) == 1, f"{name} has no __all__"
    for exported in getattr(module, "__all__", ()):
        assert hasattr(module, exported), f"{name}.__all__ lists {exported}, which is not there"


@pytest.mark.parametrize("package", PACKAGES)
def test_packages_export_what_they_import(package: str) -> None:
    """What a package's `__init__` imports from inside is exactly its `__all__`."""
    tree = ast.parse((ROOT / package / "__init__.py").read_text(encoding="utf-8"))
    imported = {
        alias.asname or alias.name
        for node in tree.body
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == package
        for alias in node.names
    }
    assert imported == set(importlib.import_module(package).__all__)


@pytest.mark.parametrize("package", ["vision", "solver"])
def test_libraries_print_nothing(package: str) -> None:
    """Only the application speaks."""
    for file in (ROOT / package).rglob("*.py"):
        if NOT_SHIPPED_WITHOUT_EXTRAS in file.parts:
            continue
        calls = [
            node
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8")))
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "print"
        ]
        assert not calls, f"{file} prints"


def test_solver_needs_only_numpy_scipy_and_units() -> None:
    """A notebook can import the solver alone: no picture library comes with it."""
    script = (
        "import sys, solver; "
        "heavy = {'cv2', 'skimage', 'shapely', 'PIL', 'matplotlib', 'pydantic', 'typer', 'rich'}; "
        "print(sorted(heavy & set(sys.modules)))"
    )
    result = subprocess.run(
        [sys.executable, "-c", script],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
        env={"PYTHONPATH": "."},
    )
    assert result.stdout.strip() == "[]"
