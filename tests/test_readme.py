"""The README's commands, run as they stand, in an empty folder with the sample pictures beside them."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest

from cli.cautions import CAUTIONS
from tests.front_door import panelpoint

pytestmark = pytest.mark.usefixtures("kept_maps")
ROOT = Path(__file__).parent.parent
WAITS_FOR_A_PERSON = {"confirm"}
"""Commands that open a page in the browser and stay; the tests of the page run them."""
README = (ROOT / "README.md").read_text(encoding="utf-8")


def commands() -> list[str]:
    """Return every `panelpoint` command of the README's shell blocks, continued lines joined, in order."""
    found: list[str] = []
    for block in re.findall(r"^```(?:sh|bash|console)?\n(.*?)^```", README, re.DOTALL | re.MULTILINE):
        for line in block.replace("\\\n", " ").splitlines():
            for part in line.removeprefix("$ ").split("&&"):
                command = part.split(" #")[0].strip()
                if command.startswith("panelpoint ") and command.split()[1] not in WAITS_FOR_A_PERSON:
                    found.append(command)
    return found


def test_the_two_first_commands_stand_above_everything_else() -> None:
    """The job in one paragraph, then installing and testing: nothing comes before them."""
    head = README.split("\n## ")[0]
    assert "pip install . && panelpoint demo" in head
    assert "pip install -e '.[test]' && pytest" in head


def test_the_readme_shows_the_commands() -> None:
    """Each command of the design appears at least once."""
    shown = {command.split()[1] for command in commands()}
    assert {"demo", "read", "solve", "overlay", "run"} <= shown


def test_every_command_of_the_readme_works(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """In the order of the README, each with exit code 0; where a question is asked, the answer is yes."""
    if (ROOT / "sample_images").is_dir():
        shutil.copytree(ROOT / "sample_images", tmp_path / "sample_images")
    monkeypatch.chdir(tmp_path)
    for command in commands():
        outcome = panelpoint(*shlex.split(command)[1:], stdin="y\n")
        assert outcome.code == 0, f"{command}\n{outcome.err}"


def test_the_pictures_of_the_readme_are_there() -> None:
    """No picture or page is linked that is not in the project."""
    linked = re.findall(r"\]\((?!https?:)([^)#]+)\)", README)
    assert [name for name in linked if name.endswith((".jpg", ".png"))]
    for name in linked:
        assert (ROOT / name).is_file(), name


def test_the_readme_carries_the_cautions() -> None:
    """Word for word, wherever the lines break."""
    text = " ".join(README.split())
    for caution in CAUTIONS:
        assert caution in text
