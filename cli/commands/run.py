"""`panelpoint run`: from one photograph to forces on it, the person's answers given as options."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["run"]

Texts = list[str]


def run(
    photo: Annotated[Path, typer.Argument(metavar="PHOTO", help="JPEG, PNG, WebP, TIFF, BMP or HEIC.")],
    *,
    output: Annotated[Path, typer.Option("-o", "--output", metavar="FOLDER", help="Where all results go.")],
    pin: Annotated[Texts | None, typer.Option(metavar="JOINT", help="A pin holds this joint.")] = None,
    roller: Annotated[
        Texts | None,
        typer.Option(
            metavar="JOINT", help='A roller holds this joint; "C -1 1": its surface pushes that way.'
        ),
    ] = None,
    load: Annotated[
        Texts | None, typer.Option(metavar="LOAD", help='Joint, force right, force up, unit: "D 0 -40 N".')
    ] = None,
    length: Annotated[
        Texts | None, typer.Option(metavar="LENGTH", help='Length between two joints: "A C 600 mm".')
    ] = None,
    across: Annotated[
        Texts | None, typer.Option(metavar="LENGTH", help='Horizontal distance: "A C 600 mm".')
    ] = None,
    up: Annotated[
        Texts | None, typer.Option(metavar="LENGTH", help='Vertical distance: "A D 25 cm".')
    ] = None,
    angle: Annotated[
        Texts | None, typer.Option(metavar="ANGLE", help='Degrees from the horizontal: "A D 60".')
    ] = None,
    level: Annotated[
        str | None, typer.Option(metavar="JOINTS", help='Two joints at one height: "A C".')
    ] = None,
    title: Annotated[str | None, typer.Option(help="What the truss is called on the results.")] = None,
    names: Annotated[
        bool, typer.Option("--names", help="Only draw the joints' names on the photograph, to refer to them.")
    ] = False,
    trust: Annotated[bool, typer.Option("--trust", help="Use what was read without asking.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there already.")] = False,
) -> None:
    """Do the whole job on one photograph: read, ask, solve, draw.

    Give --pin, --roller, --load and --length again for each further one.

    Example: panelpoint run creek.jpg --pin A --roller C --load "D 0 -40 N" --length "A C 600 mm" -o creek

    Exit code 1 means that no truss was found, or that it has no unique answer.
    """
    from cli.answers import apply_answers, parse_answers
    from cli.errors import FaultsError, UnconfirmedError
    from cli.job import solve_model
    from cli.leftover import ensure_replaceable, may_be_leftover
    from cli.messages import note, say
    from cli.model.file import dumps
    from cli.outputs import ensure_folder, ensure_free, put_into, write_atomically
    from cli.photo_to_model import names_beside, read_model
    from cli.pictures import names_png
    from cli.progress import busy
    from cli.report import count_text, solution_text
    from cli.whole_job import MEMBERS, OVERLAY, SOLUTION, model_name, result_files
    from solver import NoUniqueSolutionError, TrussError
    from vision.errors import SurveyError

    answers = parse_answers(
        pins=pin or (),
        rollers=roller or (),
        loads=load or (),
        dimensions=[
            *(("along", text) for text in length or ()),
            *(("across", text) for text in across or ()),
            *(("up", text) for text in up or ()),
            *(("angle", text) for text in angle or ()),
        ],
        level=level,
    )
    ensure_folder(output)
    model_path, names_path = output / model_name(photo), names_beside(output / photo.name)
    if output.is_dir() and not names:
        for path in (model_path, *(output / name for name in (OVERLAY, SOLUTION, MEMBERS))):
            allowed = force or (path == model_path and may_be_leftover(path))
            ensure_free(path, force=allowed, inputs=((photo, "the picture itself"),))

    picture, model, remarks = read_model(photo, model_folder=output)
    for remark in remarks:
        note(remark)
    say(f"{len(model.joints)} joints and {len(model.members)} members read: see {names_path}.")
    if not (names or force):
        ensure_replaceable(model_path, model)
    put_into(output, {names_path.name: names_png(picture, model)}, force=force)
    if names:
        return
    model = apply_answers(model, answers).model_copy(update={"title": title})
    if not (trust or _is_confirmed()):
        write_atomically(model_path, dumps(model).encode())
        raise UnconfirmedError(model_path)
    try:
        with busy("Solving"):
            solved = solve_model(model.model_copy(update={"confirmed": not trust}))
    except (FaultsError, SurveyError, NoUniqueSolutionError, TrussError) as error:
        # Unconfirmed, whatever was answered: something in it has to be changed first.
        write_atomically(model_path, dumps(model).encode())
        if isinstance(error, NoUniqueSolutionError):
            sys.stdout.write(count_text(error.stability) + "\n")
        note(
            f"Everything that was read and given is in {model_path}: put it right with "
            f"`panelpoint confirm {model_path}`, or run this again with other answers."
        )
        raise
    for remark in solved.remarks:
        note(remark)
    # What may not be replaced was refused at the start, before anything was asked.
    put_into(output, result_files(picture, solved), force=True)
    sys.stdout.write(solution_text(solved.solution, title=title))
    say(f"Everything is in {output}: forces on the photograph in {OVERLAY}, worked solution in {SOLUTION}.")


def _is_confirmed() -> bool:
    """Ask the person whether the names picture shows what is there; no answer is a no."""
    sys.stderr.write("Open that picture: are all joints and members right? [y/N]: ")
    sys.stderr.flush()
    answer = sys.stdin.readline()
    if not answer.endswith("\n"):
        sys.stderr.write("\n")  # nobody was there to end the line
    return answer.strip().lower() in {"y", "yes"}
