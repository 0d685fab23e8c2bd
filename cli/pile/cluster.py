"""The same sheets on a Dask cluster, where a school district or a course outgrows one computer.

The scheduler hands sheets to workers and gives those of a worker that is lost to another. Workers need the
same panelpoint, and either see the pile's folder under the same path or are sent each photograph.
"""

from __future__ import annotations

import importlib.util
import logging
import time
from concurrent.futures import Future
from typing import Any, NoReturn

from cli.pile.errors import ClusterError
from cli.pile.pool import WAITING
from cli.pile.sheet import do_sheet
from cli.pile.task import Done, Task

__all__ = ["ClusterPool"]

CONNECT = 15.0
"""Seconds to wait for a scheduler's answer."""
LOOK_AGAIN = 5.0
"""Seconds between looks at how many workers there are: they come and go."""
LARGEST_TASK = "256MiB"
"""Below it Dask does not warn of large tasks: a photograph sent with its task is meant to be."""
NOT_INSTALLED = "needs Dask: pip install 'panelpoint[cluster]'"
NO_ANSWER = "does not answer: check the address, and that the scheduler runs."
LOST = (
    "was lost, or did nothing for ten minutes. Look at its scheduler and workers, then start the same "
    "command again: what is done is kept."
)


class ClusterPool:
    """Workers of a Dask cluster.

    Parameters
    ----------
    address
        Of the scheduler, `tcp://HOST:PORT`.

    Raises
    ------
    ClusterError
        When Dask is not installed here, or the scheduler does not answer.
    """

    def __init__(self, address: str) -> None:
        if importlib.util.find_spec("distributed") is None:
            raise ClusterError(address, NOT_INSTALLED)
        import dask  # noqa: PLC0415  an extra, and slow to load
        from distributed import Client, KilledWorker  # noqa: PLC0415

        # What goes wrong is told in one sentence, not in the log of a library.
        for name in ("distributed", "distributed.client", "distributed.utils"):
            logging.getLogger(name).setLevel(logging.CRITICAL)
        dask.config.set({"distributed.admin.large-graph-warning-threshold": LARGEST_TASK})
        self._address = address
        try:
            self._client = Client(address, timeout=CONNECT, set_as_default=False)
        except (OSError, ValueError):
            raise ClusterError(address, NO_ANSWER) from None
        self._executor: Any = self._client.get_executor(pure=False)
        self.killed: tuple[type[BaseException], ...] = (KilledWorker,)
        self._slots = 1
        self._looked = -LOOK_AGAIN

    @property
    def slots(self) -> int:
        """How many sheets to hand out at a time, one at least, for a worker that may still come."""
        if time.monotonic() - self._looked >= LOOK_AGAIN:
            try:
                threads = sum(self._client.nthreads().values())
            except OSError:
                self.renew()
            self._slots = max(1, WAITING * threads)
            self._looked = time.monotonic()
        return self._slots

    def submit(self, task: Task) -> Future[Done]:
        """Hand out a sheet."""
        future: Future[Done] = self._executor.submit(do_sheet, task)
        return future

    def renew(self) -> NoReturn:
        """Give up: workers of a cluster are not ours to end."""
        raise ClusterError(self._address, LOST)

    def close(self) -> None:
        """Take back what is not done, and leave the cluster to others."""
        self._executor.shutdown(wait=False)
        self._client.close()
