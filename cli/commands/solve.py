"""`panelpoint solve`: verdict, reactions, member forces and, if wanted, the worked steps of a model file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["solve"]


def solve(
    model: Annotated[Path, typer.Argument(metavar="MODEL", help="A model file (NAME.truss.json).")],
    *,
    steps: Annotated[
        bool, typer.Option("--steps", help="Print the worked solution, joint by joint.")
    ] = False,
    as_json: Annotated[bool, typer.Option("--json", help="Print one JSON object for programs.")] = False,
    trust: Annotated[
        bool, typer.Option("--trust", help="Use a model that was read from a picture and not confirmed.")
    ] = False,
) -> None:
    """Print reactions and member forces of a truss.

    Example: panelpoint solve creek.truss.json --steps

    Exit code 1 means that the truss has no unique answer, and the reason is printed.
    """
    from cli.job import open_model, solve_model
    from cli.messages import note, sentence
    from cli.progress import busy
    from cli.report import count_text, no_solution_json, solution_json, solution_text
    from cli.steps_text import steps_as_text
    from solver import NoUniqueSolutionError, work

    opened = open_model(model, trust=trust)
    try:
        with busy(f"Solving {model.name}"):
            solved = solve_model(opened)
    except NoUniqueSolutionError as error:
        if as_json:
            units = opened.units
            reason = no_solution_json(
                error.stability, length_unit=units.length, force_unit=units.force, remarks=[sentence(error)]
            )
            sys.stdout.write(reason)
        else:
            sys.stdout.write(count_text(error.stability) + "\n")
        raise
    if as_json:
        sys.stdout.write(solution_json(solved.solution, remarks=solved.remarks))
        return
    for remark in solved.remarks:
        note(remark)
    sys.stdout.write(solution_text(solved.solution, title=opened.title))
    if steps:
        with busy("Writing the steps"):
            text = steps_as_text(work(solved.solution.truss))
        sys.stdout.write("\n" + text)
