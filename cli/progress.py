"""Signs of life on standard error while something takes time: only where a person is watching."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager

__all__ = ["busy"]


@contextmanager
def busy(what: str) -> Iterator[None]:
    """Show a moving line that says what is being done, and take it away at the end.

    Parameters
    ----------
    what
        "Reading creek.jpg". Nothing is shown where standard error is not a terminal.
    """
    if not sys.stderr.isatty():
        yield
        return
    from rich.console import Console  # noqa: PLC0415  only a terminal needs it

    with Console(stderr=True).status(f"{what} ..."):
        yield
