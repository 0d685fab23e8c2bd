"""`panelpoint read`: joints and members of a photograph into a model file."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

__all__ = ["read"]


def read(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="JPEG, PNG, WebP, TIFF, BMP or HEIC.")],
    *,
    output: Annotated[
        Path,
        typer.Option("-o", "--output", metavar="MODEL", help="Model file to write; - is standard output."),
    ],
    names: Annotated[
        bool,
        typer.Option("--names", help="Also draw the joints' names on the photograph, beside the model file."),
    ] = False,
    keep: Annotated[
        Path | None,
        typer.Option(
            "--keep", metavar="FOLDER", help="Also write a picture of each stage of the reading there."
        ),
    ] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there already.")] = False,
) -> None:
    """Find joints and members in a photograph and write them down for a person to confirm.

    Example: panelpoint read creek.jpg -o creek.truss.json --names

    Exit code 1 means that no truss was found in the picture.
    """
    from cli.messages import note, say
    from cli.model.file import dumps
    from cli.outputs import STANDARD_OUTPUT, ensure_free, write_output
    from cli.photo_to_model import names_beside, read_model
    from cli.pictures import names_png
    from cli.stage_folder import StageFolder

    given = ((photo, "the picture itself"),)
    names_output = names_beside(Path(photo.name) if output == STANDARD_OUTPUT else output)
    for path in (output, names_output) if names else (output,):
        ensure_free(path, force=force, inputs=given)
    folder = Path() if output == STANDARD_OUTPUT else output.parent
    stages = None if keep is None else StageFolder(keep, force=force)
    picture, model, remarks = read_model(photo, model_folder=folder, keep=stages)
    for remark in remarks:
        note(remark)
    if names:
        write_output(names_output, names_png(picture, model))
    write_output(output, dumps(model).encode())
    say(_summary(len(model.joints), len(model.members)))
    if names:
        say(f"The names of the joints are drawn in {names_output}.")
    if stages is not None:
        say(f"{len(stages.names)} pictures of the stages are in {stages.folder}.")
    if output != STANDARD_OUTPUT:
        say(f'Written to {output}. Check it, supports and loads too, and set "confirmed": true in it.')


def _summary(joints: int, members: int) -> str:
    return f"{joints} joints and {members} members read."
