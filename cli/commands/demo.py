"""`panelpoint demo`: the whole job on a bundled picture."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["demo"]

FOLDER = Path("panelpoint-demo")


def demo(
    *,
    force: Annotated[
        bool, typer.Option("--force", help=f"Replace files in ./{FOLDER} that were changed since.")
    ] = False,
) -> None:
    """Do the whole job on a bundled picture, into ./panelpoint-demo/.

    It reads the picture, takes supports, loads and dimensions from a bundled confirmation, solves the truss,
    and draws the forces on the picture.

    Example: panelpoint demo
    """
    from cli.confirmation import confirmed_by
    from cli.demo import CONFIRMATION, PICTURE
    from cli.job import solve_model
    from cli.messages import note, say
    from cli.model.file import load
    from cli.outputs import ensure_folder, put_into
    from cli.photo_to_model import read_model
    from cli.report import solution_text
    from cli.whole_job import MEMBERS, OVERLAY, SOLUTION, model_name, result_files

    ensure_folder(FOLDER)
    # The folder gets a copy of the picture, so that `solve` and `overlay` can be tried on the model in it.
    photo, read, _ = read_model(PICTURE, model_folder=PICTURE.parent)
    solved = solve_model(confirmed_by(read, load(CONFIRMATION)))
    for remark in solved.remarks:
        note(remark)
    files = {PICTURE.name: PICTURE.read_bytes(), **result_files(photo, solved)}
    put_into(FOLDER, files, force=force)
    sys.stdout.write(solution_text(solved.solution, title=solved.model.title))
    say(
        f"""
In {FOLDER}/:
  {OVERLAY}  the forces on the photograph: look at this first
  {SOLUTION}  the worked solution, joint by joint
  {MEMBERS}  the member table
  {model_name(PICTURE)}  the model file: change a load in it, then
      panelpoint solve {FOLDER}/{model_name(PICTURE)}"""
    )
