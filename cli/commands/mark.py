"""`panelpoint mark`: a class's answers to one truss judged fairly, and a feedback sheet for each student."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated, Literal

import typer

__all__ = ["mark"]


def mark(
    key: Annotated[Path, typer.Argument(metavar="KEY", help="The model file of the truss that was set.")],
    answers: Annotated[
        Path | None,
        typer.Argument(
            metavar="ANSWERS",
            help="CSV with one row a student (columns: student, A x, B y, A-B, ... and if asked verdict, m, "
            "r, j, angle A-B), or JSON with the same names.",
        ),
    ] = None,
    *,
    drawing: Annotated[
        Path | None,
        typer.Option(metavar="PHOTO", help="A student's own drawing of the truss, held against the key."),
    ] = None,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            metavar="FOLDER",
            help="For marks.csv, the class summary and the feedback sheets.",
        ),
    ] = None,
    template: Annotated[
        Path | None,
        typer.Option(
            "--template", metavar="FILE", help="Write an empty table of answers to fill in, and stop."
        ),
    ] = None,
    rubric: Annotated[
        Path | None,
        typer.Option(
            "--rubric",
            metavar="FILE",
            help="JSON or TOML with credits and tolerance; --show-rubric prints one.",
        ),
    ] = None,
    show_rubric: Annotated[bool, typer.Option("--show-rubric", help="Print the rubric and stop.")] = False,
    form: Annotated[
        Literal["pdf", "html", "md"], typer.Option(help="What the sheets are written as.")
    ] = "pdf",
    paper: Annotated[Literal["a4", "letter"], typer.Option(help="Paper of a PDF.")] = "a4",
    language: Annotated[Literal["en", "de"], typer.Option(help="Of the sheets: English or German.")] = "en",
    with_key: Annotated[
        bool, typer.Option("--with-key", help="Put the key's values on the feedback sheets.")
    ] = False,
    pseudonyms: Annotated[
        Path | None,
        typer.Option(
            "--pseudonyms",
            metavar="FILE",
            help="Write pseudonyms in place of names; their list stays on this computer; made if need be.",
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object for programs.")] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace files that are there already.")] = False,
) -> None:
    """Mark a class's answers: right, right on the student's own numbers, or wrong.

    Example: panelpoint mark creek.truss.json --template answers.csv

    Then: panelpoint mark creek.truss.json answers.csv -o marked

    A drawing: panelpoint mark --drawing sketch.jpg creek.truss.json -o marked

    An answer is a number with T or C (12.5 kN C, T 12.5) or a sign (tension positive). What cannot be read is
    listed and counted neither way. Likely slips are guesses, named only where they fit clearly best.
    """
    from cli.marking.desk import Wanted, marked, print_rubric, rubric_of, write_template
    from cli.marking.key import open_key
    from cli.marking.tables import marks_text
    from cli.messages import note, say
    from cli.model.readable_json import readable_json
    from cli.outputs import ensure_folder, ensure_free
    from cli.progress import busy

    if drawing is not None:
        from cli.drawing_check.job import mark_drawing

        if answers is not None:
            raise typer.BadParameter("give a drawing or a file of answers, not both.", param_hint="--drawing")
        mark_drawing(drawing, key, output, as_json=as_json, force=force)
        return
    chosen = rubric_of(rubric)
    if show_rubric:
        print_rubric(chosen)
        return
    opened = open_key(key, trust=trust)
    if template is not None:
        ensure_free(template, force=force, inputs=((key, "the model file itself"),))
        write_template(opened, template)
        say(f"Written to {template}: give each student a row, then mark it with -o FOLDER.")
        return
    if answers is None:
        raise typer.BadParameter(
            "give the file of answers, or --template to write an empty one.", param_hint="ANSWERS"
        )
    if output is not None:
        ensure_folder(output)
    wanted = Wanted(chosen, form, paper, language, with_key=with_key, pseudonyms=pseudonyms)
    with busy(f"Marking {answers.name}"):
        result = marked(opened, answers, wanted)
    for remark in (*opened.remarks, *result.remarks):
        note(remark)
    if output is not None:
        with busy(f"Writing {len(result.markings)} sheets"):
            result.write(output, force=force)
        say(f"Written to {output}.")
    if as_json:
        sys.stdout.write(readable_json(result.document))
    else:
        sys.stdout.write(marks_text(opened, result.markings))
