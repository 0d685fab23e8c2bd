"""A pile of 200 rendered photographs: two workers against one, and memory as the pile grows.

Wall-clock figures mean something on a quiet computer only; CPU seconds say what a sheet costs.
"""

from __future__ import annotations

import os
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import cv2
import psutil
import pytest

from cli.pile.batch import Batch, Line
from cli.pile.papers import sort_out
from cli.pile.pool import LocalPool
from cli.pile.store import Store
from cli.pile.task import Settings
from vision.training import FAMILIES, make_page

SHEETS = int(os.environ.get("PANELPOINT_BENCH_SHEETS", "200"))
SIDE = 1600
"""Pixels of the longer side of a made page."""
WORKERS = 2
EVERY = 0.5
"""Seconds between looks at the memory."""


@dataclass(frozen=True)
class Run:
    """What one run took."""

    seconds: float
    cpu: float
    """CPU seconds of all workers and their owner."""
    memory: list[tuple[int, float]]
    """Sheets done, and MB of the largest worker, as it went."""


def rendered(folder: Path) -> None:
    """Make the photographs."""
    families = [family for family in FAMILIES if family != "none"]

    def make(number: int) -> None:
        page = make_page(number, family=families[number % len(families)], size=SIDE, fonts=False)
        cv2.imwrite(str(folder / f"{number:04}.jpg"), page.rgb[:, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, 90])

    with ThreadPoolExecutor(2) as pool:
        list(pool.map(make, range(SHEETS)))


def timed(pile: Path, out: Path, workers: int) -> Run:
    """Work through the pile and watch time and memory."""
    done: list[Line] = []
    memory: list[tuple[int, float]] = []
    stop = threading.Event()
    owner = psutil.Process()
    spent: dict[int, float] = {}

    def watch() -> None:
        while not stop.wait(EVERY):
            largest = 0.0
            for child in owner.children(recursive=True):
                try:
                    largest = max(largest, child.memory_info().rss / 1e6)
                    times = child.cpu_times()
                except psutil.NoSuchProcess:
                    continue
                spent[child.pid] = times.user + times.system
            memory.append((len(done), largest))

    watching = threading.Thread(target=watch)
    own = sum(owner.cpu_times()[:2])
    started = time.perf_counter()
    watching.start()
    pool = LocalPool(workers)
    try:
        Batch(sort_out(pile, output=out), Store(out), Settings(), title="Bench").run(pool, done.append)
        seconds = time.perf_counter() - started
    finally:
        pool.close()
        stop.set()
        watching.join()
    assert len(done) == SHEETS
    return Run(seconds, sum(spent.values()) + sum(owner.cpu_times()[:2]) - own, memory)


@pytest.mark.benchmark
@pytest.mark.timeout(3600)
def test_two_workers_against_one(tmp_path: Path) -> None:
    """Print parallel efficiency, cost of a sheet, and memory per worker by quarter of the pile."""
    pile = tmp_path / "pile"
    pile.mkdir()
    rendered(pile)
    one = timed(pile, tmp_path / "one", 1)
    two = timed(pile, tmp_path / "two", WORKERS)
    print(
        f"\n{SHEETS} sheets of {SIDE} px: 1 worker {one.seconds:.0f} s ({one.cpu / SHEETS:.2f} CPU s each), "
        f"{WORKERS} workers {two.seconds:.0f} s ({two.cpu / SHEETS:.2f} CPU s each); "
        f"efficiency {one.seconds / (WORKERS * two.seconds):.2f}; by CPU {one.cpu / two.cpu:.2f}; "
        f"load of the computer {os.getloadavg()[1]:.1f}"
    )
    for quarter in range(4):
        low, high = SHEETS * quarter // 4, SHEETS * (quarter + 1) // 4
        largest = max((mb for count, mb in two.memory if low <= count <= high), default=0.0)
        print(f"  sheets {low} to {high}: largest worker {largest:.0f} MB")
    report = (tmp_path / "one" / "report.html").read_bytes()
    assert report == (tmp_path / "two" / "report.html").read_bytes()
    print(f"  the report has {len(report) / 1e6:.1f} MB, one small file and one drawing a sheet besides")
