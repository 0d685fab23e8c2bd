"""`panelpoint overlay`: the forces on the original photograph."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["overlay"]


def overlay(
    model: Annotated[
        Path, typer.Argument(metavar="MODEL", help="A model file that was read from a picture.")
    ],
    *,
    output: Annotated[
        Path,
        typer.Option(
            "-o",
            "--output",
            metavar="PICTURE",
            help="NAME.png, .jpg, .svg or .pdf; - is standard output (PNG).",
        ),
    ],
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Replace the picture if it is there already.")
    ] = False,
) -> None:
    """Draw the forces in the members on the original photograph.

    Example: panelpoint overlay creek.truss.json -o creek-forces.png

    Exit code 1 means that the truss has no unique answer, and nothing is drawn.
    """
    from cli.job import open_model, solve_model
    from cli.messages import note, say
    from cli.outputs import STANDARD_OUTPUT, ensure_free, write_output
    from cli.pictures import kind_of, open_picture, overlay_bytes
    from cli.progress import busy
    from cli.translate import picture_path

    kind = kind_of(output)
    opened = open_model(model, trust=trust)
    picture = picture_path(opened, model.parent)
    given = [(model, "the model file itself")]
    if picture is not None:
        given.append((picture, "the picture itself"))
    ensure_free(output, force=force, inputs=tuple(given))
    photo, changes = open_picture(opened, model)
    with busy(f"Solving {model.name}"):
        solved = solve_model(opened)
    for remark in (*changes, *solved.remarks):
        note(remark)
    write_output(output, overlay_bytes(photo, solved, kind))
    if output != STANDARD_OUTPUT:
        say(f"Written to {output}.")
