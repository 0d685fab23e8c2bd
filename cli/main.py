"""The `panelpoint` command: wiring only, one file a command in `cli.commands`."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable, Sequence
from functools import cache
from importlib.metadata import version
from typing import Annotated, Any

import typer
from typer.main import get_command

from cli.commands.batch import batch
from cli.commands.confirm import confirm
from cli.commands.contest import contest
from cli.commands.demo import demo
from cli.commands.mark import mark
from cli.commands.overlay import overlay
from cli.commands.read import read
from cli.commands.record import record
from cli.commands.run import run
from cli.commands.sheet import sheet
from cli.commands.solve import solve
from cli.commands.stock import stock
from cli.commands.strength import strength
from cli.commands.testday import class_table
from cli.messages import exit_code, known_errors, say, sentence
from cli.plain_usage import PlainGroup

__all__ = ["app", "main"]

# Plain help and no pretty tracebacks: both would load half of rich before anything is said.
app = typer.Typer(
    name="panelpoint",
    cls=PlainGroup,
    add_completion=False,
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _print_version(wanted: bool) -> None:  # noqa: FBT001  typer calls it so
    if wanted:
        print(f"panelpoint {version('panelpoint')}")
        raise typer.Exit


@app.callback()
def front_door(
    *,
    _version: Annotated[
        bool,
        typer.Option("--version", callback=_print_version, is_eager=True, help="Print the version and stop."),
    ] = False,
) -> None:
    """Read a truss from one photograph and draw the forces in its members on the same photograph.

    Start with `panelpoint demo`. Exit codes: 0 done, 1 the honest answer is no, 2 the input is wrong.
    """


for command in (
    demo,
    read,
    confirm,
    solve,
    stock,
    strength,
    overlay,
    sheet,
    mark,
    run,
    batch,
    contest,
    record,
):
    app.command()(command)
app.command("testday")(class_table)


@cache
def _built() -> Callable[..., Any]:
    """Build what parses the command line: once, also for a program that calls `main` again and again."""
    return get_command(app)


def main(arguments: Sequence[str] | None = None) -> None:
    """Run the command line; every way out of it is a sentence and an exit code.

    Parameters
    ----------
    arguments
        What follows `panelpoint`; that of the process by default.
    """
    for stream in (sys.stdout, sys.stderr):
        # Where a terminal cannot show a sign, a question mark is better than no answer at all.
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        try:
            _built()(args=None if arguments is None else list(arguments), prog_name="panelpoint")
        finally:
            sys.stdout.flush()
    except BrokenPipeError:
        # Whoever read our output has seen enough. What is left in the buffer goes nowhere, quietly.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        raise SystemExit(1) from None
    except known_errors() as error:
        say(sentence(error))
        raise SystemExit(exit_code(error)) from None


if __name__ == "__main__":
    main()
