"""`panelpoint sheet`: what a teacher hands out or shows, as PDF, page, text or table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated, Literal

import typer

__all__ = ["sheet"]


def sheet(
    model: Annotated[Path, typer.Argument(metavar="MODEL", help="A model file (NAME.truss.json).")],
    *,
    kind: Annotated[
        Literal["worked", "handout", "worksheet", "key"],
        typer.Option(
            help="The worked solution; the forces and their table on one page; a clean worksheet; its key."
        ),
    ] = "worked",
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FILE",
            help="NAME.pdf, .html, .md, .csv (member forces) or .json; a name without a suffix is a folder "
            "for an SVG of every figure; - is standard output (PDF).",
        ),
    ] = None,
    versions: Annotated[
        int | None,
        typer.Option(
            min=1,
            max=99,
            help="So many worksheets with other lengths and loads, A, B, C and so on, each with its key and "
            "its model file, into the folder -o.",
        ),
    ] = None,
    seed: Annotated[
        int, typer.Option(help="Draws the versions; the same number gives the same ones again.")
    ] = 1,
    paper: Annotated[Literal["a4", "letter"], typer.Option(help="Paper of a PDF.")] = "a4",
    figures: Annotated[int, typer.Option(min=2, max=8, help="Significant figures of forces.")] = 3,
    language: Annotated[Literal["en", "de"], typer.Option(help="English or German.")] = "en",
    as_json: Annotated[bool, typer.Option("--json", help="Print the sheet as one JSON object.")] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there already.")] = False,
) -> None:
    """Make a sheet of a truss: the worked solution, a handout, a worksheet or its key.

    Example: panelpoint sheet creek.truss.json -o creek.pdf

    For the class: panelpoint sheet creek.truss.json --kind handout --paper letter -o handout.pdf

    A test in three versions: panelpoint sheet creek.truss.json --kind worksheet --versions 3 -o creek-test

    Exit code 1 means that the truss has no unique answer; a worked solution then says why.
    """
    from cli.job import open_model
    from cli.messages import ANSWER_IS_NO, note, say
    from cli.outputs import STANDARD_OUTPUT
    from cli.papers.files import FOLDER, beside, ensure_all_free, files_of, form_of, write_all
    from cli.papers.kinds import make
    from cli.papers.order import Order
    from cli.papers.version_set import make_versions
    from cli.progress import busy
    from cli.translate.from_reading import picture_path

    if output is None and not as_json:
        raise typer.BadParameter("say where to write it, or give --json.", param_hint="-o")
    form = "json" if output is None else form_of(output)
    if versions is not None and (kind != "worksheet" or form != FOLDER):
        raise typer.BadParameter(
            "versions are worksheets in a folder: give --kind worksheet, and -o a name without a suffix.",
            param_hint="--versions",
        )
    opened = open_model(model, trust=trust)
    if output is not None:
        picture = picture_path(opened, model.parent)
        given = [(model, "the model file itself"), *([(picture, "the picture itself")] if picture else [])]
        ensure_all_free(output, form=form, force=force, inputs=tuple(given))
    with busy(f"Making the sheet of {model.name}"):
        order = Order(opened, model, language, figures, paper)
        target = STANDARD_OUTPUT if output is None else output
        if versions is not None:
            made, files = make_versions(order, target, count=versions, seed=seed)
        else:
            made = make(kind, order)
            main = files_of(made, target, form=form, kind=kind, paper=paper)
            files = {**main, **beside(made, target, form=form)}
    for remark in made.remarks:
        note(remark)
    write_all(files, target, force=force)
    if target != STANDARD_OUTPUT:
        say(f"Written to {target}.")
    if not made.answer:
        raise typer.Exit(ANSWER_IS_NO)
