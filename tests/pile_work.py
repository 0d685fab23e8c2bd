"""A stand-in for the work on a sheet, by itself: every worker that is started anew imports it."""

from __future__ import annotations

import os
import signal

from cli.pile.outcome import Outcome
from cli.pile.task import Done, Task

__all__ = ["kill_or_name"]


def kill_or_name(task: Task) -> Done:
    """Do a sheet, in a worker: one of them kills its worker as the system would."""
    if task.path.name == "killer.png":
        os.kill(os.getpid(), signal.SIGKILL)
    if task.path.name == "faulty.png":
        raise RuntimeError(f"cannot do {task.path}")
    return Done(Outcome(key=task.key, state="solved"))
