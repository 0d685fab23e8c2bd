"""The table as it goes, on standard output, and where a person is watching a bar under it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from cli.pile.batch import Line
from cli.pile.outcome import STATES

__all__ = ["showing"]

NAME_WIDTH = 32
"""Characters of the column of names; longer names push their row to the right."""
STATE_WIDTH = max(len(name) for name in STATES.values())


@contextmanager
def showing(total: int) -> Iterator[Callable[[Line], None]]:
    """Give a function that shows a sheet that is done.

    Parameters
    ----------
    total
        How many there will be.
    """
    if not sys.stderr.isatty():
        yield lambda line: print(_row(line))
        return
    from rich.console import Console  # noqa: PLC0415  only a terminal needs it
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn, TimeRemainingColumn  # noqa: PLC0415

    columns = (TextColumn("Sheets"), BarColumn(), MofNCompleteColumn(), TimeRemainingColumn())
    with Progress(*columns, console=Console(stderr=True), transient=True) as progress:
        bar = progress.add_task("Sheets", total=total)

        def tell(line: Line) -> None:
            print(_row(line))
            progress.advance(bar)

        yield tell


def _row(line: Line) -> str:
    outcome = line.entry.outcome
    first = next(iter((*line.entry.says, *line.entry.doubts)), "").split("\n")[0]
    look = "look" if outcome.needs_look else "    "
    return (
        f"{line.entry.name:<{NAME_WIDTH}}  {STATES[outcome.state]:<{STATE_WIDTH}}  {look}  {first}".rstrip()
    )
