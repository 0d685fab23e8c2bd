"""`panelpoint testday`: the class's table of a day on which models are broken."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["class_table"]


def class_table(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="With model files and their records.")],
    *,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o", "--output", metavar="TABLE", help="Also write NAME.csv, .txt, .md, .html or .pdf."
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object for programs.")] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use models that were read from pictures and not confirmed.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace the table if it is there already.")] = False,
) -> None:
    """Put what was predicted beside what was held, for every bridge in a folder.

    Example: panelpoint testday class-9b -o class-9b/table.csv

    A bridge is a model file with stocks, in the folder or one folder down; `panelpoint record` takes its test
    down beside it. The rules of a contest, if there is one, lie in the folder as NAME.contest.json.
    Efficiency is the load held over the bridge's own weight.

    Teaching and models only; eye protection, a screen, weights guarded, feet clear.
    """
    from cli.messages import note, say
    from cli.outputs import ensure_free, write_output
    from cli.testday.files import written_as
    from cli.testday.folder import open_day
    from cli.testday.table import day_json, day_text

    write = None if output is None else written_as(output)
    if output is not None:
        ensure_free(output, force=force)
    day, troubles = open_day(folder, trust=trust)
    for trouble in troubles:
        note(trouble)
    sys.stdout.write(day_json(day) if as_json else day_text(day))
    if output is not None and write is not None:
        write_output(output, write(day))
        say(f"Written to {output}.")
