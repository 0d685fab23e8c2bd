"""How long a worked solution of 15 joints takes from a cold start, beside `panelpoint solve`, in one run."""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import time
from pathlib import Path

import pytest

from cli.model.file import save
from tests.hand_typed import hand_typed
from tests.trusses import through_truss

ROOT = Path(__file__).parents[2]
ROUNDS = 5
"""Odd, so that the median is a measured figure."""


def seconds(*arguments: str | Path) -> tuple[float, float]:
    """Run panelpoint once in a process of its own; return the time it took, and that of the processor."""
    before, begin = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    subprocess.run(
        [sys.executable, "-c", "from cli.main import main; main()", *map(str, arguments)],
        cwd=ROOT,
        capture_output=True,
        check=True,
        env={**os.environ, "PYTHONPATH": str(ROOT)},
    )
    wall, after = time.perf_counter() - begin, resource.getrusage(resource.RUSAGE_CHILDREN)
    return wall, after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


@pytest.mark.benchmark
def test_worked_solution(tmp_path: Path) -> None:
    """Print medians for PDF and HTML (wanted: under 3 s cold) and the ratio to solving alone."""
    model = tmp_path / "warren.truss.json"
    save(model, hand_typed(through_truss("warren", 7), "Warren truss"))
    jobs = {
        "solve": ("solve", model),
        "sheet, PDF": ("sheet", model, "--force", "-o", tmp_path / "some.pdf"),
        "sheet, HTML": ("sheet", model, "--force", "-o", tmp_path / "some.html"),
        "handout, PDF": ("sheet", model, "--kind", "handout", "--force", "-o", tmp_path / "hand.pdf"),
    }
    times: dict[str, list[tuple[float, float]]] = {name: [] for name in jobs}
    for _ in range(ROUNDS):
        for name, arguments in jobs.items():
            times[name].append(seconds(*arguments))
    wall = {name: statistics.median(each[0] for each in found) for name, found in times.items()}
    for name, found in times.items():
        processor = statistics.median(each[1] for each in found)
        share = wall[name] / wall["solve"]
        print(f"\n{name}: {wall[name]:.2f} s, processor {processor:.2f} s, {share:.2f} of solve", end="")
    print(f"\nload on {os.cpu_count()} cores: {os.getloadavg()[0]:.1f}")
    assert wall
