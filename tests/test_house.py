"""The house rules: layers, lint and types, checked like any other behaviour."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent

CHECKS = {
    "layers": [
        "-c",
        "from importlinter.cli import lint_imports_command; lint_imports_command()",
        "--no-cache",
    ],
    "lint": ["-m", "ruff", "check", "--no-cache", "."],
    "format": ["-m", "ruff", "format", "--no-cache", "--check", "."],
    "types": ["-m", "mypy"],
}


@pytest.mark.timeout(600)  # mypy reads everything anew: half a minute alone, several on a busy machine
@pytest.mark.parametrize("check", CHECKS)
def test_house_rules(check: str) -> None:
    """The tool that owns the rule finds nothing to say."""
    result = subprocess.run(
        [sys.executable, *CHECKS[check]],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    assert result.returncode == 0, result.stdout + result.stderr
