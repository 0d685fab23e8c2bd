"""`panelpoint confirm`: the confirm page in the browser, on this computer only."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Annotated

import typer

__all__ = ["confirm"]

IDLE_MINUTES = 60.0
"""Without an open page: about a lesson, in which a page closed by accident can be opened again."""


def confirm(
    target: Annotated[
        Path | None,
        typer.Argument(
            metavar="[PHOTO|MODEL]",
            help="A photograph or a model file. Without it the page is empty: drop a photograph onto it.",
        ),
    ] = None,
    *,
    output: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--output",
            help="Model file for a photograph; beside it by default. One that is there already is opened.",
        ),
    ] = None,
    port: Annotated[int, typer.Option(min=0, max=65535, help="Port; 0 takes any free one.")] = 0,
    idle: Annotated[
        float, typer.Option(min=0.05, help="End after so many minutes without an open page.")
    ] = IDLE_MINUTES,
    no_browser: Annotated[
        bool, typer.Option("--no-browser", help="Only print the address, and open nothing.")
    ] = False,
) -> None:
    """Open the confirm page: see what was read, put it right, watch the forces.

    Example: panelpoint confirm creek.jpg

    Everything stays on this computer. Every change is saved at once in the model file.
    """
    # Before anything loads NumPy: the matrices of a truss are small, and on a busy computer threads that wait
    # for each other make a change a hundred times slower.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    from cli.messages import note
    from cli.model.file import MODEL_SUFFIX
    from cli.outputs import ensure_free
    from cli.page.desk import Desk
    from cli.page.serve import serve
    from cli.progress import busy

    folder = Path.cwd() if target is None else target.resolve().parent
    desk = Desk(folder, idle_minutes=max(1, round(idle)))
    if target is not None:
        if target.suffix.lower() == ".json":
            desk.open_model(target)
        else:
            model = output or target.with_name(f"{target.stem}{MODEL_SUFFIX}")
            if model.exists():
                note(f"Opening {model}, which is there already.")
                desk.open_model(model)
            else:
                ensure_free(model, force=False)
                with busy(f"Reading {target.name}"):
                    desk.open_photo(target, model)
    serve(desk, port=port, idle_minutes=idle, browser=not no_browser, say=note)
