"""`panelpoint overlay`: forces, strength that is used, or moves of joints, on the original photograph."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

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
    show: Annotated[
        Literal["forces", "used", "moves"],
        typer.Option(
            help="Forces; how much of its strength each member uses; or which way to move each joint."
        ),
    ] = "forces",
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
    force: Annotated[
        bool, typer.Option("--force", help="Replace the picture if it is there already.")
    ] = False,
) -> None:
    """Draw the forces in the members on the original photograph, or what they use of their strength.

    Example: panelpoint overlay creek.truss.json -o creek-forces.png

    What goes first: panelpoint overlay bridge.truss.json --show used -o bridge-used.png

    Exit code 1 means that the truss has no unique answer, and nothing is drawn.
    """
    from cli.job import open_model, solve_model
    from cli.messages import note, say
    from cli.outputs import STANDARD_OUTPUT, ensure_free, write_output
    from cli.pictures import kind_of, open_picture, overlay_bytes, strength_bytes
    from cli.progress import busy
    from cli.strength.job import strength_of
    from cli.translate.from_reading import picture_path

    kind = kind_of(output)
    opened = open_model(model, trust=trust)
    picture = picture_path(opened, model.parent)
    given = [(model, "the model file itself")]
    if picture is not None:
        given.append((picture, "the picture itself"))
    ensure_free(output, force=force, inputs=tuple(given))
    photo, changes = open_picture(opened, model)
    if show == "forces":
        with busy(f"Solving {model.name}"):
            solved = solve_model(opened)
        remarks, drawn = solved.remarks, overlay_bytes(photo, solved, kind)
    else:
        with busy(f"Breaking {model.name} ten thousand times"):
            answer = strength_of(opened, curve="least", seed=0)
        remarks, drawn = answer.remarks, strength_bytes(photo, opened, answer, kind, show=show)
    for remark in (*changes, *remarks):
        note(remark)
    write_output(output, drawn)
    if output != STANDARD_OUTPUT:
        say(f"Written to {output}.")
