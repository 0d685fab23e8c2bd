"""The wheel: exactly the three packages at its top, and every file that the program opens at run time."""

from __future__ import annotations

import ast
import re
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> zipfile.ZipFile:
    """Build the wheel with the build backend itself, in no extra environment."""
    folder = tmp_path_factory.mktemp("wheel")
    build = f"from hatchling.build import build_wheel; print(build_wheel({str(folder)!r}))"
    result = subprocess.run(
        [sys.executable, "-c", build], cwd=ROOT, capture_output=True, text=True, check=False
    )
    assert result.returncode == 0, result.stderr
    return zipfile.ZipFile(folder / result.stdout.split()[-1])


def test_top_level_is_the_three_packages(wheel: zipfile.ZipFile) -> None:
    """Nothing else lands in site-packages: no tests, no sample pictures."""
    tops = {name.split("/")[0] for name in wheel.namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"vision", "solver", "cli"}
    assert len(tops) == 4


def test_every_source_file_is_in(wheel: zipfile.ZipFile) -> None:
    """What git would track under the packages is what ships: modules, schema, pictures, fonts, weights."""
    # Folders that git leaves out, wherever they are ("build/") or in one place ("vision/training/fonts/").
    left_out = [line for line in (ROOT / ".gitignore").read_text("utf-8").splitlines() if line.endswith("/")]
    assert "__pycache__/" in left_out
    files = {
        file.relative_to(ROOT).as_posix()
        for package in ("vision", "solver", "cli")
        for file in (ROOT / package).rglob("*")
        if file.is_file()
    }
    wanted = {name for name in files if not any(f"/{folder}" in f"/{name}" for folder in left_out)}
    assert len(wanted) > 300
    assert wanted <= set(wheel.namelist())


@pytest.mark.parametrize(
    "name",
    [
        "cli/model/schema.json",
        "cli/demo/footbridge.jpg",
        "cli/demo/footbridge.truss.json",
        "cli/py.typed",
        "solver/py.typed",
        "vision/py.typed",
        "vision/weights/panelpoint.onnx",
        "vision/weights/supports.onnx",
    ],
)
def test_data_files_are_in(wheel: zipfile.ZipFile, name: str) -> None:
    """The files without which an installed program would fail."""
    assert wheel.getinfo(name).file_size >= (0 if name.endswith("py.typed") else 1)


def test_fonts_are_in(wheel: zipfile.ZipFile) -> None:
    """Overlays bring their own typeface with its licence."""
    names = [name for name in wheel.namelist() if name.startswith("cli/sheets/fonts/")]
    assert [name for name in names if name.endswith((".ttf", ".otf"))]
    assert [name for name in names if "OFL" in name or "LICENSE" in name.upper()]


def test_the_command_and_the_licence_are_declared(wheel: zipfile.ZipFile) -> None:
    """`panelpoint` is the one console script, and the licence text travels along."""
    info = next(name.split("/")[0] for name in wheel.namelist() if ".dist-info/" in name)
    assert "panelpoint = cli.main:main" in wheel.read(f"{info}/entry_points.txt").decode()
    metadata = wheel.read(f"{info}/METADATA").decode()
    assert "License-Expression: Apache-2.0" in metadata
    assert [name for name in wheel.namelist() if name.startswith(f"{info}/licenses/")]


def test_the_wheel_is_small(wheel: zipfile.ZipFile) -> None:
    """Under 20 MB, which any classroom network carries."""
    assert sum(item.compress_size for item in wheel.infolist()) < 20_000_000


def test_every_dependency_is_bounded_on_both_sides() -> None:
    """A version nobody has tried is not installed by surprise."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for requirement in project["dependencies"]:
        assert re.fullmatch(r"[a-z0-9-]+>=[\d.]+,<[\d.]+", requirement), requirement
    assert "opencv-python-headless" in " ".join(project["dependencies"])


IMPORTED_AS = {
    "fonttools": "fontTools",
    "opencv-python-headless": "cv2",
    "pillow": "PIL",
    "pillow-heif": "pillow_heif",
}
"""Distributions whose modules are not called like them."""
TRAINING_ONLY = {"OpenEXR", "onnx", "torch"}
"""The extra `training`."""
CLUSTER_ONLY = {"dask", "distributed"}
"""The extra `cluster`."""
STAGES_ONLY = {"shapely", "skimage"}
"""The extra `stages`."""
PART_OF = {"pydantic_core": "pydantic", "starlette": "fastapi"}
"""Packages on which a declared one is built, and whose names it tells its users to import."""


def test_dependencies_are_what_the_packages_import() -> None:
    """Nothing is installed that nobody imports, and nothing imported is there only by chance."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    declared = [re.split("[><=]", requirement)[0] for requirement in project["dependencies"]]
    assert len(declared) == len(set(declared))
    trees = (
        ast.parse(file.read_text(encoding="utf-8"))
        for package in ("vision", "solver", "cli")
        for file in (ROOT / package).rglob("*.py")
    )
    imported = set()
    for node in (node for tree in trees for node in ast.walk(tree)):
        if isinstance(node, ast.Import):
            imported |= {alias.name.split(".")[0] for alias in node.names}
        elif isinstance(node, ast.ImportFrom) and node.module:
            imported.add(node.module.split(".")[0])
    extras = TRAINING_ONLY | CLUSTER_ONLY | STAGES_ONLY
    foreign = imported - set(sys.stdlib_module_names) - {"vision", "solver", "cli"} - extras
    assert {PART_OF.get(name, name) for name in foreign} == {IMPORTED_AS.get(name, name) for name in declared}
