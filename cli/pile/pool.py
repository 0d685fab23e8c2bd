"""Many photographs at a time, in processes of this computer; a worker that the system kills stops nothing.

loky keeps the processes: it notices one that was killed, where a plain pool would wait for it for ever.
Strategy when that happens: which of the sheets in work killed it is not known, so each of them is done again
with nothing else in work. One that kills its worker even so is given up and told.
"""

from __future__ import annotations

import os
import signal
from collections.abc import Iterable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Future, wait
from typing import Protocol

import cv2
from loky import ProcessPoolExecutor

from cli.pile.outcome import FILE, Outcome
from cli.pile.sheet import do_sheet
from cli.pile.task import Done, Task

__all__ = ["LocalPool", "Pool", "usable_cores", "work_through"]

WAITING = 2
"""Sheets handed out for each worker: one in work, one at hand. More would only keep more in memory."""
IDLE = 30.0
"""Seconds after which a worker without work ends by itself: also one whose owner was killed."""
PATIENCE = 600.0
"""Seconds without any sheet done after which what is in work counts as hanging. A sheet takes one or two."""
STOPPED = (
    f"The system stopped the work on {FILE} more than once, most likely because memory ran out: "
    "make the picture smaller."
)
THREADS = dict.fromkeys(
    ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS"), "1"
)
"""Every worker keeps to one core; the libraries read these when they are loaded."""


class Pool(Protocol):
    """Something that does sheets."""

    @property
    def killed(self) -> tuple[type[BaseException], ...]:
        """Errors by which it says that a sheet has ended its worker again and again."""
        ...

    @property
    def slots(self) -> int:
        """How many sheets to hand out at a time."""
        ...

    def submit(self, task: Task) -> Future[Done]:
        """Hand out a sheet."""
        ...

    def renew(self) -> None:
        """Begin with fresh workers, after one was killed or hangs."""
        ...

    def close(self) -> None:
        """End the workers, whatever they are doing."""
        ...


class LocalPool:
    """Processes of this computer.

    Parameters
    ----------
    workers
        How many.
    """

    def __init__(self, workers: int) -> None:
        self.killed: tuple[type[BaseException], ...] = ()
        self._workers = workers
        self._executor = self._fresh()

    def _fresh(self) -> ProcessPoolExecutor:
        return ProcessPoolExecutor(self._workers, timeout=IDLE, initializer=_prepare, env=THREADS)

    @property
    def slots(self) -> int:
        """How many sheets to hand out at a time."""
        return WAITING * self._workers

    def submit(self, task: Task) -> Future[Done]:
        """Hand out a sheet."""
        future: Future[Done] = self._executor.submit(do_sheet, task)
        return future

    def renew(self) -> None:
        """Begin with fresh workers."""
        self.close()
        self._executor = self._fresh()

    def close(self) -> None:
        """End the workers, whatever they are doing."""
        self._executor.shutdown(wait=True, kill_workers=True)


def _prepare() -> None:
    """Make a fresh worker ready: Ctrl-C is for its owner alone to answer, and OpenCV keeps to one core."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    cv2.setNumThreads(1)


def usable_cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


def work_through(tasks: Iterable[Task], pool: Pool, *, patience: float = PATIENCE) -> Iterator[Done]:
    """Do sheets, each once, and yield them in the order in which they are done.

    Parameters
    ----------
    tasks
        Drawn only as fast as they are worked on, so that memory does not grow with the pile.
    pool
        Who does them.
    patience
        Seconds; see `PATIENCE`.
    """
    coming = iter(tasks)
    in_work: dict[Future[Done], Task] = {}
    while True:
        stopped = _hand_out(coming, pool, in_work)
        if not in_work and not stopped:
            return
        done, _ = wait(in_work, timeout=patience, return_when=FIRST_COMPLETED)
        if not done and in_work:
            stopped += in_work.values()
            in_work.clear()
        for future in done:
            task = in_work.pop(future)
            if _lost(future):
                stopped.append(task)
            else:
                yield _result(task, future, pool)
        if stopped:
            # The others in work have lost their workers too, unless they were done just before.
            for future, task in in_work.items():
                if future.done() and not _lost(future):
                    yield _result(task, future, pool)
                else:
                    stopped.append(task)
            in_work.clear()
            pool.renew()
            for task in stopped:
                yield _alone(task, pool, patience)


def _hand_out(coming: Iterator[Task], pool: Pool, in_work: dict[Future[Done], Task]) -> list[Task]:
    """Fill the pool; a task that it cannot take, since a worker was killed, is returned."""
    while len(in_work) < pool.slots:
        task = next(coming, None)
        if task is None:
            break
        try:
            in_work[pool.submit(task)] = task
        except BrokenExecutor:
            return [task]
    return []


def _alone(task: Task, pool: Pool, patience: float) -> Done:
    """Do one sheet with nothing else in work; a worker that is lost now was lost to this sheet."""
    future = pool.submit(task)
    done, _ = wait([future], timeout=patience)
    if done and not _lost(future):
        return _result(task, future, pool)
    pool.renew()
    slow = f"The work on {FILE} did not end within {patience / 60:.0f} minutes, twice."
    return _failed(task, STOPPED if done else slow)


def _lost(future: Future[Done]) -> bool:
    """Say whether a sheet that is done with was lost together with its worker."""
    return future.cancelled() or isinstance(future.exception(), BrokenExecutor)


def _result(task: Task, future: Future[Done], pool: Pool) -> Done:
    error = future.exception()
    if error is None:
        return future.result()
    if isinstance(error, pool.killed):
        return _failed(task, STOPPED)
    told = str(error).replace(str(task.path), FILE).replace(task.path.name, FILE)
    return _failed(task, f"Something went wrong with {FILE} ({type(error).__name__}: {told}).")


def _failed(task: Task, reason: str) -> Done:
    return Done(Outcome(key=task.key, state="failed", says=(reason,)))
