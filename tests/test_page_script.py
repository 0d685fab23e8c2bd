"""The page's own arithmetic: pure functions in JavaScript, tested by node's runner where it is found."""

from __future__ import annotations

import re
import shutil
import subprocess
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
APP = ROOT / "cli" / "page" / "app"
NODE = shutil.which("node")
PURE = ("view", "hit", "snap", "format", "labels", "paths", "symbols", "freebody")


@pytest.mark.skipif(NODE is None, reason="no node on this machine (Debian: apt-get install nodejs)")
def test_pure_functions() -> None:
    """Every test under tests/page_js passes, and there are some."""
    files = sorted((ROOT / "tests" / "page_js").glob("*.test.mjs"))
    result = subprocess.run(
        [str(NODE), "--test", *map(str, files)],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        timeout=120,
    )
    assert result.returncode == 0, result.stdout[-4000:]
    (passed,) = re.findall(r"^# pass (\d+)|^ℹ pass (\d+)", result.stdout, re.MULTILINE)
    assert int("".join(passed)) >= 30


@pytest.mark.parametrize("name", PURE)
def test_pure_modules_touch_no_page(name: str) -> None:
    """What is tested without a browser knows none: no document, no window, no import but of its like."""
    text = re.sub(
        r"//[^\n]*|/\*.*?\*/", "", (APP / f"{name}.mjs").read_text(encoding="utf-8"), flags=re.DOTALL
    )
    assert not re.search(r"\b(document|window|fetch|localStorage)\b\s*[.(]", text)
    assert set(re.findall(r'from "\./(\w+)\.mjs"', text)) <= set(PURE)


def test_modules_import_no_circle() -> None:
    """Every module can be read from the leaves up: none needs, however indirectly, a module that needs it."""
    needs = {
        path.stem: re.findall(r"""(?:from|import\()\s*["']\./(\w+)\.mjs""", path.read_text("utf-8"))
        for path in APP.glob("*.mjs")
    }
    assert sum(map(len, needs.values())) > 50
    try:
        tuple(TopologicalSorter(needs).static_order())
    except CycleError as circle:
        raise AssertionError(" imports ".join(reversed(circle.args[1]))) from None


def test_every_import_is_there() -> None:
    """No module imports a name that its neighbour lacks, and no address of elsewhere is named."""
    texts = {path.stem: path.read_text("utf-8") for path in APP.glob("*.mjs")}
    exported = {
        module: set(
            re.findall(r"^export (?:async )?(?:function|const|class) (\w+)", text, re.MULTILINE)
            + re.findall(r"\w+", " ".join(re.findall(r"^export \{([^}]+)\}", text, re.MULTILINE)))
        )
        for module, text in texts.items()
    }
    for importer, text in texts.items():
        for names, module in re.findall(r'import \{([^}]+)\} from "\./(\w+)\.mjs"', text):
            for name in filter(None, (part.strip() for part in names.split(","))):
                assert name in exported[module], f"{importer} imports {name} from {module}"
                assert len(re.findall(rf"\b{name}\b", text)) > 1, f"{importer} does not use {name}"
        for name in set().union(*(names for module, names in exported.items() if module != importer)):
            if re.search(rf"(?<![\w.\"]){name}\(", re.sub(r"//[^\n]*", "", text)):
                known = (
                    rf"import \{{[^}}]*\b{name}\b[^}}]*\}}|(?:function|const|let) {name}\b|[(,] ?{name}[,)]"
                )
                assert re.search(known, text), f"{importer} calls {name}, which it neither imports nor has"
    for path in APP.iterdir():
        addresses = set(re.findall(r"https?://[^\s\"'`)]+", path.read_text("utf-8")))
        assert addresses <= {"http://www.w3.org/2000/svg"}, path.name
