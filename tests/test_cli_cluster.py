"""A pile on a real Dask scheduler with two real workers on this computer, one killed in the middle."""

from __future__ import annotations

import importlib.util
import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack
from pathlib import Path

import pytest

from cli.pile.batch import Batch, Line
from cli.pile.errors import ClusterError
from cli.pile.papers import sort_out
from cli.pile.pool import LocalPool
from cli.pile.store import Store
from cli.pile.task import Settings
from tests.front_door import assert_refused, panelpoint
from tests.pile_pictures import draw_king_post

needs_dask = pytest.mark.skipif(
    importlib.util.find_spec("distributed") is None, reason="distributed (extra [cluster]) is not installed"
)
ROOT = Path(__file__).parent.parent
SHEETS = 4
LONGEST = 90.0
"""Seconds that a scheduler or worker may take to start on a busy machine."""


@pytest.fixture
def pile(tmp_path: Path) -> Path:
    """Draw a few sheets."""
    folder = tmp_path / "pile"
    folder.mkdir()
    for row in range(SHEETS):
        draw_king_post(folder / f"{row}.png", shift=row)
    return folder


class Cluster:
    """A scheduler and two workers, each a process of its own, on the loopback."""

    def __init__(self, folder: Path, stack: ExitStack) -> None:
        self._stack, self._file = stack, folder / "scheduler.json"
        self.scheduler = self._start("dask_scheduler", "--port", "0")
        started = time.monotonic()
        while not self._file.exists() or not self._file.read_text():
            assert time.monotonic() - started < LONGEST
            time.sleep(0.1)
        self.workers = [self._start("dask_worker", "--nthreads", "1", "--no-nanny") for _ in range(2)]
        self.address: str = json.loads(self._file.read_text())["address"]

    def _start(self, program: str, *options: str) -> subprocess.Popen[bytes]:
        command = [sys.executable, "-m", f"distributed.cli.{program}", "--scheduler-file", str(self._file)]
        process = subprocess.Popen(
            [*command, "--host", "127.0.0.1", "--no-dashboard", *options],
            cwd=self._file.parent,
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
        )
        self._stack.callback(process.wait)
        self._stack.callback(process.kill)
        return process


@pytest.fixture
def cluster(tmp_path: Path) -> Iterator[Cluster]:
    """Run a cluster."""
    with ExitStack() as stack:
        yield Cluster(tmp_path, stack)


def files(out: Path) -> dict[str, bytes]:
    """Return every file of an output folder."""
    return {path.relative_to(out).as_posix(): path.read_bytes() for path in out.rglob("*") if path.is_file()}


@needs_dask
@pytest.mark.timeout(600)
def test_a_worker_killed_in_the_middle_changes_nothing(pile: Path, cluster: Cluster, tmp_path: Path) -> None:
    """Photographs sent with their tasks; the same bytes as on this computer alone, nothing done twice.

    Then the scheduler is lost too, and that is told in a sentence.
    """
    from cli.pile.cluster import ClusterPool  # noqa: PLC0415  needs the extra

    told: list[Line] = []

    def tell(line: Line) -> None:
        told.append(line)
        if len(told) == 2:
            cluster.workers[0].kill()

    def batch(out: Path) -> Batch:
        return Batch(
            sort_out(pile, output=out), Store(out), Settings(), title="Pile", send=out.name == "cluster"
        )

    pool = ClusterPool(cluster.address)
    try:
        summary = batch(tmp_path / "cluster").run(pool, tell)
    finally:
        pool.close()
    assert cluster.workers[0].wait() != 0
    assert summary.sheets == len(told) == len({line.entry.name for line in told}) == SHEETS
    assert {line.entry.outcome.state for line in told} == {"read"}
    local = LocalPool(1)
    try:
        batch(tmp_path / "here").run(local, told.append)
    finally:
        local.close()
    assert files(tmp_path / "cluster") == files(tmp_path / "here")
    lost = ClusterPool(cluster.address)
    cluster.scheduler.kill()
    cluster.scheduler.wait()
    try:
        with pytest.raises(ClusterError, match=r"was lost.*what is done is kept"):
            batch(tmp_path / "lost").run(lost, told.append)
    finally:
        lost.close()


@needs_dask
def test_a_cluster_that_does_not_answer_is_told(pile: Path, tmp_path: Path) -> None:
    """An address that makes no sense ends in one sentence."""
    outcome = panelpoint("batch", pile, "-o", tmp_path / "out", "--cluster", "nonsense://here")
    assert_refused(outcome, "The cluster at nonsense://here does not answer")
