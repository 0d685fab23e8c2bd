"""How long `panelpoint --help` takes beside importing typer and rich, measured in turn in one run."""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
ROUNDS = 15
"""Odd, so that the median is a measured figure; enough that a neighbour's burst does not decide."""


def seconds(*arguments: str) -> float:
    """Run the interpreter once and return the time it took."""
    begin = time.perf_counter()
    subprocess.run(
        [sys.executable, *arguments],
        cwd=ROOT,
        stdout=subprocess.DEVNULL,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    return time.perf_counter() - begin


@pytest.mark.benchmark
def test_start_up() -> None:
    """Print both medians and their ratio (wanted: at most 2)."""
    own, yardstick = [], []
    for _ in range(ROUNDS):
        yardstick.append(seconds("-c", "import typer, rich"))
        own.append(seconds("-c", "from cli.main import main; main()", "--help"))
    help_median, import_median = statistics.median(own), statistics.median(yardstick)
    print(
        f"\npanelpoint --help {help_median * 1000:.0f} ms, import typer, rich {import_median * 1000:.0f} ms, "
        f"ratio {help_median / import_median:.2f} (wanted: at most 2)"
    )
    assert own
